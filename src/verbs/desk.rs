//! Showing what is kept at the desk: questions for the accountant.

use chrono::NaiveDate;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{json, tables};
use crate::reports;

/// Shows the questions for the accountant.
pub(super) fn questions(book: &Book, day: NaiveDate, as_json: bool) -> Result<(), VerbError> {
    let list = reports::questions(book)?;
    if as_json {
        print_json(&json::questions(&list, day, book.currency()))
    } else {
        print(&tables::questions(&list, day).text(book.currency()))
    }
}
