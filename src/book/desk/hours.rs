//! The owner's time in the file, and the timer that runs.

use chrono::{NaiveDate, NaiveDateTime};
use rusqlite::{OptionalExtension, Row, params};

use super::gone;
use crate::book::reading::day;
use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::desk::{HoursError, Span, Timer, WorkTime, hours_words};

const TIME: &str = "w.id, w.day, w.activity, w.minutes, w.starts, w.ends, i.code, w.fair, w.note";
/// How a moment is written in the file.
const MOMENT: &str = "%Y-%m-%dT%H:%M";

fn time(row: &Row<'_>) -> Result<WorkTime, BookError> {
    let text: String = row.get(1)?;
    let span = match (row.get::<_, Option<u32>>(4)?, row.get::<_, Option<u32>>(5)?) {
        (Some(starts), Some(ends)) => Some(Span::new(starts, ends).map_err(refused)?),
        _ => None,
    };
    Ok(WorkTime {
        id: row.get(0)?,
        day: day(&text)?,
        activity: row.get(2)?,
        minutes: row.get(3)?,
        span,
        item: row.get(6)?,
        fair: row.get(7)?,
        note: row.get(8)?,
    })
}

fn refused(error: HoursError) -> BookError {
    BookError::refused(error.to_string())
}

impl Book {
    /// The time that was worked in a range, by day and then by the clock, what is told without it last.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn work_times(&self, range: DateRange) -> Result<Vec<WorkTime>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {TIME} FROM work_time w LEFT JOIN item i ON i.id = w.item
             WHERE w.day BETWEEN ?1 AND ?2 ORDER BY w.day, w.starts IS NULL, w.starts, w.id"
        ))?;
        let mut rows = query.query([range.from.to_string(), range.to.to_string()])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(time(row)?);
        }
        Ok(list)
    }

    /// The first and the last day of which time is told.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn days_worked(&self) -> Result<Option<DateRange>, BookError> {
        let (first, last): (Option<String>, Option<String>) = self
            .conn
            .prepare_cached("SELECT min(day), max(day) FROM work_time")?
            .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        match (first, last) {
            (Some(first), Some(last)) => Ok(DateRange::new(day(&first)?, day(&last)?)),
            _ => Ok(None),
        }
    }

    /// Keeps time that was worked: new when it has no number, else in the place of the one with its number. Returns its
    /// number.
    ///
    /// # Errors
    /// When it cannot be, other time covers the same minutes, or the product is not kept.
    pub fn keep_work_time(&mut self, time: &WorkTime) -> Result<i64, BookError> {
        time.check().map_err(refused)?;
        let beside = self.work_times(DateRange {
            from: time.day,
            to: time.day,
        })?;
        time.check_beside(&beside).map_err(refused)?;
        let item = self.item_of_time(time.item.as_deref())?;
        let label = format!(
            "Hours: {}, {} on {}",
            hours_words(time.minutes),
            time.activity.trim(),
            show_day(time.day)
        );
        self.write(&label, |book| {
            book.note("hours", &label, &time.note)?;
            let values = params![
                time.day.to_string(),
                time.activity.trim(),
                time.minutes,
                time.span.map(|span| span.starts),
                time.span.map(|span| span.ends),
                item,
                time.fair.trim(),
                time.note.trim(),
                Some(time.id).filter(|id| *id != 0),
            ];
            if time.id == 0 {
                book.side(
                    "INSERT INTO work_time (day, activity, minutes, starts, ends, item, fair, note, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE work_time SET day = ?1, activity = ?2, minutes = ?3, starts = ?4, ends = ?5, item = ?6, fair = ?7,
                   note = ?8 WHERE id = ?9",
                values,
            )?;
            if n_changed == 0 {
                return Err(gone("time", time.id));
            }
            Ok(time.id)
        })
    }

    /// Takes time out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_work_time(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Hours taken out", |book| {
            book.note("hours", &format!("Hours {id} taken out"), "")?;
            if book.side("DELETE FROM work_time WHERE id = ?1", [id])? == 0 {
                return Err(gone("time", id));
            }
            Ok(())
        })
    }

    /// Says how long an activity took on a day as the weekly grid does: what was told plainly before is replaced; nothing
    /// when `minutes` is nothing.
    ///
    /// # Errors
    /// When it cannot be.
    pub fn put_day_minutes(
        &mut self,
        day: NaiveDate,
        activity: &str,
        minutes: u32,
    ) -> Result<(), BookError> {
        let activity = activity.trim();
        let mut beside = self.work_times(DateRange { from: day, to: day })?;
        beside.retain(|one| one.is_plain() && one.activity == activity);
        let label = format!("Hours of {}: {activity}", show_day(day));
        self.group(&label, |book| {
            for one in beside.iter().skip(usize::from(minutes > 0)) {
                book.remove_work_time(one.id)?;
            }
            if minutes > 0 {
                let mut kept = WorkTime::new(day, activity, minutes);
                kept.id = beside.first().map_or(0, |one| one.id);
                book.keep_work_time(&kept)?;
            }
            Ok(())
        })
    }

    fn item_of_time(&self, code: Option<&str>) -> Result<Option<i64>, BookError> {
        code.map(|code| self.item_id(code)).transpose()
    }

    /// The timer, when it runs.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn running_timer(&self) -> Result<Option<Timer>, BookError> {
        let found: Option<(String, String, Option<String>, String, String)> = self
            .conn
            .prepare_cached(
                "SELECT t.since, t.activity, i.code, t.fair, t.note
                 FROM running_timer t LEFT JOIN item i ON i.id = t.item",
            )?
            .query_row([], |row| {
                Ok((
                    row.get(0)?,
                    row.get(1)?,
                    row.get(2)?,
                    row.get(3)?,
                    row.get(4)?,
                ))
            })
            .optional()?;
        let Some((since, activity, item, fair, note)) = found else {
            return Ok(None);
        };
        let since = NaiveDateTime::parse_from_str(&since, MOMENT)
            .map_err(|error| BookError::damaged(format!("'{since}' is no moment: {error}")))?;
        Ok(Some(Timer {
            since,
            activity,
            item,
            fair,
            note,
        }))
    }

    /// Starts the timer. It goes on until it is stopped, whether the program is open or not.
    ///
    /// # Errors
    /// When it runs already, does not say what is done, or names a product that is not kept.
    pub fn start_timer(&mut self, timer: &Timer) -> Result<(), BookError> {
        if timer.activity.trim().is_empty() {
            return Err(refused(HoursError::NoActivity));
        }
        if let Some(running) = self.running_timer()? {
            return Err(BookError::refused(format!(
                "the timer runs already, for {}",
                running.activity
            )));
        }
        let item = self.item_of_time(timer.item.as_deref())?;
        let label = format!("Timer started: {}", timer.activity.trim());
        self.write(&label, |book| {
            book.note("hours", &label, "")?;
            book.side(
                "INSERT INTO running_timer (id, since, activity, item, fair, note) VALUES (1, ?1, ?2, ?3, ?4, ?5)",
                params![
                    timer.since.format(MOMENT).to_string(),
                    timer.activity.trim(),
                    item,
                    timer.fair.trim(),
                    timer.note.trim(),
                ],
            )?;
            Ok(())
        })
    }

    /// Stops the timer and keeps the time it measured, a row for each day it ran through. Answers the minutes.
    ///
    /// # Errors
    /// When none runs, it ran too long, or other time covers the same minutes: it then goes on.
    pub fn stop_timer(&mut self, at: NaiveDateTime) -> Result<u32, BookError> {
        let timer = self.running_timer()?;
        let timer = timer.ok_or_else(|| BookError::refused("no timer runs"))?;
        let times = timer.stopped(at).map_err(refused)?;
        let minutes = times.iter().map(|time| time.minutes).sum();
        let label = format!("Timer stopped: {}", timer.activity);
        self.group(&label, |book| {
            book.forget_timer(&label)?;
            for time in &times {
                book.keep_work_time(time)?;
            }
            Ok(minutes)
        })
    }

    /// Stops the timer and keeps nothing of it.
    ///
    /// # Errors
    /// When none runs.
    pub fn drop_timer(&mut self) -> Result<(), BookError> {
        self.forget_timer("Timer dropped")
    }

    fn forget_timer(&mut self, label: &str) -> Result<(), BookError> {
        self.write(label, |book| {
            book.note("hours", label, "")?;
            if book.side("DELETE FROM running_timer", [])? == 0 {
                return Err(BookError::refused("no timer runs"));
            }
            Ok(())
        })
    }
}
