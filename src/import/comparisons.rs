//! A sheet of comparisons of making a product with having it made.
//! Whether one can be worked out is the core's business.

use rust_decimal::Decimal;

use super::{Context, Faults, Items, Row, Rows, Sheet};
use crate::deciding::{DecidingError, OwnTime, PriceTier, Run, SavedComparison, UnitCost, WaysAsk};
use crate::money::{Currency, Percent};

/// A comparison as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ComparisonRow {
    /// Its row.
    pub row: u64,
    /// The comparison.
    pub comparison: SavedComparison,
}

/// Reads a sheet of comparisons.
///
/// # Errors
/// Every cell that cannot be, every comparison that cannot be worked out.
pub fn comparisons(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<ComparisonRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        comparison(row, context.currency, items).map(|comparison| ComparisonRow {
            row: row.number,
            comparison,
        })
    })
}

fn comparison(
    row: &mut Row<'_, '_>,
    currency: &Currency,
    items: &Items,
) -> Option<SavedComparison> {
    let item = items.needed(row, "item").map(|item| item.code.clone());
    let name = row.needed("name");
    let wanted = row.count("quantity", 1);
    let tiers = tiers(row, currency);
    let minimum = row.has("minimum").then(|| row.count("minimum", 1));
    let out_design = row.part("once_design");
    let out_run = row.part("once_run");
    let carriage = row.part("carriage");
    let each = unit_cost(row, currency);
    let batch = row.has("batch").then(|| row.count("batch", 1));
    let loss = row.value_or("loss", Percent::ZERO);
    let minutes = row.value_or("own_minutes", Decimal::ZERO);
    let own_rate = row.part("own_rate");
    let equipment = row.part("to_buy");
    let is_timed = row.yes_no("own_time", false);
    let is_again = row.yes_no("made_again", false);
    let comparison = SavedComparison {
        id: 0,
        item: item?,
        name: name?.to_owned(),
        ask: WaysAsk {
            wanted: wanted?.into(),
            tiers: tiers?,
            minimum: minimum.unwrap_or(Some(1))?.into(),
            out_design: out_design?,
            out_run: out_run?,
            carriage: carriage?,
            each: each?,
            batch: match batch {
                Some(batch) => Some(batch?.into()),
                None => None,
            },
            loss: loss?,
            minutes: minutes?,
            own_rate: own_rate?,
            equipment: equipment?,
            time: if is_timed? {
                OwnTime::Counted
            } else {
                OwnTime::LeftOut
            },
            run: if is_again? { Run::Reorder } else { Run::First },
        },
    };
    match comparison.check() {
        Ok(()) => Some(comparison),
        Err(error @ (DecidingError::NoTiers | DecidingError::TiersOutOfOrder { .. })) => {
            row.fault("tiers", error.to_string());
            None
        }
        Err(error) => {
            row.row_fault(error.to_string());
            None
        }
    }
}

fn unit_cost(row: &mut Row<'_, '_>, currency: &Currency) -> Option<UnitCost> {
    let major = row.value::<Decimal>("each")?;
    match UnitCost::from_major(major, currency) {
        Ok(cost) => Some(cost),
        Err(error) => {
            row.fault("each", error.to_string());
            None
        }
    }
}

/// Prices as `1:3.20;50:2.60`.
fn tiers(row: &mut Row<'_, '_>, currency: &Currency) -> Option<Vec<PriceTier>> {
    let text = row.needed("tiers")?;
    let mut list = Vec::new();
    for tier in text.split(';').map(str::trim) {
        let read = tier.split_once(':').and_then(|(from, each)| {
            let major = each.trim().parse().ok()?;
            Some(PriceTier {
                from: from.trim().parse().ok()?,
                each: UnitCost::from_major(major, currency).ok()?,
            })
        });
        let Some(read) = read else {
            row.fault("tiers", format!("'{tier}' is not written as 50:2.60"));
            return None;
        };
        list.push(read);
    }
    Some(list)
}
