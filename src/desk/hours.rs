//! The owner's own time: what was done on which day, for how long, by the clock or not. Never posted.
//! What an hour earned is `earning`'s.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime, Timelike};

use crate::dates::show_day;

/// What she may have done, for choosing; names of her own are as good.
pub const ACTIVITIES: [&str; 7] = [
    "making",
    "photographs and listing",
    "messages",
    "packing",
    "fairs",
    "books",
    "other",
];

/// The first of them: time at the bench.
pub const MAKING: &str = "making";

/// Whether time of an activity counts as making a product that it names: it does unless it is plainly something else, so
/// that names of her own count.
#[must_use]
pub fn counts_as_making(activity: &str) -> bool {
    activity == MAKING || !ACTIVITIES.contains(&activity)
}

/// The minutes of a day.
pub const DAY_MINUTES: u32 = 24 * 60;

/// A timer that ran longer was forgotten, most likely.
const LONGEST_RUN_HOURS: i64 = 16;

/// The minutes of a day from one to another, the last not included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// The first minute, counted from midnight.
    pub starts: u32,
    /// The minute after the last, at most 1440.
    pub ends: u32,
}

impl Span {
    /// The minutes from one to another.
    ///
    /// # Errors
    /// When it ends before it starts, or beyond the day.
    pub const fn new(starts: u32, ends: u32) -> Result<Self, HoursError> {
        if starts < ends && ends <= DAY_MINUTES {
            Ok(Self { starts, ends })
        } else {
            Err(HoursError::EndsFirst)
        }
    }

    /// How many minutes it has.
    #[must_use]
    pub const fn minutes(self) -> u32 {
        self.ends - self.starts
    }

    /// Whether both have a minute in common.
    #[must_use]
    pub const fn overlaps(self, other: Self) -> bool {
        self.starts < other.ends && other.starts < self.ends
    }

    /// As `09:00 to 10:30`.
    #[must_use]
    pub fn words(self) -> String {
        format!("{} to {}", clock(self.starts), clock(self.ends))
    }
}

/// Time that was worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkTime {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// On which day.
    pub day: NaiveDate,
    /// What was done.
    pub activity: String,
    /// For how many whole minutes.
    pub minutes: u32,
    /// By the clock, where it is known.
    pub span: Option<Span>,
    /// The code of the product it was for.
    pub item: Option<String>,
    /// The fair it was for; may be empty.
    pub fair: String,
    /// What else there is to know; may be empty.
    pub note: String,
}

/// Why time was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HoursError {
    /// It does not say what was done.
    #[error("say what you did")]
    NoActivity,
    /// No time at all, or more than a day has.
    #[error("from 1 minute to 24 hours")]
    Minutes,
    /// The time cannot be read.
    #[error("'{0}' is no time; write 90, 1:30 or 1h30")]
    NotATime(String),
    /// The time of day cannot be read.
    #[error("'{0}' is no time of day; write 9:30 or 14:05")]
    NotAClock(String),
    /// It ends before it starts.
    #[error("it ends before it starts; what goes past midnight is two rows")]
    EndsFirst,
    /// The clock and the minutes do not agree.
    #[error("from start to end it is {0} minutes")]
    NotTheMinutes(u32),
    /// Another time covers the same minutes.
    #[error("on {day} you have {activity} from {span} already", day = show_day(*.day), span = .span.words())]
    Overlaps {
        /// The day.
        day: NaiveDate,
        /// What was done in that time.
        activity: String,
        /// When.
        span: Span,
    },
    /// The timer runs for longer than anybody works.
    #[error("the timer runs since {}, {}: say when you stopped", show_moment(*.0), hours_words(*.1))]
    RanTooLong(NaiveDateTime, u32),
    /// The timer would stop before it started.
    #[error("the timer was started {} and cannot stop before", show_moment(*.0))]
    StopsFirst(NaiveDateTime),
}

impl HoursError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(&self) -> &'static str {
        match self {
            Self::NoActivity => "activity",
            Self::Minutes | Self::NotATime(_) | Self::NotTheMinutes(_) => "minutes",
            Self::NotAClock(_) | Self::Overlaps { .. } => "start",
            Self::EndsFirst | Self::RanTooLong(..) | Self::StopsFirst(_) => "end",
        }
    }
}

impl WorkTime {
    /// Time on a day without the clock.
    #[must_use]
    pub fn new(day: NaiveDate, activity: impl Into<String>, minutes: u32) -> Self {
        Self {
            id: 0,
            day,
            activity: activity.into(),
            minutes,
            span: None,
            item: None,
            fair: String::new(),
            note: String::new(),
        }
    }

    /// Time by the clock.
    #[must_use]
    pub fn by_clock(day: NaiveDate, activity: impl Into<String>, span: Span) -> Self {
        Self {
            span: Some(span),
            ..Self::new(day, activity, span.minutes())
        }
    }

    /// Whether it is told by nothing but its day and activity, as the weekly grid tells it.
    #[must_use]
    pub fn is_plain(&self) -> bool {
        self.span.is_none() && self.item.is_none() && self.fair.is_empty() && self.note.is_empty()
    }

