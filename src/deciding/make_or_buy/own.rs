//! Making it: what goes into each piece, whole batches, what is lost, minutes at a rate, costs once, equipment to buy.
//! Own time is worked out beside the cash and counts only where that is asked for.

use rust_decimal::Decimal;

use super::super::{DecidingError, Figure, UnitCost, Worksheet};
use super::check_wanted;
use super::crossing::{Bounds, Straight};
use super::exact::{
    MOST_ORDERED, PARTS, Running, WHOLE, amount, divide_up, in_range, lost, minutes, of_each,
    of_money, rounded,
};
use super::outcome::{Outcome, OwnTime, Run};
use crate::money::{Currency, Money, Percent};

/// How the owner makes a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnTerms {
    /// Materials and whatever else is used up for each piece that is put in.
    pub each: UnitCost,
    /// Pieces put in together; only whole batches are made. `None` when any number can be.
    pub batch: Option<u64>,
    /// The share of pieces put in that is normally lost.
    pub loss: Percent,
    /// Further pieces spoiled while setting up, at each set-up; they cost their materials.
    pub spoiled_per_set_up: u64,
    /// Paid at each set-up: one a batch, or one a run without batches.
    pub per_set_up: Money,
    /// Own minutes for each piece that is put in, to a hundredth.
    pub minutes_each: Decimal,
    /// Own minutes for each set-up, to a hundredth.
    pub minutes_per_set_up: Decimal,
    /// What an hour of her time is worth to her.
    pub hourly_rate: Money,
    /// Paid once for a design. In the first run only.
    pub once_per_design: Money,
    /// Paid again for each run.
    pub once_per_run: Money,
    /// Equipment to buy for it; nothing when it is already there. In the first run only.
    pub equipment: Money,
}

impl Default for OwnTerms {
    fn default() -> Self {
        Self {
            each: UnitCost::ZERO,
            batch: None,
            loss: Percent::ZERO,
            spoiled_per_set_up: 0,
            per_set_up: Money::ZERO,
            minutes_each: Decimal::ZERO,
            minutes_per_set_up: Decimal::ZERO,
            hourly_rate: Money::ZERO,
            once_per_design: Money::ZERO,
            once_per_run: Money::ZERO,
            equipment: Money::ZERO,
        }
    }
}

/// The owner's own way, checked.
#[derive(Clone, Debug)]
pub struct Own {
    terms: OwnTerms,
    loss: i128,
    each: i128,
    set_up: i128,
    time_each: i128,
    time_set_up: i128,
}

impl Own {
    /// The owner's way with these terms.
    ///
    /// # Errors
    /// When a number is out of range, an amount is below nothing, or the loss is too large or too fine.
    pub fn new(terms: OwnTerms) -> Result<Self, DecidingError> {
        if let Some(batch) = terms.batch {
            in_range("the batch", batch, 1, MOST_ORDERED)?;
        }
        let most = MOST_ORDERED;
        in_range(
            "pieces spoiled at a set-up",
            terms.spoiled_per_set_up,
            0,
            most,
        )?;
        amount("the cost per set-up", terms.per_set_up)?;
        amount("the hourly rate", terms.hourly_rate)?;
        in_hour(terms.hourly_rate)?;
        amount("the cost once per design", terms.once_per_design)?;
        amount("the cost once per run", terms.once_per_run)?;
        amount("the cost of equipment", terms.equipment)?;
        let each = of_each(terms.each);
        // A hundredth of a minute is a six-thousandth of an hour.
        let time =
            |hundredths: i128| i128::from(terms.hourly_rate.minor()) * hundredths * (PARTS / 6000);
        Ok(Self {
            loss: lost(terms.loss, "the normal loss")?,
            each,
            set_up: of_money(terms.per_set_up) + each * i128::from(terms.spoiled_per_set_up),
            time_each: time(minutes(terms.minutes_each, "minutes for each piece")?),
            time_set_up: time(minutes(terms.minutes_per_set_up, "minutes for a set-up")?),
            terms,
        })
    }

    /// The terms it was made from.
    #[must_use]
    pub const fn terms(&self) -> &OwnTerms {
        &self.terms
    }

    /// What making `wanted` good pieces comes to.
    ///
    /// # Errors
    /// When `wanted` is nothing or more than [`super::MOST_PIECES`].
    pub fn make(&self, wanted: u64, run: Run, time: OwnTime) -> Result<Outcome, DecidingError> {
        check_wanted(wanted)?;
        let (put_in, _) = self.put_in(wanted);
        let good =
            u64::try_from(i128::from(put_in) * (WHOLE - self.loss) / WHOLE).unwrap_or(u64::MAX);
        let total = rounded(self.parts(wanted, run, time));
        let cash = rounded(self.parts(wanted, run, OwnTime::LeftOut));
        Ok(Outcome::new(wanted, put_in, good, total, cash))
    }

    /// Own minutes for `wanted` good pieces, set-ups included.
    #[must_use]
    pub fn minutes(&self, wanted: u64) -> Decimal {
        let (put_in, set_ups) = self.put_in(wanted);
        (self.terms.minutes_each * Decimal::from(put_in)
            + self.terms.minutes_per_set_up * Decimal::from(set_ups))
        .normalize()
    }

