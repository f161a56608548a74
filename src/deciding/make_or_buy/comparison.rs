//! The two ways side by side for a quantity, and over all quantities at once.

use super::crossing::cheaper_ranges;
use super::outcome::{Outcome, OwnTime, Run};
use super::outside::{Order, Outside};
use super::own::Own;
use super::{DecidingError, check_wanted};
use crate::money::Money;

/// One of the two ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// Have it made.
    Outside,
    /// Make it.
    Own,
}

/// Both ways for one wanted quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SideBySide {
    /// Having it made: the cheapest order and the smallest.
    pub outside: Order,
    /// Making it.
    pub own: Outcome,
    /// The cheaper way; `None` when both come to the same amount.
    pub cheaper: Option<Way>,
    /// How much cheaper.
    pub saved: Money,
}

/// Quantities for which one way is nowhere dearer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CheaperRange {
    /// The first quantity.
    pub from: u64,
    /// The last quantity.
    pub to: u64,
    /// The cheaper way; `None` only when both cost the same for every quantity asked for.
    pub cheaper: Option<Way>,
}

/// A quantity from which the other way is cheaper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crossing {
    /// The first quantity of the change.
    pub at: u64,
    /// What is cheaper from there.
    pub cheaper: Way,
}

/// What is cheaper over a band of quantities, in the main.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Leaning {
    /// Having it made.
    Outside,
    /// Making it.
    Own,
    /// Now one, now the other, as whole batches and steps happen to fit.
    BackAndForth,
    /// Both cost the same.
    Same,
}

/// Quantities over which it can be said in a few words what is cheaper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// The first quantity.
    pub from: u64,
    /// The last quantity.
    pub to: u64,
    /// What is cheaper.
    pub cheaper: Leaning,
}

/// Make or have made.
///
/// ```
/// use deckle::deciding::*;
/// use deckle::money::Money;
/// use rust_decimal::Decimal;
///
/// let each = |cents| UnitCost::from_minor(Decimal::from(cents)).expect("a cost");
/// let tiers = vec![PriceTier { from: 1, each: each(60) }];
/// let outside = Outside::new(OutsideTerms { tiers, ..OutsideTerms::default() }).expect("a house");
/// let equipment = Money::from_minor(40_00);
/// let own = Own::new(OwnTerms { each: each(20), equipment, ..OwnTerms::default() }).expect("a way");
/// let both = Comparison { outside: &outside, own: &own, run: Run::First, time: OwnTime::LeftOut };
/// // 40.00 of equipment against 0.40 saved on each: even at 100, cheaper to make from 101.
/// assert_eq!(both.crossings(1000).expect("in range"), [Crossing { at: 101, cheaper: Way::Own }]);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Comparison<'a> {
    /// Having it made.
    pub outside: &'a Outside,
    /// Making it.
    pub own: &'a Own,
    /// The first run or a later one.
    pub run: Run,
    /// Whether own time counts.
    pub time: OwnTime,
}

impl Comparison<'_> {
    /// Both ways for `wanted` good pieces.
    ///
    /// # Errors
    /// When `wanted` is nothing or more than [`super::MOST_PIECES`].
    pub fn at(&self, wanted: u64) -> Result<SideBySide, DecidingError> {
        let outside = self.outside.order(wanted, self.run)?;
        let own = self.own.make(wanted, self.run, self.time)?;
        let difference = outside.best.total - own.total;
        let cheaper = if difference.is_zero() {
            None
        } else if difference.is_negative() {
            Some(Way::Outside)
        } else {
            Some(Way::Own)
        };
        Ok(SideBySide {
            outside,
            own,
            cheaper,
            saved: difference.abs(),
        })
    }

    /// Which way is cheaper over all quantities from 1 to `limit`, exactly, in ranges that follow one another.
    /// A quantity at which both cost the same belongs to the way that is cheaper below it; when there is none below,
    /// to the way that is the first to be cheaper.
    ///
    /// # Errors
    /// When `limit` is nothing or more than [`super::MOST_PIECES`].
    pub fn cheaper_ranges(&self, limit: u64) -> Result<Vec<CheaperRange>, DecidingError> {
        check_wanted(limit)?;
        let stretches = self.outside.stretches(limit, self.run);
        let outside = |wanted| self.outside.best_parts(wanted, self.run);
        let own = |wanted| self.own.parts(wanted, self.run, self.time);
        let own_bounds = self.own.bounds(self.run, self.time);
        Ok(cheaper_ranges(&stretches, &outside, &own, own_bounds))
    }

    /// Every quantity up to `limit` from which the other way is cheaper.
    ///
    /// # Errors
    /// When `limit` is nothing or more than [`super::MOST_PIECES`].
    pub fn crossings(&self, limit: u64) -> Result<Vec<Crossing>, DecidingError> {
        let ranges = self.cheaper_ranges(limit)?;
        Ok(ranges
            .iter()
            .skip(1)
            .filter_map(|range| {
                range.cheaper.map(|cheaper| Crossing {
                    at: range.from,
                    cheaper,
                })
            })
            .collect())
    }

    /// The ranges for reading aloud: where three or more ranges in a row are shorter than two batches or steps, they
    /// are one band that goes back and forth. What the ranges say exactly is not changed.
    ///
    /// # Errors
    /// When `limit` is nothing or more than [`super::MOST_PIECES`].
    pub fn bands(&self, limit: u64) -> Result<Vec<Band>, DecidingError> {
        let ranges = self.cheaper_ranges(limit)?;
        let batch = self.own.terms().batch.unwrap_or(1);
        let grain = 2 * batch.max(self.outside.terms().step).max(2);
        let is_short = |range: &CheaperRange| range.to - range.from + 1 < grain;
        let mut bands = Vec::new();
        for group in ranges.chunk_by(|a, b| is_short(a) && is_short(b)) {
            match group {
                [first, .., last] if group.len() > 2 => bands.push(Band {
                    from: first.from,
                    to: last.to,
                    cheaper: Leaning::BackAndForth,
                }),
                _ => bands.extend(group.iter().map(Band::of)),
            }
        }
        Ok(bands)
    }
}

impl Band {
    fn of(range: &CheaperRange) -> Self {
        Self {
            from: range.from,
            to: range.to,
            cheaper: match range.cheaper {
                Some(Way::Outside) => Leaning::Outside,
                Some(Way::Own) => Leaning::Own,
                None => Leaning::Same,
            },
        }
    }
}
