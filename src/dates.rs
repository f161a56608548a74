//! Days, months, ranges and financial years. "Today" is always a parameter.
//! Nothing here knows a calendar of holidays or due dates.

use std::fmt;

use chrono::{Datelike, Months, NaiveDate};

/// A calendar month, counted so that months can be compared and stepped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(i32);

impl Month {
    /// The month of a year, `month` from 1 to 12 (held within that range).
    #[must_use]
    pub fn new(year: i32, month: u32) -> Self {
        let month = i32::try_from(month.clamp(1, 12)).unwrap_or(1);
        Self(year * 12 + month - 1)
    }

    /// The month a day falls in.
    #[must_use]
    pub fn of(date: NaiveDate) -> Self {
        Self::new(date.year(), date.month())
    }

    /// The running number of the month (year × 12 + month − 1), as it is stored.
    #[must_use]
    pub const fn index(self) -> i32 {
        self.0
    }

    /// The month with this running number.
    #[must_use]
    pub const fn from_index(index: i32) -> Self {
        Self(index)
    }

    /// The year it belongs to.
    #[must_use]
    pub const fn year(self) -> i32 {
        self.0.div_euclid(12)
    }

    /// The month in the year, 1 to 12.
    #[must_use]
    pub fn month(self) -> u32 {
        u32::try_from(self.0.rem_euclid(12) + 1).unwrap_or(1)
    }

    /// The month `months` later (earlier when negative).
    #[must_use]
    pub const fn plus(self, months: i32) -> Self {
        Self(self.0 + months)
    }

    /// Its first day.
    #[must_use]
    pub fn first_day(self) -> NaiveDate {
        NaiveDate::from_ymd_opt(self.year(), self.month(), 1).unwrap_or(NaiveDate::MIN)
    }

    /// Its last day.
    #[must_use]
    pub fn last_day(self) -> NaiveDate {
        self.plus(1)
            .first_day()
            .pred_opt()
            .unwrap_or(NaiveDate::MIN)
    }

    /// Its days as a range.
    #[must_use]
    pub fn range(self) -> DateRange {
        DateRange {
            from: self.first_day(),
            to: self.last_day(),
        }
    }

    /// Its English name, as `March`.
    #[must_use]
    pub fn name(self) -> &'static str {
        const NAMES: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        NAMES[self.0.rem_euclid(12) as usize]
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.name(), self.year())
    }
}

/// A stretch of days, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct DateRange {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
}

impl DateRange {
    /// A range, or `None` when it would end before it begins.
    #[must_use]
    pub fn new(from: NaiveDate, to: NaiveDate) -> Option<Self> {
        (from <= to).then_some(Self { from, to })
    }

    /// Whether the day lies in the range.
    #[must_use]
    pub fn contains(&self, date: NaiveDate) -> bool {
        self.from <= date && date <= self.to
    }

    /// Its calendar months in order, the first and last possibly in part.
    pub fn months(&self) -> impl Iterator<Item = Month> + use<> {
        (Month::of(self.from).index()..=Month::of(self.to).index()).map(Month::from_index)
    }

    /// The range cut into calendar months, the first and last possibly in part.
    #[must_use]
    pub fn by_month(&self) -> Vec<Self> {
        self.cut(1)
    }

    /// The range cut into quarters counted from its first month.
    #[must_use]
    pub fn by_quarter(&self) -> Vec<Self> {
        self.cut(3)
    }

    fn cut(&self, months: i32) -> Vec<Self> {
        let mut parts = Vec::new();
        let mut first = Month::of(self.from);
        while first.first_day() <= self.to {
            let last = first.plus(months - 1);
            parts.push(Self {
                from: first.first_day().max(self.from),
                to: last.last_day().min(self.to),
            });
            first = first.plus(months);
        }
        parts
    }

    /// The same range one year earlier.
    #[must_use]
    pub fn a_year_before(&self) -> Self {
        Self {
            from: add_months(self.from, -12),
            to: if self.to == Month::of(self.to).last_day() {
                Month::of(self.to).plus(-12).last_day()
            } else {
                add_months(self.to, -12)
            },
        }
    }
}

