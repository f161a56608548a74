//! The period that is chosen once and holds in every room.
//! Which day it is, and when years begin, come from outside.

use chrono::NaiveDate;

use crate::dates::{DateRange, Month, YearStart, show_day};

/// A choice of period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PeriodChoice {
    /// The month up to today.
    ThisMonth,
    /// The month before.
    LastMonth,
    /// The quarter of the financial year, up to today.
    ThisQuarter,
    /// The financial year, up to today.
    ThisYear,
    /// The financial year before.
    LastYear,
    /// From the book's first day to today.
    All,
    /// Any two days.
    Custom(DateRange),
}

impl PeriodChoice {
    /// The choices that have a name.
    pub const NAMED: [Self; 6] = [
        Self::ThisMonth,
        Self::LastMonth,
        Self::ThisQuarter,
        Self::ThisYear,
        Self::LastYear,
        Self::All,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ThisMonth => "This month",
            Self::LastMonth => "Last month",
            Self::ThisQuarter => "This quarter",
            Self::ThisYear => "This year",
            Self::LastYear => "Last year",
            Self::All => "All of the book",
            Self::Custom(_) => "Other days",
        }
    }

    /// The days it means. A running period ends today, or with the last entry when that lies ahead.
    #[must_use]
    pub fn range(self, days: &BookDays) -> DateRange {
        let year = days.year_start.containing(days.today);
        let whole = match self {
            Self::ThisMonth => Month::of(days.today).range(),
            Self::LastMonth => Month::of(days.today).plus(-1).range(),
            Self::ThisQuarter => year
                .by_quarter()
                .into_iter()
                .find(|quarter| quarter.contains(days.today))
                .unwrap_or(year),
            Self::ThisYear => year,
            Self::LastYear => year.a_year_before(),
            Self::All => {
                let from = days
                    .covered
                    .map_or(days.first_day, |covered| covered.from.min(days.first_day));
                let to = days
                    .covered
                    .map_or(days.today, |covered| covered.to.max(days.today));
                DateRange {
                    from,
                    to: to.max(from),
                }
            }
            Self::Custom(range) => return range,
        };
        let last = days
            .covered
            .map_or(days.today, |covered| covered.to.max(days.today));
        DateRange {
            from: whole.from,
            to: whole.to.min(last).max(whole.from),
        }
    }

    /// The choice a book opens with: this year when something is in it, else the last year, else everything.
    #[must_use]
    pub fn fitting(days: &BookDays) -> Self {
        let Some(covered) = days.covered else {
            return Self::ThisYear;
        };
        [Self::ThisYear, Self::LastYear]
            .into_iter()
            .find(|choice| {
                let range = choice.range(days);
                covered.from <= range.to && range.from <= covered.to
            })
            .unwrap_or(Self::All)
    }
}

/// The days that periods are worked out from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BookDays {
    /// The day it is.
    pub today: NaiveDate,
    /// The book's first day.
    pub first_day: NaiveDate,
    /// When financial years begin.
    pub year_start: YearStart,
    /// The days that entries cover.
    pub covered: Option<DateRange>,
}

/// A range in words: `January to September 2026`, `September 2026`, `3 Feb 2026 to 9 Mar 2026`. The last month may be
/// under way.
#[must_use]
pub fn in_words(range: DateRange, today: NaiveDate) -> String {
    let (from, to) = (Month::of(range.from), Month::of(range.to));
    let ends_whole = range.to == to.last_day() || range.to == today;
    if range.from != from.first_day() || !ends_whole {
        return format!("{} to {}", show_day(range.from), show_day(range.to));
    }
    if from == to {
        from.to_string()
    } else if from.year() == to.year() {
        format!("{} to {to}", from.name())
    } else {
        format!("{from} to {to}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    fn days() -> BookDays {
        BookDays {
            today: day("2026-09-30"),
            first_day: day("2025-08-01"),
            year_start: YearStart::default(),
            covered: DateRange::new(day("2025-08-01"), day("2026-09-24")),
        }
    }

    #[test]
    fn running_periods_end_today() {
        let rows = [
            (PeriodChoice::ThisMonth, "September 2026"),
            (PeriodChoice::LastMonth, "August 2026"),
            (PeriodChoice::ThisQuarter, "July to September 2026"),
            (PeriodChoice::ThisYear, "January to September 2026"),
            (PeriodChoice::LastYear, "January to December 2025"),
            (PeriodChoice::All, "August 2025 to September 2026"),
        ];
        for (choice, words) in rows {
            assert_eq!(in_words(choice.range(&days()), days().today), words);
        }
    }

    #[test]
    fn a_book_opens_where_something_is() {
        assert_eq!(PeriodChoice::fitting(&days()), PeriodChoice::ThisYear);
        let old = BookDays {
            today: day("2027-02-01"),
            ..days()
        };
        assert_eq!(PeriodChoice::fitting(&old), PeriodChoice::LastYear);
        let older = BookDays {
            today: day("2030-02-01"),
            ..days()
        };
        assert_eq!(PeriodChoice::fitting(&older), PeriodChoice::All);
    }
}
