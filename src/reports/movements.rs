//! How money, equipment and suppliers' totals moved in a range of a book.
//! The arithmetic is `statements`' business.

use std::collections::{BTreeMap, BTreeSet};

use super::{ReportError, balances_before, entries};
use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::Role;
use crate::money::Money;
use crate::statements::{
    EquipmentMoved, MoneyPart, SupplierTotal, equipment_moved as moved, money_parts,
    supplier_totals,
};

/// What all money did, month by month.
///
/// # Errors
/// When the book cannot be read.
pub fn money_by_month(book: &Book, range: DateRange) -> Result<Vec<MoneyPart>, ReportError> {
    let before = balances_before(book, range.from)?;
    let accounts = book.chart().money_accounts();
    let opening: Money = accounts.iter().map(|one| before.net(one.id)).sum();
    let entries = entries(book, range)?;
    Ok(money_parts(
        book.chart(),
        opening,
        &entries,
        &range.by_month(),
    ))
}

/// Suppliers by what they were paid in a range.
///
/// # Errors
/// When the book cannot be read.
pub fn suppliers(book: &Book, range: DateRange) -> Result<Vec<SupplierTotal>, ReportError> {
    Ok(supplier_totals(book.chart(), &entries(book, range)?)?)
}

/// Equipment with what came and went in a range, by the pieces' names.
///
/// # Errors
/// When the book cannot be read.
pub fn equipment_moved(
    book: &Book,
    range: DateRange,
) -> Result<Vec<(String, EquipmentMoved)>, ReportError> {
    let chart = book.chart();
    let mut numbers = BTreeSet::new();
    let from = book.first_day().min(range.from);
    for role in [Role::Equipment, Role::AccumulatedDepreciation] {
        numbers.extend(book.entry_numbers(&EntryFilter {
            range: DateRange::new(from, range.to),
            account: Some(chart.role(role)?),
            ..EntryFilter::default()
        })?);
    }
    let numbers: Vec<_> = numbers.into_iter().collect();
    let names: BTreeMap<String, String> = book
        .equipment()?
        .into_iter()
        .map(|piece| (piece.key, piece.name))
        .collect();
    let pieces = moved(chart, &book.entries(&numbers)?, range)?;
    let named = pieces.into_iter().map(|piece| {
        let name = match names.get(&piece.key) {
            Some(name) => name.clone(),
            None if piece.key.is_empty() => "Not named".to_owned(),
            None => piece.key.clone(),
        };
        (name, piece)
    });
    Ok(named.collect())
}
