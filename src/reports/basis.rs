//! The cash basis of a book: reads the entries that lie between a sale or cost and its payment, and what shops hold.
//! How the profit is worked out from them is `statements`' business.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{ReportError, profit};
use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::statements::{Basis, CashBasis, HeldByShop, TIMING_ROLES, cash_basis as work_out};

/// The basis the book's owner chose for profit statements.
#[must_use]
pub fn basis(book: &Book) -> Basis {
    let chosen = book.settings().get("basis");
    chosen
        .and_then(|word| word.parse().ok())
        .unwrap_or(Basis::Accrual)
}

/// Profit on the cash basis of a range, with the bridge from the accrual one. What shops hold at the range's end is
/// what they hold then or, while that is still to come, today.
///
/// # Errors
/// When the book cannot be read.
pub fn cash_basis(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
) -> Result<CashBasis, ReportError> {
    let chart = book.chart();
    let accrual = profit(book, range)?;
    let mut numbers = BTreeSet::new();
    if let Some(range) = DateRange::new(book.first_day().min(range.from), range.to) {
        for account in TIMING_ROLES
            .iter()
            .filter_map(|role| chart.role(*role).ok())
        {
            numbers.extend(book.entry_numbers(&EntryFilter {
                range: Some(range),
                account: Some(account),
                ..EntryFilter::default()
            })?);
        }
    }
    let numbers: Vec<_> = numbers.into_iter().collect();
    let entries = book.entries(&numbers)?;
    let mut held = Vec::new();
    for shop in chart.channels() {
        let held_on = |day: NaiveDate| book.held(shop.id, day.min(today));
        let at_beginning = match range.from.pred_opt() {
            Some(eve) if eve >= book.first_day() => held_on(eve)?,
            _ => crate::money::Money::ZERO,
        };
        held.push(HeldByShop {
            channel: shop.id,
            at_beginning,
            at_end: held_on(range.to)?,
        });
    }
    Ok(work_out(chart, &accrual, &entries, &held, book.first_day()))
}
