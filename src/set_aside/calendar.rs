//! When instalments are due: the periods of a calendar file, or a book's own quarters.
//! The files under `assets/rates` hold every date; the code only moves days off weekends and holidays.

use std::sync::OnceLock;

use chrono::{Datelike as _, NaiveDate, Weekday};
use serde::Deserialize;

use super::holidays::{Holiday, HolidayFile, sourced, weekday, why_closed};
use crate::dates::{DateRange, Month, YearStart, add_months, parse_iso, show_day};
use crate::money::Currency;

/// The text of every calendar file of the program, by the calendar's name.
fn files() -> impl Iterator<Item = (&'static str, &'static str)> {
    super::rates::shipped_files()
        .iter()
        .filter_map(|(file, text)| Some((calendar_of(file)?, *text)))
}

/// The name of the calendar that a file of this name holds.
pub(super) fn calendar_of(file: &str) -> Option<&str> {
    file.strip_prefix("calendar-")?.strip_suffix(".toml")
}

/// The name of the calendar of a book's own quarters.
const QUARTERS: &str = "quarters";

/// One period and the day its instalment is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// Its place in the year, from 1.
    pub no: u32,
    /// The days whose profit it covers.
    pub period: DateRange,
    /// The day it is due, moved off weekends and holidays where the calendar does so.
    pub due: NaiveDate,
    /// Why the day was moved: `15 Jun 2024 is a Saturday`; empty when it was not.
    pub moved_because: String,
}

/// A calendar of instalments.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// Its name in settings.
    pub name: String,
    /// What people read.
    pub title: String,
    /// Where its dates are published.
    pub source: String,
    /// The day they were checked there, if they are anybody's but the owner's.
    pub checked: Option<NaiveDate>,
    first_year: i32,
    tax_year: TaxYearFile,
    periods: Vec<PeriodFile>,
    weekend: Vec<Weekday>,
    moving: Moving,
    holidays: Vec<Holiday>,
}

impl Calendar {
    /// A book's own financial quarters, each due on its last day: nobody's rule but the owner's.
    #[must_use]
    pub fn quarters() -> Self {
        Self {
            name: QUARTERS.to_owned(),
            title: "Your own quarters".to_owned(),
            source: "your own quarters; not the due days of any office".to_owned(),
            checked: None,
            first_year: i32::MIN,
            tax_year: TaxYearFile::default(),
            periods: Vec::new(),
            weekend: Vec::new(),
            moving: Moving::After,
            holidays: Vec::new(),
        }
    }

    /// How many payments a tax year has; none for a book's own quarters.
    pub(crate) fn payments(&self) -> Option<usize> {
        (!self.periods.is_empty()).then_some(self.periods.len())
    }

    /// Whether its tax year begins on this day.
    pub(crate) fn begins_with(&self, month: u32, day: u32) -> bool {
        self.tax_year.month == month && self.tax_year.day == day
    }

    /// The calendar with this name.
    ///
    /// # Errors
    /// When there is none, or its file has a hole.
    pub fn named(name: &str) -> Result<Self, CalendarError> {
        if name.trim() == QUARTERS {
            return Ok(Self::quarters());
        }
        let (_, text) = files()
            .find(|(known, _)| *known == name.trim())
            .ok_or_else(|| CalendarError::Unknown {
                wanted: name.to_owned(),
                known: calendar_names().join(", "),
            })?;
        Self::read(name.trim(), text)
    }

    /// The calendar offered to a book: its country's when its years are calendar years, else its own quarters.
    #[must_use]
    pub fn for_book(currency_code: &str, years: YearStart) -> Self {
        if years.month() != 1 {
            return Self::quarters();
        }
        // The files are part of the program, so they are read once.
        static READ: OnceLock<Vec<(String, Calendar)>> = OnceLock::new();
        let known = READ.get_or_init(|| {
            files()
                .filter_map(|(name, text)| {
                    let file: CalendarFile = toml::from_str(text).ok()?;
                    // Books of a place whose tax year is another keep their own quarters.
                    let is_calendar_year = file.tax_year.is_none();
                    let read = Self::read(name, text).ok()?;
                    let is_offered = is_calendar_year && !file.currency.is_empty();
                    is_offered.then_some((file.currency, read))
                })
                .collect()
        });
        known
            .iter()
            .find(|(currency, _calendar)| currency == currency_code)
            .map_or_else(Self::quarters, |(_currency, calendar)| calendar.clone())
    }

    /// Reads the text of a calendar file.
    ///
    /// # Errors
    /// When it has a hole: a source, a day checked, a period or a rule is missing or cannot be.
    pub fn read(name: &str, text: &str) -> Result<Self, CalendarError> {
        let hole = |what: String| CalendarError::Hole {
            name: name.to_owned(),
            what,
        };
        let file: CalendarFile =
            toml::from_str(text).map_err(|error| hole(error.message().to_owned()))?;
        file.check(name).map_err(hole)?;
        let weekend = file
            .weekend
            .days
            .iter()
            .map(|day| weekday(day))
            .collect::<Result<Vec<_>, _>>()
            .map_err(hole)?;
        let holidays = file
            .holiday
            .iter()
            .map(HolidayFile::read)
            .collect::<Result<Vec<_>, _>>()
            .map_err(hole)?;
        Ok(Self {
            name: file.name,
            title: file.title,
            source: file.source,
            checked: parse_iso(&file.checked).ok(),
            first_year: file.from_year,
            tax_year: file.tax_year.unwrap_or_default(),
            periods: file.period,
            weekend,
            moving: file.weekend.moving,
            holidays,
        })
    }