    /// The numbered lines of an outcome of this way.
    #[must_use]
    pub fn worksheet(
        &self,
        outcome: &Outcome,
        run: Run,
        time: OwnTime,
        currency: &Currency,
    ) -> Worksheet {
        let terms = &self.terms;
        let (put_in, set_ups) = self.put_in(outcome.wanted);
        let mut running = Running::default();
        self.piece_lines(&mut running, outcome, set_ups);
        let each = terms.each.show(currency);
        let words = format!("{put_in} × {each}");
        let materials = self.each * i128::from(put_in);
        running.part("materials", "What goes into the pieces", words, materials);
        let spoiled = terms.spoiled_per_set_up * set_ups;
        let words = format!("{spoiled} × {each}, spoiled while setting up");
        let parts = self.each * i128::from(spoiled);
        running.part("set-up-spoilage", "Spoiled at set-up", words, parts);
        let words = format!("{set_ups} × {}", currency.show(terms.per_set_up));
        let parts = of_money(terms.per_set_up) * i128::from(set_ups);
        running.part("set-up", "Setting up", words, parts);
        let once = of_money(terms.once_per_run);
        let words = "paid at every run".to_owned();
        running.part("once-per-run", "Once for the run", words, once);
        if run == Run::First {
            let words = "not again when made again".to_owned();
            let once = of_money(terms.once_per_design);
            running.part("once-per-design", "Once for the design", words, once);
            let words = "to buy before the first piece".to_owned();
            let equipment = of_money(terms.equipment);
            running.part("equipment", "Equipment", words, equipment);
        }
        running.total("cash", "To pay up front");
        if time == OwnTime::Counted {
            let minutes = self.minutes(outcome.wanted);
            let rate = currency.show(terms.hourly_rate);
            let words = format!("{minutes} minutes at {rate} an hour; yours, never paid or posted");
            let parts =
                self.time_each * i128::from(put_in) + self.time_set_up * i128::from(set_ups);
            running.part("own-time", "Own time", words, parts);
        }
        running.total("total", "Together");
        running.sheet
    }

    fn piece_lines(&self, running: &mut Running, outcome: &Outcome, set_ups: u64) {
        let sheet = &mut running.sheet;
        let pieces = |count| Figure::Pieces(count);
        let wanted = sheet.add(
            "wanted",
            "Pieces wanted",
            "your choice",
            pieces(outcome.wanted),
        );
        let mut words = format!("for {wanted}");
        if self.loss > 0 {
            words = format!("{words} and {} % normally lost", self.terms.loss);
        }
        if let Some(batch) = self.terms.batch {
            words = format!("{words}, {set_ups} whole batches of {batch}");
        }
        let put_in = sheet.add("put-in", "Put in", words, pieces(outcome.taken));
        if outcome.good != outcome.taken {
            let words = format!("{put_in} less {} %, whole pieces", self.terms.loss);
            sheet.add("good", "Good pieces", words, pieces(outcome.good));
        }
    }

    /// Pieces put in for the wanted good ones, and set-ups.
    fn put_in(&self, wanted: u64) -> (u64, u64) {
        let needed = divide_up(i128::from(wanted) * WHOLE, WHOLE - self.loss);
        let needed = u64::try_from(needed).unwrap_or(u64::MAX / 2);
        match self.terms.batch {
            None => (needed, 1),
            Some(batch) => {
                let batches = needed.div_ceil(batch);
                (batches * batch, batches)
            }
        }
    }

    /// What making `wanted` costs, exactly.
    pub(super) fn parts(&self, wanted: u64, run: Run, time: OwnTime) -> i128 {
        let (put_in, set_ups) = self.put_in(wanted);
        let (each, set_up) = self.rates(time);
        each * i128::from(put_in) + set_up * i128::from(set_ups) + self.fixed(run)
    }

    fn rates(&self, time: OwnTime) -> (i128, i128) {
        match time {
            OwnTime::Counted => (self.each + self.time_each, self.set_up + self.time_set_up),
            OwnTime::LeftOut => (self.each, self.set_up),
        }
    }

    fn fixed(&self, run: Run) -> i128 {
        let first = match run {
            Run::First => of_money(self.terms.once_per_design) + of_money(self.terms.equipment),
            Run::Reorder => 0,
        };
        first + of_money(self.terms.once_per_run)
    }

    /// Straight lines that the cost stays between.
    pub(super) fn bounds(&self, run: Run, time: OwnTime) -> Bounds {
        let (each, set_up) = self.rates(time);
        let kept = WHOLE - self.loss;
        let fixed = self.fixed(run);
        let for_loss = i128::from(self.loss > 0);
        let Some(batch) = self.terms.batch.map(i128::from) else {
            let base = fixed + set_up;
            return Bounds {
                low: Straight {
                    slope: each * WHOLE / kept,
                    base,
                },
                high: Straight {
                    slope: divide_up(each * WHOLE, kept),
                    base: base + each * for_loss,
                },
            };
        };
        let per_batch = each * batch + set_up;
        Bounds {
            low: Straight {
                slope: per_batch * WHOLE / (kept * batch),
                base: fixed,
            },
            high: Straight {
                slope: divide_up(per_batch * WHOLE, kept * batch),
                base: fixed + per_batch * 2,
            },
        }
    }
}

/// An hour that costs more than the largest piece is a slip.
fn in_hour(rate: Money) -> Result<(), DecidingError> {
    if rate.minor() > UnitCost::LIMIT {
        return Err(DecidingError::AmountOutOfRange("the hourly rate"));
    }
    Ok(())
}
