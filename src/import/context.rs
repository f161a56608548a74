//! What a sheet is read against: the book's accounts, currency and open period.
//! Values only, so that a sheet can be read without a book.

use chrono::NaiveDate;

use super::Row;
use crate::ledger::Chart;
use crate::money::Currency;

/// What a sheet is read against.
#[derive(Clone, Copy, Debug)]
pub struct Context<'b> {
    /// The accounts.
    pub chart: &'b Chart,
    /// The currency of the amounts.
    pub currency: &'b Currency,
    /// The book's first day.
    pub first_day: NaiveDate,
    /// The last locked day.
    pub lock_date: Option<NaiveDate>,
}

impl Context<'_> {
    /// A day on which something may be recorded.
    pub fn open_day(&self, row: &mut Row<'_, '_>, column: &str) -> Option<NaiveDate> {
        let date = row.date(column)?;
        self.is_open(row, column, date).then_some(date)
    }

    /// Whether something may be recorded on the day; says why not.
    pub fn is_open(&self, row: &mut Row<'_, '_>, column: &str, date: NaiveDate) -> bool {
        if date < self.first_day {
            row.fault(
                column,
                format!("{date} is before the book's first day {}", self.first_day),
            );
            return false;
        }
        if let Some(lock) = self.lock_date
            && date <= lock
        {
            row.fault(
                column,
                format!(
                    "{date} lies in a locked period; everything up to {lock} is locked, \
                     date the correction after it"
                ),
            );
            return false;
        }
        true
    }
}
