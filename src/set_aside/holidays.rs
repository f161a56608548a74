//! Legal holidays as rules, and moving a day off weekends and holidays.
//! The rules' data stand in the calendar files.

use chrono::{Datelike, Days, NaiveDate, Weekday};
use serde::Deserialize;

use crate::dates::{Month, parse_iso};

/// When a holiday is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
enum HolidayRule {
    /// The same day every year; so many days before or after it where it is a Saturday or a Sunday.
    Fixed {
        month: u32,
        day: u32,
        on_saturday: i32,
        on_sunday: i32,
    },
    /// The nth such weekday of a month.
    Nth {
        month: u32,
        weekday: Weekday,
        nth: u8,
    },
    /// The last such weekday of a month.
    Last { month: u32, weekday: Weekday },
    /// So many days before or after Easter Sunday.
    Easter(i32),
    /// These days and no others.
    Once(Vec<NaiveDate>),
}

/// A legal holiday.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Holiday {
    name: String,
    rule: HolidayRule,
    from_year: i32,
    except_years: Vec<i32>,
}

impl Holiday {
    /// The days it is kept for the year.
    fn kept_in(&self, year: i32) -> Vec<NaiveDate> {
        if year < self.from_year || self.except_years.contains(&year) {
            return Vec::new();
        }
        let day = match &self.rule {
            HolidayRule::Fixed {
                month,
                day,
                on_saturday,
                on_sunday,
            } => {
                NaiveDate::from_ymd_opt(year, *month, *day).and_then(|date| match date.weekday() {
                    Weekday::Sat => moved(date, *on_saturday),
                    Weekday::Sun => moved(date, *on_sunday),
                    _ => Some(date),
                })
            }
            HolidayRule::Nth {
                month,
                weekday,
                nth,
            } => NaiveDate::from_weekday_of_month_opt(year, *month, *weekday, *nth),
            HolidayRule::Last { month, weekday } => {
                let last = Month::new(year, *month).last_day();
                let back = last.weekday().days_since(*weekday);
                last.checked_sub_days(Days::new(u64::from(back)))
            }
            HolidayRule::Easter(days) => easter(year).and_then(|sunday| moved(sunday, *days)),
            HolidayRule::Once(dates) => {
                let of_year = dates.iter().filter(|date| date.year() == year);
                return of_year.copied().collect();
            }
        };
        day.into_iter().collect()
    }
}

fn moved(date: NaiveDate, days: i32) -> Option<NaiveDate> {
    let by = Days::new(u64::from(days.unsigned_abs()));
    if days < 0 {
        date.checked_sub_days(by)
    } else {
        date.checked_add_days(by)
    }
}

/// Easter Sunday of the Gregorian calendar, by the anonymous algorithm as Butcher's Ecclesiastical Calendar (1876) and
/// Meeus, Astronomical Algorithms, chapter 8, print it.
fn easter(year: i32) -> Option<NaiveDate> {
    let golden = year.rem_euclid(19);
    let (century, of_century) = (year.div_euclid(100), year.rem_euclid(100));
    let (leap_centuries, after_leap) = (century / 4, century % 4);
    let shift = (century + 8) / 25;
    let moon_shift = (century - shift + 1) / 3;
    let moon = (19 * golden + century - leap_centuries - moon_shift + 15) % 30;
    let (leaps, after) = (of_century / 4, of_century % 4);
    let weekday = (32 + 2 * after_leap + 2 * leaps - moon - after) % 7;
    let late = (golden + 11 * moon + 22 * weekday) / 451;
    let days = moon + weekday - 7 * late + 114;
    let month = u32::try_from(days / 31).ok()?;
    let day = u32::try_from(days % 31 + 1).ok()?;
    NaiveDate::from_ymd_opt(year, month, day)
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
            .any(|year| holiday.kept_in(year).contains(&date))
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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HolidayFile {
    name: String,
    source: String,
    checked: String,
    from_year: Option<i32>,
    #[serde(default)]
    except_years: Vec<i32>,
    month: Option<u32>,
    day: Option<u32>,
    /// Kept on Friday when it is a Saturday, on Monday when a Sunday.
    moves: Option<bool>,
    on_saturday: Option<i32>,
    on_sunday: Option<i32>,
    weekday: Option<String>,
    nth: Option<String>,
    easter: Option<i32>,
    #[serde(default)]
    dates: Vec<String>,
}

impl HolidayFile {
    /// The holiday, or what is wrong with it in words.
    pub(super) fn read(&self) -> Result<Holiday, String> {
        let name = &self.name;
        sourced(name, &self.source, &self.checked)?;
        let rule = match (self.month, self.easter, self.dates.as_slice()) {
            (Some(month), None, []) if (1..=12).contains(&month) => self.in_month(month)?,
            (None, Some(days), []) if days.abs() <= 60 => HolidayRule::Easter(days),
            (None, None, [_, ..]) => {
                let dates = self
                    .dates
                    .iter()
                    .map(|date| parse_iso(date).map_err(|error| format!("{name}: {error}")));
                HolidayRule::Once(dates.collect::<Result<_, _>>()?)
            }
            (None, None, []) => return Err(format!("{name} has no month")),
            _ => return Err(format!("{name} needs one rule: a month, easter or dates")),
        };
        Ok(Holiday {
            name: name.clone(),
            rule,
            from_year: self.from_year.unwrap_or(i32::MIN),
            except_years: self.except_years.clone(),
        })
    }

    fn in_month(&self, month: u32) -> Result<HolidayRule, String> {
        let name = &self.name;
        Ok(match (self.day, &self.weekday, self.nth.as_deref()) {
            (Some(day), None, None) => {
                if NaiveDate::from_ymd_opt(2023, month, day).is_none() {
                    return Err(format!("the day of {name} does not exist"));
                }
                let (before, after) = if self.moves.unwrap_or(false) {
                    (-1, 1)
                } else {
                    (0, 0)
                };
                HolidayRule::Fixed {
                    month,
                    day,
                    on_saturday: self.on_saturday.unwrap_or(before).clamp(-7, 7),
                    on_sunday: self.on_sunday.unwrap_or(after).clamp(-7, 7),
                }
            }
            (None, Some(day), Some("last")) => HolidayRule::Last {
                month,
                weekday: weekday(day)?,
            },
            (None, Some(day), Some(nth)) => HolidayRule::Nth {
                month,
                weekday: weekday(day)?,
                nth: nth
                    .parse()
                    .ok()
                    .filter(|nth| (1..=4).contains(nth))
                    .ok_or_else(|| {
                        format!("{name} is on the '{nth}' weekday; use 1 to 4 or last")
                    })?,
            },
            _ => return Err(format!("{name} needs a day, or a weekday and nth")),
        })
    }
}

/// Whether a source and a day checked stand there; what is missing in words.
pub(super) fn sourced(what: &str, source: &str, checked: &str) -> Result<(), String> {
    if source.trim().is_empty() {
        return Err(format!("{what} has no source"));
    }
    parse_iso(checked)
        .map(|_day| ())
        .map_err(|error| format!("{what} has no day checked: {error}"))
}

/// A weekday by its English name.
pub(super) fn weekday(text: &str) -> Result<Weekday, String> {
    text.parse()
        .map_err(|_unknown| format!("'{text}' is not a weekday"))
}
