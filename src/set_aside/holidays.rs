//! Legal holidays as rules, and moving a day off weekends and holidays.
//! The rules' data stand in the calendar files.

use chrono::{Datelike, NaiveDate, Weekday};

use crate::dates::Month;

/// When a holiday is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum HolidayRule {
    /// The same day every year; where it moves, a Saturday's is kept on Friday and a Sunday's on Monday.
    Fixed { month: u32, day: u32, moves: bool },
    /// The nth such weekday of a month.
    Nth {
        month: u32,
        weekday: Weekday,
        nth: u8,
    },
    /// The last such weekday of a month.
    Last { month: u32, weekday: Weekday },
}

/// A legal holiday.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Holiday {
    pub(super) name: String,
    pub(super) rule: HolidayRule,
    pub(super) from_year: i32,
}

impl Holiday {
    /// The day it is kept for the year, if it exists yet.
    fn kept_in(&self, year: i32) -> Option<NaiveDate> {
        if year < self.from_year {
            return None;
        }
        match self.rule {
            HolidayRule::Fixed { month, day, moves } => {
                let date = NaiveDate::from_ymd_opt(year, month, day)?;
                match date.weekday() {
                    Weekday::Sat if moves => date.pred_opt(),
                    Weekday::Sun if moves => date.succ_opt(),
                    _ => Some(date),
                }
            }
            HolidayRule::Nth {
                month,
                weekday,
                nth,
            } => NaiveDate::from_weekday_of_month_opt(year, month, weekday, nth),
            HolidayRule::Last { month, weekday } => {
                let last = Month::new(year, month).last_day();
                let back = last.weekday().days_since(weekday);
                last.checked_sub_days(chrono::Days::new(u64::from(back)))
            }
        }
    }
}

/// Why a day is not a working day: a weekend's weekday or a holiday's name.
pub(super) fn why_closed(
    date: NaiveDate,
    weekend: &[Weekday],
    holidays: &[Holiday],
) -> Option<String> {
    let holiday = holidays.iter().find(|holiday| {
        // New Year's Day on a Saturday is kept in the old year.
        [date.year(), date.year() + 1]
            .into_iter()
            .any(|year| holiday.kept_in(year) == Some(date))
    });
    if let Some(holiday) = holiday {
        return Some(holiday.name.clone());
    }
    weekend.contains(&date.weekday()).then(|| {
        let name = match date.weekday() {
            Weekday::Mon => "a Monday",
            Weekday::Tue => "a Tuesday",
            Weekday::Wed => "a Wednesday",
            Weekday::Thu => "a Thursday",
            Weekday::Fri => "a Friday",
            Weekday::Sat => "a Saturday",
            Weekday::Sun => "a Sunday",
        };
        name.to_owned()
    })
}
