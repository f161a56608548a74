//! A sheet of receipts: which file belongs to which entry. The files themselves are read by whoever knows folders.

use super::{Faults, Rows, Sheet};
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
        let own_name = file.rsplit(['/', '\\']).next().unwrap_or(file);
        let name = Some(row.text("name")).filter(|name| !name.is_empty());
        Some(ReceiptRow {
            row: row.number,
            entry: entry.to_owned(),
            file: file.to_owned(),
            name: name.unwrap_or(own_name).to_owned(),
        })
    })
}
