//! An order to a supplier: what was ordered at which prices, what is taken off, what is paid once, when it is due.
//! What it comes to is `bill`'s, what came of it is `arrival`'s.

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

use crate::deciding::{PriceTier, UnitCost};
use crate::money::{Money, Percent};
use crate::word_list::word_list;

/// The most pieces of one item that can be ordered.
pub const MOST_PIECES_ORDERED: u64 = 1_000_000;

/// What is taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Off {
    /// A share.
    Share(Percent),
    /// An amount; never more than what it is taken off from.
    Amount(Money),
}

word_list! {
    /// What a deal is taken off from.
    #[derive(Serialize, Deserialize)]
    DealOn, "anything a deal is taken off from":
    /// The price of the pieces.
    Pieces = "pieces" / "the pieces",
    /// What is paid once, for the design and for the run.
    SetUp = "set-up" / "what is paid once",
    /// Everything, carriage too.
    WholeBill = "whole-bill" / "the whole bill",
}

/// A part of the bill taken off. Several are taken off one after the other, each from what is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deal {
    /// How much.
    pub off: Off,
    /// From what.
    pub on: DealOn,
}

word_list! {
    /// How the supplier bills.
    #[derive(Default)]
    Billing, "a way of billing":
    /// With each arrival, what arrived.
    #[default]
    ByArrival = "by-arrival" / "with each arrival",
    /// One bill for all of it.
    OneBill = "one-bill" / "one bill for all of it",
}

/// One item of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The item's code.
    pub item: String,
    /// How many pieces were ordered.
    pub quantity: u64,
    /// The supplier's prices, each from more pieces than the one before.
    pub tiers: Vec<PriceTier>,
    /// The fewest pieces the supplier makes.
    pub minimum: u64,
    /// Paid once for a design: plate, die, proof. In the first run only.
    pub once_per_design: Money,
    /// Paid again for each run: set-up.
    pub once_per_run: Money,
    /// Whether the design is made for the first time.
    pub is_first_run: bool,
}

impl OrderLine {
    /// A line without anything paid once, the design being new.
    #[must_use]
    pub fn new(item: impl Into<String>, quantity: u64, tiers: Vec<PriceTier>) -> Self {
        Self {
            item: item.into(),
            quantity,
            tiers,
            minimum: 1,
            once_per_design: Money::ZERO,
            once_per_run: Money::ZERO,
            is_first_run: true,
        }
    }

    /// The tier that so many pieces are billed at.
    #[must_use]
    pub fn tier_of(&self, quantity: u64) -> Option<PriceTier> {
        self.tiers
            .iter()
            .rev()
            .find(|tier| tier.from <= quantity)
            .copied()
    }

    /// The price of each at the quantity that was ordered.
    #[must_use]
    pub fn each(&self) -> UnitCost {
        self.tier_of(self.quantity)
            .map_or(UnitCost::ZERO, |tier| tier.each)
    }

    fn check(&self) -> Result<(), OrderError> {
        if self.item.trim().is_empty() {
            return Err(OrderError::field("item", "say what was ordered"));
        }
        if !(1..=MOST_PIECES_ORDERED).contains(&self.quantity) {
            return Err(OrderError::field(
                "quantity",
                format!("order between 1 and {MOST_PIECES_ORDERED} pieces"),
            ));
        }
        let Some(first) = self.tiers.first() else {
            return Err(OrderError::field(
                "tiers",
                "say at least one price: from how many pieces, and the price of each",
            ));
        };
        if first.from == 0 {
            return Err(OrderError::field(
                "tiers",
                "a price is from at least 1 piece",
            ));
        }
        for pair in self.tiers.windows(2) {
            if let [before, tier] = pair
                && tier.from <= before.from
            {
                return Err(OrderError::field(
                    "tiers",
                    format!(
                        "the price from {} pieces must stand before the one from {}",
                        tier.from, before.from
                    ),
                ));
            }
        }
        if self.minimum == 0 || self.minimum > MOST_PIECES_ORDERED {
            return Err(OrderError::field(
                "minimum",
                format!("the smallest order is between 1 and {MOST_PIECES_ORDERED}"),
            ));
        }
        let least = self.minimum.max(first.from);
        if self.quantity < least {
            return Err(OrderError::field(
                "quantity",
                format!("the supplier makes no fewer than {least} of {}", self.item),
            ));
        }
        for (field, amount) in [
            ("once_per_design", self.once_per_design),
            ("set_up", self.once_per_run),
        ] {
            if amount.is_negative() || !amount.is_within_limit() {
                return Err(OrderError::amount(field));
            }
        }
        Ok(())
    }
}