    /// The legal holidays from a day to another on which the calendar's office is closed, each with its name.
    #[must_use]
    pub fn holidays(&self, days: DateRange) -> Vec<(NaiveDate, String)> {
        days.from
            .iter_days()
            .take_while(|day| *day <= days.to)
            .filter_map(|day| Some((day, why_closed(day, &[], &self.holidays)?)))
            .collect()
    }

    /// The periods of the financial year that ends in `year`, with the days they are due.
    ///
    /// # Errors
    /// When the calendar does not reach back to that year, or the book's years are not calendar years.
    pub fn dues(&self, year: i32, years: YearStart) -> Result<Vec<Due>, CalendarError> {
        let days = years.year_ending_in(year);
        if self.periods.is_empty() {
            let quarters = days.by_quarter().into_iter().zip(1..);
            return Ok(quarters
                .map(|(period, no)| self.due(no, period, period.to))
                .collect());
        }
        if years.month() != self.tax_year.month {
            return Err(CalendarError::NotCalendarYears(self.title.clone()));
        }
        let from = self.tax_year.begins_in(days.from.year());
        self.dues_of(from)
    }

    /// The periods of the tax year that begins on this day, with the days they are due.
    ///
    /// # Errors
    /// When the calendar does not reach back to that year.
    pub fn dues_of(&self, begins: NaiveDate) -> Result<Vec<Due>, CalendarError> {
        let year = begins.year();
        if year < self.first_year {
            return Err(CalendarError::TooEarly {
                title: self.title.clone(),
                year,
                nearest: self.first_year,
            });
        }
        let ends = add_months(begins, 12).pred_opt().unwrap_or(begins);
        let mut from = begins;
        let mut dues = Vec::with_capacity(self.periods.len());
        for (period, no) in self.periods.iter().zip(1..) {
            let (from_day, to) = match period.through_month {
                None => (begins, ends),
                Some(month) => {
                    let later = i32::from(month < begins.month());
                    (from, Month::new(year + later, month).last_day().min(ends))
                }
            };
            let due_year = year + period.due_years + i32::from(period.due_next_year);
            let due = NaiveDate::from_ymd_opt(due_year, period.due_month, period.due_day)
                .unwrap_or_else(|| Month::new(due_year, period.due_month).last_day());
            let days = DateRange { from: from_day, to };
            dues.push(self.due(no, days, due));
            from = to.succ_opt().unwrap_or(to);
        }
        Ok(dues)
    }

    /// The days on which a payment counts for the tax year that begins on this day: a year's length, from the day after
    /// the last due day before. Where payments go on after the year that follows, from two months before the first.
    ///
    /// # Errors
    /// As for [`Calendar::dues_of`].
    pub fn payment_days_of(&self, begins: NaiveDate) -> Result<DateRange, CalendarError> {
        let dues = self.dues_of(begins)?;
        let (Some(first), Some(last)) = (dues.first(), dues.last()) else {
            let to = add_months(begins, 12).pred_opt().unwrap_or(begins);
            return Ok(DateRange { from: begins, to });
        };
        if last.due >= add_months(first.due, 12) {
            let from = add_months(first.due, -2);
            let to = add_months(from, 12).pred_opt().unwrap_or(from);
            return Ok(DateRange { from, to });
        }
        let before = self.dues_of(add_months(begins, -12)).ok();
        let from = before
            .and_then(|dues| dues.last().map(|due| due.due))
            .and_then(|due| due.succ_opt())
            .unwrap_or(begins);
        Ok(DateRange { from, to: last.due })
    }

    /// The days on which a payment counts for the financial year that ends in `year`: from the day after the last due
    /// day of the year before to the last due day of the year. A January instalment belongs to the year it was due for.
    ///
    /// # Errors
    /// As for [`Calendar::dues`].
    pub fn payment_days(&self, year: i32, years: YearStart) -> Result<DateRange, CalendarError> {
        let days = years.year_ending_in(year);
        let last = |dues: &[Due]| dues.last().map(|due| due.due);
        // The first year a calendar knows has nothing before it that could still be paid in it.
        let before = self.dues(year - 1, years).ok();
        let from = before
            .and_then(|dues| last(&dues))
            .and_then(|due| due.succ_opt())
            .unwrap_or(days.from);
        let to = last(&self.dues(year, years)?).unwrap_or(days.to);
        Ok(DateRange { from, to })
    }

