//! How far a life has run on a day, and the rounded charge that goes with it.
//! Everything else (schedules, proposals, disposal) takes differences of what is computed here.

use chrono::{Datelike, NaiveDate};

use super::{Convention, Equipment};
use crate::dates::{Month, YearStart, add_months};
use crate::money::{Money, Percent};

/// Parts of a month in which the half-year convention counts: divisible by every number of months in a year,
/// so that half a year spreads over any of them without rounding.
const MONTH_PARTS: i64 = 27_720;

/// A stretch of a life under one set of terms.
struct Stretch {
    /// The first day the terms hold.
    from: NaiveDate,
    life_months: u32,
    share: Percent,
    /// How far the life had run when the terms began.
    run_before: i64,
    /// Charged before the terms began, whole and the business's part.
    charged_before: Money,
    business_before: Money,
    /// What is left to charge under these terms.
    to_charge: Money,
}

/// The course of one piece's life in the financial years of its book.
pub(super) struct Course<'a> {
    equipment: &'a Equipment,
    years: YearStart,
    stretches: Vec<Stretch>,
}

impl<'a> Course<'a> {
    pub(super) fn new(equipment: &'a Equipment, years: YearStart) -> Self {
        let mut course = Self {
            equipment,
            years,
            stretches: Vec::with_capacity(equipment.changes.len() + 1),
        };
        course.stretches.push(Stretch {
            from: NaiveDate::MIN,
            life_months: equipment.life_months,
            share: equipment.business_share,
            run_before: 0,
            charged_before: Money::ZERO,
            business_before: Money::ZERO,
            to_charge: at_least_nothing(equipment.cost - equipment.residual),
        });
        for change in &equipment.changes {
            let eve = change.from.pred_opt().unwrap_or(change.from);
            let charged_before = course.charged(eve);
            let left = equipment.cost - charged_before - change.residual;
            course.stretches.push(Stretch {
                from: change.from,
                life_months: change.life_months,
                share: change.business_share,
                run_before: course.run(eve, change.life_months),
                charged_before,
                business_before: course.business_part(charged_before),
                to_charge: at_least_nothing(left),
            });
        }
        course
    }

    /// The rounded charge from the beginning through the end of the day.
    pub(super) fn charged(&self, on: NaiveDate) -> Money {
        let equipment = self.equipment;
        let day = equipment
            .disposal
            .as_ref()
            .map_or(on, |disposal| on.min(disposal.on));
        let Some(stretch) = self.stretches.iter().rev().find(|s| s.from <= day) else {
            return Money::ZERO;
        };
        let whole = i128::from(self.whole_run(stretch.life_months) - stretch.run_before);
        let run = i128::from(self.run(day, stretch.life_months) - stretch.run_before);
        // Terms that make the life shorter than what has run already leave nothing to wait for.
        let charged = if whole <= 0 || run >= whole {
            if whole <= 0 && day < equipment.in_service_on {
                Money::ZERO
            } else {
                stretch.to_charge
            }
        } else {
            part(stretch.to_charge, run.max(0), whole)
        };
        stretch.charged_before + charged
    }

    /// The business's part of the first `charged` of all charges: the share of each stretch, rounded cumulatively.
    pub(super) fn business_part(&self, charged: Money) -> Money {
        self.stretches
            .iter()
            .rev()
            .find(|stretch| stretch.charged_before <= charged)
            .map_or(Money::ZERO, |stretch| {
                stretch.business_before + (charged - stretch.charged_before).share(stretch.share)
            })
    }

    /// The last day on which something may be charged.
    pub(super) fn last_day(&self) -> NaiveDate {
        let equipment = self.equipment;
        let (life, from) = self
            .stretches
            .last()
            .map_or((equipment.life_months, NaiveDate::MIN), |stretch| {
                (stretch.life_months, stretch.from)
            });
        let months = i32::try_from(life).unwrap_or(i32::MAX / 24);
        let first = Month::of(equipment.in_service_on);
        let end = match equipment.convention {
            Convention::MonthInService => first.plus(months - 1).last_day(),
            Convention::MonthAfter => first.plus(months).last_day(),
            Convention::ByDay => add_months(equipment.in_service_on, months)
                .pred_opt()
                .unwrap_or(NaiveDate::MAX),
            Convention::HalfYear => {
                let further_years = (months - 6).max(0).div_euclid(12)
                    + i32::from((months - 6).max(0).rem_euclid(12) > 0);
                let year = self.years.year_of(equipment.in_service_on) + further_years;
                self.years.year_ending_in(year).to
            }
        };
        let end = end.max(from);
        equipment
            .disposal
            .as_ref()
            .map_or(end, |disposal| end.min(disposal.on))
    }

