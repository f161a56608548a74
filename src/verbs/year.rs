//! Showing what a year is handed over with: its lines of a tax form and the statements beside the main ones.
//! What each says is worked out in `reports`.

use chrono::NaiveDate;

use super::VerbError;
use super::args::{ShowArgs, What};
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

/// What money did month by month, suppliers by what they were paid, or equipment that came and went.
pub fn movements(book: &Book, args: &ShowArgs, range: DateRange) -> Result<(), VerbError> {
    let currency = book.currency();
    let table = match args.what {
        What::MoneyByMonth => {
            let parts = reports::money_by_month(book, range)?;
            if args.json {
                return print_json(&json::money_by_month(&parts, range, currency));
            }
            tables::money_by_month(&parts, range, currency)
        }
        What::Suppliers => {
            let list = reports::suppliers(book, range)?;
            if args.json {
                return print_json(&json::suppliers(&list, range, currency));
            }
            tables::suppliers(&list, range, currency)
        }
        _ => {
            let list = reports::equipment_moved(book, range)?;
            if args.json {
                return print_json(&json::equipment_moved(&list, range, currency));
            }
            tables::equipment_moved(&list, range, currency)
        }
    };
    print(&table.text(currency))
}
