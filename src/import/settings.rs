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
    let mut rows = Rows::new(sheet, currency);
    let mut keys = HashSet::new();
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let Some(key) = row.needed("key") else {
            continue;
        };
        if !keys.insert(key) {
            row.fault("key", format!("'{key}' is in the sheet twice"));
        }
        list.push(SettingRow {
            row: row.number,
            key: key.to_owned(),
            value: row.text("value").to_owned(),
        });
    }
    rows.faults.into_result(list)
}
