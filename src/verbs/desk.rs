//! Showing what is kept at the desk: questions for the accountant, duties with their calendar file, hours,
//! papers and decisions, and how the business is kept.

use std::path::Path;

use chrono::NaiveDate;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::dates::DateRange;
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

/// Shows the hours of a range with what an hour left.
pub(super) fn hours(book: &Book, range: DateRange, as_json: bool) -> Result<(), VerbError> {
    let report = reports::hours(book, range)?;
    let currency = book.currency();
    if as_json {
        print_json(&json::hours(&report, currency))
    } else {
        print(&tables::hours(&report, currency).text(currency))
    }
}

/// Shows the company's papers and the decisions.
pub(super) fn papers(book: &Book, day: NaiveDate, as_json: bool) -> Result<(), VerbError> {
    let (papers, decisions) = (book.company_papers()?, book.decisions()?);
    let currency = book.currency();
    if as_json {
        return print_json(&json::papers(&papers, &decisions, day, currency));
    }
    let mut text = tables::papers(&papers, day).text(currency);
    text.push('\n');
    text.push_str(&tables::decisions(&decisions).text(currency));
    print(&text)
}

/// Shows what the book itself says of how the business is kept.
pub(super) fn evidence(
    book: &Book,
    range: DateRange,
    day: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let facts = reports::evidence(book, range, day)?;
    let currency = book.currency();
    if as_json {
        print_json(&json::evidence(&facts, range, currency))
    } else {
        print(&tables::evidence(&facts, range).text(currency))
    }
}
