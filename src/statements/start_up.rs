//! What it cost to start: everything up to the opening day, in five groups, paid out and brought in apart.
//! A plain sum of outlays; how a tax office treats each group is not decided here.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::ledger::{
    Account, AccountClass, AccountId, Chart, EntryKind, EntryNumber, PostedEntry, Role,
};
use crate::money::Money;

/// The groups of the report, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StartUpGroup {
    /// Lasts for years, whether in the register or expensed at once.
    Equipment,
    /// Materials, goods and consumables.
    MaterialsAndStock,
    /// Packaging.
    Packaging,
    /// Costs of getting ready that a running business would have too.
    StartUpCosts,
    /// Costs of forming a company.
    CompanyForming,
}

impl StartUpGroup {
    /// All groups in the order of the report.
    pub const ALL: [Self; 5] = [
        Self::Equipment,
        Self::MaterialsAndStock,
        Self::Packaging,
        Self::StartUpCosts,
        Self::CompanyForming,
    ];

    /// Its heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Equipment => "Equipment",
            Self::MaterialsAndStock => "Materials and stock",
            Self::Packaging => "Packaging",
            Self::StartUpCosts => "Start-up costs",
            Self::CompanyForming => "Company-forming costs",
        }
    }

    /// The group an account belongs to, if what is spent on it is an outlay.
    #[must_use]
    pub fn of(account: &Account) -> Option<Self> {
        match account.role {
            Some(Role::Equipment | Role::SmallTools) => return Some(Self::Equipment),
            Some(
                Role::Materials
                | Role::MadeGoods
                | Role::BoughtInGoods
                | Role::PartMade
                | Role::Consumables,
            ) => return Some(Self::MaterialsAndStock),
            Some(Role::Packaging | Role::PackagingOnHand) => return Some(Self::Packaging),
            Some(Role::CompanyFormingCosts) => return Some(Self::CompanyForming),
            Some(Role::StartUpCosts | Role::PaidInAdvance) => return Some(Self::StartUpCosts),
            // Wear is no outlay: the equipment itself is counted.
            Some(Role::Depreciation) => return None,
            _ => {}
        }
        match account.class {
            AccountClass::Expense if account.group == Account::COST_OF_GOODS_SOLD_GROUP => {
                Some(Self::MaterialsAndStock)
            }
            AccountClass::Expense => Some(Self::StartUpCosts),
            AccountClass::Asset if account.group == "Stock" => Some(Self::MaterialsAndStock),
            _ => None,
        }
    }
}

/// One account of the report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartUpLine {
    /// The group it stands in.
    pub group: StartUpGroup,
    /// The account whose entries explain the figures.
    pub account: AccountId,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// What was paid, or is owed, for it.
    pub paid_out: Money,
    /// What the owner brought in already owning it.
    pub brought_in: Money,
}

/// What it cost to start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostToStart {
    /// The last day counted.
    pub through: NaiveDate,
    /// One line for each account, group by group.
    pub lines: Vec<StartUpLine>,
    /// The sum of what was paid out.
    pub paid_out: Money,
    /// The sum of what was brought in.
    pub brought_in: Money,
}

impl CostToStart {
    /// Paid out and brought in of one group.
    #[must_use]
    pub fn group(&self, group: StartUpGroup) -> (Money, Money) {
        let lines = || self.lines.iter().filter(|line| line.group == group);
        (
            lines().map(|line| line.paid_out).sum(),
            lines().map(|line| line.brought_in).sum(),
        )
    }

    /// Everything together.
    #[must_use]
    pub fn total(&self) -> Money {
        self.paid_out + self.brought_in
    }
}

/// What it cost to start: the outlays of all entries up to and with the day the business opened.
/// The owner's private shares, opening balances of a business that already ran, wear, disposals and what a sale took
/// with it are no outlays.
#[must_use]
pub fn cost_to_start<'a>(
    chart: &Chart,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    through: NaiveDate,
) -> CostToStart {
    let entries: Vec<&PostedEntry> = entries
        .into_iter()
        .filter(|posted| posted.entry.header.date <= through)
        .collect();
    let kinds: BTreeMap<EntryNumber, EntryKind> = entries
        .iter()
        .map(|posted| (posted.number, posted.entry.header.kind))
        .collect();
    let mut sums: BTreeMap<(StartUpGroup, String), StartUpLine> = BTreeMap::new();
    for posted in entries {
        // What takes an entry back counts against what that entry was.
        let own = posted.entry.header.kind;
        let kind = posted
            .reverses
            .and_then(|number| kinds.get(&number).copied())
            .unwrap_or(own);
        if !is_outlay(kind) {
            continue;
        }
        for line in posted.entry.lines() {
            let Ok(account) = chart.account(line.account) else {
                continue;
            };
            let Some(group) = StartUpGroup::of(account) else {
                continue;
            };
            let sum = sums
                .entry((group, account.number.clone()))
                .or_insert_with(|| StartUpLine {
                    group,
                    account: account.id,
                    number: account.number.clone(),
                    name: account.name.clone(),
                    paid_out: Money::ZERO,
                    brought_in: Money::ZERO,
                });
            if kind == EntryKind::BroughtIn {
                sum.brought_in += line.amount;
            } else {
                sum.paid_out += line.amount;
            }
        }
    }
    let lines: Vec<StartUpLine> = sums
        .into_values()
        .filter(|line| !line.paid_out.is_zero() || !line.brought_in.is_zero())
        .collect();
    CostToStart {
        through,
        paid_out: lines.iter().map(|line| line.paid_out).sum(),
        brought_in: lines.iter().map(|line| line.brought_in).sum(),
        lines,
    }
}

const fn is_outlay(kind: EntryKind) -> bool {
    !matches!(
        kind,
        EntryKind::Opening | EntryKind::Depreciation | EntryKind::Disposal | EntryKind::Closing
    )
}
