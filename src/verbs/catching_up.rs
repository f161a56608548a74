//! Catching up without a window: how far it is, the lots of lines that one decision sorts, rough and unexplained entries.
//! What each of them is comes from `reports`.

use chrono::NaiveDate;

use super::VerbError;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::export::{json, tables};
use crate::reports::{self, Tray};

/// Shows the steps.
pub fn steps(book: &Book, today: NaiveDate, as_json: bool) -> Result<(), VerbError> {
    let tray = reports::tray(book, None)?;
    let standing = reports::catching_up(book, Some(&tray), today)?;
    let currency = book.currency();
    if as_json {
        return print_json(&json::catching_up(&standing, today, currency));
    }
    print(&tables::catching_up(&standing, today, currency).text(currency))
}

/// Shows the lots of lines that are alike.
pub fn decisions(book: &Book, tray: &Tray, as_json: bool) -> Result<(), VerbError> {
    let lots = reports::decisions(tray);
    let (chart, currency) = (book.chart(), book.currency());
    if as_json {
        return print_json(&json::lots(&lots, tray.n_covered(), chart, currency));
    }
    print(&tables::lots(&lots, tray.n_covered(), chart, currency).text(currency))
}

/// Shows the entries from rough answers.
pub fn rough(book: &Book, as_json: bool) -> Result<(), VerbError> {
    let list = reports::rough_entries(book)?;
    let (chart, currency) = (book.chart(), book.currency());
    if as_json {
        return print_json(&json::marked_entries(&list, chart, currency));
    }
    print(
        &tables::marked_entries("Rough answers, to be said more exactly", &list, chart)
            .text(currency),
    )
}

/// Shows the entries that nobody can explain yet.
pub fn not_explained(book: &Book, as_json: bool) -> Result<(), VerbError> {
    let list = reports::unexplained(book)?;
    let (chart, currency) = (book.chart(), book.currency());
    if as_json {
        return print_json(&json::marked_entries(&list, chart, currency));
    }
    print(&tables::marked_entries("Not yet explained", &list, chart).text(currency))
}
