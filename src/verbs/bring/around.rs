//! Sheets of what stands around the entries: receipts, recurring purchases, money held, reported gross.

use super::{Done, Files, VerbError, context, row_fault};
use crate::book::{Book, BookError, EntryFilter, ShopReport};
use crate::import::{self, Faults, Sheet};
use crate::ledger::{EntryKind, EntryNumber};

pub(super) fn receipts(book: &mut Book, sheet: &Sheet, files: &Files) -> Result<Done, VerbError> {
    let list = import::receipts(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        let Some(number) = entry_of(book, &row.entry)? else {
            faults.cell(
                row.row,
                "entry",
                format!("there is no entry or document '{}' in the book", row.entry),
            );
            continue;
        };
        match files.read(&row.file) {
            Err(message) => faults.cell(row.row, "file", message),
            Ok(bytes) => {
                if let Err(error) = book.attach_receipt(number, &row.name, &bytes) {
                    faults.cell(row.row, "file", error.to_string());
                }
            }
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

/// The entry of a document's key, a purchase before others, or of `#` and a number.
pub(super) fn entry_of(book: &Book, key: &str) -> Result<Option<EntryNumber>, BookError> {
    let exists = |number: u64| -> Result<Option<EntryNumber>, BookError> {
        let is_there = number >= 1 && number <= book.entry_count()?;
        Ok(is_there.then_some(EntryNumber(number)))
    };
    if let Some(number) = key.strip_prefix('#') {
        return number.parse().map_or(Ok(None), exists);
    }
    for kind in [Some(EntryKind::Purchase), None] {
        let numbers = book.entry_numbers(&EntryFilter {
            document: Some(key.to_owned()),
            kind,
            ..EntryFilter::default()
        })?;
        if let Some(number) = numbers.first() {
            return Ok(Some(*number));
        }
    }
    key.parse().map_or(Ok(None), exists)
}

pub(super) fn recurring(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::recurring(sheet, context(book))?;
    for row in &list {
        book.add_recurring(&row.recurring)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn holds(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::holds(sheet, context(book))?;
    for row in &list {
        let kept = book
            .add_hold(row.channel, row.amount, row.since, row.until, &row.memo)
            .and_then(|id| match row.released {
                Some(day) => book.release_hold(id, day),
                None => Ok(()),
            });
        kept.map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn reported_gross(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::reported_gross(sheet, context(book))?;
    for row in &list {
        let kept = match &row.said {
            None => book.set_reported_gross(row.channel, row.year, Some(row.amount)),
            Some((name_right, note)) => {
                let report = ShopReport {
                    amount: row.amount,
                    name_right: *name_right,
                    note: note.clone(),
                };
                book.set_shop_report(row.channel, row.year, Some(&report))
            }
        };
        kept.map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn remembered(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::remembered(sheet, context(book))?;
    if !list.is_empty() {
        book.remember_kinds(&list)?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn file_layouts(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::file_layouts(sheet, context(book))?;
    for row in &list {
        book.keep_file_layout(&row.name, &row.purpose, &row.content)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn shop_items(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::shop_items(sheet, context(book))?;
    for (row, item) in &list {
        book.keep_shop_item(item)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn shop_records(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::shop_records(sheet, context(book))?;
    for (row, record) in &list {
        book.note_shop_record(record)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}
