//! Where the cheaper of two ways changes, found without trying every quantity and yet exactly.
//! Either way never costs less for more pieces and stays between two straight lines; where lines or ends decide, a whole
//! stretch is passed over, else it is halved.

use std::cmp::Ordering;

use super::comparison::{CheaperRange, Way};
use super::exact::rounded;

/// A straight line over quantities.
#[derive(Clone, Copy, Debug)]
pub(super) struct Straight {
    pub(super) slope: i128,
    pub(super) base: i128,
}

impl Straight {
    fn at(self, wanted: u64) -> i128 {
        self.slope * i128::from(wanted) + self.base
    }
}

/// Straight lines below and above a cost; the same line where the cost itself is straight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub(super) low: Straight,
    pub(super) high: Straight,
}

/// Wanted quantities over which bounds hold.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub(super) from: u64,
    pub(super) to: u64,
    pub(super) bounds: Bounds,
}

impl Stretch {
    /// Quantities that all cost the same.
    pub(super) fn level(from: u64, to: u64, cost: i128) -> Self {
        let line = Straight {
            slope: 0,
            base: cost,
        };
        let bounds = Bounds {
            low: line,
            high: line,
        };
        Self { from, to, bounds }
    }
}

/// The exact cost of a wanted quantity one way.
type Cost<'a> = &'a dyn Fn(u64) -> i128;

/// Which way is cheaper from which quantity to which; a tie stays with the way of the quantities below it.
pub(super) fn cheaper_ranges(
    stretches: &[Stretch],
    outside: Cost,
    own: Cost,
    own_bounds: Bounds,
) -> Vec<CheaperRange> {
    let limit = stretches.last().map_or(0, |stretch| stretch.to);
    let mut walk = Walk {
        outside,
        own,
        own_bounds,
        cheaper: None,
        changes: Vec::new(),
    };
    for stretch in stretches {
        walk.over(stretch.from, stretch.to, stretch.bounds);
    }
    if walk.changes.is_empty() {
        return vec![CheaperRange {
            from: 1,
            to: limit,
            cheaper: None,
        }];
    }
    let mut ranges: Vec<CheaperRange> = Vec::with_capacity(walk.changes.len());
    for (from, way) in walk.changes {
        // Ties before the first difference belong to the way that turns out cheaper.
        let from = match ranges.last_mut() {
            Some(last) => {
                last.to = from - 1;
                from
            }
            None => 1,
        };
        ranges.push(CheaperRange {
            from,
            to: limit,
            cheaper: Some(way),
        });
    }
    ranges
}

struct Walk<'a> {
    outside: Cost<'a>,
    own: Cost<'a>,
    own_bounds: Bounds,
    cheaper: Option<Way>,
    changes: Vec<(u64, Way)>,
}

impl Walk<'_> {
    fn over(&mut self, from: u64, to: u64, bounds: Bounds) {
        if self.nothing_changes(from, to, bounds) {
            return;
        }
        if from < to {
            let middle = from + (to - from) / 2;
            self.over(from, middle, bounds);
            self.over(middle + 1, to, bounds);
            return;
        }
        let outside = rounded((self.outside)(from));
        let way = match outside.cmp(&rounded((self.own)(from))) {
            Ordering::Less => Way::Outside,
            Ordering::Greater => Way::Own,
            Ordering::Equal => return,
        };
        if self.cheaper != Some(way) {
            self.cheaper = Some(way);
            self.changes.push((from, way));
        }
    }

    /// Whether the way that is cheaper so far is nowhere dearer from `from` to `to`.
    fn nothing_changes(&self, from: u64, to: u64, bounds: Bounds) -> bool {
        let own = self.own_bounds;
        match self.cheaper {
            None => false,
            Some(Way::Own) => {
                let least = |at| bounds.low.at(at) - own.high.at(at);
                least(from).min(least(to)) >= 0 || (self.outside)(from) >= (self.own)(to)
            }
            Some(Way::Outside) => {
                let most = |at| bounds.high.at(at) - own.low.at(at);
                most(from).max(most(to)) <= 0 || (self.outside)(to) <= (self.own)(from)
            }
        }
    }
}
