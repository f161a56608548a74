//! Showing what a year is handed over with: its lines of a tax form and the statements beside the main ones.
//! What each says is worked out in `reports`.

use chrono::NaiveDate;

use super::VerbError;
use super::args::ShowArgs;
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::dates::DateRange;
use crate::export::{json, tables};
use crate::reports;

/// A financial year by the lines of a tax form.
pub fn form_lines(
    book: &Book,
    args: &ShowArgs,
    range: DateRange,
    today: NaiveDate,
) -> Result<(), VerbError> {
    let year = book.year_start().year_of(range.to);
    let basis = args.basis.unwrap_or_else(|| reports::basis(book));
    let report = reports::form_lines(book, year, args.form.as_deref(), basis, today)?;
    let Some(report) = report else {
        return Err(VerbError::refused(format!(
            "no tax form is known for books in {}; name one with --form, or set tax_form",
            book.currency().code()
        )));
    };
    if args.json {
        return print_json(&json::form_lines(&report, book.currency()));
    }
    print(&tables::tax_form(&report, book.currency()).text(book.currency()))
}
