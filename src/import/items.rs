//! A sheet of items, one row each, and finding a kept item by the code that another sheet gives.
//! What may be an item is the core's business.

use std::collections::HashMap;

use super::{Context, Faults, Row, Rows, Sheet};
use crate::money::Quantity;
use crate::stock::{Bundle, Item, ItemError, Pack, Unit};

/// The items that the book keeps and the sets sold of them, by code; capitals of a code do not matter.
#[derive(Clone, Debug, Default)]
pub struct Items {
    by_code: HashMap<String, Item>,
    bundles: HashMap<String, Bundle>,
}

impl Items {
    /// These items.
    #[must_use]
    pub fn new(items: impl IntoIterator<Item = Item>) -> Self {
        Self {
            by_code: items
                .into_iter()
                .map(|item| (key(&item.code), item))
                .collect(),
            bundles: HashMap::new(),
        }
    }

    /// The same with these sets.
    #[must_use]
    pub fn with_bundles(mut self, bundles: impl IntoIterator<Item = Bundle>) -> Self {
        self.bundles = bundles
            .into_iter()
            .map(|bundle| (key(&bundle.code), bundle))
            .collect();
        self
    }

    /// The set of a code.
    #[must_use]
    pub fn bundle(&self, code: &str) -> Option<&Bundle> {
        self.bundles.get(&key(code))
    }

    /// The item of a code.
    #[must_use]
    pub fn find(&self, code: &str) -> Option<&Item> {
        self.by_code.get(&key(code))
    }

    /// The item that a cell names, which must be kept.
    pub fn needed(&self, row: &mut Row<'_, '_>, column: &str) -> Option<&Item> {
        let code = row.needed(column)?;
        let found = self.find(code);
        if found.is_none() {
            row.fault(column, format!("there is no item '{code}' in the book"));
        }
        found
    }
}

fn key(code: &str) -> String {
    code.trim().to_ascii_lowercase()
}

/// An item as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemRow {
    /// Its row.
    pub row: u64,
    /// The item.
    pub item: Item,
}

/// Reads a sheet of items.
///
/// # Errors
/// Every cell that cannot be, and every code that stands there twice.
pub fn items(sheet: &Sheet, context: Context<'_>) -> Result<Vec<ItemRow>, Faults> {
    let mut seen: HashMap<String, u64> = HashMap::new();
    Rows::read(sheet, context.currency, |row| {
        let item = item(row)?;
        if let Some(first) = seen.insert(item.code.to_ascii_lowercase(), row.number) {
            row.fault(
                "code",
                format!("'{}' stands on row {first} already", item.code),
            );
            return None;
        }
        Some(ItemRow {
            row: row.number,
            item,
        })
    })
}

/// The item of a row. Every cell is read before any is missed, so that all faults are told.
fn item(row: &mut Row<'_, '_>) -> Option<Item> {
    let code = row.needed("code");
    let name = row.needed("name");
    let kind = row.value("kind");
    let unit = unit(row);
    let reorder_point = not_negative(row, "reorder_point");
    let price = row.has("price").then(|| row.part("price"));
    let packs = packs(row);
    let is_active = row.yes_no("active", true);
    let mut item = Item::new(code?, name?, kind?, unit?);
    item.reorder_point = reorder_point?;
    item.price = match price {
        Some(price) => Some(price?),
        None => None,
    };
    item.packs = packs?;
    row.text("shelf").clone_into(&mut item.shelf);
    item.is_active = is_active?;
    if let Err(error) = item.check() {
        match error {
            ItemError::Pack(_) => row.fault("packs", error.to_string()),
            error => row.row_fault(error.to_string()),
        }
        return None;
    }
    Some(item)
}

fn unit(row: &mut Row<'_, '_>) -> Option<Unit> {
    let text = row.needed("unit")?;
    match Unit::new(text) {
        Ok(unit) => Some(unit),
        Err(error) => {
            row.fault("unit", error.to_string());
            None
        }
    }
}

/// A quantity of nothing or more that may be left out.
fn not_negative(row: &mut Row<'_, '_>, column: &str) -> Option<Option<Quantity>> {
    if !row.has(column) {
        return Some(None);
    }
    let quantity = row.quantity(column)?;
    if quantity.value().is_sign_negative() && !quantity.value().is_zero() {
        row.fault(column, "must not be below zero");
        return None;
    }
    Some(Some(quantity))
}

/// Packs as `ream=500;box=2500`.
fn packs(row: &mut Row<'_, '_>) -> Option<Vec<Pack>> {
    let mut packs = Vec::new();
    for text in row.text("packs").split(';').map(str::trim) {
        if text.is_empty() {
            continue;
        }
        let pack = text.rsplit_once('=').and_then(|(name, holds)| {
            Some(Pack {
                name: Unit::new(name).ok()?,
                holds: holds.trim().parse().ok()?,
            })
        });
        let Some(pack) = pack else {
            row.fault(
                "packs",
                format!("'{text}' is not a pack; write name=quantity, as ream=500;box=2500"),
            );
            return None;
        };
        packs.push(pack);
    }
    Some(packs)
}
