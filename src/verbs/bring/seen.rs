//! A sheet of receipts whose day and amount were read off them: those that fit exactly one entry are filed with it, the
//! others are named. Which entry a receipt fits is `catching_up`'s.

use super::{Done, Files, VerbError, row_fault};
use crate::book::{Book, ReceiptId};
use crate::catching_up::{Seen, SeenReceipt, match_seen};
use crate::import::{self, Faults, Sheet};
use crate::reports;

pub(super) fn receipts_seen(
    book: &mut Book,
    sheet: &Sheet,
    files: &Files,
) -> Result<Done, VerbError> {
    let list = import::receipts_seen(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    let mut read = Vec::new();
    for row in list {
        match files.read(&row.file) {
            Ok(bytes) => read.push((row, bytes)),
            Err(message) => faults.cell(row.row, "file", message),
        }
    }
    faults.into_result(())?;
    let kept = book.all_receipts()?;
    let (known, new): (Vec<_>, Vec<_>) = read.into_iter().partition(|(_row, bytes)| {
        let id = ReceiptId::of(bytes);
        kept.iter().any(|(_entry, receipt)| receipt.id == id)
    });
    let open = reports::without_receipt(book)?;
    let seen: Vec<SeenReceipt> = new.iter().map(|(row, _bytes)| row.seen).collect();
    let mut done = Done::default();
    for ((row, bytes), found) in new.iter().zip(match_seen(&seen, &open)) {
        let of = format!(
            "row {}, {} of {}",
            row.row,
            row.file,
            crate::dates::show_day(row.seen.date)
        );
        match found {
            Seen::One(number) => {
                book.attach_receipt(number, &row.name, bytes)
                    .map_err(|error| row_fault(sheet, row.row, &error))?;
                done.entries.push(number.0);
                done.count += 1;
            }
            Seen::Unclear(numbers) => {
                let numbers: Vec<String> = numbers.iter().map(|one| one.0.to_string()).collect();
                done.notes.push(format!(
                    "{of} is left: not clear which of its amount, entry {}; a sheet of receipts can say so",
                    numbers.join(", ")
                ));
            }
            Seen::None => done.notes.push(format!(
                "{of} is left: no entry without a receipt has {} within ten days",
                book.currency().show(row.seen.amount)
            )),
        }
    }
    if !known.is_empty() {
        done.notes.push(format!(
            "{} in the book already",
            crate::export::counted(known.len(), "file was", "files were")
        ));
    }
    // The entries are no stretch of new ones, so they are told one by one.
    if !done.entries.is_empty() {
        let numbers: Vec<String> = done.entries.iter().map(ToString::to_string).collect();
        done.notes
            .insert(0, format!("Filed with entry {}.", numbers.join(", ")));
        done.entries.clear();
    }
    Ok(done)
}
