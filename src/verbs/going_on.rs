//! Showing what goes on: matters, fair days, helpers, gifts, loans.
//! The figures are `reports`'.

use std::path::Path;

use chrono::{Datelike, NaiveDate};

use super::VerbError;
use super::args::{ShowArgs, What};
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::dates::DateRange;
use crate::export::{Table, json, pdf, tables};
use crate::matters::MatterKind;
use crate::reports;

/// Shows what was asked for of what goes on.
pub(super) fn show(
    book: &Book,
    args: &ShowArgs,
    range: DateRange,
    day: NaiveDate,
) -> Result<(), VerbError> {
    let currency = book.currency();
    let year = args.year.unwrap_or(day.year());
    let text = |table: &Table| print(&table.text(currency));
    match args.what {
        What::Fairs => {
            let days = reports::fair_days(book, range)?;
            if args.json {
                return print_json(&json::fairs(&days, range, currency));
            }
            text(&tables::fairs(&days, range))
        }
        What::Helpers => {
            let report = reports::helpers(book, year)?;
            if args.json {
                return print_json(&json::helpers(&report, currency));
            }
            text(&tables::helpers(&report, currency))
        }
        What::Gifts => {
            let report = reports::gifts(book, year)?;
            if args.json {
                return print_json(&json::gifts(&report, currency));
            }
            text(&tables::gifts(&report, currency))
        }
        What::Loans => {
            let list = reports::loans(book)?;
            if args.json {
                return print_json(&json::loans(&list, day, currency));
            }
            text(&tables::loans(&list, day))
        }
        _ => {
            let kind = kind(args.of.as_deref())?;
            let all = book.matters()?.as_of(day);
            if args.json {
                return print_json(&json::matters(&all, kind, day, currency));
            }
            text(&tables::matters(&all, kind, day))
        }
    }
}

fn kind(of: Option<&str>) -> Result<Option<MatterKind>, VerbError> {
    of.map(|word| word.parse::<MatterKind>().map_err(VerbError::Usage))
        .transpose()
}

/// Writes an invoice as a PDF into a file that is not there yet.
pub(super) fn invoice(book: &Path, number: &str, out: &Path) -> Result<(), VerbError> {
    let book = Book::open(book)?;
    let invoice = pdf::invoice_of(&book, number)?;
    let bytes = pdf::invoice(&invoice, book.currency(), invoice.date)?;
    let written = std::fs::File::create_new(out)
        .and_then(|mut file| std::io::Write::write_all(&mut file, &bytes));
    written.map_err(|error| {
        VerbError::refused(format!("{}: it cannot be written: {error}", out.display()))
    })?;
    print(&format!(
        "Invoice {} to {} over {} is written to {}.",
        invoice.number,
        invoice.to,
        book.currency().show(invoice.total()),
        out.display()
    ))
}
