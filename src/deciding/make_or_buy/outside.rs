//! Having it made: price tiers, minimum and steps, a deal on part of the bill, costs once, carriage, what goes missing.
//! Finds the cheapest order that gives the wanted pieces, which is sometimes a larger one than is needed.

use super::super::{DecidingError, Figure, UnitCost, Worksheet};
use super::check_wanted;
use super::crossing::{Bounds, Straight, Stretch};
use super::exact::{
    MOST_ORDERED, Running, WHOLE, amount, divide_up, hundredths, in_range, lost, of_each, of_money,
    rounded,
};
use super::outcome::{Outcome, Run};
use super::terms::{DealScope, Delivery, OutsideTerms, check_tiers};
use crate::money::{Currency, Money};

/// A tier with the deal taken off: exact parts for each piece that is delivered, carriage of the piece included.
#[derive(Clone, Copy, Debug)]
struct Tier {
    from: u64,
    listed: UnitCost,
    each: i128,
}

/// A house whose terms hold together.
#[derive(Clone, Debug)]
pub struct Outside {
    terms: OutsideTerms,
    tiers: Vec<Tier>,
    /// The smallest order of each tier that keeps minimum and step; may lie beyond the tier.
    starts: Vec<u64>,
    pieces_kept: i128,
    once_kept: i128,
    carriage_kept: i128,
    spoiled: i128,
    /// Delivered for each `WHOLE` ordered.
    delivered: i128,
}

/// An order and, beside it, the order that was only just enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Order {
    /// The cheapest order; the smaller one among equals.
    pub best: Outcome,
    /// The smallest order that gives the wanted pieces.
    pub just_enough: Outcome,
}

impl Order {
    /// Whether a larger order than is needed costs less.
    #[must_use]
    pub fn is_ordered_up(&self) -> bool {
        self.best.taken > self.just_enough.taken
    }

    /// What ordering up saves; nothing when it does not.
    #[must_use]
    pub fn saved(&self) -> Money {
        self.just_enough.total - self.best.total
    }
}

/// Wanted quantities for which a larger order than is needed costs less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderUp {
    /// The first quantity.
    pub from: u64,
    /// The last quantity.
    pub to: u64,
    /// What to order instead of just enough.
    pub order: u64,
    /// The most that is saved anywhere in the range.
    pub most_saved: Money,
}

/// The smallest order of a tier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TierView {
    /// The price of each as listed.
    pub listed: UnitCost,
    /// The order and what it comes to, as if all its good pieces were wanted.
    pub outcome: Outcome,
    /// How much more has to be paid up front than for the tier before.
    pub more_cash: Money,
}

impl Outside {
    /// A house with these terms.
    ///
    /// # Errors
    /// When there are no tiers or they are out of order, a number is out of range, an amount is below nothing, or a
    /// share has more than two decimals or leaves next to nothing.
    pub fn new(terms: OutsideTerms) -> Result<Self, DecidingError> {
        check_tiers(&terms.tiers)?;
        in_range("the smallest order", terms.minimum, 1, MOST_ORDERED)?;
        in_range("the step of an order", terms.step, 1, MOST_ORDERED)?;
        amount("the cost once per design", terms.once_per_design)?;
        amount("the cost once per run", terms.once_per_run)?;
        amount("carriage per order", terms.carriage_per_order)?;
        let off = match terms.deal {
            Some(deal) => hundredths(deal.off, "the deal")?,
            None => 0,
        };
        let whole = WHOLE * WHOLE;
        let taken = whole - off * WHOLE;
        let (pieces_kept, once_kept, carriage_kept) = match terms.deal.map(|deal| deal.scope) {
            None => (whole, whole, whole),
            Some(DealScope::PartOfPieces(share)) => {
                let share = hundredths(share, "the part the deal is taken off from")?;
                (whole - off * share, whole, whole)
            }
            Some(DealScope::Pieces) => (taken, whole, whole),
            Some(DealScope::PiecesAndOnce) => (taken, taken, whole),
            Some(DealScope::WholeBill) => (taken, taken, taken),
        };
        let delivered = match terms.delivery {
            Delivery::Exact => WHOLE,
            Delivery::Short(share) => WHOLE - lost(share, "the share delivered short")?,
            Delivery::Over(share) => WHOLE + hundredths(share, "the share delivered over")?,
        };
        let carriage = of_each(terms.carriage_each) / whole * carriage_kept;
        let tiers = terms
            .tiers
            .iter()
            .map(|tier| Tier {
                from: tier.from,
                listed: tier.each,
                each: of_each(tier.each) / whole * pieces_kept + carriage,
            })
            .collect();
        let starts = terms
            .tiers
            .iter()
            .map(|tier| tier.from.max(terms.minimum).next_multiple_of(terms.step))
            .collect();
        Ok(Self {
            tiers,
            starts,
            pieces_kept,
            once_kept,
            carriage_kept,
            spoiled: lost(terms.spoiled, "the spoiled share")?,
            delivered,
            terms,
        })
    }

