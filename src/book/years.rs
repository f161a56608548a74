//! Locking what is done, closing a year and reopening it.
//! What a closing entry holds is `statements`' business.

use chrono::NaiveDate;
use rusqlite::OptionalExtension;

use super::entries::given;
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::happenings::Recording;
use crate::ledger::{EntryKind, EntryNumber, JournalEntry};
use crate::statements::{ClosingError, closing_entry};

impl Book {
    /// Locks everything dated on or before a day. A lock only moves forward this way.
    ///
    /// # Errors
    /// When the day is before the book or not after the lock there is.
    pub fn lock_through(&mut self, date: NaiveDate) -> Result<(), BookError> {
        self.write(&format!("Locked through {date}"), |book| {
            book.put_lock(date)
        })
    }

    fn put_lock(&mut self, date: NaiveDate) -> Result<(), BookError> {
        let first_day = self.first_day();
        if date < first_day {
            return Err(BookError::BeforeFirstDay { date, first_day });
        }
        if let Some(lock) = self.lock_date().filter(|lock| date <= *lock) {
            return Err(BookError::refused(format!(
                "the book is locked through {lock} already"
            )));
        }
        self.note("lock", &format!("locked through {date}"), "")?;
        self.put_setting("lock_date", Some(&date.to_string()))?;
        self.reload_settings()
    }

    /// Opens the lock altogether; the reason is kept.
    ///
    /// # Errors
    /// Without a reason, or when nothing is locked.
    pub fn unlock(&mut self, reason: &str) -> Result<(), BookError> {
        let reason = given(reason)?.to_owned();
        if self.lock_date().is_none() {
            return Err(BookError::refused("nothing in this book is locked"));
        }
        self.write("Lock opened", |book| book.move_lock_back(None, &reason))
    }

    fn move_lock_back(&mut self, to: Option<NaiveDate>, reason: &str) -> Result<(), BookError> {
        let what = to.map_or_else(
            || "nothing is locked any more".to_owned(),
            |date| format!("locked through {date} only"),
        );
        self.note("unlock", &what, reason)?;
        let value = to.map(|date| date.to_string());
        self.put_setting("lock_date", value.as_deref())?;
        self.reload_settings()
    }

    fn reload_settings(&mut self) -> Result<(), BookError> {
        self.settings = super::Settings::load(&self.conn)?;
        Ok(())
    }

    /// Closes the financial year that ends in a calendar year: its income, costs and drawings are brought to nothing,
    /// and everything through its last day is locked. Returns the closing entry, if there was anything to close.
    ///
    /// # Errors
    /// When the year is closed or locked already, or the chart lacks an account.
    pub fn close_year(&mut self, ending: i32) -> Result<Option<EntryNumber>, BookError> {
        let year = self.year_start().year_ending_in(ending);
        self.refuse_closed(year)?;
        let balances = self.balances_to(year.to)?;
        match closing_entry(&self.chart, &balances, year) {
            Ok(entry) => self.close_year_with(Some(&entry), year),
            Err(ClosingError::NothingToClose(_)) => self.close_year_with(None, year),
            Err(error) => Err(error.into()),
        }
    }

    /// Closes a year with a given entry: posts it, when there is anything to close, and locks through its last day.
    ///
    /// # Errors
    /// When the entry is no closing entry of that day, or the year is closed or locked already.
    pub fn close_year_with(
        &mut self,
        entry: Option<&JournalEntry>,
        year: DateRange,
    ) -> Result<Option<EntryNumber>, BookError> {
        if let Some(entry) = entry {
            let header = &entry.header;
            if header.kind != EntryKind::Closing || header.date != year.to {
                return Err(BookError::refused(format!(
                    "a closing entry of this year is dated {}",
                    year.to
                )));
            }
        }
        self.refuse_closed(year)?;
        self.write(&format!("Year closed through {}", year.to), |book| {
            let number = entry
                .map(|entry| book.record_one(&Recording::new(entry.clone())))
                .transpose()?;
            book.put_lock(year.to)?;
            Ok(number)
        })
    }

    fn refuse_closed(&self, year: DateRange) -> Result<(), BookError> {
        match self.lock_date().filter(|lock| year.to <= *lock) {
            Some(lock) => Err(BookError::refused(format!(
                "the year through {} is closed already: the book is locked through {lock}",
                year.to
            ))),
            None => Ok(()),
        }
    }

    /// Reopens the year that was closed last: moves the lock back to the end of the year before, and takes its
    /// closing entry back on the same day. The reason is kept. Returns the reversal's number, if there was an entry.
    ///
    /// # Errors
    /// Without a reason, or when nothing is locked.
    pub fn reopen(&mut self, reason: &str) -> Result<Option<EntryNumber>, BookError> {
        let reason = given(reason)?.to_owned();
        let lock = self
            .lock_date()
            .ok_or_else(|| BookError::refused("no year of this book is closed"))?;
        let year = self.year_start().containing(lock);
        let before = year.from.pred_opt().filter(|day| *day >= self.first_day());
        let closing: Option<u64> = self
            .conn
            .prepare_cached(
                "SELECT number FROM entry e WHERE kind = 'closing' AND date BETWEEN ?1 AND ?2 AND reverses IS NULL
                   AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)
                 ORDER BY number DESC LIMIT 1",
            )?
            .query_row([year.from.to_string(), year.to.to_string()], |row| row.get(0))
            .optional()?;
        self.write(&format!("Year through {lock} reopened"), |book| {
            book.move_lock_back(before, &reason)?;
            closing
                .map(|number| book.mirror(EntryNumber(number), year.to, &reason))
                .transpose()
        })
    }

    /// The closing entry of a year that stands, if the year is closed.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn closing_entry_of(&self, year: DateRange) -> Result<Option<EntryNumber>, BookError> {
        let number = self
            .conn
            .prepare_cached(
                "SELECT number FROM entry e WHERE kind = 'closing' AND date BETWEEN ?1 AND ?2 AND reverses IS NULL
                   AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)
                 ORDER BY number DESC LIMIT 1",
            )?
            .query_row([year.from.to_string(), year.to.to_string()], |row| {
                row.get(0).map(EntryNumber)
            })
            .optional()?;
        Ok(number)
    }
}
