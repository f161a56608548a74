//! Showing what is kept at the desk: questions for the accountant, duties with their calendar file.

use std::path::Path;

use chrono::NaiveDate;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{icalendar, json, tables};
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

/// Shows the duties, and writes their days as a calendar file when one is asked for.
pub(super) fn duties(
    book: &Book,
    day: NaiveDate,
    calendar: Option<&Path>,
    as_json: bool,
) -> Result<(), VerbError> {
    let report = reports::duties(book, day)?;
    if let Some(file) = calendar {
        let text = icalendar::duties(book, &report, day);
        icalendar::write(file, &text).map_err(|error| VerbError::refused(error.to_string()))?;
    }
    if as_json {
        print_json(&json::duties(&report, day, book.currency()))
    } else {
        print(&tables::duties(&report, day).text(book.currency()))
    }
}
