//! A movement: so many of an item came, went, were made, sold or counted on a day.
//! What it is worth is `costing`'s; which accounts it touches is the ledger's side of the book.

use std::fmt;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::money::{Money, Quantity};
use crate::word_list::word_list;

/// The lasting number of a movement in its book; later movements have higher numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MovementId(pub u64);

impl fmt::Display for MovementId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// What ties the materials used and the pieces made of one batch together.
pub type BatchKey = String;

word_list! {
    /// What a movement was.
    MovementKind, "a kind of movement":
    /// Bought or brought in, at its landed cost.
    Receive = "receive" / "Came in",
    /// Taken for a batch, or used up in making without one.
    Use = "use" / "Used",
    /// Good pieces of a batch.
    Make = "make" / "Made",
    /// Sold.
    Sell = "sell" / "Sold",
    /// Given back by a customer and put on the shelf again, at the cost at which it went.
    Return = "return" / "Came back",
    /// Spoiled, broken, lost.
    Waste = "waste" / "Spoiled",
    /// Given away to be seen: advertising.
    Sample = "sample" / "Sample",
    /// Given to someone.
    Gift = "gift" / "Gift",
    /// Taken for the owner herself.
    OwnUse = "own-use" / "Own use",
    /// Given to a good cause.
    Donate = "donation" / "Donated",
    /// Sent once more for one that was lost or damaged.
    Replace = "replacement" / "Sent again",
    /// Counted: the quantity is what lies there, and the difference is worked out.
    Count = "count" / "Counted",
    /// Carried to another place; still ours.
    Carry = "carry" / "Carried",
    /// Sent back to the supplier.
    SendBack = "send-back" / "Sent back",
    /// A bill that came later for an earlier arrival: freight, duty. No quantity.
    LaterCost = "later-cost" / "Later bill",
    /// A credit that came later for an earlier arrival: spoiled pieces made good, a price lowered. No quantity.
    LaterCredit = "later-credit" / "Later credit",
    /// Valued below what it cost. No quantity.
    WriteDown = "write-down" / "Written down",
}

impl MovementKind {
    /// Whether it needs no quantity.
    #[must_use]
    pub const fn is_of_value_only(self) -> bool {
        matches!(self, Self::LaterCost | Self::LaterCredit | Self::WriteDown)
    }

    /// Whether it takes pieces off the shelf at their cost.
    #[must_use]
    pub const fn is_issue(self) -> bool {
        matches!(
            self,
            Self::Use
                | Self::Sell
                | Self::Waste
                | Self::Sample
                | Self::Gift
                | Self::OwnUse
                | Self::Donate
                | Self::Replace
                | Self::SendBack
        )
    }
}

/// One movement of one item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Movement {
    /// Its number in the book.
    pub id: MovementId,
    /// The day.
    pub date: NaiveDate,
    /// The item's code.
    pub item: String,
    /// What it was.
    pub kind: MovementKind,
    /// How many, in the item's own unit, never below nothing; for a count, how many lay there.
    pub quantity: Quantity,
    /// Given from outside: the landed cost of an arrival, the outside work of a batch, the amount of a later bill,
    /// of a later credit or of a write-down, in minor units.
    pub value: Money,
    /// The batch whose materials or pieces these are.
    pub batch: Option<BatchKey>,
    /// Pieces of the batch spoiled beyond what is normal: their cost is a loss, not part of the good ones.
    pub abnormal: Quantity,
    /// Where it lies; empty is at home.
    pub place: String,
    /// Where it was carried to; empty is home. For [`MovementKind::Carry`] only.
    pub to_place: String,
    /// The movement it belongs to: the sale of a return, the arrival of a later bill or credit.
    pub of: Option<MovementId>,
}

/// Why a movement was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MovementError {
    /// The quantity is nothing or below.
    #[error("the quantity must be more than nothing")]
    Quantity,
    /// The quantity is beyond what the book takes.
    #[error("the quantity is too large")]
    TooMany,
    /// An amount that must not be there, or below nothing.
    #[error("the amount cannot be below nothing")]
    Amount,
    /// Pieces made belong to a batch.
    #[error("say which batch the pieces are from")]
    NoBatch,
    /// Carried to where it was.
    #[error("say another place to carry it to")]
    SamePlace,
    /// A later bill or credit belongs to an arrival.
    #[error("say which arrival it belongs to")]
    NoArrival,
}

impl Movement {
    /// The largest quantity of one movement, in the item's unit.
    pub const MOST: i64 = 1_000_000_000;

    /// A movement of so many, all else empty.
    #[must_use]
    pub fn new(
        id: MovementId,
        date: NaiveDate,
        item: impl Into<String>,
        kind: MovementKind,
        quantity: Quantity,
    ) -> Self {
        Self {
            id,
            date,
            item: item.into(),
            kind,
            quantity,
            value: Money::ZERO,
            batch: None,
            abnormal: Quantity::default(),
            place: String::new(),
            to_place: String::new(),
            of: None,
        }
    }

    /// Whether it can be at all, by itself.
    ///
    /// # Errors
    /// When a quantity, an amount, the batch or a place cannot be.
    pub fn check(&self) -> Result<(), MovementError> {
        let quantity = self.quantity.value();
        let may_be_none = self.kind.is_of_value_only() || self.kind == MovementKind::Count;
        if quantity.is_sign_negative() && !quantity.is_zero() || quantity.is_zero() && !may_be_none
        {
            return Err(MovementError::Quantity);
        }
        if quantity > Self::MOST.into() || self.abnormal.value() > Self::MOST.into() {
            return Err(MovementError::TooMany);
        }
        if self.abnormal.value().is_sign_negative() && !self.abnormal.value().is_zero() {
            return Err(MovementError::Quantity);
        }
        if self.value.is_negative() || !self.value.is_within_limit() {
            return Err(MovementError::Amount);
        }
        match self.kind {
            MovementKind::Make if self.batch.is_none() => Err(MovementError::NoBatch),
            MovementKind::Carry if self.place == self.to_place => Err(MovementError::SamePlace),
            MovementKind::LaterCost | MovementKind::LaterCredit if self.of.is_none() => {
                Err(MovementError::NoArrival)
            }
            _ => Ok(()),
        }
    }

    /// How many more are on hand after it, in millionths of the item's unit. What a count finds depends on what was
    /// there before it, so a count by itself changes nothing.
    #[must_use]
    pub fn change(&self) -> i64 {
        let micro = millionths(self.quantity);
        match self.kind {
            MovementKind::Receive | MovementKind::Make | MovementKind::Return => micro,
            kind if kind.is_issue() => -micro,
            _ => 0,
        }
    }

    /// The order in which movements count: by day, arrivals before everything else of their day, then as written.
    #[must_use]
    pub fn order(&self) -> (NaiveDate, bool, MovementId) {
        (self.date, self.kind != MovementKind::Receive, self.id)
    }
}

/// A quantity in millionths of its unit.
#[must_use]
pub fn millionths(quantity: Quantity) -> i64 {
    quantity
        .value()
        .checked_mul(Decimal::from(1_000_000))
        .and_then(|micro| micro.to_i64())
        .unwrap_or(i64::MAX)
}

/// A quantity of so many millionths of a unit.
#[must_use]
pub fn of_millionths(micro: i64) -> Quantity {
    Quantity::new(Decimal::new(micro, 6)).unwrap_or_default()
}