    /// Refuses what cannot be by itself.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), HoursError> {
        if self.activity.trim().is_empty() {
            return Err(HoursError::NoActivity);
        }
        if !(1..=DAY_MINUTES).contains(&self.minutes) {
            return Err(HoursError::Minutes);
        }
        match self.span {
            Some(span) if span.minutes() != self.minutes => {
                Err(HoursError::NotTheMinutes(span.minutes()))
            }
            _ => Ok(()),
        }
    }

    /// Refuses time by the clock that others of its day cover already.
    ///
    /// # Errors
    /// The first that covers the same minutes.
    pub fn check_beside(&self, others: &[Self]) -> Result<(), HoursError> {
        let Some(span) = self.span else {
            return Ok(());
        };
        let found = others.iter().find(|other| {
            other.id != self.id
                && other.day == self.day
                && other.span.is_some_and(|taken| taken.overlaps(span))
        });
        match found.and_then(|other| Some((other, other.span?))) {
            Some((other, taken)) => Err(HoursError::Overlaps {
                day: self.day,
                activity: other.activity.clone(),
                span: taken,
            }),
            None => Ok(()),
        }
    }
}

/// A timer that runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timer {
    /// Since when, by the clock of the place.
    pub since: NaiveDateTime,
    /// What is being done.
    pub activity: String,
    /// The code of the product it is for.
    pub item: Option<String>,
    /// The fair it is for; may be empty.
    pub fair: String,
    /// What else there is to know; may be empty.
    pub note: String,
}

impl Timer {
    /// One that starts now, by the whole minute.
    #[must_use]
    pub fn new(now: NaiveDateTime, activity: impl Into<String>) -> Self {
        Self {
            since: whole_minute(now),
            activity: activity.into(),
            item: None,
            fair: String::new(),
            note: String::new(),
        }
    }

    /// For how many whole minutes it has run.
    #[must_use]
    pub fn minutes(&self, now: NaiveDateTime) -> u32 {
        u32::try_from((whole_minute(now) - self.since).num_minutes()).unwrap_or(0)
    }

    /// The time it measured when it stops now: one a day it ran through, none where not a minute passed.
    ///
    /// # Errors
    /// When it ran for longer than anybody works, or would stop before it started.
    pub fn stopped(&self, at: NaiveDateTime) -> Result<Vec<WorkTime>, HoursError> {
        let at = whole_minute(at);
        if at < self.since {
            return Err(HoursError::StopsFirst(self.since));
        }
        if (at - self.since).num_hours() >= LONGEST_RUN_HOURS {
            return Err(HoursError::RanTooLong(self.since, self.minutes(at)));
        }
        let mut list = Vec::new();
        let mut day = self.since.date();
        while day <= at.date() {
            let starts = if day == self.since.date() {
                minute_of(self.since.time())
            } else {
                0
            };
            let ends = if day == at.date() {
                minute_of(at.time())
            } else {
                DAY_MINUTES
            };
            if let Ok(span) = Span::new(starts, ends) {
                list.push(WorkTime {
                    item: self.item.clone(),
                    fair: self.fair.clone(),
                    note: self.note.clone(),
                    ..WorkTime::by_clock(day, self.activity.clone(), span)
                });
            }
            let Some(next) = day.checked_add_days(Days::new(1)) else {
                break;
            };
            day = next;
        }
        Ok(list)
    }
}

fn whole_minute(at: NaiveDateTime) -> NaiveDateTime {
    at.with_second(0)
        .and_then(|at| at.with_nanosecond(0))
        .unwrap_or(at)
}

fn minute_of(time: NaiveTime) -> u32 {
    time.hour() * 60 + time.minute()
}

/// A minute of the day as `09:05`.
#[must_use]
pub fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// A moment as people say it: `28 Sep 2026, 09:05`.
#[must_use]
pub fn show_moment(at: NaiveDateTime) -> String {
    format!("{}, {}", show_day(at.date()), clock(minute_of(at.time())))
}

