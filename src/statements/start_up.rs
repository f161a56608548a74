//! What it cost to start: everything up to the opening day, in five groups, paid out and brought in apart.
//! A plain sum of outlays; how a tax office treats each group is not decided here.

use std::collections::BTreeMap;
use std::str::FromStr;

use chrono::NaiveDate;

use crate::ledger::{
    Account, AccountClass, AccountId, Chart, EntryKind, EntryNumber, Line, PostedEntry, Role,
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

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Equipment => "equipment",
            Self::MaterialsAndStock => "materials-and-stock",
            Self::Packaging => "packaging",
            Self::StartUpCosts => "start-up-costs",
            Self::CompanyForming => "company-forming",
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

impl FromStr for StartUpGroup {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|group| group.as_str() == text.trim())
            .ok_or_else(|| {
                let known: Vec<&str> = Self::ALL.iter().map(|group| group.as_str()).collect();
                format!(
                    "'{text}' is not a group of the cost to start; use {}",
                    known.join(", ")
                )
            })
    }
}

/// Accounts that the owner counts under another group than their own.
pub type StartUpMarks = BTreeMap<AccountId, StartUpGroup>;

/// What the owner put in to start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StartUpCapital {
    /// Money put in.
    pub money: Money,
    /// What was paid from the owner's own pocket for good.
    pub own_pocket: Money,
    /// What was brought in, at its value.
    pub brought_in: Money,
}

impl StartUpCapital {
    /// All of it.
    #[must_use]
    pub fn total(self) -> Money {
        self.money + self.own_pocket + self.brought_in
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
    /// What of it an estimate by a rule for the costs of starting takes: nothing outside that group, and there neither
    /// what is paid ahead nor interest and taxes, which have rules of their own, unless the owner counts them so.
    pub to_rule: Money,
}

/// One outlay behind the report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartUpOutlay {
    /// The entry it stands in.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// From whom.
    pub party: String,
    /// What for.
    pub memo: String,
    /// The group it counts under.
    pub group: StartUpGroup,
    /// The account it is booked on.
    pub account: AccountId,
    /// How much; negative where it takes another back.
    pub amount: Money,
    /// Whether the owner already had it, so that nothing was paid.
    pub is_brought_in: bool,
    /// Whether the owner paid it herself, for good or to be given back.
    pub is_from_own_pocket: bool,
    /// Whether an estimate by a rule for the costs of starting takes it.
    pub is_for_rule: bool,
}

/// What it cost to start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostToStart {
    /// The last day counted.
    pub through: NaiveDate,
    /// What the owner put in up to that day.
    pub capital: StartUpCapital,
    /// One line for each account, group by group.
    pub lines: Vec<StartUpLine>,
    /// What the lines are made of, by day.
    pub outlays: Vec<StartUpOutlay>,
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

    /// What an estimate by a rule for the costs of starting takes.
    #[must_use]
    pub fn to_rule(&self) -> Money {
        self.lines.iter().map(|line| line.to_rule).sum()
    }

    /// Everything together.
    #[must_use]
    pub fn total(&self) -> Money {
        self.paid_out + self.brought_in
    }
}

/// What it cost to start, with every account in its own group; see [`cost_to_start_marked`].
#[must_use]
pub fn cost_to_start<'a>(
    chart: &Chart,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    through: NaiveDate,
) -> CostToStart {
    cost_to_start_marked(chart, entries, through, &StartUpMarks::new())
}

/// What it cost to start: the outlays of all entries up to and with the day the business opened.
/// The owner's private shares, opening balances of a business that already ran, wear, disposals and what a sale took
/// with it are no outlays.
#[must_use]
pub fn cost_to_start_marked<'a>(
    chart: &Chart,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
    through: NaiveDate,
    marks: &StartUpMarks,
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
    let mut outlays = Vec::new();
    let mut capital = StartUpCapital::default();
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
        let is_owners = |line: &Line| {
            chart.has_role(line.account, Role::OwnerCapital)
                || chart.has_role(line.account, Role::OwedToOwner)
        };
        let is_from_own_pocket =
            kind != EntryKind::BroughtIn && posted.entry.lines().iter().any(is_owners);
        for line in posted.entry.lines() {
            let Ok(account) = chart.account(line.account) else {
                continue;
            };
            if account.role == Some(Role::OwnerCapital) {
                match kind {
                    EntryKind::OwnerIn => capital.money += -line.amount,
                    EntryKind::BroughtIn => capital.brought_in += -line.amount,
                    EntryKind::Purchase | EntryKind::SupplierRefund => {
                        capital.own_pocket += -line.amount;
                    }
                    _ => {}
                }
            }
            let Some(own_group) = StartUpGroup::of(account) else {
                continue;
            };
            let mark = marks.get(&account.id).copied();
            let group = mark.unwrap_or(own_group);
            let sum = sums
                .entry((group, account.number.clone()))
                .or_insert_with(|| StartUpLine {
                    group,
                    account: account.id,
                    number: account.number.clone(),
                    name: account.name.clone(),
                    paid_out: Money::ZERO,
                    brought_in: Money::ZERO,
                    to_rule: Money::ZERO,
                });
            let is_for_rule =
                group == StartUpGroup::StartUpCosts && (mark.is_some() || !has_own_rule(account));
            if is_for_rule {
                sum.to_rule += line.amount;
            }
            let is_brought_in = kind == EntryKind::BroughtIn;
            if is_brought_in {
                sum.brought_in += line.amount;
            } else {
                sum.paid_out += line.amount;
            }
            let header = &posted.entry.header;
            outlays.push(StartUpOutlay {
                entry: posted.number,
                date: header.date,
                party: header.party.clone(),
                memo: if line.memo.is_empty() {
                    header.memo.clone()
                } else {
                    line.memo.clone()
                },
                group,
                account: account.id,
                amount: line.amount,
                is_brought_in,
                is_from_own_pocket,
                is_for_rule,
            });
        }
    }
    outlays.sort_by_key(|outlay| (outlay.date, outlay.entry));
    let lines: Vec<StartUpLine> = sums
        .into_values()
        .filter(|line| !line.paid_out.is_zero() || !line.brought_in.is_zero())
        .collect();
    CostToStart {
        through,
        capital,
        paid_out: lines.iter().map(|line| line.paid_out).sum(),
        brought_in: lines.iter().map(|line| line.brought_in).sum(),
        lines,
        outlays,
    }
}

/// What is paid ahead is no cost yet; interest and taxes are never start-up costs of a rule.
const fn has_own_rule(account: &Account) -> bool {
    matches!(
        account.role,
        Some(Role::PaidInAdvance | Role::InterestPaid | Role::Taxes)
    )
}

const fn is_outlay(kind: EntryKind) -> bool {
    !matches!(
        kind,
        EntryKind::Opening | EntryKind::Depreciation | EntryKind::Disposal | EntryKind::Closing
    )
}
