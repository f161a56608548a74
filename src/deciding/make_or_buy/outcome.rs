//! What a way comes to for a wanted quantity, the same for both ways, and how long the pieces last.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::money::Money;

/// Whether a design is made for the first time: costs once per design and equipment count in the first run only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Run {
    /// The first run of a design.
    First,
    /// The same design again.
    Reorder,
}

/// Whether the owner's own time counts as a cost in a comparison. It is never paid and never posted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OwnTime {
    /// At her hourly rate.
    Counted,
    /// Left out: what is paid to others only.
    LeftOut,
}

/// What one way comes to for a wanted quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// How many good pieces are wanted.
    pub wanted: u64,
    /// How many are ordered, or put in.
    pub taken: u64,
    /// How many good pieces that is expected to give.
    pub good: u64,
    /// Good pieces beyond those wanted.
    pub left_over: u64,
    /// What all of it costs, own time included where it is counted.
    pub total: Money,
    /// How much of the total is own time.
    pub own_time: Money,
    /// What has to be paid before the first piece can be sold: the total without own time.
    pub cash_up_front: Money,
}

impl Outcome {
    pub(super) fn new(wanted: u64, taken: u64, good: u64, total: Money, cash: Money) -> Self {
        Self {
            wanted,
            taken,
            good,
            left_over: good.saturating_sub(wanted),
            total,
            own_time: total - cash,
            cash_up_front: cash,
        }
    }

    /// What each wanted piece costs if the ones left over are never sold, in minor units, for showing.
    #[must_use]
    pub fn each_wanted(&self) -> Decimal {
        each(self.total, self.wanted)
    }

    /// What each good piece costs if the ones left over are sold too, in minor units, for showing.
    #[must_use]
    pub fn each_good(&self) -> Decimal {
        each(self.total, self.good)
    }
}

/// Six decimals of a minor unit; nothing when there are no pieces.
pub(crate) fn each(total: Money, pieces: u64) -> Decimal {
    Decimal::from(total.minor())
        .checked_div(Decimal::from(pieces))
        .unwrap_or_default()
        .round_dp_with_strategy(6, RoundingStrategy::MidpointAwayFromZero)
        .normalize()
}

/// How many months `pieces` last at `sold_a_month`, to one decimal; `None` when none are sold.
#[must_use]
pub fn months_of_cover(pieces: u64, sold_a_month: Decimal) -> Option<Decimal> {
    if sold_a_month <= Decimal::ZERO {
        return None;
    }
    Decimal::from(pieces)
        .checked_div(sold_a_month)
        .map(|months| {
            months
                .round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero)
                .normalize()
        })
}

/// How many of `pieces` are still unsold after so many months at `sold_a_month`: whole pieces sold only.
#[must_use]
pub fn unsold_after(pieces: u64, months: u32, sold_a_month: Decimal) -> u64 {
    let sold = (sold_a_month.max(Decimal::ZERO))
        .checked_mul(Decimal::from(months))
        .map_or(u64::MAX, |sold| sold.floor().to_u64().unwrap_or(u64::MAX));
    pieces.saturating_sub(sold)
}
