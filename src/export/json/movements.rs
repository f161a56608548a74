//! How money, equipment and suppliers' totals moved, as JSON.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::Period;
use crate::dates::DateRange;
use crate::ledger::EntryKind;
use crate::money::{Currency, Money};
use crate::statements::{EquipmentMoved, MoneyPart, Moved, SupplierTotal};

/// What all money did, month by month.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MoneyByMonthJson {
    #[serde(flatten)]
    period: Period,
    months: Vec<MonthJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MonthJson {
    from: NaiveDate,
    to: NaiveDate,
    opening: String,
    came_in: BTreeMap<&'static str, String>,
    went_out: BTreeMap<&'static str, String>,
    closing: String,
}

/// What all money did as JSON.
#[must_use]
pub fn money_by_month(
    parts: &[MoneyPart],
    range: DateRange,
    currency: &Currency,
) -> MoneyByMonthJson {
    let by_kind = |sums: &BTreeMap<EntryKind, Money>| {
        let each = sums.iter();
        each.map(|(kind, amount)| (kind.as_str(), currency.plain(*amount)))
            .collect()
    };
    let months = parts.iter().map(|part| MonthJson {
        from: part.range.from,
        to: part.range.to,
        opening: currency.plain(part.opening),
        came_in: by_kind(&part.came_in),
        went_out: by_kind(&part.went_out),
        closing: currency.plain(part.closing),
    });
    MoneyByMonthJson {
        period: Period::new(currency, range),
        months: months.collect(),
    }
}

/// Suppliers by what they were paid.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SuppliersJson {
    #[serde(flatten)]
    period: Period,
    suppliers: Vec<SupplierJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SupplierJson {
    supplier: String,
    bank: String,
    card: String,
    cash: String,
    otherwise: String,
    total: String,
    bought: Vec<String>,
    entries: Vec<u64>,
}

/// Suppliers as JSON.
#[must_use]
pub fn suppliers(list: &[SupplierTotal], range: DateRange, currency: &Currency) -> SuppliersJson {
    let suppliers = list.iter().map(|one| SupplierJson {
        supplier: one.party.clone(),
        bank: currency.plain(one.bank),
        card: currency.plain(one.card),
        cash: currency.plain(one.cash),
        otherwise: currency.plain(one.otherwise),
        total: currency.plain(one.total()),
        bought: one.bought.iter().cloned().collect(),
        entries: one.entries.iter().map(|number| number.0).collect(),
    });
    SuppliersJson {
        period: Period::new(currency, range),
        suppliers: suppliers.collect(),
    }
}

/// Equipment that came and went.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EquipmentMovedJson {
    #[serde(flatten)]
    period: Period,
    pieces: Vec<PieceJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PieceJson {
    piece: String,
    cost: MovedJson,
    wear: MovedJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MovedJson {
    opening: String,
    added: String,
    gone: String,
    closing: String,
}

/// Equipment that came and went as JSON.
#[must_use]
pub fn equipment_moved(
    list: &[(String, EquipmentMoved)],
    range: DateRange,
    currency: &Currency,
) -> EquipmentMovedJson {
    let moved = |moved: Moved| MovedJson {
        opening: currency.plain(moved.opening),
        added: currency.plain(moved.added),
        gone: currency.plain(moved.gone),
        closing: currency.plain(moved.closing()),
    };
    let pieces = list.iter().map(|(name, piece)| PieceJson {
        piece: name.clone(),
        cost: moved(piece.cost),
        wear: moved(piece.wear),
    });
    EquipmentMovedJson {
        period: Period::new(currency, range),
        pieces: pieces.collect(),
    }
}
