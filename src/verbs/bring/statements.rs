//! Sheets of statements: their lines, rules and accounts against their statements as another book wrote them out,
//! or lie beside a sheet. A bank's own file by itself is `bank`'s.

use std::collections::BTreeMap;
use std::io::Cursor;

use super::{Done, Files, VerbError, context, innermost, row_fault};
use crate::book::{Became, Book, KeptLine, NewStatement};
use crate::import::bank::Answers;
use crate::import::{self, Faults, LineBecame, Sheet};
use crate::sorting::LineId;

/// Statements that lie beside the sheet.
pub(super) fn beside(book: &mut Book, sheet: &Sheet, files: &Files) -> Result<Done, VerbError> {
    let list = import::statements(sheet, context(book))?;
    let mut faults = Faults::new(&sheet.file);
    let mut count = 0;
    for row in &list {
        let bytes = match files.read(&row.file) {
            Ok(bytes) => bytes,
            Err(message) => {
                faults.cell(row.row, "file", message);
                continue;
            }
        };
        let name = row.file.rsplit(['/', '\\']).next().unwrap_or(&row.file);
        let answers = Answers {
            layout: Some(row.layout.clone()).filter(|layout| !layout.is_empty()),
            ..Answers::default()
        };
        let mut source = Cursor::new(bytes);
        match import::bank::bring(book, row.account, &mut source, name, &answers, false) {
            Ok(outcome) => count += outcome.brought.n_new,
            Err(error) => faults.cell(row.row, "file", error.to_string()),
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(count))
}

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
            id: row.line.map(LineId),
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
