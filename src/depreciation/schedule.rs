//! Straight-line schedules of a piece of equipment: by year, by month, on any day.
//! Which of it is posted is `proposal`'s business.

use chrono::NaiveDate;

use super::Equipment;
use super::course::Course;
use crate::dates::{DateRange, Month, YearStart, show_day};
use crate::money::Money;

/// A charge and how it is shared.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Charge {
    /// All of it.
    pub whole: Money,
    /// The business's part, a cost.
    pub business: Money,
    /// The rest, the owner's own.
    pub private: Money,
}

/// One financial year of a schedule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScheduleYear {
    /// The calendar year in which the financial year ends.
    pub year: i32,
    /// The days of the financial year.
    pub range: DateRange,
    /// The whole charge of the year.
    pub charge: Money,
    /// The business's part of it.
    pub business_charge: Money,
    /// Charged since the beginning.
    pub accumulated: Money,
    /// Cost less accumulated depreciation at the end of the year, or on the day it went.
    pub book_value: Money,
}

/// One calendar month of a schedule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScheduleMonth {
    /// The month.
    pub month: Month,
    /// The whole charge of the month.
    pub charge: Money,
    /// The business's part of it.
    pub business_charge: Money,
    /// Charged since the beginning.
    pub accumulated: Money,
    /// Cost less accumulated depreciation at the end of the month, or on the day it went.
    pub book_value: Money,
}

impl Equipment {
    /// What the schedule has charged through the end of the day: the exact cumulative charge, rounded once, so that
    /// differences of it add up to the cost less the residual value. In the monthly conventions and in the half-year
    /// one a month is charged on its last day; by day, every day. It stops on the day of disposal.
    ///
    /// It follows the terms alone. What a business that already ran had charged before
    /// ([`Equipment::charged_before`]) is compared with it when charges are proposed, and usually equals it on the
    /// eve of the book's first day.
    #[must_use]
    pub fn accumulated(&self, on: NaiveDate, years: YearStart) -> Money {
        Course::new(self, years).charged(on)
    }

    /// Cost less accumulated depreciation at the end of the day; nothing before it was bought and once it has gone.
    #[must_use]
    pub fn carrying_amount(&self, on: NaiveDate, years: YearStart) -> Money {
        if on < self.bought_on || self.is_gone(on) {
            return Money::ZERO;
        }
        self.cost - self.accumulated(on, years)
    }

    /// Whether it has gone by the end of the day.
    #[must_use]
    pub fn is_gone(&self, on: NaiveDate) -> bool {
        self.disposal
            .as_ref()
            .is_some_and(|disposal| disposal.on <= on)
    }

    /// Whether nothing is left to charge at the end of the day while it is still there.
    #[must_use]
    pub fn is_fully_depreciated(&self, on: NaiveDate, years: YearStart) -> bool {
        on >= self.in_service_on
            && !self.is_gone(on)
            && self.accumulated(on, years) + self.residual_on(on) >= self.cost
    }

    /// The residual value that holds on the day.
    #[must_use]
    pub fn residual_on(&self, on: NaiveDate) -> Money {
        self.changes
            .iter()
            .rev()
            .find(|change| change.from <= on)
            .map_or(self.residual, |change| change.residual)
    }

    /// The whole life in months that holds on the day.
    #[must_use]
    pub fn life_months_on(&self, on: NaiveDate) -> u32 {
        self.changes
            .iter()
            .rev()
            .find(|change| change.from <= on)
            .map_or(self.life_months, |change| change.life_months)
    }

    /// What the schedule charges within a range of days.
    #[must_use]
    pub fn charge_in(&self, range: DateRange, years: YearStart) -> Charge {
        let course = Course::new(self, years);
        let eve = range.from.pred_opt().unwrap_or(range.from);
        charge_between(&course, course.charged(eve), course.charged(range.to))
    }

    /// The charge that brings what is `charged` so far (in this book and before it) up to the end of the day.
    #[must_use]
    pub fn charge_up_to(&self, on: NaiveDate, charged: Money, years: YearStart) -> Charge {
        let course = Course::new(self, years);
        charge_between(&course, charged, course.charged(on))
    }

    /// The schedule by financial years, from the one in service (or the first with a charge) to the last with one.
    #[must_use]
    pub fn yearly_schedule(&self, years: YearStart) -> Vec<ScheduleYear> {
        let course = Course::new(self, years);
        let first = years.year_of(self.in_service_on);
        let last = years.year_of(course.last_day()).max(first);
        let mut before = Money::ZERO;
        let rows = (first..=last).map(|year| {
            let range = years.year_ending_in(year);
            let accumulated = course.charged(range.to);
            let charge = charge_between(&course, before, accumulated);
            before = accumulated;
            ScheduleYear {
                year,
                range,
                charge: charge.whole,
                business_charge: charge.business,
                accumulated,
                book_value: self.cost - accumulated,
            }
        });
        without_idle_start(rows.collect(), |row| row.charge)
    }

    /// The schedule by calendar months, from the one in service (or the first with a charge) to the last with one.
    #[must_use]
    pub fn monthly_schedule(&self, years: YearStart) -> Vec<ScheduleMonth> {
        let course = Course::new(self, years);
        let first = Month::of(self.in_service_on);
        let last = Month::of(course.last_day()).max(first);
        let mut before = Money::ZERO;
        let rows = (first.index()..=last.index()).map(|index| {
            let month = Month::from_index(index);
            let accumulated = course.charged(month.last_day());
            let charge = charge_between(&course, before, accumulated);
            before = accumulated;
            ScheduleMonth {
                month,
                charge: charge.whole,
                business_charge: charge.business,
                accumulated,
                book_value: self.cost - accumulated,
            }
        });
        without_idle_start(rows.collect(), |row| row.charge)
    }

    /// What the terms charge before a book's first day: the usual [`Equipment::charged_before`] of a business that
    /// already ran.
    #[must_use]
    pub fn scheduled_before(&self, first_day: NaiveDate, years: YearStart) -> Money {
        first_day
            .pred_opt()
            .map_or(Money::ZERO, |eve| self.accumulated(eve, years))
    }

    /// The formula of a year's charge on the terms that hold on the day, in words:
    /// `(cost − residual) ÷ life, from 3 Mar 2026`.
    #[must_use]
    pub fn terms_in_words(&self, on: NaiveDate) -> String {
        let life = match self.life_months_on(on) {
            1 => "1 month".to_owned(),
            months => format!("{months} months"),
        };
        format!(
            "straight line over {life} from {}, {}",
            show_day(self.in_service_on),
            self.convention.plain()
        )
    }
}

fn charge_between(course: &Course<'_>, before: Money, after: Money) -> Charge {
    let whole = after - before;
    let business = course.business_part(after) - course.business_part(before);
    Charge {
        whole,
        business,
        private: whole - business,
    }
}

/// Leaves out the periods before the first charge, unless nothing is ever charged.
fn without_idle_start<T>(rows: Vec<T>, charge: impl Fn(&T) -> Money) -> Vec<T> {
    let idle = rows.iter().position(|row| !charge(row).is_zero());
    rows.into_iter().skip(idle.unwrap_or(0)).collect()
}
