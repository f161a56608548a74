//! Months the owner says are finished: what is written there is asked about where somebody can be asked, and noted in the
//! history wherever it comes from. It is never refused for good; that is the lock's business, in `years`.

use chrono::NaiveDate;

use super::{Book, BookError};
use crate::dates::Month;

/// The setting that holds the last day of the finished months.
const KEY: &str = "soft_lock_date";

impl Book {
    /// Says that a month, and every month before it, is finished.
    ///
    /// # Errors
    /// When the month is finished already, or lies before the book.
    pub fn finish_month(&mut self, month: Month) -> Result<(), BookError> {
        let last = month.last_day();
        if last < self.first_day() {
            return Err(BookError::BeforeFirstDay {
                date: last,
                first_day: self.first_day(),
            });
        }
        if self.is_finished(last) {
            return Err(BookError::refused(format!("{month} is finished already")));
        }
        self.move_finished(&format!("{month} is finished"), Some(last))
    }

    /// Opens a finished month again, and every month after it.
    ///
    /// # Errors
    /// When the month is not finished.
    pub fn open_month_again(&mut self, month: Month) -> Result<(), BookError> {
        if !self.is_finished(month.last_day()) {
            return Err(BookError::refused(format!("{month} is not finished")));
        }
        let before = month.plus(-1).last_day();
        let through = (before >= self.first_day()).then_some(before);
        self.move_finished(&format!("{month} is open again"), through)
    }

    fn move_finished(&mut self, what: &str, through: Option<NaiveDate>) -> Result<(), BookError> {
        self.write(what, |book| {
            book.note("finished", what, "")?;
            book.put_setting(KEY, through.map(|day| day.to_string()).as_deref())
        })
    }

    /// Whether a day lies in a month the owner says is finished.
    #[must_use]
    pub fn is_finished(&self, day: NaiveDate) -> bool {
        let through = self.settings.finished_through();
        through.is_some_and(|through| day <= through)
    }

    /// Whether what would be written in a finished month is refused with [`BookError::Finished`], so that somebody can be
    /// asked. Where nobody can, it goes on and is noted.
    pub fn ask_before_finished(&mut self, asks: bool) {
        self.steps.asks_before_finished = asks;
    }

    /// The earliest day in a finished month that was written on since the book was opened, if any was; asking forgets it.
    pub fn take_wrote_in_finished(&mut self) -> Option<NaiveDate> {
        self.steps.wrote_in_finished.take()
    }

    /// At the end of a write that is whole: asks or notes when it touched a month that was finished when it began.
    pub(super) fn mind_finished(&mut self) -> Result<(), BookError> {
        let Some(date) = self.steps.touched_in_finished() else {
            return Ok(());
        };
        if self.steps.asks_before_finished {
            return Err(BookError::Finished { date });
        }
        let month = Month::of(date);
        let what = format!("written on {date} although {month} was finished");
        self.note("finished", &what, "")?;
        let before = self.steps.wrote_in_finished;
        self.steps.wrote_in_finished = Some(before.map_or(date, |before| before.min(date)));
        Ok(())
    }
}
