//! Showing what is kept for the year's end: trips and the workspace at home.

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{json, tables};
use crate::reports;

/// Shows a year of trips: what they come to, and each of them.
pub(super) fn mileage(book: &Book, ending: i32, as_json: bool) -> Result<(), VerbError> {
    let report = reports::mileage(book, ending)?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::mileage(&report, currency));
    }
    let parts = [
        tables::mileage(&report, currency),
        tables::mileage_log(&report),
    ];
    print(&parts.map(|table| table.text(currency)).join("\n"))
}

/// Shows a year of the workspace at home: spaces, bills, and both methods.
pub(super) fn workspace(book: &Book, ending: i32, as_json: bool) -> Result<(), VerbError> {
    let report = reports::workspace(book, ending)?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::workspace(&report, currency));
    }
    let parts = [
        tables::workspace_spaces(&report),
        tables::workspace_bills(&report),
        tables::workspace(&report, currency),
    ];
    print(&parts.map(|table| table.text(currency)).join("\n"))
}
