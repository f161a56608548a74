//! A whole folder of sheets into a new book: a written-out one, or the sample's.

use std::path::Path;

use chrono::NaiveDate;

use super::chart::LOCK_DATE;
use super::{Done, Files, Options, Source, VerbError, bring_sheet, moving};
use crate::book::Book;
use crate::dates::parse_iso;
use crate::import::{Sheet, layouts, settings};

/// The order in which the sheets of a folder are brought: what others refer to comes first, and the register after
/// the entries, so that an end that the ledger holds is not posted again.
pub const SHEETS_IN_ORDER: &[&str] = &[
    "settings",
    "accounts",
    "items",
    "recipes",
    "bundles",
    "owner",
    "purchases",
    "movements",
    "sales",
    "refunds",
    "payouts",
    "shop-fees",
    "entries",
    "equipment",
    "equipment-changes",
    "receipts",
    "receipts-seen",
    "recurring",
    "holds",
    "reported-gross",
    "remembered",
    "plan",
    "plan-money",
    "plan-purchases",
    "start-up-marks",
    "supplier-orders",
    "supplier-arrivals",
    "supplier-claims",
    "comparisons",
    "statements",
    "statement-files",
    "statement-lines",
    "sorting-rules",
    "sorting-choices",
    "reconciliations",
    "file-layouts",
    "shop-items",
    "shop-records",
    "questions",
    "duties",
    "duties-done",
    "papers",
    "decisions",
    "hours",
    "mileage",
    "odometer",
    "workspaces",
    "workspace-bills",
    "shared-bills",
    "matters",
    "invoices",
    "commission",
    "deposits",
    "vouchers",
    "fairs-planned",
    "fairs",
    "disputes",
    "claims",
    "swaps",
    "loans",
    "cash-back",
    "repairs",
    "insurance",
    "helpers",
    "untaxed",
    "adjusting",
];

/// The sheets of a written-out book.
const WRITTEN_OUT: &[&str] = &[
    "settings",
    "accounts",
    "items",
    "recipes",
    "bundles",
    "entries",
    "movements",
    "equipment",
    "equipment-changes",
    "receipts",
    "recurring",
    "holds",
    "reported-gross",
    "remembered",
    "plan",
    "plan-money",
    "plan-purchases",
    "start-up-marks",
    "supplier-orders",
    "supplier-arrivals",
    "supplier-claims",
    "comparisons",
    "statement-files",
    "statement-lines",
    "sorting-rules",
    "sorting-choices",
    "reconciliations",
    "file-layouts",
    "shop-items",
    "shop-records",
    "questions",
    "duties",
    "duties-done",
    "papers",
    "decisions",
    "hours",
    "mileage",
    "odometer",
    "workspaces",
    "workspace-bills",
    "shared-bills",
    "matters",
];

/// Brings a folder that was written out into a book without entries, all of it or nothing.
///
/// # Errors
/// When it is no such folder, the book has entries, or a sheet has a fault.
pub fn bring_written_out(book: &mut Book, folder: &Path) -> Result<Vec<Done>, VerbError> {
    bring_into_new(book, &files_of(folder)?, WRITTEN_OUT, true)
}

/// Brings a folder of sheets into a book without entries, all of them or none. Those that move stock are costed together.
///
/// # Errors
/// When it is no such folder, the book has entries, or a sheet has a fault.
pub fn bring_sheets(book: &mut Book, folder: &Path) -> Result<Vec<Done>, VerbError> {
    let files = files_of(folder)?;
    let done = bring_files(book, &files, SHEETS_IN_ORDER)?;
    if done.is_empty() {
        return Err(VerbError::refused(format!(
            "{}: none of its files has the name of a sheet, as purchases.csv; nothing was changed",
            folder.display()
        )));
    }
    Ok(done)
}

fn files_of(folder: &Path) -> Result<Files, VerbError> {
    if !folder.is_dir() {
        return Err(VerbError::refused(format!(
            "{}: it is not a folder",
            folder.display()
        )));
    }
    Ok(Files::Folder(folder.to_owned()))
}

/// Brings all sheets that are there into a book without entries, all of them or none.
///
/// # Errors
/// When the book has entries, or a sheet has a fault.
pub fn bring_files(book: &mut Book, files: &Files, kinds: &[&str]) -> Result<Vec<Done>, VerbError> {
    bring_into_new(book, files, kinds, false)
}

fn bring_into_new(
    book: &mut Book,
    files: &Files,
    kinds: &[&str],
    is_written_out: bool,
) -> Result<Vec<Done>, VerbError> {
    if book.entry_count()? > 0 {
        return Err(VerbError::refused(
            "a folder of sheets goes into a new book, and this one has entries; nothing was changed",
        ));
    }
    book.group("Brought in a folder of sheets", |book| {
        let mut done = Vec::new();
        let mut lock = None;
        for kind in kinds {
            // Sheets that move stock are costed together, for what one says bears on what another is worth.
            if !is_written_out && moving::KINDS.contains(kind) {
                if moving::KINDS.first() == Some(kind) {
                    done.extend(moving::bring(book, files)?);
                }
                continue;
            }
            let name = format!("{kind}.csv");
            let bytes = match files.read(&name) {
                Ok(bytes) => bytes,
                Err(message) if *kind == "entries" && is_written_out => {
                    return Err(VerbError::refused(message));
                }
                Err(_not_there) => continue,
            };
            let Some(layout) = layouts::of_kind(kind) else {
                continue;
            };
            let source = Source {
                name,
                files: files.clone(),
                bytes,
            };
            if *kind == "settings" {
                lock = lock_of(book, &source)?;
            }
            // Whether the folder came before is answered by the book being empty.
            let options = Options {
                again: true,
                leave_open: true,
                is_written_out,
                ..Options::default()
            };
            done.push(bring_sheet(book, layout, &source, options)?);
        }
        if let Some(day) = lock {
            book.lock_through(day)?;
        }
        Ok(done)
    })
}

/// The lock that a sheet of settings asks for: it would stand in the way of the entries.
fn lock_of(book: &Book, source: &Source) -> Result<Option<NaiveDate>, VerbError> {
    let sheet = Sheet::read(&source.name, &source.bytes, &layouts::SETTINGS)?;
    let rows = settings(&sheet, book.currency())?;
    let Some(lock) = rows.iter().find(|row| row.key == LOCK_DATE) else {
        return Ok(None);
    };
    parse_iso(&lock.value).map(Some).map_err(|error| {
        VerbError::refused(format!(
            "{} row {} column value: {error}",
            source.name, lock.row
        ))
    })
}
