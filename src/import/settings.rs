//! A sheet of settings: keys and values. What a key may hold is the book's business.

use std::collections::HashSet;

use super::{Faults, Rows, Sheet};
use crate::money::Currency;

/// A setting as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingRow {
    /// Its row.
    pub row: u64,
    /// Its key.
    pub key: String,
    /// Its value; empty takes it back.
    pub value: String,
}

/// Reads a sheet of settings.
///
/// # Errors
/// A key that is missing or there twice.
pub fn settings(sheet: &Sheet, currency: &Currency) -> Result<Vec<SettingRow>, Faults> {
    let mut keys = HashSet::new();
    Rows::read(sheet, currency, |row| {
        let key = row.needed("key")?;
        if !keys.insert(key) {
            row.fault("key", format!("'{key}' is in the sheet twice"));
        }
        Some(SettingRow {
            row: row.number,
            key: key.to_owned(),
            value: row.text("value").to_owned(),
        })
    })
}