/// The rule that says when a book's financial years begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YearStart {
    month: u32,
}

impl YearStart {
    /// Years that begin on the first of `month` (1 to 12), or `None` for another number.
    #[must_use]
    pub fn new(month: u32) -> Option<Self> {
        (1..=12).contains(&month).then_some(Self { month })
    }

    /// The month the year begins in, 1 to 12.
    #[must_use]
    pub const fn month(self) -> u32 {
        self.month
    }

    /// The financial year that ends in the calendar year `ending`.
    #[must_use]
    pub fn year_ending_in(self, ending: i32) -> DateRange {
        let first = if self.month == 1 {
            Month::new(ending, 1)
        } else {
            Month::new(ending - 1, self.month)
        };
        DateRange {
            from: first.first_day(),
            to: first.plus(11).last_day(),
        }
    }

    /// The calendar year in which the financial year of this day ends; the year's name.
    #[must_use]
    pub fn year_of(self, date: NaiveDate) -> i32 {
        if self.month > 1 && date.month() >= self.month {
            date.year() + 1
        } else {
            date.year()
        }
    }

    /// The financial year that the day falls in.
    #[must_use]
    pub fn containing(self, date: NaiveDate) -> DateRange {
        self.year_ending_in(self.year_of(date))
    }
}

impl Default for YearStart {
    fn default() -> Self {
        Self { month: 1 }
    }
}

/// The day `months` later (earlier when negative), held at the end of a shorter month.
#[must_use]
pub fn add_months(date: NaiveDate, months: i32) -> NaiveDate {
    let steps = Months::new(months.unsigned_abs());
    let moved = if months < 0 {
        date.checked_sub_months(steps)
    } else {
        date.checked_add_months(steps)
    };
    moved.unwrap_or(date)
}

/// Reads a day written `YYYY-MM-DD`, between the years 1900 and 2200.
///
/// # Errors
/// When it is not such a day.
pub fn parse_iso(text: &str) -> Result<NaiveDate, DateError> {
    let trimmed = text.trim();
    let refused = || DateError(text.to_owned());
    if trimmed.len() != 10 {
        return Err(refused());
    }
    NaiveDate::parse_from_str(trimmed, "%Y-%m-%d")
        .ok()
        .filter(|date| (1900..=2200).contains(&date.year()))
        .ok_or_else(refused)
}

/// A day for people: `28 Sep 2026`.
#[must_use]
pub fn show_day(date: NaiveDate) -> String {
    let month = Month::of(date);
    format!("{} {} {}", date.day(), &month.name()[..3], month.year())
}

/// A text that is no day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a date; write it as 2026-01-31")]
pub struct DateError(pub String);

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    #[test]
    fn a_year_is_named_after_the_calendar_year_it_ends_in() {
        let april = YearStart::new(4).expect("April");
        assert_eq!(april.year_of(day("2026-03-31")), 2026);
        assert_eq!(april.year_of(day("2026-04-01")), 2027);
        assert_eq!(april.year_ending_in(2027).from, day("2026-04-01"));
        assert_eq!(april.year_ending_in(2027).to, day("2027-03-31"));
    }

    #[test]
    fn days_that_do_not_exist_are_refused() {
        for text in [
            "2026-02-30",
            "2026-2-3",
            "26-02-03",
            "",
            "2026-13-01",
            "0026-01-01",
            "01/02/2026",
        ] {
            assert!(parse_iso(text).is_err(), "{text}");
        }
        assert!(parse_iso("2024-02-29").is_ok());
    }

    #[test]
    fn ranges_are_cut_into_whole_and_part_months() {
        let range = DateRange::new(day("2026-01-15"), day("2026-03-10")).expect("in order");
        let months = range.by_month();
        assert_eq!(months.len(), 3);
        assert_eq!(months[0].to, day("2026-01-31"));
        assert_eq!(months[2].to, day("2026-03-10"));
    }

    #[test]
    fn a_year_before_keeps_month_ends() {
        let range = DateRange::new(day("2024-02-01"), day("2024-02-29")).expect("in order");
        assert_eq!(range.a_year_before().to, day("2023-02-28"));
    }
}