/// An order to a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SupplierOrder {
    /// Its number in the book; nothing before it is kept.
    pub id: i64,
    /// The owner's own key, by which sheets find it.
    pub key: String,
    /// From whom.
    pub supplier: String,
    /// The day it was ordered.
    pub ordered_on: NaiveDate,
    /// What was ordered.
    pub lines: Vec<OrderLine>,
    /// What is taken off the bill.
    pub deals: Vec<Deal>,
    /// Carriage of the order.
    pub carriage: Money,
    /// Days from order to arrival, where the supplier says so.
    pub lead_days: Option<u32>,
    /// The day it is wanted by, where there is one.
    pub wanted_on: Option<NaiveDate>,
    /// How many more than ordered may come and be billed.
    pub over: Percent,
    /// How many fewer than ordered may come.
    pub under: Percent,
    /// Whether it was agreed that no fewer come than were ordered.
    pub no_unders: bool,
    /// How it is billed.
    pub billing: Billing,
    /// The supplier's number of it; may be empty.
    pub reference: String,
    /// The owner's note; may be empty.
    pub note: String,
    /// The day on which it was closed although not everything came.
    pub closed_on: Option<NaiveDate>,
}

/// What is wrong with an order, with the column or field it stands in.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct OrderError {
    /// The column or field.
    pub field: &'static str,
    /// What is wrong with it, one sentence without a full stop.
    pub message: String,
    /// Which line of the order, counted from 0.
    pub line: Option<usize>,
}

impl OrderError {
    pub(super) fn field(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            field,
            message: message.into(),
            line: None,
        }
    }

    pub(super) fn amount(field: &'static str) -> Self {
        Self::field(
            field,
            "the amount must not be below nothing or beyond what a book takes",
        )
    }
}

/// The most days an order may take.
const MOST_LEAD_DAYS: u32 = 3650;

impl SupplierOrder {
    /// An order without deals, carriage or dates.
    #[must_use]
    pub fn new(
        key: impl Into<String>,
        supplier: impl Into<String>,
        ordered_on: NaiveDate,
        lines: Vec<OrderLine>,
    ) -> Self {
        Self {
            id: 0,
            key: key.into(),
            supplier: supplier.into(),
            ordered_on,
            lines,
            deals: Vec::new(),
            carriage: Money::ZERO,
            lead_days: None,
            wanted_on: None,
            over: Percent::ZERO,
            under: Percent::ZERO,
            no_unders: false,
            billing: Billing::ByArrival,
            reference: String::new(),
            note: String::new(),
            closed_on: None,
        }
    }

