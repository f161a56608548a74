//! A purchase: one receipt with lines of different kinds, carriage, tax and discount spread over them,
//! private shares taken out, paid in one of four ways. What a line is, is `purchase_line`.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::words::memo_or_things;
use super::{
    Happening, HappeningError, LineCost, Payment, Proof, ProofState, PurchaseLine, Recording,
    RememberedKind, checks,
};
use crate::depreciation::Equipment;
use crate::ledger::{
    Account, AccountClass, AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role,
};
use crate::money::{Money, Percent, Quantity};
use crate::spreading::Spread;

/// What is asked about a purchase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PurchaseDetails {
    /// The day it was bought.
    pub date: NaiveDate,
    /// From whom.
    pub supplier: String,
    /// How it was paid.
    pub paid_from: Payment,
    /// The lines of the receipt.
    pub lines: Vec<PurchaseLine>,
    /// Carriage for the whole receipt.
    pub carriage: Money,
    /// Tax for the whole receipt, where it was added to the prices and is not got back.
    pub tax: Money,
    /// Discount on the whole receipt, as a positive amount.
    pub discount: Money,
    /// What it was, as a whole; may be empty.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
    /// The owner's own key of the receipt, by which a refund finds it; may be empty.
    pub document: String,
    /// The receipt's state and the business purpose.
    pub proof: Proof,
}

impl PurchaseDetails {
    /// A receipt of these lines, with its proof still missing and all else empty.
    #[must_use]
    pub fn new(
        date: NaiveDate,
        supplier: impl Into<String>,
        paid_from: Payment,
        lines: Vec<PurchaseLine>,
    ) -> Self {
        Self {
            date,
            supplier: supplier.into(),
            paid_from,
            lines,
            carriage: Money::ZERO,
            tax: Money::ZERO,
            discount: Money::ZERO,
            memo: String::new(),
            reference: String::new(),
            document: String::new(),
            proof: Proof {
                state: ProofState::Missing,
                ..Proof::default()
            },
        }
    }
}

/// One receipt of things bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Purchase {
    details: PurchaseDetails,
    costs: Vec<LineCost>,
}

impl Purchase {
    /// A purchase as told.
    ///
    /// # Errors
    /// When the supplier or the lines are missing, an amount cannot be, the discount is above the lines,
    /// or the equipment's life cannot be.
    pub fn new(details: PurchaseDetails) -> Result<Self, HappeningError> {
        checks::given("supplier", &details.supplier, "say from whom it was bought")?;
        if details.lines.is_empty() {
            return Err(HappeningError::field(
                "amount",
                "a purchase needs at least one line",
            ));
        }
        for (idx, line) in details.lines.iter().enumerate() {
            checks::positive("amount", line.amount).map_err(|error| error.on_line(idx))?;
        }
        checks::not_negative("carriage", details.carriage)?;
        checks::not_negative("tax", details.tax)?;
        checks::not_negative("discount", details.discount)?;
        let prices: Vec<Money> = details.lines.iter().map(|line| line.amount).collect();
        let goods: Money = prices.iter().copied().sum();
        if details.discount > goods {
            return Err(HappeningError::too_much(
                "discount",
                "the discount is more than the things cost",
                goods,
            ));
        }
        checks::positive(
            "amount",
            goods + details.carriage + details.tax - details.discount,
        )?;
        let costs = LineCost::spread(&prices, details.carriage, details.tax, details.discount);
        let mut names = BTreeSet::new();
        for (idx, (line, cost)) in details.lines.iter().zip(&costs).enumerate() {
            line.check(details.date, *cost)
                .map_err(|error| error.on_line(idx))?;
            if let Some(equipment) = &line.equipment
                && !names.insert(equipment.name.trim().to_lowercase())
            {
                return Err(HappeningError::field(
                    "equipment_name",
                    "two pieces of equipment on this receipt have the same name",
                )
                .on_line(idx));
            }
        }
        Ok(Self { details, costs })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &PurchaseDetails {
        &self.details
    }

    /// What each line cost, in the order of the lines.
    #[must_use]
    pub fn costs(&self) -> &[LineCost] {
        &self.costs
    }

    /// The sum of the receipt: what was paid or is owed.
    #[must_use]
    pub fn total(&self) -> Money {
        self.costs.iter().map(|cost| cost.total()).sum()
    }

    /// Whether a line of business purpose is to be asked, for an owner who wants one from this amount on.
    #[must_use]
    pub fn needs_purpose(&self, from: Money) -> bool {
        self.total() >= from && self.details.proof.purpose.trim().is_empty()
    }

    /// The pieces that join the register, at their whole cost; the private share is taken out year by year with the wear.
    #[must_use]
    pub fn equipment(&self) -> Vec<Equipment> {
        self.with_costs()
            .filter_map(|(line, cost)| {
                let equipment = line.equipment.as_ref()?;
                Some(equipment.row(
                    &self.details.supplier,
                    self.details.date,
                    cost,
                    line.business_share,
                ))
            })
            .collect()
    }

    fn with_costs(&self) -> impl Iterator<Item = (&PurchaseLine, LineCost)> {
        self.details.lines.iter().zip(self.costs.iter().copied())
    }

    fn remembered(&self) -> Vec<RememberedKind> {
        self.details
            .lines
            .iter()
            .filter(|line| !line.thing().is_empty())
            .map(|line| RememberedKind {
                supplier: self.details.supplier.trim().to_owned(),
                thing: line.thing().to_owned(),
                account: line.account,
            })
            .collect()
    }
}

impl Happening for Purchase {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let paid_from = told.paid_from.account(chart)?;
        let mut header = EntryHeader::new(told.date, EntryKind::Purchase)
            .party(told.supplier.trim())
            .memo(memo_or_things(
                &told.memo,
                told.lines.iter().map(PurchaseLine::thing),
            ))
            .reference(&told.reference)
            .document(&told.document);
        let mut lines = Vec::new();
        for (idx, (line, cost)) in self.with_costs().enumerate() {
            let written = line_of(chart, line, cost).map_err(|error| error.on_line(idx))?;
            if written.iter().any(|one| one.account == paid_from) {
                return Err(HappeningError::field(
                    "paid_from",
                    "it cannot be paid from the account it is booked to",
                )
                .on_line(idx));
            }
            if let Some(ahead) = line.paid_ahead
                && !cost.split(line.business_share).0.is_zero()
            {
                header.tags.push(Spread::tag(
                    chart.account(line.account)?,
                    ahead.from,
                    ahead.months,
                ));
            }
            lines.extend(written);
        }
        lines.push(Line::credit(paid_from, self.total()));
        Ok(JournalEntry::new(header, lines)?)
    }

