//! A sheet of sets, one row a part; rows of the same code are one set.
//! What may be a set is the core's business.

use super::{Context, Faults, Items, Row, Rows, Sheet};
use crate::money::{Money, Quantity};
use crate::stock::{Bundle, BundleError, BundlePart};

/// The columns about the set as a whole, that its other rows may repeat but not change.
const BUNDLE: [&str; 3] = ["name", "price", "active"];

/// A set as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BundleRow {
    /// Its first row.
    pub row: u64,
    /// The set.
    pub bundle: Bundle,
}

/// Reads a sheet of sets.
///
/// # Errors
/// Every cell that cannot be, every set without a name or with an item twice, every code that is an item's.
pub fn bundles(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<BundleRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let common = rows.places(&BUNDLE);
    let mut list: Vec<BundleRow> = Vec::new();
    for (code, places) in rows.groups("bundle") {
        let found_before = rows.faults.list().len();
        let first = places.first().copied().unwrap_or_default();
        let mut bundle = None;
        let mut parts = Vec::new();
        for idx in &places {
            rows.same_as_first(first, *idx, &common);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                bundle = begun(&mut row, &code, items);
            }
            parts.extend(part(&mut row, items));
        }
        let Some(mut bundle) = bundle.filter(|_| rows.faults.list().len() == found_before) else {
            continue;
        };
        bundle.parts = parts;
        let Some(mut row) = rows.at(first) else {
            continue;
        };
        match bundle.check() {
            Ok(()) => list.push(BundleRow {
                row: row.number,
                bundle,
            }),
            Err(error) => row.fault(column_of(&error), error.to_string()),
        }
    }
    rows.faults.into_result(list)
}

/// The set without its parts, from its first row.
fn begun(row: &mut Row<'_, '_>, code: &str, items: &Items) -> Option<Bundle> {
    let name = row.needed("name").map(str::to_owned);
    let has_price = row.has("price");
    let price: Option<Money> = row.part("price");
    let is_active = row.yes_no("active", true);
    if items.find(code).is_some() {
        row.fault("bundle", format!("{code} is the code of an item"));
        return None;
    }
    Some(Bundle {
        code: code.to_owned(),
        name: name?,
        price: price.filter(|_| has_price),
        parts: Vec::new(),
        is_active: is_active?,
    })
}

fn part(row: &mut Row<'_, '_>, items: &Items) -> Option<BundlePart> {
    let item = items.needed(row, "part").map(|item| item.code.clone());
    let quantity = row.value::<Quantity>("part_quantity");
    Some(BundlePart {
        item: item?,
        quantity: quantity?,
    })
}

const fn column_of(error: &BundleError) -> &'static str {
    match error {
        BundleError::NoCode => "bundle",
        BundleError::NoName => "name",
        BundleError::NoParts | BundleError::Twice(_) => "part",
        BundleError::Quantity(_) => "part_quantity",
        BundleError::Price => "price",
    }
}