    /// Whether it can be.
    ///
    /// # Errors
    /// When the key, the supplier or the lines are missing, tiers are out of order, an item stands there twice, or a
    /// figure cannot be.
    pub fn check(&self) -> Result<(), OrderError> {
        if self.key.trim().is_empty() {
            return Err(OrderError::field(
                "order",
                "give the order a short name of your own",
            ));
        }
        if self.supplier.trim().is_empty() {
            return Err(OrderError::field("supplier", "say from whom it is ordered"));
        }
        if self.lines.is_empty() {
            return Err(OrderError::field("item", "say what was ordered"));
        }
        for (idx, line) in self.lines.iter().enumerate() {
            let at = |error: OrderError| OrderError {
                line: Some(idx),
                ..error
            };
            line.check().map_err(at)?;
            let is_twice = self.lines[..idx]
                .iter()
                .any(|other| same(&other.item, &line.item));
            if is_twice {
                return Err(at(OrderError::field(
                    "item",
                    format!("{} stands on this order twice", line.item.trim()),
                )));
            }
        }
        if self.carriage.is_negative() || !self.carriage.is_within_limit() {
            return Err(OrderError::amount("carriage"));
        }
        for deal in &self.deals {
            if let Off::Amount(amount) = deal.off
                && (!amount.is_positive() || !amount.is_within_limit())
            {
                return Err(OrderError::field(
                    "deals",
                    "what is taken off must be more than nothing",
                ));
            }
        }
        if self.lead_days.is_some_and(|days| days > MOST_LEAD_DAYS) {
            return Err(OrderError::field(
                "lead_days",
                format!("an order takes at most {MOST_LEAD_DAYS} days"),
            ));
        }
        if self.wanted_on.is_some_and(|day| day < self.ordered_on) {
            return Err(OrderError::field(
                "wanted_on",
                "it cannot be wanted before it is ordered",
            ));
        }
        if self.closed_on.is_some_and(|day| day < self.ordered_on) {
            return Err(OrderError::field(
                "closed_on",
                "it cannot be closed before it is ordered",
            ));
        }
        Ok(())
    }

    /// The line of an item.
    #[must_use]
    pub fn line(&self, item: &str) -> Option<&OrderLine> {
        self.lines.iter().find(|line| same(&line.item, item))
    }

    /// The day it should be here: the day of the order and the days the supplier needs; the wanted day when those are
    /// not known.
    #[must_use]
    pub fn expected_on(&self) -> Option<NaiveDate> {
        match self.lead_days {
            Some(days) => self.ordered_on.checked_add_days(Days::new(days.into())),
            None => self.wanted_on,
        }
    }

    /// The last day to order on, so that it is here on the wanted day.
    #[must_use]
    pub fn latest_order_day(&self) -> Option<NaiveDate> {
        let days = Days::new(self.lead_days?.into());
        self.wanted_on?.checked_sub_days(days)
    }

    /// What was said about when it comes, in a sentence; nothing when nothing was.
    #[must_use]
    pub fn when_words(&self) -> String {
        let show = crate::dates::show_day;
        match (self.expected_on(), self.latest_order_day(), self.wanted_on) {
            (Some(expected), Some(latest), Some(wanted)) if self.ordered_on <= latest => format!(
                "Expected on {}, wanted on {}; it could have been ordered until {}.",
                show(expected),
                show(wanted),
                show(latest)
            ),
            (Some(expected), Some(latest), Some(wanted)) => format!(
                "Expected on {}, but wanted on {}: it should have been ordered by {}.",
                show(expected),
                show(wanted),
                show(latest)
            ),
            (Some(expected), ..) => format!("Expected on {}.", show(expected)),
            (None, ..) => String::new(),
        }
    }

    /// The order as this supplier's last order of an item has its terms, for that item: tiers and what is paid once are
    /// offered again, and the design is no longer new.
    #[must_use]
    pub fn offered(&self, item: &str) -> Option<OrderLine> {
        self.line(item).map(|line| OrderLine {
            is_first_run: false,
            ..line.clone()
        })
    }
}

/// The newest order of an item from a supplier, other than the one of number `but`: its terms are offered for the next.
#[must_use]
pub fn last_order_of<'o>(
    orders: &'o [SupplierOrder],
    supplier: &str,
    item: &str,
    but: i64,
) -> Option<&'o SupplierOrder> {
    let supplier = supplier.trim().to_lowercase();
    orders
        .iter()
        .rev()
        .filter(|order| order.id != but && order.supplier.trim().to_lowercase() == supplier)
        .find(|order| order.line(item).is_some())
}

/// Whether two codes are the same item's.
pub(super) fn same(one: &str, other: &str) -> bool {
    one.trim().eq_ignore_ascii_case(other.trim())
}