    /// The terms it was made from.
    #[must_use]
    pub const fn terms(&self) -> &OutsideTerms {
        &self.terms
    }

    /// The cheapest order that gives `wanted` good pieces, and the smallest.
    ///
    /// # Errors
    /// When `wanted` is nothing or more than [`super::MOST_PIECES`].
    pub fn order(&self, wanted: u64, run: Run) -> Result<Order, DecidingError> {
        check_wanted(wanted)?;
        let enough = self.just_enough(wanted);
        let mut best = enough;
        let mut best_total = rounded(self.parts(enough, run));
        for start in self.starts.iter().copied().filter(|start| *start > enough) {
            let total = rounded(self.parts(start, run));
            if total < best_total {
                (best, best_total) = (start, total);
            }
        }
        Ok(Order {
            best: self.outcome(wanted, best, run),
            just_enough: self.outcome(wanted, enough, run),
        })
    }

    /// What exactly this order comes to, whether or not it is wise.
    ///
    /// # Errors
    /// When the house would not take it: too few pieces or no whole step.
    pub fn for_order(&self, wanted: u64, ordered: u64, run: Run) -> Result<Outcome, DecidingError> {
        check_wanted(wanted)?;
        let first = self.first_order();
        in_range("the order", ordered, first, MOST_ORDERED * 100)?;
        if !ordered.is_multiple_of(self.terms.step) {
            let step = self.terms.step;
            return Err(DecidingError::NotAStep { ordered, step });
        }
        Ok(self.outcome(wanted, ordered, run))
    }

    /// The ranges of wanted quantities up to `limit` for which ordering up costs less than ordering just enough.
    ///
    /// # Errors
    /// When `limit` is nothing or more than [`super::MOST_PIECES`].
    pub fn order_up_ranges(&self, limit: u64, run: Run) -> Result<Vec<OrderUp>, DecidingError> {
        check_wanted(limit)?;
        let mut ranges: Vec<OrderUp> = Vec::new();
        for part in self.parts_of_range(limit, run) {
            let Some(order) = part.up_to else { continue };
            let enough = rounded(self.parts(self.just_enough(part.to), run));
            let most_saved = enough - rounded(self.parts(order, run));
            match ranges.last_mut() {
                Some(last) if last.order == order && last.to + 1 == part.from => {
                    last.to = part.to;
                    last.most_saved = last.most_saved.max(most_saved);
                }
                _ => ranges.push(OrderUp {
                    from: part.from,
                    to: part.to,
                    order,
                    most_saved,
                }),
            }
        }
        Ok(ranges)
    }

    /// The smallest order of every tier, with what more it asks for up front than the one before.
    #[must_use]
    pub fn tier_views(&self, run: Run) -> Vec<TierView> {
        let mut views: Vec<TierView> = Vec::with_capacity(self.tiers.len());
        for (tier, start) in self.tiers.iter().zip(&self.starts) {
            if self.tier_of(*start).from != tier.from {
                continue;
            }
            let outcome = self.outcome(self.good(*start), *start, run);
            let before = views
                .last()
                .map_or(Money::ZERO, |view| view.outcome.cash_up_front);
            views.push(TierView {
                listed: tier.listed,
                outcome,
                more_cash: outcome.cash_up_front - before,
            });
        }
        views
    }