    fn due(&self, no: u32, period: DateRange, due: NaiveDate) -> Due {
        let mut moved = due;
        let mut reasons = Vec::new();
        while let Some(reason) = why_closed(moved, &self.weekend, &self.holidays) {
            reasons.push(format!("{} is {reason}", show_day(moved)));
            let next = match self.moving {
                Moving::After => moved.succ_opt(),
                Moving::Before => moved.pred_opt(),
            };
            let Some(next) = next else { break };
            moved = next;
        }
        Due {
            no,
            period,
            due: moved,
            moved_because: reasons.join(", "),
        }
    }
}

/// The names of all calendars.
#[must_use]
pub fn calendar_names() -> Vec<&'static str> {
    files().map(|(name, _)| name).chain([QUARTERS]).collect()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CalendarFile {
    name: String,
    title: String,
    source: String,
    checked: String,
    from_year: i32,
    #[serde(default)]
    currency: String,
    tax_year: Option<TaxYearFile>,
    period: Vec<PeriodFile>,
    weekend: WeekendFile,
    #[serde(default)]
    holiday: Vec<HolidayFile>,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct PeriodFile {
    through_month: Option<u32>,
    due_month: u32,
    due_day: u32,
    #[serde(default)]
    due_next_year: bool,
    #[serde(default)]
    due_years: i32,
}

/// The day a tax year begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct TaxYearFile {
    month: u32,
    day: u32,
}

impl Default for TaxYearFile {
    fn default() -> Self {
        Self { month: 1, day: 1 }
    }
}

impl TaxYearFile {
    fn begins_in(self, year: i32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, self.month, self.day)
            .unwrap_or_else(|| Month::new(year, self.month).first_day())
    }
}

/// Where a day goes that is no working day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Moving {
    #[default]
    After,
    Before,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WeekendFile {
    days: Vec<String>,
    #[serde(default)]
    moving: Moving,
    source: String,
    checked: String,
}

impl CalendarFile {
    /// Looks for holes; what is wrong in words.
    fn check(&self, name: &str) -> Result<(), String> {
        if self.name != name || self.name == QUARTERS {
            return Err(format!("its name is '{}'", self.name));
        }
        if self.title.trim().is_empty() {
            return Err("its title is missing".to_owned());
        }
        if !self.currency.is_empty() && Currency::from_code(&self.currency).is_err() {
            return Err(format!("'{}' is no ISO 4217 code", self.currency));
        }
        sourced("the calendar", &self.source, &self.checked)?;
        sourced("the weekend", &self.weekend.source, &self.weekend.checked)?;
        if self.weekend.days.len() > 6 {
            return Err("every day of the week is a weekend".to_owned());
        }
        let tax_year = self.tax_year.unwrap_or_default();
        if NaiveDate::from_ymd_opt(2023, tax_year.month, tax_year.day).is_none() {
            return Err("the day on which the tax year begins does not exist".to_owned());
        }
        // Months from the one the tax year begins in; a tax year that begins within a month ends within it.
        let place = |month: u32| (month + 12 - tax_year.month) % 12 + 1;
        let mut through = 0;
        let mut last_due = None;
        for (period, no) in self.period.iter().zip(1..) {
            // 2023 has no 29 February, so a due day that exists in it exists in every year.
            let years = 2023 + period.due_years + i32::from(period.due_next_year);
            let due = NaiveDate::from_ymd_opt(2023, period.due_month, period.due_day)
                .and_then(|due| NaiveDate::from_ymd_opt(years, due.month(), due.day()));
            let Some(due) = due else {
                return Err(format!("the due day of period {no} does not exist"));
            };
            let Some(month) = period.through_month else {
                if last_due.is_some_and(|last| due <= last) {
                    return Err(format!("period {no} is not due after the one before"));
                }
                last_due = Some(due);
                continue;
            };
            if !(1..=12).contains(&month) || place(month) <= through {
                return Err(format!("period {no} does not follow the one before"));
            }
            through = place(month);
            let ends = Month::new(2023 + i32::from(month < tax_year.month), month);
            if due < ends.first_day() {
                return Err(format!("period {no} is due before it ends"));
            }
        }
        let are_parts = self.period.iter().any(|one| one.through_month.is_some());
        if through != 12 && (are_parts || self.period.is_empty()) {
            return Err("the periods do not reach the end of the year".to_owned());
        }
        Ok(())
    }
}

/// Why a calendar cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CalendarError {
    /// No calendar has that name.
    #[error("there is no calendar '{wanted}'; the calendars are {known}")]
    Unknown {
        /// The name asked for.
        wanted: String,
        /// The names there are.
        known: String,
    },
    /// The file lacks something.
    #[error("the calendar '{name}' cannot be used: {what}")]
    Hole {
        /// The calendar.
        name: String,
        /// What is missing or wrong.
        what: String,
    },
    /// The file does not reach back that far.
    #[error("{title} has no dates for {year}; the nearest year it has is {nearest}")]
    TooEarly {
        /// The calendar.
        title: String,
        /// The year asked for.
        year: i32,
        /// The nearest year it holds for.
        nearest: i32,
    },
    /// The calendar follows calendar years and the book does not.
    #[error(
        "{0} follows the tax year, and this book's years begin in another month; use the book's own quarters"
    )]
    NotCalendarYears(String),
}
