//! Make it or have it made, asked and told: everything that is asked of a comparison in one value, and what follows from it.
//! Fields and options are read elsewhere; a comparison can be kept with its product.

use rust_decimal::Decimal;

use super::super::{DecidingError, UnitCost, Worksheet};
use super::comparison::{Band, Comparison, Leaning, SideBySide, Way};
use super::outcome::{OwnTime, Run, months_of_cover, unsold_after};
use super::outside::Outside;
use super::own::{Own, OwnTerms};
use super::terms::{OutsideTerms, PriceTier};
use crate::money::{Currency, Money, Percent};

/// How many points the lines of the chart have.
const POINTS: u64 = 12;
/// How far crossings are looked for, in times of the quantity wanted.
const LOOK: u64 = 4;
const LOOK_AT_MOST: u64 = 5_000;

/// What a comparison leaves out, said wherever one is shown.
pub const WAYS_LEAVE_OUT: &str = "Packaging and postage are left out: they come with either way.";

/// What is asked of a comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WaysAsk {
    /// How many are wanted.
    pub wanted: u64,
    /// The house's prices, from how many pieces on.
    pub tiers: Vec<PriceTier>,
    /// The fewest it makes.
    pub minimum: u64,
    /// What it takes once for the design.
    pub out_design: Money,
    /// What it takes at every run.
    pub out_run: Money,
    /// Its carriage for an order.
    pub carriage: Money,
    /// What goes into a piece that is put in.
    pub each: UnitCost,
    /// Pieces begun in a batch; any number without one.
    pub batch: Option<u64>,
    /// The share normally lost.
    pub loss: Percent,
    /// Own minutes for a piece that is put in.
    pub minutes: Decimal,
    /// What her hour is worth.
    pub own_rate: Money,
    /// Equipment that would have to be bought.
    pub equipment: Money,
    /// Whether own time counts.
    pub time: OwnTime,
    /// Whether it is made for the first time.
    pub run: Run,
}

/// What a comparison tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WaysTold {
    /// Both ways for the quantity.
    pub side: SideBySide,
    /// Having it made, line by line.
    pub outside_sheet: Worksheet,
    /// Making it, line by line.
    pub own_sheet: Worksheet,
    /// What is cheaper from how many.
    pub bands: Vec<Band>,
    /// Quantities with what both ways come to: outside, own.
    pub points: Vec<(u64, Money, Money)>,
}

impl WaysAsk {
    /// Whether it can be worked out.
    ///
    /// # Errors
    /// When the house has no price, its tiers are out of order, or a figure is out of range.
    pub fn check(&self) -> Result<(), DecidingError> {
        let (outside, own) = self.ways()?;
        outside.order(self.wanted, self.run)?;
        own.make(self.wanted, self.run, self.time)?;
        Ok(())
    }

    fn ways(&self) -> Result<(Outside, Own), DecidingError> {
        let outside = Outside::new(OutsideTerms {
            tiers: self.tiers.clone(),
            minimum: self.minimum,
            once_per_design: self.out_design,
            once_per_run: self.out_run,
            carriage_per_order: self.carriage,
            ..OutsideTerms::default()
        })?;
        let own = Own::new(OwnTerms {
            each: self.each,
            batch: self.batch,
            loss: self.loss,
            minutes_each: self.minutes,
            hourly_rate: self.own_rate,
            equipment: self.equipment,
            ..OwnTerms::default()
        })?;
        Ok((outside, own))
    }

    /// What the comparison tells.
    ///
    /// # Errors
    /// As [`WaysAsk::check`].
    pub fn tell(&self, currency: &Currency) -> Result<WaysTold, DecidingError> {
        let (outside, own) = self.ways()?;
        let both = Comparison {
            outside: &outside,
            own: &own,
            run: self.run,
            time: self.time,
        };
        let side = both.at(self.wanted)?;
        let limit = (self.wanted.saturating_mul(LOOK)).clamp(1, LOOK_AT_MOST);
        let mut points = Vec::new();
        let step = (self.wanted.saturating_mul(2) / POINTS).max(1);
        for idx in 1..=POINTS {
            let at = both.at(step * idx)?;
            points.push((step * idx, at.outside.best.total, at.own.total));
        }
        Ok(WaysTold {
            outside_sheet: outside.worksheet(&side.outside.best, self.run, currency),
            own_sheet: own.worksheet(&side.own, self.run, self.time, currency),
            bands: both.bands(limit)?,
            points,
            side,
        })
    }
}

impl WaysTold {
    /// In words which way is cheaper, and by how much.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let wanted = self.side.own.wanted;
        let saved = currency.show(self.side.saved);
        match self.side.cheaper {
            Some(Way::Own) => format!("For {wanted}, making it is {saved} cheaper."),
            Some(Way::Outside) => format!("For {wanted}, having it made is {saved} cheaper."),
            None => format!("For {wanted}, both ways come to the same."),
        }
    }

    /// What else is worth saying: an order that is better larger, how long the pieces last at `sold_a_month`, what goes in at
    /// a cost that is `unknown`, what is left out.
    #[must_use]
    pub fn notes(
        &self,
        sold_a_month: Decimal,
        unknown: &[String],
        currency: &Currency,
    ) -> Vec<String> {
        let mut words = Vec::new();
        let order = &self.side.outside;
        if order.is_ordered_up() {
            words.push(format!(
                "Ordering {} instead of {} costs {} less.",
                order.best.taken,
                order.just_enough.taken,
                currency.show(order.saved())
            ));
        }
        let (good, pace) = (order.best.good, sold_a_month);
        match months_of_cover(good, pace) {
            None => {
                words.push("None sold yet, so nobody knows how long they would last.".to_owned());
            }
            Some(months) => {
                words.push(format!(
                    "At {pace} sold a month, {good} pieces last {} months.",
                    months.normalize()
                ));
                let unsold = unsold_after(good, 12, pace);
                if unsold > 0 {
                    words.push(format!("Of {good}, {unsold} would be unsold in a year."));
                }
            }
        }
        for name in unknown {
            words.push(format!(
                "What {name} costs is not known: it never came in, so it counts as nothing here."
            ));
        }
        words.push(WAYS_LEAVE_OUT.to_owned());
        words
    }

    /// In words what is cheaper over a band of quantities.
    #[must_use]
    pub const fn leaning(leaning: Leaning) -> &'static str {
        match leaning {
            Leaning::Own => "making it",
            Leaning::Outside => "having it made",
            Leaning::BackAndForth => "now one, now the other, as batches fit",
            Leaning::Same => "both the same",
        }
    }
}

/// A comparison that is kept with its product.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SavedComparison {
    /// Its lasting number in the book; 0 before it is there.
    pub id: i64,
    /// The product's code.
    pub item: String,
    /// Its name, which no other comparison of the product has.
    pub name: String,
    /// What is asked.
    pub ask: WaysAsk,
}

impl SavedComparison {
    /// Whether it can be kept: it has a name and can be worked out.
    ///
    /// # Errors
    /// When it has no name, or as [`WaysAsk::check`].
    pub fn check(&self) -> Result<(), DecidingError> {
        if self.name.trim().is_empty() {
            return Err(DecidingError::Nameless);
        }
        self.ask.check()
    }
}