    /// The numbered lines of an outcome of this house.
    #[must_use]
    pub fn worksheet(&self, outcome: &Outcome, run: Run, currency: &Currency) -> Worksheet {
        let terms = &self.terms;
        let whole = WHOLE * WHOLE;
        let ordered = outcome.taken;
        let delivered = self.delivered(ordered);
        let tier = self.tier_of(ordered);
        let mut running = Running::default();
        self.piece_lines(&mut running, outcome);
        let listed = of_each(tier.listed) * i128::from(delivered);
        let price = tier.listed.show(currency);
        let formula = match tier.from {
            0 | 1 => format!("{delivered} × {price}, the price of each"),
            from => format!("{delivered} × {price}, the price of each from {from} pieces"),
        };
        running.part("pieces", "The pieces", formula, listed);
        let design = match run {
            Run::First => of_money(terms.once_per_design),
            Run::Reorder => 0,
        };
        let words = "plate, die, proof or licence; not again when reordered".to_owned();
        running.part("once-per-design", "Once for the design", words, design);
        let each_run = of_money(terms.once_per_run);
        let words = "set-up, paid at every run".to_owned();
        running.part("once-per-run", "Once for the run", words, each_run);
        let order = of_money(terms.carriage_per_order);
        let words = "for the order".to_owned();
        running.part("carriage", "Carriage", words, order);
        let pieces = of_each(terms.carriage_each) * i128::from(delivered);
        let words = format!("{delivered} × {}", terms.carriage_each.show(currency));
        running.part("carriage", "Carriage of the pieces", words, pieces);
        if let Some(deal) = terms.deal {
            let off = |parts: i128, kept: i128| parts - parts / whole * kept;
            let taken = off(listed, self.pieces_kept)
                + off(design + each_run, self.once_kept)
                + off(order + pieces, self.carriage_kept);
            let formula = format!("{} % off {}", deal.off, deal.scope.words());
            running.part("deal", "Taken off", formula, -taken);
        }
        running.total("total", "Together, to pay up front");
        running.sheet
    }

    fn piece_lines(&self, running: &mut Running, outcome: &Outcome) {
        let sheet = &mut running.sheet;
        let delivered = self.delivered(outcome.taken);
        let pieces = |count| Figure::Pieces(count);
        let wanted = sheet.add(
            "wanted",
            "Pieces wanted",
            "your choice",
            pieces(outcome.wanted),
        );
        let mut why = format!("at least {wanted}");
        if self.terms.minimum > 1 {
            why = format!("{why}, not under {}", self.terms.minimum);
        }
        if self.terms.step > 1 {
            why = format!("{why}, in {}s", self.terms.step);
        }
        let ordered = sheet.add("ordered", "Ordered", why, pieces(outcome.taken));
        let mut from = ordered;
        if delivered != outcome.taken {
            let formula = match self.terms.delivery {
                Delivery::Short(share) => format!("{ordered} less {share} % short, whole pieces"),
                Delivery::Over(share) => format!("{ordered} and {share} % over, whole pieces"),
                Delivery::Exact => ordered.to_string(),
            };
            from = sheet.add(
                "delivered",
                "Delivered and billed",
                formula,
                pieces(delivered),
            );
        }
        if self.spoiled > 0 {
            let formula = format!("{from} less {} % spoiled, whole pieces", self.terms.spoiled);
            sheet.add("good", "Good pieces", formula, pieces(outcome.good));
        }
    }

    /// The smallest order it takes at all.
    fn first_order(&self) -> u64 {
        self.starts.first().copied().unwrap_or(1)
    }

    fn delivered(&self, ordered: u64) -> u64 {
        scaled(ordered, self.delivered)
    }

    fn good(&self, ordered: u64) -> u64 {
        scaled(self.delivered(ordered), WHOLE - self.spoiled)
    }

    /// The smallest order that gives the wanted pieces.
    fn just_enough(&self, wanted: u64) -> u64 {
        let delivered = divide_up(i128::from(wanted) * WHOLE, WHOLE - self.spoiled);
        let ordered = divide_up(delivered * WHOLE, self.delivered);
        u64::try_from(ordered)
            .unwrap_or(u64::MAX / 2)
            .next_multiple_of(self.terms.step)
            .max(self.first_order())
    }

    fn tier_idx(&self, ordered: u64) -> usize {
        self.tiers
            .partition_point(|tier| tier.from <= ordered)
            .saturating_sub(1)
    }

    fn tier_of(&self, ordered: u64) -> Tier {
        self.tiers[self.tier_idx(ordered)]
    }

    fn fixed(&self, run: Run) -> i128 {
        let whole = WHOLE * WHOLE;
        let design = match run {
            Run::First => of_money(self.terms.once_per_design),
            Run::Reorder => 0,
        };
        (design + of_money(self.terms.once_per_run)) / whole * self.once_kept
            + of_money(self.terms.carriage_per_order) / whole * self.carriage_kept
    }

    /// What an order costs, exactly.
    fn parts(&self, ordered: u64, run: Run) -> i128 {
        self.tier_of(ordered).each * i128::from(self.delivered(ordered)) + self.fixed(run)
    }

