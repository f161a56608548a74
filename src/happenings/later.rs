//! What came later for things bought before: a bill (freight, duty) that makes them dearer, a credit that makes them
//! cheaper, each spread by what the things cost. Which purchase it is for, and what that brought, is for whoever has the book.

use chrono::NaiveDate;

use super::{
    Happening, HappeningError, Payment, Purchase, PurchaseDetails, PurchaseLine, Recording,
    RefundedPurchase, SupplierRefund, SupplierRefundDetails, SupplierRefundLine,
};
use crate::ledger::{AccountId, Chart};
use crate::money::{Money, Quantity};
use crate::stock::{Movement, MovementId, MovementKind};

/// A thing that came before, with what it cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameBefore {
    /// The item's code.
    pub item: String,
    /// The item's name.
    pub name: String,
    /// The account that its cost stands on: its stock, or waste where none of it was good.
    pub account: AccountId,
    /// What brought it into stock; nothing where none of it was good.
    pub movement: Option<MovementId>,
    /// What it cost when it came.
    pub worth: Money,
}

/// A bill that came later: freight, duty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateBill {
    /// The day.
    pub date: NaiveDate,
    /// Who billed it: the carrier, the customs office.
    pub supplier: String,
    /// How much.
    pub amount: Money,
    /// What for.
    pub what: String,
    /// How it is paid.
    pub paid_from: Payment,
    /// The number on the paper; may be empty.
    pub reference: String,
}

/// A credit that came later: a price lowered after the purchase, something made good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateCredit {
    /// The day.
    pub date: NaiveDate,
    /// Who gave it.
    pub supplier: String,
    /// How much.
    pub amount: Money,
    /// Where it went: the bank, cash, the card, the bill left open.
    pub into: AccountId,
    /// Why; may be empty.
    pub why: String,
    /// The number on the paper; may be empty.
    pub reference: String,
}

/// Each thing with its part of an amount, by what it cost; those that take nothing of it are left out.
fn spread(came: &[CameBefore], amount: Money) -> Vec<(&CameBefore, Money)> {
    let weights: Vec<i64> = came.iter().map(|one| one.worth.minor()).collect();
    came.iter()
        .zip(amount.allocate(&weights))
        .filter(|(_one, part)| !part.is_zero())
        .collect()
}

/// The movement that changes what a thing cost, where it lies or lay in stock.
fn revalued(
    one: &CameBefore,
    kind: MovementKind,
    date: NaiveDate,
    part: Money,
) -> Option<Movement> {
    let mut movement = Movement::new(
        MovementId(0),
        date,
        one.item.clone(),
        kind,
        Quantity::default(),
    );
    movement.value = part;
    movement.of = Some(one.movement?);
    Some(movement)
}

fn nothing_kept() -> HappeningError {
    HappeningError::field(
        "purchase",
        "nothing of that purchase is kept in stock, so it cannot become dearer or cheaper; write this down as a purchase, \
         or as money back from a supplier",
    )
}

/// The purchase of a bill that came later, spread over what came before by what each thing cost: what is left and what
/// was sold take their shares. `since` is the day the last of it came.
///
/// # Errors
/// When nothing came, the bill is before that, or the amount, the supplier or the way of paying cannot be.
pub fn late_bill(
    came: &[CameBefore],
    since: NaiveDate,
    bill: &LateBill,
    chart: &Chart,
) -> Result<Recording, HappeningError> {
    if came.is_empty() {
        return Err(nothing_kept());
    }
    if bill.date < since {
        return Err(HappeningError::field(
            "date",
            "a bill that came later cannot come before what it is for",
        ));
    }
    let parts = spread(came, bill.amount);
    if parts.is_empty() {
        return Err(HappeningError::field(
            "amount",
            "the amount must be more than nothing",
        ));
    }
    let mut lines = Vec::with_capacity(parts.len());
    let mut movements = Vec::new();
    for (one, part) in parts {
        let words = match bill.what.trim() {
            "" => one.name.clone(),
            what => format!("{what}: {}", one.name),
        };
        let mut bought = PurchaseLine::new(one.account, part, words);
        bought.item = one.movement.is_some().then(|| one.item.clone());
        lines.push(bought);
        movements.extend(revalued(one, MovementKind::LaterCost, bill.date, part));
    }
    let mut details = PurchaseDetails::new(bill.date, &bill.supplier, bill.paid_from, lines);
    details.memo = bill.what.trim().to_owned();
    details.reference.clone_from(&bill.reference);
    let mut recording = Purchase::new(details)?.recording(chart)?;
    recording.movements = movements;
    Ok(recording)
}

/// The refund of a credit that came later for what a purchase brought, spread over its things in stock by what each cost.
/// Nothing goes back: what is left and what was sold cost less.
///
/// # Errors
/// When nothing of the purchase came into stock, or the credit is before it, more than is left of it, or lacks something.
pub fn late_credit(
    came: &[CameBefore],
    credit: &LateCredit,
    purchase: RefundedPurchase,
    chart: &Chart,
) -> Result<Recording, HappeningError> {
    if came.is_empty() {
        return Err(nothing_kept());
    }
    let parts = spread(came, credit.amount);
    let movements = parts
        .iter()
        .filter_map(|(one, part)| revalued(one, MovementKind::LaterCredit, credit.date, *part))
        .collect();
    let details = SupplierRefundDetails {
        date: credit.date,
        supplier: credit.supplier.trim().to_owned(),
        purchase: Some(purchase),
        into: credit.into,
        lines: parts
            .into_iter()
            .map(|(one, part)| SupplierRefundLine {
                account: one.account,
                amount: part,
                description: one.name.clone(),
                quantity: None,
                item: Some(one.item.clone()),
            })
            .collect(),
        memo: credit.why.trim().to_owned(),
        reference: credit.reference.trim().to_owned(),
    };
    let mut recording = SupplierRefund::new(details)?.recording(chart)?;
    recording.movements = movements;
    Ok(recording)
}
