//! Recurring purchases, small equipment and what it cost to start as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::money::Currency;
use crate::recurring::Recurring;
use crate::statements::{CostToStart, SmallEquipment};

/// Recurring purchases.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RecurringJson {
    #[serde(flatten)]
    as_of: AsOf,
    recurring: Vec<RecurringRowJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RecurringRowJson {
    name: String,
    party: String,
    amount: String,
    every_months: u32,
    next_due: NaiveDate,
    due: Vec<NaiveDate>,
    active: bool,
}

/// Recurring purchases as JSON, with the days that are due.
#[must_use]
pub fn recurring(list: &[Recurring], as_of: NaiveDate, currency: &Currency) -> RecurringJson {
    RecurringJson {
        as_of: AsOf::new(currency, as_of),
        recurring: list
            .iter()
            .map(|one| RecurringRowJson {
                name: one.name.clone(),
                party: one.party.clone(),
                amount: currency.plain(one.amount),
                every_months: one.every_months,
                next_due: one.next_due,
                due: one.due(as_of),
                active: one.is_active,
            })
            .collect(),
    }
}

/// Small equipment that was a cost at once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SmallEquipmentJson {
    #[serde(flatten)]
    as_of: AsOf,
    small_equipment: Vec<SmallThingJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SmallThingJson {
    entry: u64,
    bought_on: NaiveDate,
    supplier: String,
    what: String,
    quantity: Option<String>,
    amount: String,
}

/// Small equipment as JSON.
#[must_use]
pub fn small_equipment(
    list: &[SmallEquipment],
    as_of: NaiveDate,
    currency: &Currency,
) -> SmallEquipmentJson {
    SmallEquipmentJson {
        as_of: AsOf::new(currency, as_of),
        small_equipment: list
            .iter()
            .map(|one| SmallThingJson {
                entry: one.entry.0,
                bought_on: one.bought_on,
                supplier: one.supplier.clone(),
                what: one.what.clone(),
                quantity: one.quantity.map(|quantity| quantity.to_string()),
                amount: currency.plain(one.amount),
            })
            .collect(),
    }
}

/// What it cost to start.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CostToStartJson {
    #[serde(flatten)]
    as_of: AsOf,
    lines: Vec<StartLineJson>,
    paid_out: String,
    brought_in: String,
    total: String,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StartLineJson {
    group: &'static str,
    account: String,
    name: String,
    paid_out: String,
    brought_in: String,
}

/// What stands beside what it cost to start.
pub const START_CAUTION: &str = "Whether costs before opening count at once, over years or not at all depends on where the business is; confirm with local rules and a licensed professional.";

/// What it cost to start as JSON.
#[must_use]
pub fn cost_to_start(cost: &CostToStart, currency: &Currency) -> CostToStartJson {
    CostToStartJson {
        as_of: AsOf::new(currency, cost.through),
        lines: cost
            .lines
            .iter()
            .map(|line| StartLineJson {
                group: crate::export::tables::start_group(line.group),
                account: line.number.clone(),
                name: line.name.clone(),
                paid_out: currency.plain(line.paid_out),
                brought_in: currency.plain(line.brought_in),
            })
            .collect(),
        paid_out: currency.plain(cost.paid_out),
        brought_in: currency.plain(cost.brought_in),
        total: currency.plain(cost.total()),
        caution: START_CAUTION,
    }
}
