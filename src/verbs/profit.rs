//! Showing the profit statement on the basis asked for, whole or split.
//! What it says is worked out in `reports`.

use chrono::NaiveDate;

use super::VerbError;
use super::args::{By, ShowArgs};
use super::outcome::{print, print_json};
use crate::book::Book;
use crate::dates::DateRange;
use crate::export::{json, tables};
use crate::reports;
use crate::statements::{Basis, CashBasis};

/// The profit statement of a range, on the basis asked for or the one that the book's setting names.
pub fn profit(
    book: &Book,
    args: &ShowArgs,
    range: DateRange,
    today: NaiveDate,
) -> Result<(), VerbError> {
    let parts = match args.by {
        None => None,
        Some(By::Month) => Some(range.by_month()),
        Some(By::Quarter) => Some(range.by_quarter()),
    };
    match args.basis.unwrap_or_else(|| reports::basis(book)) {
        Basis::Accrual => accrual(book, range, parts.as_deref(), args.json),
        Basis::Cash => cash(book, range, parts.as_deref(), today, args.json),
    }
}

fn accrual(
    book: &Book,
    range: DateRange,
    parts: Option<&[DateRange]>,
    as_json: bool,
) -> Result<(), VerbError> {
    let (chart, currency) = (book.chart(), book.currency());
    let statement = reports::profit(book, range)?;
    let parts = parts.map(|parts| {
        let of_part = |part: &DateRange| reports::profit(book, *part);
        parts.iter().map(of_part).collect::<Result<Vec<_>, _>>()
    });
    let parts = parts.transpose()?;
    if as_json {
        return print_json(&json::profit(&statement, parts.as_deref(), currency));
    }
    let table = match &parts {
        None => {
            let before = reports::profit(book, range.a_year_before())?;
            let before = Some(before).filter(|before| !before.lines.is_empty());
            tables::profit(&statement, before.as_ref(), chart, currency)
        }
        Some(parts) => tables::profit_periods(parts, range, Basis::Accrual, chart),
    };
    print(&table.text(currency))
}

fn cash(
    book: &Book,
    range: DateRange,
    parts: Option<&[DateRange]>,
    today: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let (chart, currency) = (book.chart(), book.currency());
    let report = reports::cash_basis(book, range, today)?;
    let parts = parts.map(|parts| {
        let of_part = |part: &DateRange| reports::cash_basis(book, *part, today);
        parts.iter().map(of_part).collect::<Result<Vec<_>, _>>()
    });
    let parts = parts.transpose()?;
    if as_json {
        return print_json(&json::cash_profit(&report, parts.as_deref(), currency));
    }
    let table = match &parts {
        None => tables::cash_profit(&report, currency),
        Some(parts) => {
            let parts: Vec<_> = parts.iter().map(CashBasis::statement).collect();
            tables::profit_periods(&parts, range, Basis::Cash, chart)
        }
    };
    let bridge = tables::basis_bridge(&report, currency).text(currency);
    print(&format!("{}\n{bridge}", table.text(currency)))
}
