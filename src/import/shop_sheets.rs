//! Sheets about shops: fees charged apart from sales, layouts of files, what words mean, what of a file became which entry.
//! Files that the shops themselves export are `shops`'.

use super::layouts::{may, needed};
use super::{Brought, Context, Faults, Layout, Row, Rows, Sheet};
use crate::book::{ShopItem, ShopRecord};
use crate::happenings::{ChargeKind, Happening, Recording, ShopCharge, ShopFee, ShopFeeDetails};
use crate::ledger::EntryNumber;

/// Gross sales as the channels report them for a year.
pub const REPORTED_GROSS: Layout = Layout {
    kind: "reported-gross",
    columns: &[
        needed("channel"),
        needed("year"),
        needed("amount"),
        may("name_right"),
        may("note"),
    ],
};

/// Fees that sales channels charged apart from sales.
pub const SHOP_FEES: Layout = Layout {
    kind: "shop-fees",
    columns: &[
        needed("channel"),
        needed("date"),
        may("listing"),
        may("commission"),
        may("processing"),
        may("advertising"),
        may("label"),
        may("other"),
        may("sale"),
        may("description"),
        may("reference"),
    ],
};

/// Layouts of files that banks and shops write.
pub const FILE_LAYOUTS: Layout = Layout {
    kind: "file-layouts",
    columns: &[needed("layout"), needed("purpose"), needed("content")],
};

/// Which products words of shops' files mean.
pub const SHOP_ITEMS: Layout = Layout {
    kind: "shop-items",
    columns: &[needed("channel"), needed("words"), may("item")],
};

/// What of shops' files became which entry.
pub const SHOP_RECORDS: Layout = Layout {
    kind: "shop-records",
    columns: &[needed("channel"), needed("key"), may("entry")],
};

/// A layout of files as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileLayoutRow {
    /// Its row.
    pub row: u64,
    /// Its name.
    pub name: String,
    /// What it reads.
    pub purpose: String,
    /// How, as JSON.
    pub content: String,
}

/// Reads a sheet of fees that channels charged; an amount below zero was given back.
///
/// # Errors
/// Every cell that cannot be, every row that the books refuse.
pub fn shop_fees(sheet: &Sheet, context: Context<'_>) -> Result<Vec<Brought>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        if let Some(recording) = fees(&mut row, context) {
            list.push(Brought::of(&mut rows, idx, recording));
        }
    }
    rows.faults.into_result(list)
}

fn fees(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Recording> {
    let date = context.open_day(row, "date");
    let channel = row.account("channel", context.chart);
    let mut charges = Vec::new();
    for kind in ChargeKind::ALL {
        let amount = row.amount_or_nothing(kind.as_str()).unwrap_or_default();
        if !amount.is_zero() {
            charges.push(ShopCharge::new(*kind, amount));
        }
    }
    let made = ShopFee::new(ShopFeeDetails {
        date: date?,
        channel: channel?,
        charges,
        document: row.text("sale").to_owned(),
        memo: row.text("description").to_owned(),
        reference: row.text("reference").to_owned(),
    });
    made.and_then(|happening| happening.recording(context.chart))
        .map_err(|error| row.happening_fault(&error, context.currency))
        .ok()
}

/// Reads a sheet of layouts of files.
///
/// # Errors
/// Every cell that cannot be.
pub fn file_layouts(sheet: &Sheet, context: Context<'_>) -> Result<Vec<FileLayoutRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let name = row.needed("layout");
        let purpose = row.needed("purpose");
        let content = row.needed("content");
        if let Some(content) = content
            && serde_json::from_str::<serde_json::Value>(content).is_err()
        {
            row.fault("content", "is not JSON");
        }
        Some(FileLayoutRow {
            row: row.number,
            name: name?.to_owned(),
            purpose: purpose?.to_owned(),
            content: content?.to_owned(),
        })
    })
}

/// Reads a sheet of what words of shops' files mean, each with its row.
///
/// # Errors
/// Every cell that cannot be.
pub fn shop_items(sheet: &Sheet, context: Context<'_>) -> Result<Vec<(u64, ShopItem)>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let channel = row.account("channel", context.chart);
        let words = row.needed("words");
        let item = ShopItem {
            channel: channel?,
            words: words?.to_owned(),
            item: row.text("item").to_owned(),
        };
        Some((row.number, item))
    })
}

/// Reads a sheet of what of shops' files became which entry, each with its row. Entries go by their numbers.
///
/// # Errors
/// Every cell that cannot be.
pub fn shop_records(sheet: &Sheet, context: Context<'_>) -> Result<Vec<(u64, ShopRecord)>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let channel = row.account("channel", context.chart);
        let key = row.needed("key");
        let entry = row.may_value::<u64>("entry").map(EntryNumber);
        let record = ShopRecord {
            channel: channel?,
            key: key?.to_owned(),
            entry,
        };
        Some((row.number, record))
    })
}
