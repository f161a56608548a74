//! Recurring purchases, small equipment and what it cost to start as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::money::Currency;
use crate::plan::FIRST_YEAR_CAUTION;
use crate::recurring::Recurring;
use crate::reports::StartEstimate;
use crate::statements::{CostToStart, SmallEquipment, StartUpGroup};

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
    groups: Vec<StartGroupJson>,
    capital: CapitalPutInJson,
    first_year: Option<FirstYearJson>,
    first_year_refused: Option<String>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StartGroupJson {
    group: &'static str,
    key: &'static str,
    paid_out: String,
    brought_in: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct CapitalPutInJson {
    money: String,
    own_pocket: String,
    brought_in: String,
    total: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FirstYearJson {
    title: String,
    source: String,
    checked: NaiveDate,
    begins: NaiveDate,
    begins_is_assumed: bool,
    year_from: NaiveDate,
    year_to: NaiveDate,
    cost: String,
    at_once: String,
    rest: String,
    months: u32,
    a_month: String,
    months_in_year: u32,
    spread_in_year: String,
    in_first_year: String,
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
pub fn cost_to_start(
    cost: &CostToStart,
    estimate: &StartEstimate,
    currency: &Currency,
) -> CostToStartJson {
    let money = |amount| currency.plain(amount);
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
        groups: StartUpGroup::ALL
            .into_iter()
            .map(|group| {
                let (paid_out, brought_in) = cost.group(group);
                StartGroupJson {
                    group: crate::export::tables::start_group(group),
                    key: group.as_str(),
                    paid_out: money(paid_out),
                    brought_in: money(brought_in),
                }
            })
            .collect(),
        capital: CapitalPutInJson {
            money: money(cost.capital.money),
            own_pocket: money(cost.capital.own_pocket),
            brought_in: money(cost.capital.brought_in),
            total: money(cost.capital.total()),
        },
        first_year: estimate.year.as_ref().ok().map(|year| FirstYearJson {
            title: year.title.clone(),
            source: year.source.clone(),
            checked: year.checked,
            begins: estimate.begins,
            begins_is_assumed: estimate.is_assumed,
            year_from: year.year.from,
            year_to: year.year.to,
            cost: money(year.cost),
            at_once: money(year.at_once),
            rest: money(year.rest),
            months: year.months,
            a_month: money(year.in_month(1)),
            months_in_year: year.months_in_year,
            spread_in_year: money(year.spread_in_year),
            in_first_year: money(year.in_first_year()),
            caution: FIRST_YEAR_CAUTION,
        }),
        first_year_refused: estimate.year.as_ref().err().map(ToString::to_string),
        caution: START_CAUTION,
    }
}
