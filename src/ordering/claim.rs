//! A claim: pieces that came spoiled or not at all, and what the supplier gives for them or refuses.
//! A credit is an ordinary refund from the supplier, which the book records.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::arrival::document_of;
use super::order::{OrderError, same};
use super::{Arrival, SupplierOrder};
use crate::happenings::{
    Happening, HappeningError, Recording, RefundedPurchase, SupplierRefund, SupplierRefundDetails,
};
use crate::ledger::{AccountId, Chart, EntryNumber};
use crate::money::{Money, Quantity};
use crate::stock::{Movement, MovementId, MovementKind};
use crate::word_list::word_list;

word_list! {
    /// What is claimed.
    #[derive(Serialize, Deserialize)]
    ClaimWhat, "what a claim is about":
    /// Pieces that came and cannot be used.
    Spoiled = "spoiled" / "spoiled",
    /// Pieces that were billed and did not come.
    Missing = "missing" / "missing",
}

word_list! {
    /// How a claim stands.
    #[derive(Serialize, Deserialize)]
    ClaimState, "a state of a claim":
    /// Still with the supplier.
    Open = "open" / "open",
    /// The supplier gave something for it.
    Credited = "credited" / "credited",
    /// The supplier gives nothing.
    Refused = "refused" / "refused",
}

/// A claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// Its number in the book; nothing before it is kept.
    pub id: i64,
    /// The owner's own key.
    pub key: String,
    /// The arrival's number in the book.
    pub arrival: i64,
    /// The item's code; nothing when it is about the bill as a whole.
    pub item: Option<String>,
    /// The day it was made.
    pub opened_on: NaiveDate,
    /// How many pieces.
    pub pieces: u64,
    /// How much is asked for.
    pub amount: Money,
    /// What is claimed.
    pub what: ClaimWhat,
    /// How it stands.
    pub state: ClaimState,
    /// The day it was credited or refused.
    pub settled_on: Option<NaiveDate>,
    /// The refund, once credited.
    pub entry: Option<EntryNumber>,
    /// The owner's note; may be empty.
    pub note: String,
}

impl Claim {
    /// An open claim.
    #[must_use]
    pub fn new(
        key: impl Into<String>,
        arrival: i64,
        item: Option<String>,
        opened_on: NaiveDate,
        pieces: u64,
        amount: Money,
    ) -> Self {
        Self {
            id: 0,
            key: key.into(),
            arrival,
            item,
            opened_on,
            pieces,
            amount,
            what: ClaimWhat::Spoiled,
            state: ClaimState::Open,
            settled_on: None,
            entry: None,
            note: String::new(),
        }
    }

    /// Whether it can be, against its arrival. `others` are the other claims of the book.
    ///
    /// # Errors
    /// When the key or the amount is missing, it is before the arrival, the item did not come with it, or more spoiled
    /// pieces are claimed than came.
    pub fn check(&self, arrival: &Arrival, others: &[Self]) -> Result<(), OrderError> {
        if self.key.trim().is_empty() {
            return Err(OrderError::field("claim", "give the claim a key"));
        }
        if !self.amount.is_positive() || !self.amount.is_within_limit() {
            return Err(OrderError::field(
                "amount",
                "say how much is claimed, more than nothing",
            ));
        }
        if self.opened_on < arrival.date {
            return Err(OrderError::field(
                "opened_on",
                "a claim cannot come before the arrival",
            ));
        }
        if self.settled_on.is_some_and(|day| day < self.opened_on) {
            return Err(OrderError::field(
                "settled_on",
                "it cannot be settled before it was made",
            ));
        }
        let Some(code) = &self.item else {
            return Ok(());
        };
        let Some(line) = arrival.line(code) else {
            return Err(OrderError::field(
                "item",
                format!("{code} did not come with that arrival"),
            ));
        };
        if self.pieces == 0 {
            return Err(OrderError::field(
                "pieces",
                "say how many pieces are claimed",
            ));
        }
        if self.what == ClaimWhat::Missing {
            return Ok(());
        }
        let already: u64 = others
            .iter()
            .filter(|other| other.id != self.id && other.counts_against(self.arrival, code))
            .map(|other| other.pieces)
            .sum();
        let left = line.spoiled.saturating_sub(already);
        if self.pieces > left {
            return Err(OrderError::field(
                "pieces",
                format!(
                    "{left} spoiled pieces of {code} are left to claim, not {}",
                    self.pieces
                ),
            ));
        }
        Ok(())
    }

    /// Whether it takes up spoiled pieces of an item of an arrival: refused ones may be claimed again.
    #[must_use]
    pub fn counts_against(&self, arrival: i64, code: &str) -> bool {
        self.arrival == arrival
            && self.what == ClaimWhat::Spoiled
            && self.state != ClaimState::Refused
            && self.item.as_deref().is_some_and(|item| same(item, code))
    }

    /// How many days it has been open on a day.
    #[must_use]
    pub fn age_days(&self, today: NaiveDate) -> i64 {
        (today - self.opened_on).num_days().max(0)
    }
}

/// What the supplier gives for a claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Credit {
    /// The day it came.
    pub date: NaiveDate,
    /// How much.
    pub amount: Money,
    /// Where it went: the bank, cash, the card, the bill left open.
    pub into: AccountId,
    /// The number on the paper; may be empty.
    pub reference: String,
}

/// The recording of a credit: a refund of the arrival's purchase that brings no pieces back, so that it lowers what the
/// pieces cost, for those that are left and those that have gone. `purchase` is the arrival's purchase with what came back
/// of it so far.
///
/// # Errors
/// When it is more than is left of what was billed, before the purchase, or cannot go into that account.
pub fn credit_of(
    order: &SupplierOrder,
    arrival: &Arrival,
    claim: &Claim,
    credit: &Credit,
    purchase: RefundedPurchase,
    chart: &Chart,
) -> Result<Recording, HappeningError> {
    let mut about = purchase.clone();
    if let Some(code) = &claim.item {
        about
            .lines
            .retain(|line| line.item.as_deref().is_some_and(|item| same(item, code)));
        if about.lines.is_empty() {
            about.lines = purchase
                .lines
                .iter()
                .filter(|line| line.item.is_none())
                .cloned()
                .collect();
        }
    }
    let details = SupplierRefundDetails {
        date: credit.date,
        supplier: order.supplier.trim().to_owned(),
        into: credit.into,
        lines: about.in_proportion(credit.amount),
        purchase: Some(RefundedPurchase {
            document: document_of(order, &arrival.key),
            ..purchase
        }),
        memo: format!(
            "Order {}: {} {} claimed",
            order.key.trim(),
            claim.pieces,
            claim.what.plain()
        ),
        reference: credit.reference.clone(),
    };
    let movements = details
        .lines
        .iter()
        .filter_map(|line| {
            let code = line.item.as_deref()?;
            let mut lowered = Movement::new(
                MovementId(0),
                credit.date,
                code,
                MovementKind::LaterCredit,
                Quantity::default(),
            );
            lowered.of = Some(arrival.line(code)?.movement?);
            lowered.value = line.amount;
            Some(lowered)
        })
        .collect();
    let mut recording = SupplierRefund::new(details)?.recording(chart)?;
    recording.movements = movements;
    Ok(recording)
}
