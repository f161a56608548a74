//! How an order stands: open, partly here, here or closed short; what is over or under; whether it is overdue.
//! It counts pieces; money is the purchases'.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Arrival, SupplierOrder};
use crate::dates::show_day;
use crate::money::Percent;

/// How an order stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OrderState {
    /// Nothing came yet.
    Open,
    /// Some of it came.
    PartlyHere,
    /// All of it came, or so much that the supplier's custom calls it all.
    Here,
    /// Closed although not everything came.
    ClosedShort,
}

impl OrderState {
    /// The word used in JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::PartlyHere => "partly-here",
            Self::Here => "here",
            Self::ClosedShort => "closed-short",
        }
    }

    /// The plain words shown to the owner.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::Open => "Ordered",
            Self::PartlyHere => "Partly here",
            Self::Here => "Here",
            Self::ClosedShort => "Closed short",
        }
    }

    /// Whether something is still to come.
    #[must_use]
    pub const fn is_waiting(self) -> bool {
        matches!(self, Self::Open | Self::PartlyHere)
    }
}

/// How one item of an order stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemStanding {
    /// The item's code.
    pub item: String,
    /// How many were ordered.
    pub ordered: u64,
    /// Good pieces that came.
    pub good: u64,
    /// Pieces that came and cannot be used.
    pub spoiled: u64,
    /// The fewest that are as good as all of them.
    pub least: u64,
    /// The most that need to be taken and paid for.
    pub most: u64,
}

impl ItemStanding {
    /// All that came.
    #[must_use]
    pub const fn came(&self) -> u64 {
        self.good + self.spoiled
    }

    /// How many are still to come.
    #[must_use]
    pub const fn to_come(&self) -> u64 {
        self.ordered.saturating_sub(self.came())
    }

    /// Whether so many came as the supplier's custom asks for.
    #[must_use]
    pub const fn is_here(&self) -> bool {
        self.came() >= self.least
    }
}

/// How an order stands on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// In one word.
    pub state: OrderState,
    /// Each item.
    pub items: Vec<ItemStanding>,
    /// Whether it should be here and is not.
    pub is_overdue: bool,
    /// What the owner should know about overs, unders and days, a sentence each.
    pub notes: Vec<String>,
}

/// How an order stands on a day by the arrivals that count.
#[must_use]
pub fn standing(order: &SupplierOrder, arrivals: &[Arrival], today: NaiveDate) -> Standing {
    let counting = || arrivals.iter().filter(|arrival| !arrival.is_void);
    let items: Vec<ItemStanding> = order
        .lines
        .iter()
        .map(|line| {
            let (mut good, mut spoiled) = (0, 0);
            for one in counting().filter_map(|arrival| arrival.line(&line.item)) {
                good += one.good;
                spoiled += one.spoiled;
            }
            let under = if order.no_unders {
                0
            } else {
                part(line.quantity, order.under)
            };
            ItemStanding {
                item: line.item.clone(),
                ordered: line.quantity,
                good,
                spoiled,
                least: line.quantity - under,
                most: line.quantity + part(line.quantity, order.over),
            }
        })
        .collect();
    let is_all = items.iter().all(ItemStanding::is_here);
    let is_any = items.iter().any(|item| item.came() > 0);
    let state = match (is_all, order.closed_on, is_any) {
        (true, ..) => OrderState::Here,
        (false, Some(_), _) => OrderState::ClosedShort,
        (false, None, true) => OrderState::PartlyHere,
        (false, None, false) => OrderState::Open,
    };
    let is_overdue = state.is_waiting() && order.expected_on().is_some_and(|day| day < today);
    let mut notes = Vec::new();
    for item in &items {
        notes.extend(item_note(order, item, state));
    }
    if let Some(day) = order.expected_on().filter(|_day| is_overdue) {
        notes.push(format!(
            "It was expected on {}, {} ago.",
            show_day(day),
            days((today - day).num_days())
        ));
    }
    Standing {
        state,
        items,
        is_overdue,
        notes,
    }
}

fn item_note(order: &SupplierOrder, item: &ItemStanding, state: OrderState) -> Option<String> {
    let (code, came, ordered) = (&item.item, item.came(), item.ordered);
    if came > item.most {
        return Some(format!(
            "{} more of {code} came than agreed: you need not pay for those.",
            came - item.most
        ));
    }
    if came > ordered {
        return Some(format!(
            "{} over of {code}, billed as made, as is the custom.",
            came - ordered
        ));
    }
    if came == 0 || came == ordered || state == OrderState::PartlyHere && !item.is_here() {
        return None;
    }
    let short = ordered - came;
    Some(if order.no_unders {
        format!(
            "{short} of {code} are missing, and no unders were agreed: ask for the rest or claim it."
        )
    } else if item.is_here() {
        format!("{short} under of {code}, billed as made, as is the custom.")
    } else {
        format!("{short} of {code} never came.")
    })
}

/// The whole pieces of a share.
fn part(pieces: u64, share: Percent) -> u64 {
    (Decimal::from(pieces) * share.fraction())
        .floor()
        .to_u64()
        .unwrap_or_default()
}

/// How long something has been open, in words: `open for 3 days`, `open since today`.
#[must_use]
pub fn open_words(count: i64) -> String {
    if count <= 0 {
        "open since today".to_owned()
    } else {
        format!("open for {}", days(count))
    }
}

/// So many days in words.
#[must_use]
pub fn days(count: i64) -> String {
    if count == 1 {
        "1 day".to_owned()
    } else {
        format!("{count} days")
    }
}