/// Minutes in words: `1 h 30 min`.
#[must_use]
pub fn hours_words(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Reads a time of day: `9:30`, `14:05`, `24:00`.
///
/// # Errors
/// When it is none.
pub fn read_clock(text: &str) -> Result<u32, HoursError> {
    let refused = || HoursError::NotAClock(text.trim().to_owned());
    let (hours, minutes) = text.trim().split_once(':').ok_or_else(refused)?;
    let is_written =
        |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !is_written(hours) || hours.len() > 2 || !is_written(minutes) || minutes.len() != 2 {
        return Err(refused());
    }
    let (hours, minutes): (u32, u32) = match (hours.parse(), minutes.parse()) {
        (Ok(hours), Ok(minutes)) => (hours, minutes),
        _ => return Err(refused()),
    };
    let minute = hours * 60 + minutes;
    if minutes < 60 && minute <= DAY_MINUTES {
        Ok(minute)
    } else {
        Err(refused())
    }
}

/// Reads how long something took in minutes: `90`, `1:30`, `1h30`, `1 h 30 min`, `2h`, `45 min`.
///
/// # Errors
/// When it cannot be read, or is not from 1 minute to 24 hours.
pub fn read_minutes(text: &str) -> Result<u32, HoursError> {
    let compact: String = text
        .to_lowercase()
        .replace("min", "m")
        .replace("hours", "h")
        .replace("hour", "h")
        .chars()
        .filter(|letter| !letter.is_whitespace())
        .collect();
    let refused = || HoursError::NotATime(text.trim().to_owned());
    let number = |part: &str| -> Result<u32, HoursError> {
        if part.is_empty() || part.len() > 4 || !part.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(refused());
        }
        part.parse().map_err(|_not_whole| refused())
    };
    let minutes = if let Some((hours, rest)) = compact.split_once(':') {
        if rest.len() != 2 || number(rest)? > 59 {
            return Err(refused());
        }
        number(hours)? * 60 + number(rest)?
    } else if let Some((hours, rest)) = compact.split_once('h') {
        let rest = rest.strip_suffix('m').unwrap_or(rest);
        let rest = if rest.is_empty() { 0 } else { number(rest)? };
        if rest > 59 {
            return Err(refused());
        }
        number(hours)? * 60 + rest
    } else {
        number(compact.strip_suffix('m').unwrap_or(&compact))?
    };
    if (1..=DAY_MINUTES).contains(&minutes) {
        Ok(minutes)
    } else {
        Err(HoursError::Minutes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M:%S").expect("a moment")
    }

    #[test]
    fn times_are_read_as_people_write_them() {
        for (text, minutes) in [
            ("90", 90),
            ("1:30", 90),
            ("1h30", 90),
            ("1 h 30 min", 90),
            ("2 hours", 120),
            ("45min", 45),
            ("24:00", 1440),
        ] {
            assert_eq!(read_minutes(text), Ok(minutes), "{text}");
        }
        for text in ["", "1.5", "1:3", "1:75", "an hour", "-5", "1h90"] {
            assert_eq!(
                read_minutes(text),
                Err(HoursError::NotATime(text.to_owned())),
                "{text}"
            );
        }
        assert_eq!(read_minutes("0"), Err(HoursError::Minutes));
        assert_eq!(read_minutes("25h"), Err(HoursError::Minutes));
        assert_eq!(read_clock("9:05"), Ok(545));
        assert_eq!(read_clock("24:00"), Ok(1440));
        for text in ["9", "9:5", "24:01", "12:60", "a:00", "+1:00"] {
            assert!(read_clock(text).is_err(), "{text}");
        }
        assert_eq!(hours_words(90), "1 h 30 min");
        assert_eq!(hours_words(59), "59 min");
    }

    #[test]
    fn minutes_that_are_taken_are_refused_and_neighbours_are_not() {
        let span = |from, to| Span::new(from, to).expect("a span");
        let mut first = WorkTime::by_clock(day("2026-03-02"), "making", span(540, 600));
        first.id = 1;
        let after = WorkTime::by_clock(day("2026-03-02"), "packing", span(600, 615));
        assert_eq!(after.check_beside(&[first.clone()]), Ok(()));
        let over = WorkTime::by_clock(day("2026-03-02"), "packing", span(599, 615));
        let refused = over.check_beside(&[first.clone()]).expect_err("overlaps");
        assert_eq!(
            refused.to_string(),
            "on 2 Mar 2026 you have making from 09:00 to 10:00 already"
        );
        assert_eq!(refused.field(), "start");
        let next_day = WorkTime::by_clock(day("2026-03-03"), "making", span(540, 600));
        assert_eq!(next_day.check_beside(&[first.clone()]), Ok(()));
        assert_eq!(first.check_beside(&[first.clone()]), Ok(()));
        let mut wrong = first;
        wrong.minutes = 61;
        assert_eq!(wrong.check(), Err(HoursError::NotTheMinutes(60)));
        assert_eq!(Span::new(600, 600), Err(HoursError::EndsFirst));
    }

    #[test]
    fn a_timer_measures_whole_minutes_and_parts_at_midnight() {
        let timer = Timer::new(at("2026-03-02 23:30:40"), "making");
        assert_eq!(timer.minutes(at("2026-03-03 00:20:10")), 50);
        let list = timer.stopped(at("2026-03-03 00:20:10")).expect("stopped");
        let told: Vec<(NaiveDate, u32, String)> = list
            .iter()
            .map(|one| {
                let span = one.span.expect("by the clock");
                (one.day, one.minutes, span.words())
            })
            .collect();
        assert_eq!(
            told,
            [
                (day("2026-03-02"), 30, "23:30 to 24:00".to_owned()),
                (day("2026-03-03"), 20, "00:00 to 00:20".to_owned()),
            ]
        );
        let none = timer.stopped(at("2026-03-02 23:30:59")).expect("stopped");
        assert!(none.is_empty());
        assert_eq!(
            timer.stopped(at("2026-03-04 09:00:00")),
            Err(HoursError::RanTooLong(timer.since, 2010))
        );
        assert_eq!(
            timer.stopped(at("2026-03-02 23:29:00")),
            Err(HoursError::StopsFirst(timer.since))
        );
    }
}
