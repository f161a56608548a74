//! What of everything that goes on is put into a year's folder: what was held, owed and away on the last day, and what the
//! year's fairs, helpers and gifts came to.

use crate::book::Book;
use crate::dates::DateRange;
use crate::export::{ExportError, Table, tables};
use crate::matters::MatterKind;
use crate::reports;

/// A file for each kind of matter that is listed over the year's end.
const LISTED: &[(&str, MatterKind)] = &[
    ("held-deposits", MatterKind::Deposit),
    ("held-vouchers", MatterKind::Voucher),
    ("invoices", MatterKind::Invoice),
    ("on-commission", MatterKind::Commission),
    ("disputes", MatterKind::Dispute),
    ("claims", MatterKind::Claim),
    ("replacements", MatterKind::Replacement),
    ("swaps", MatterKind::Swap),
    ("use-tax", MatterKind::Untaxed),
];

/// The sheets that say something.
pub(super) fn sheets(
    book: &Book,
    days: DateRange,
) -> Result<Vec<(&'static str, Table)>, ExportError> {
    let mut sheets = Vec::new();
    let all = book.matters()?.as_of(days.to);
    for (file, kind) in LISTED {
        if all.of_kind(*kind).next().is_some() {
            sheets.push((*file, tables::matters(&all, Some(*kind), days.to)));
        }
    }
    let fairs = reports::fair_days(book, days)?;
    if !fairs.is_empty() {
        sheets.push(("fair-days", tables::fairs(&fairs, days)));
    }
    if all.of_kind(MatterKind::Loan).next().is_some() {
        let loans = reports::loans(book)?;
        sheets.push(("loans", tables::loans(&loans, days.to)));
    }
    // Reports and limits of gifts and helpers go by the calendar year; a financial year may touch two.
    let years = [days.from, days.to].map(|day| chrono::Datelike::year(&day));
    let names = [
        ("paid-helpers", "gifts"),
        ("paid-helpers-next", "gifts-next"),
    ];
    let n_years = if years[0] == years[1] { 1 } else { 2 };
    for (year, (helper_file, gift_file)) in years.into_iter().zip(names).take(n_years) {
        let helpers = reports::helpers(book, year)?;
        if !helpers.helpers.is_empty() {
            sheets.push((helper_file, tables::helpers(&helpers, book.currency())));
        }
        let gifts = reports::gifts(book, year)?;
        if !gifts.people.is_empty() {
            sheets.push((gift_file, tables::gifts(&gifts, book.currency())));
        }
    }
    Ok(sheets)
}
