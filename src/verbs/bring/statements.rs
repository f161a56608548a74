//! Sheets of statement lines, rules and accounts against their statements, as another book wrote them out.
//! A bank's own file is `bank`'s.

use std::collections::BTreeMap;

use super::{Done, VerbError, context, innermost, row_fault};
use crate::book::{Became, Book, KeptLine, NewStatement};
use crate::import::{self, Faults, LineBecame, Sheet};

pub(super) fn files(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::statement_files(sheet, context(book))?;
    for row in &list {
        let statement = NewStatement {
            account: row.account,
            name: row.name.clone(),
            hash: row.hash.clone(),
            format: row.format.clone(),
            bank_account: row.bank_account.clone(),
        };
        book.keep_statement_file(&row.key, &statement, &row.brought_at, row.closing)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn lines(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::statement_lines(sheet, context(book))?;
    let mut faults = Faults::new(&sheet.file);
    let mut by_file: BTreeMap<&str, Vec<(u64, KeptLine)>> = BTreeMap::new();
    for row in &list {
        let line = KeptLine {
            row: row.file_row,
            date: row.date,
            amount: row.amount,
            text: row.text.clone(),
            bank_id: row.bank_id.clone(),
            balance: row.balance,
            became: match &row.became {
                LineBecame::Nothing => None,
                LineBecame::LeftOut(why) => Some(Became::LeftOut(why.clone())),
                LineBecame::Entries(numbers, is_posted) => Some(Became::Entries {
                    numbers: numbers.clone(),
                    is_posted: *is_posted,
                }),
            },
        };
        by_file.entry(&row.file).or_default().push((row.row, line));
    }
    for (key, lines) in by_file {
        let (rows, lines): (Vec<u64>, Vec<KeptLine>) = lines.into_iter().unzip();
        if let Err(error) = book.keep_statement_lines(key, &lines) {
            let idx = match &error {
                crate::book::BookError::AtIndex { index, .. } => *index,
                _ => 0,
            };
            let row = rows.get(idx).copied().unwrap_or_default();
            faults.row(row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

pub(super) fn rules(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::sorting_rules(sheet, context(book))?;
    for (row, rule) in &list {
        book.keep_sorting_rule(rule)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn choices(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::sorting_choices(sheet, context(book))?;
    if !list.is_empty() {
        book.keep_choices(&list)?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn reconciliations(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::reconciliations(sheet, context(book))?;
    for (row, kept) in &list {
        book.keep_reconciliation(kept)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}
