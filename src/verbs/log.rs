//! Showing what is kept for the year's end: trips, the workspace at home, and shares of bills used privately too.

use chrono::NaiveDate;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{json, tables};
use crate::reports;
use crate::shared_bills::until;

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

/// Shows the business's shares of bills used privately too, and which of them hold on a day.
pub(super) fn shared_bills(book: &Book, day: NaiveDate, as_json: bool) -> Result<(), VerbError> {
    let list = book.shared_bills()?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::shared_bills(&list, day, currency));
    }
    let with_last: Vec<_> = list.iter().map(|bill| (bill, until(&list, bill))).collect();
    print(&tables::shared_bills(&with_last, "").text(currency))
}
