//! Adjusting entries that an accountant sent back, posted all together or not at all.
//! How their sheet is read is `import`'s.

use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::import::{Context, Faults, Sheet, adjustments, first_day_in};
use crate::ledger::EntryNumber;

/// Why nothing was posted.
#[derive(Debug, thiserror::Error)]
pub enum AdjustmentError {
    /// What is wrong with the sheet.
    #[error(transparent)]
    Faults(#[from] Faults),
    /// The year is closed.
    #[error(
        "the year through {} is closed and locked through {}; reopen it first, with a reason",
        show_day(*.year_end), show_day(*.lock)
    )]
    Closed {
        /// The last day of the year.
        year_end: chrono::NaiveDate,
        /// The last locked day.
        lock: chrono::NaiveDate,
    },
    /// The book refused.
    #[error(transparent)]
    Book(#[from] BookError),
}

/// Posts the adjusting entries of a sheet: of the year whose pack was handed out last or, without one, of the year of the
/// sheet's first entry. Those that are to be taken back on the first day of the next year are, at once. Answers the
/// numbers of the entries.
///
/// # Errors
/// When the sheet has a fault, an entry is of another year, the year is closed, or the book refuses; nothing is posted
/// then.
pub fn post_adjustments(
    book: &mut Book,
    sheet: &Sheet,
) -> Result<Vec<EntryNumber>, AdjustmentError> {
    let year = adjusted_year(book, sheet)?;
    if let Some(lock) = book.lock_date().filter(|lock| year.to <= *lock) {
        return Err(AdjustmentError::Closed {
            year_end: year.to,
            lock,
        });
    }
    let rows = adjustments(sheet, context(book), year)?;
    let next_year = year.to.succ_opt().unwrap_or(year.to);
    book.group("The accountant's adjustments", |book| {
        let mut numbers = Vec::new();
        for one in rows {
            let in_row = |error: BookError| {
                let mut faults = Faults::new(&sheet.file);
                faults.row(one.row, error.to_string());
                AdjustmentError::from(faults)
            };
            let number = book.record(&one.recording).map_err(in_row)?;
            numbers.push(number);
            if one.is_back_next_year {
                let words = "Taken back on the first day of the year";
                let mirror = book
                    .reverse_alone(number, next_year, words)
                    .map_err(in_row)?;
                numbers.push(mirror);
            }
        }
        Ok(numbers)
    })
}

fn context(book: &Book) -> Context<'_> {
    Context {
        chart: book.chart(),
        currency: book.currency(),
        first_day: book.first_day(),
        lock_date: None,
    }
}

fn adjusted_year(book: &Book, sheet: &Sheet) -> Result<DateRange, AdjustmentError> {
    if let Some(pack) = book.newest_pack()? {
        return Ok(pack.year);
    }
    let first = first_day_in(sheet, context(book))?;
    Ok(book.year_start().containing(first))
}
