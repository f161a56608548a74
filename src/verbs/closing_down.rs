//! Closing down without a window: what still stands, and the last entry that sets the owner's accounts against each
//! other. What each line is comes from `reports`.

use std::path::Path;

use chrono::NaiveDate;

use super::outcome::{print, print_json};
use super::{VerbError, with_book};
use crate::book::Book;
use crate::dates::show_day;
use crate::export::{json, tables};
use crate::reports;

/// Shows what still stands on a day.
pub fn walk(book: &Book, day: NaiveDate, as_json: bool) -> Result<(), VerbError> {
    let report = reports::closing_down(book, day)?;
    let (chart, currency) = (book.chart(), book.currency());
    if as_json {
        return print_json(&json::closing_down(&report, day, chart, currency));
    }
    print(&tables::closing_down(&report, day, currency).text(currency))
}

/// Sets the owner's accounts against each other, once nothing else stands.
pub fn settle_owner(path: &Path, day: NaiveDate) -> Result<(), VerbError> {
    let (number, date) = with_book(path, |book| {
        let Some(recording) = reports::owners_accounts_entry(book, day)? else {
            return Err(VerbError::refused(
                "the owner's accounts are set against each other when nothing else stands in the balance sheet and the \
                 year is closed; see show closing-down. Nothing was changed",
            ));
        };
        let date = recording.entry.header.date;
        Ok((book.record(&recording)?, date))
    })?;
    print(&format!(
        "Entry {number} of {} sets the owner's accounts against each other: the balance sheet is empty.",
        show_day(date)
    ))
}