    fn recording(&self, chart: &Chart) -> Result<Recording, HappeningError> {
        Ok(Recording {
            equipment: self.equipment(),
            proof: self.details.proof.clone(),
            remembered: self.remembered(),
            ..Recording::new(self.entry(chart)?)
        })
    }
}

/// The debit lines of one line of the receipt: the business's part and, where there is one, the private part.
fn line_of(
    chart: &Chart,
    line: &PurchaseLine,
    cost: LineCost,
) -> Result<Vec<Line>, HappeningError> {
    let account = checks::takes_cost(chart, "account", line.account)?;
    if line.equipment.is_some() || chart.has_role(account.id, Role::Equipment) {
        return Ok(vec![register_line(chart, line, cost, account)?]);
    }
    let is_owners = matches!(account.role, Some(Role::OwnerDrawings | Role::OwedByOwner));
    if is_owners {
        return Ok(vec![debit(line, account.id, cost.total(), Percent::WHOLE)]);
    }
    let (business, private) = cost.split(line.business_share);
    let business_account = if line.paid_ahead.is_none() {
        account.id
    } else if account.class == AccountClass::Expense {
        chart.role(Role::PaidInAdvance)?
    } else {
        return Err(HappeningError::field(
            "paid_ahead",
            format!(
                "only a cost can be paid ahead, and '{}' is none",
                account.name
            ),
        ));
    };
    let mut lines = Vec::new();
    if !business.is_zero() {
        lines.push(debit(line, business_account, business, line.business_share));
    }
    if !private.is_zero() {
        let memo = match line.thing() {
            "" => "private part".to_owned(),
            thing => format!("{thing} (private part)"),
        };
        lines.push(Line::debit(chart.role(Role::OwnerDrawings)?, private).memo(memo));
    }
    Ok(lines)
}

/// The line of a piece that joins the register: its whole cost, for its wear is what is split later.
fn register_line(
    chart: &Chart,
    line: &PurchaseLine,
    cost: LineCost,
    account: &Account,
) -> Result<Line, HappeningError> {
    let Some(equipment) = &line.equipment else {
        return Err(HappeningError::field(
            "equipment_name",
            "equipment needs its name and its life, so that it comes on the list",
        ));
    };
    if !chart.has_role(account.id, Role::Equipment) {
        return Err(HappeningError::field(
            "account",
            format!(
                "a piece of equipment cannot be booked to '{}'",
                account.name
            ),
        ));
    }
    Ok(debit(line, account.id, cost.total(), Percent::WHOLE).equipment(equipment.name.trim()))
}

/// A debit for a line of the receipt, with what it is and this share of how much of it.
fn debit(line: &PurchaseLine, account: AccountId, amount: Money, share: Percent) -> Line {
    let mut written = Line::debit(account, amount).memo(line.thing());
    written.item.clone_from(&line.item);
    written.quantity = line.quantity.and_then(|quantity| portion(quantity, share));
    written
}

/// The business's part of a quantity, to six decimals.
fn portion(quantity: Quantity, share: Percent) -> Option<Quantity> {
    if share.is_whole() {
        return Some(quantity);
    }
    quantity
        .value()
        .checked_mul(share.fraction())
        .and_then(|part| Quantity::new(part.round_dp(6)).ok())
        .filter(|part| !part.value().is_zero())
}
