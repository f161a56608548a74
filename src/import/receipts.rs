//! A sheet of receipts: which file belongs to which entry. The files themselves are read by whoever knows folders.

use std::collections::HashSet;

use super::{Faults, Row, Rows, Sheet};
use crate::catching_up::SeenReceipt;
use crate::money::Currency;

/// A receipt as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReceiptRow {
    /// Its row.
    pub row: u64,
    /// The entry it belongs to: the key of its document, or `#` and its number.
    pub entry: String,
    /// The file, from the sheet's own folder.
    pub file: String,
    /// The name it is kept under.
    pub name: String,
}

/// Reads a sheet of receipts.
///
/// # Errors
/// A missing entry or file, a file outside the sheet's folder.
pub fn receipts(sheet: &Sheet, currency: &Currency) -> Result<Vec<ReceiptRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let entry = row.needed("entry");
        let file = row.own_file("file");
        let (entry, file) = (entry?, file?);
        Some(ReceiptRow {
            row: row.number,
            entry: entry.to_owned(),
            file: file.to_owned(),
            name: name_of(row, file),
        })
    })
}

/// The name that a file is kept under: its own when no other is given.
fn name_of(row: &Row<'_, '_>, file: &str) -> String {
    let own_name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let name = Some(row.text("name")).filter(|name| !name.is_empty());
    name.unwrap_or(own_name).to_owned()
}

/// A receipt whose day and amount were read off it, as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenRow {
    /// Its row.
    pub row: u64,
    /// The file, from the sheet's own folder.
    pub file: String,
    /// The name it is kept under.
    pub name: String,
    /// What was read off it.
    pub seen: SeenReceipt,
}

/// Reads a sheet of receipts whose day and amount were read off them.
///
/// # Errors
/// A missing file, day or amount, one that is none, a file outside the sheet's folder or there twice.
pub fn receipts_seen(sheet: &Sheet, currency: &Currency) -> Result<Vec<SeenRow>, Faults> {
    let mut files = HashSet::new();
    Rows::read(sheet, currency, |row| {
        let file = row.own_file("file");
        let (date, amount) = (row.date("date"), row.positive("amount"));
        let file = file?;
        if !files.insert(file) {
            row.fault("file", format!("'{file}' is in the sheet twice"));
            return None;
        }
        Some(SeenRow {
            row: row.number,
            file: file.to_owned(),
            name: name_of(row, file),
            seen: SeenReceipt {
                date: date?,
                amount: amount?,
            },
        })
    })
}
