//! The files of a year's folder besides its statements: the receipts, the list of hashes, and how any sheet is put in.
//! Which sheets there are is `year_end`'s.

use super::folder::{FolderDraft, WrittenFile};
use super::{Cell, ExportError, Table, written_out};
use crate::book::Book;
use crate::dates::DateRange;

/// Puts a sheet into the folder; one of a practice copy says so in every row.
pub(super) fn put(
    book: &Book,
    draft: &mut FolderDraft,
    name: &str,
    table: &mut Table,
) -> Result<(), ExportError> {
    if book.is_practice() {
        table.mark_practice();
    }
    draft.file(name, &table.csv(book.currency())?)
}

/// The receipts of the year's entries, each named by its entry, and the list of them.
pub(super) fn receipts(
    book: &Book,
    days: DateRange,
    draft: &mut FolderDraft,
) -> Result<(), ExportError> {
    let mut table = Table::new("Receipts", "")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("file", "File")
        .column("sha256", "SHA-256");
    for (place, (number, receipt)) in book.all_receipts()?.into_iter().enumerate() {
        let header = book.entry(number)?.entry.header;
        if !days.contains(header.date) {
            continue;
        }
        let file = written_out::receipt_file(number.0, place, &receipt.name);
        draft.file(&file, &book.receipt_bytes(&receipt.id)?)?;
        table.line(vec![
            Cell::Number(number.to_string()),
            header.date.to_string().into(),
            header.party.into(),
            file.into(),
            receipt.id.0.into(),
        ]);
    }
    put(book, draft, "receipts.csv", &mut table)
}

pub(super) fn manifest(files: &[WrittenFile]) -> Table {
    let mut table = Table::new("Files", "")
        .column("file", "File")
        .column("bytes", "Bytes")
        .column("sha256", "SHA-256");
    for file in files {
        table.line(vec![
            file.name.as_str().into(),
            Cell::Number(file.bytes.to_string()),
            file.sha256.as_str().into(),
        ]);
    }
    table
}
