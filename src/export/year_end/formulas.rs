//! How a sum of a table is worked out again by a sheet that computes. Which rows a sum rests on is the table's to say; a
//! formula is given only where it comes to the figure that stands there.

use super::workbook::{HEAD, at};
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::money::Money;

/// A total's formula, when its parts come to it; a figure that they do not come to stays a figure.
pub(super) fn formula(table: &Table, place: usize, column: usize, amount: Money) -> Option<String> {
    sum(table, place, column, amount).or_else(|| closing_balance(table, place, column, amount))
}

fn sum(table: &Table, place: usize, column: usize, amount: Money) -> Option<String> {
    let parts = table.parts_of(place);
    if parts.is_empty() {
        return None;
    }
    let mut sum = Money::ZERO;
    for part in &parts {
        let value = match table.rows().get(part.row)?.1.get(column) {
            Some(Cell::Amount(value)) => *value,
            Some(Cell::Empty) | None => Money::ZERO,
            Some(_) => return None,
        };
        sum += if part.is_less { -value } else { value };
    }
    (sum == amount).then(|| terms(table, &parts, column))
}

/// The closing balance of an account's ledger: what it opened with, and the debits less the credits since. Answers
/// nothing where that is not what the row says.
fn closing_balance(table: &Table, place: usize, column: usize, amount: Money) -> Option<String> {
    let column_of = |slug: &str| table.columns.iter().position(|one| one.slug == slug);
    let (debit, credit) = (column_of("debit")?, column_of("credit")?);
    if table.columns.get(column)?.slug != "balance" {
        return None;
    }
    let parts = table.parts_of(place);
    let (first, last) = (parts.first()?.row, parts.last()?.row);
    let amount_at = |row: usize, column: usize| match table.rows().get(row)?.1.get(column) {
        Some(Cell::Amount(value)) => Some(*value),
        _ => None,
    };
    let sum = |column| -> Money {
        let amounts = (first..=last).filter_map(|row| amount_at(row, column));
        amounts.sum()
    };
    if amount_at(first, column)? + sum(debit) - sum(credit) != amount {
        return None;
    }
    let range = |column| {
        format!(
            "SUM({}:{})",
            cell_name(column, first),
            cell_name(column, last)
        )
    };
    Some(format!(
        "={}+{}-{}",
        cell_name(column, first),
        range(debit),
        range(credit)
    ))
}

/// The name of a cell in the sheet of a table.
fn cell_name(column: usize, row: usize) -> String {
    let letters = rust_xlsxwriter::utility::column_number_to_name(at(column));
    format!("{letters}{}", row + HEAD as usize + 2)
}

fn terms(table: &Table, parts: &[SumPart], column: usize) -> String {
    let cell = |row: usize| cell_name(column, row);
    let has_less = parts.iter().any(|part| part.is_less);
    if let (false, Some(first), Some(last)) = (has_less, parts.first(), parts.last()) {
        // Headings between the lines are empty in the columns of figures.
        let is_run = (first.row..=last.row).all(|row| {
            let is_heading = table
                .rows()
                .get(row)
                .is_some_and(|(style, _cells)| *style == RowStyle::Heading);
            is_heading || parts.binary_search_by_key(&row, |part| part.row).is_ok()
        });
        if parts.len() > 1 && is_run {
            return format!("=SUM({}:{})", cell(first.row), cell(last.row));
        }
    }
    let mut formula = "=".to_owned();
    for (place, part) in parts.iter().enumerate() {
        if part.is_less {
            formula.push('-');
        } else if place > 0 {
            formula.push('+');
        }
        formula.push_str(&cell(part.row));
    }
    formula
}