    fn outcome(&self, wanted: u64, ordered: u64, run: Run) -> Outcome {
        let total = rounded(self.parts(ordered, run));
        Outcome::new(wanted, ordered, self.good(ordered), total, total)
    }

    /// The wanted quantities from 1 to `limit`, cut where a tier begins and where ordering up begins to be cheaper.
    fn parts_of_range(&self, limit: u64, run: Run) -> Vec<Part> {
        let mut parts = Vec::new();
        let mut from = 1;
        while from <= limit {
            let idx = self.tier_idx(self.just_enough(from));
            let to = self.last_wanted_of(idx).min(limit);
            self.cut_tier(&mut parts, from, to, run);
            from = to + 1;
        }
        parts
    }

    /// The last wanted quantity whose smallest order falls in this tier.
    fn last_wanted_of(&self, idx: usize) -> u64 {
        let Some(next) = self.tiers.get(idx + 1) else {
            return u64::MAX - 1;
        };
        let last_order = (next.from - 1) - (next.from - 1) % self.terms.step;
        self.good(last_order)
    }

    /// Within a tier the bill never falls as more is wanted, so ordering up is cheaper from some quantity to its end.
    fn cut_tier(&self, parts: &mut Vec<Part>, from: u64, to: u64, run: Run) {
        let last = self.just_enough(to);
        let up = self
            .starts
            .iter()
            .copied()
            .filter(|start| *start > last)
            .min_by_key(|start| (rounded(self.parts(*start, run)), *start));
        let mut begin = to + 1;
        if let Some(up) = up {
            let up_total = rounded(self.parts(up, run));
            let (mut low, mut high) = (from, to + 1);
            while low < high {
                let middle = low + (high - low) / 2;
                if rounded(self.parts(self.just_enough(middle), run)) > up_total {
                    high = middle;
                } else {
                    low = middle + 1;
                }
            }
            begin = low;
        }
        if begin > from {
            let up_to = None;
            let to = begin - 1;
            parts.push(Part { from, to, up_to });
        }
        if begin <= to {
            parts.push(Part {
                from: begin,
                to,
                up_to: up,
            });
        }
    }

    /// What the cheapest order costs over all wanted quantities up to `limit`, in stretches with straight bounds.
    pub(super) fn stretches(&self, limit: u64, run: Run) -> Vec<Stretch> {
        let mut stretches = Vec::new();
        for part in self.parts_of_range(limit, run) {
            if let Some(up) = part.up_to {
                let cost = self.parts(up, run);
                stretches.push(Stretch::level(part.from, part.to, cost));
                continue;
            }
            let start = self.just_enough(part.from);
            let level_to = self.good(start).clamp(part.from, part.to);
            let cost = self.parts(start, run);
            stretches.push(Stretch::level(part.from, level_to, cost));
            if level_to < part.to {
                let bounds = self.bounds(self.just_enough(part.to), run);
                stretches.push(Stretch {
                    from: level_to + 1,
                    to: part.to,
                    bounds,
                });
            }
        }
        stretches
    }

    /// Straight lines that the bill of the smallest order stays between within the tier of `ordered`.
    fn bounds(&self, ordered: u64, run: Run) -> Bounds {
        let each = self.tier_of(ordered).each;
        let fixed = self.fixed(run);
        let for_spoiled = i128::from(self.spoiled > 0);
        let is_any_order = self.terms.step == 1 && self.delivered == WHOLE;
        let for_order = if is_any_order {
            0
        } else {
            2 * (i128::from(self.terms.step) + 1)
        };
        let kept = WHOLE - self.spoiled;
        Bounds {
            low: Straight {
                slope: each * WHOLE / kept,
                base: fixed,
            },
            high: Straight {
                slope: divide_up(each * WHOLE, kept),
                base: fixed + each * (for_spoiled + for_order),
            },
        }
    }

    /// What the cheapest order costs, exactly.
    pub(super) fn best_parts(&self, wanted: u64, run: Run) -> i128 {
        let enough = self.just_enough(wanted);
        let larger = self.starts.iter().filter(|start| **start > enough);
        larger
            .map(|start| self.parts(*start, run))
            .fold(self.parts(enough, run), i128::min)
    }
}

/// Wanted quantities that are served alike.
struct Part {
    from: u64,
    to: u64,
    /// The larger order that is cheaper than just enough.
    up_to: Option<u64>,
}

fn scaled(pieces: u64, share: i128) -> u64 {
    u64::try_from(i128::from(pieces) * share / WHOLE).unwrap_or(u64::MAX)
}