    /// The length of a whole life, in the units of [`Course::run`].
    fn whole_run(&self, life_months: u32) -> i64 {
        let months = i64::from(life_months);
        match self.equipment.convention {
            Convention::MonthInService | Convention::MonthAfter => months,
            Convention::ByDay => {
                let first = self.equipment.in_service_on;
                let end = add_months(first, i32::try_from(life_months).unwrap_or(i32::MAX));
                (end - first).num_days().max(1)
            }
            Convention::HalfYear => months * MONTH_PARTS,
        }
    }

    /// How much of a life has run through the end of the day: in months, days or parts of months as the convention
    /// counts, from the beginning, never more than the whole. A disposal stops it.
    fn run(&self, on: NaiveDate, life_months: u32) -> i64 {
        let equipment = self.equipment;
        let first = equipment.in_service_on;
        let gone = equipment
            .disposal
            .as_ref()
            .map(|disposal| disposal.on)
            .filter(|gone_on| *gone_on <= on);
        let run = match (equipment.convention, gone) {
            // In both monthly conventions the months between the two dates are charged: the first one and not the
            // last, or the last one and not the first.
            (Convention::MonthInService | Convention::MonthAfter, Some(gone_on)) => {
                months_between(first, gone_on)
            }
            (Convention::MonthInService, None) => completed_months(first, on),
            (Convention::MonthAfter, None) => completed_months(first, on) - 1,
            (Convention::ByDay, Some(gone_on)) => (gone_on - first).num_days(),
            (Convention::ByDay, None) => (on - first).num_days() + 1,
            (Convention::HalfYear, _) => self.half_year_run(on, life_months),
        };
        run.clamp(0, self.whole_run(life_months))
    }

    /// Half a year in the first financial year, whole years after it, what is left (half a year for a life of whole
    /// years) in the last; half a year in the year of disposal. Within a year the months share it evenly.
    fn half_year_run(&self, on: NaiveDate, life_months: u32) -> i64 {
        let first = self.equipment.in_service_on;
        if on < first {
            return 0;
        }
        let life = i64::from(life_months);
        let first_year = self.years.year_of(first);
        let years_before = |year: i32| i64::from((year - first_year).max(0));
        let run_before = |years: i64| {
            if years == 0 {
                0
            } else {
                life.min(6 + 12 * (years - 1))
            }
        };
        let year = self.years.year_of(on);
        let years = years_before(year);
        let days = self.years.year_ending_in(year);
        let first_month = Month::of(days.from.max(first));
        let months = i64::from(Month::of(days.to).index() - first_month.index() + 1).max(1);
        let passed = completed_months(first_month.first_day(), on);
        let (before, after) = (run_before(years), run_before(years + 1));
        let mut run = before * MONTH_PARTS + (after - before) * MONTH_PARTS * passed / months;
        if let Some(disposal) = &self.equipment.disposal {
            let gone_years = years_before(self.years.year_of(disposal.on));
            let allowed = life.min(run_before(gone_years) + 6) * MONTH_PARTS;
            if on >= disposal.on && disposal.on >= first {
                run = allowed;
            } else {
                run = run.min(allowed);
            }
        }
        run
    }
}

/// Whole months from the month of `first` that are over at the end of the day.
fn completed_months(first: NaiveDate, on: NaiveDate) -> i64 {
    let is_last_day = on.succ_opt().is_none_or(|next| next.month() != on.month());
    months_between(first, on) + i64::from(is_last_day)
}

/// Months from the month of `first` to the month of `last`, not counting the last.
fn months_between(first: NaiveDate, last: NaiveDate) -> i64 {
    i64::from(Month::of(last).index() - Month::of(first).index())
}

/// `amount` × `run` ÷ `whole`, rounded halves up; none of them negative.
fn part(amount: Money, run: i128, whole: i128) -> Money {
    let doubled = 2 * i128::from(amount.minor()) * run + whole;
    Money::from_minor(i64::try_from(doubled / (2 * whole)).unwrap_or(i64::MAX))
}

fn at_least_nothing(amount: Money) -> Money {
    amount.max(Money::ZERO)
}
