//! Which days figures cover when none are given, and the balances they begin with.
//! What the figures are is the other files' business.

use chrono::NaiveDate;

use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::ledger::Balances;

/// The financial year of today or, when nothing is recorded in it, of the last entry.
///
/// # Errors
/// When the book cannot be read.
pub fn usual_year(book: &Book, today: NaiveDate) -> Result<DateRange, BookError> {
    let years = book.year_start();
    let this_year = years.containing(today);
    let Some(covered) = book.days_covered()? else {
        return Ok(this_year);
    };
    let is_empty = covered.to < this_year.from
        || book
            .entry_numbers(&EntryFilter::in_range(this_year))?
            .is_empty();
    Ok(if is_empty {
        years.containing(covered.to)
    } else {
        this_year
    })
}

/// The last day that a book knows of: the end of the usual year or of its last entry, whichever is later.
///
/// # Errors
/// When the book cannot be read.
pub fn usual_day(book: &Book, today: NaiveDate) -> Result<NaiveDate, BookError> {
    let year = usual_year(book, today)?;
    let last = book.days_covered()?.map(|covered| covered.to);
    Ok(last.map_or(year.to, |last| last.max(year.to)))
}

/// The balances at the end of the day before.
pub(super) fn balances_before(book: &Book, day: NaiveDate) -> Result<Balances, BookError> {
    match day.pred_opt() {
        Some(eve) => book.balances_to(eve),
        None => Ok(Balances::new()),
    }
}

/// The last day of the last month that is over, or today when its month ends today.
#[must_use]
pub fn last_whole_month(today: NaiveDate) -> NaiveDate {
    let month = Month::of(today);
    if month.last_day() == today {
        today
    } else {
        month.plus(-1).last_day()
    }
}
