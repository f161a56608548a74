//! Stock, the sheet for counting and what the goods sold cost as JSON.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

use super::{AsOf, Period};
use crate::money::{Currency, Money};
use crate::reports::BundleOnHand;
use crate::statements::{CountRow, GoodsSold, StockLine, StockList, StockPeriod};

/// Stock at the end of a day, with what came and went where a period was asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StockJson {
    #[serde(flatten)]
    when: When,
    method: &'static str,
    keeping: &'static str,
    items: Vec<StockItemJson>,
    total_value: String,
    ledger_value: String,
    not_itemised: String,
    part_made: String,
    accounts: Vec<StockAccountJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    totals: Option<StockPeriodJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
enum When {
    Day(AsOf),
    Days(Period),
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StockItemJson {
    code: String,
    name: String,
    kind: &'static str,
    unit: String,
    quantity: String,
    value: String,
    unit_cost: Option<String>,
    reorder_point: Option<String>,
    price: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    opening_quantity: Option<String>,
    #[serde(flatten)]
    period: Option<StockPeriodJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StockPeriodJson {
    opening: String,
    received: String,
    made: String,
    used: String,
    cost_of_goods_sold: String,
    packaging: String,
    waste: String,
    given: String,
    own_use: String,
    closing: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StockAccountJson {
    account: String,
    name: String,
    value: String,
    not_itemised: String,
}

fn period(period: &StockPeriod, currency: &Currency) -> StockPeriodJson {
    let plain = |amount: Money| currency.plain(amount);
    StockPeriodJson {
        opening: plain(period.opening),
        received: plain(period.received),
        made: plain(period.made),
        used: plain(period.used),
        cost_of_goods_sold: plain(period.cost_of_goods_sold),
        packaging: plain(period.packaging),
        waste: plain(period.waste),
        given: plain(period.given),
        own_use: plain(period.own_use),
        closing: plain(period.closing),
    }
}

/// A cost of one with at least the currency's own decimals and at most six.
fn one(cost: Decimal, currency: &Currency) -> String {
    let mut cost = cost.normalize();
    if cost.scale() < currency.decimals() {
        cost.rescale(currency.decimals());
    }
    cost.to_string()
}

fn item(line: &StockLine, currency: &Currency) -> StockItemJson {
    StockItemJson {
        code: line.item.code.clone(),
        name: line.item.name.clone(),
        kind: line.item.kind.as_str(),
        unit: line.item.unit.to_string(),
        quantity: line.quantity.to_string(),
        value: currency.plain(line.value),
        unit_cost: line
            .unit_cost(currency.decimals())
            .map(|cost| one(cost, currency)),
        reorder_point: line.item.reorder_point.map(|point| point.to_string()),
        price: line.item.price.map(|price| currency.plain(price)),
        opening_quantity: line
            .period
            .map(|period| period.opening_quantity.to_string()),
        period: line.period.as_ref().map(|line| period(line, currency)),
    }
}

/// Stock as JSON.
#[must_use]
pub fn stock(list: &StockList, currency: &Currency) -> StockJson {
    StockJson {
        when: match list.range {
            Some(range) => When::Days(Period::new(currency, range)),
            None => When::Day(AsOf::new(currency, list.as_of)),
        },
        method: list.method.as_str(),
        keeping: list.keeping.as_str(),
        items: list.lines.iter().map(|line| item(line, currency)).collect(),
        total_value: currency.plain(list.total_value),
        ledger_value: currency.plain(list.ledger_value),
        not_itemised: currency.plain(list.not_itemised()),
        part_made: currency.plain(list.part_made),
        accounts: list
            .accounts
            .iter()
            .map(|account| StockAccountJson {
                account: account.number.clone(),
                name: account.name.clone(),
                value: currency.plain(account.value),
                not_itemised: currency.plain(account.not_itemised),
            })
            .collect(),
        totals: list.totals().map(|totals| period(&totals, currency)),
    }
}

/// What is to be counted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CountSheetJson {
    #[serde(flatten)]
    as_of: AsOf,
    rows: Vec<CountRowJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct CountRowJson {
    place: String,
    shelf: String,
    code: String,
    name: String,
    unit: String,
}

/// The sheet for counting as JSON; like the paper it holds no quantity of the book.
#[must_use]
pub fn count_sheet(rows: &[CountRow], as_of: NaiveDate, currency: &Currency) -> CountSheetJson {
    CountSheetJson {
        as_of: AsOf::new(currency, as_of),
        rows: rows
            .iter()
            .map(|row| CountRowJson {
                place: row.place.clone(),
                shelf: row.shelf.clone(),
                code: row.code.clone(),
                name: row.name.clone(),
                unit: row.unit.clone(),
            })
            .collect(),
    }
}

/// The sets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BundlesJson {
    #[serde(flatten)]
    as_of: AsOf,
    bundles: Vec<BundleJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BundleJson {
    code: String,
    name: String,
    price: Option<String>,
    parts: Vec<BundlePartJson>,
    sellable: u64,
    short_of: String,
    cost: Option<String>,
    left: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BundlePartJson {
    item: String,
    quantity: String,
}

/// The sets as JSON, with what of them can be sold and what their parts cost.
#[must_use]
pub fn bundles(list: &[BundleOnHand], as_of: NaiveDate, currency: &Currency) -> BundlesJson {
    let plain = |amount: Option<Money>| amount.map(|amount| currency.plain(amount));
    BundlesJson {
        as_of: AsOf::new(currency, as_of),
        bundles: list
            .iter()
            .map(|one| BundleJson {
                code: one.bundle.code.clone(),
                name: one.bundle.name.clone(),
                price: plain(one.bundle.price),
                parts: one
                    .bundle
                    .parts
                    .iter()
                    .map(|part| BundlePartJson {
                        item: part.item.clone(),
                        quantity: part.quantity.to_string(),
                    })
                    .collect(),
                sellable: one.sellable,
                short_of: one.short_of.clone(),
                cost: plain(one.cost),
                left: plain(one.left()),
            })
            .collect(),
    }
}

/// What the goods sold cost.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GoodsSoldJson {
    #[serde(flatten)]
    period: Period,
    method: &'static str,
    opening: String,
    purchases: String,
    own_use: String,
    labour: String,
    materials: String,
    other: String,
    available: String,
    closing: String,
    cost_of_goods_sold: String,
    form_lines: Vec<GoodsFormLineJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct GoodsFormLineJson {
    line: u32,
    what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    amount: Option<String>,
    #[serde(skip_serializing_if = "str::is_empty")]
    words: &'static str,
}

/// What stands beside the working of what the goods sold cost.
pub const GOODS_CAUTION: &str = "A sorting aid only, at cost. Whether stock is counted for tax, and how, is chosen once with a licensed professional and then kept; packaging for sending is a cost of its own and not part of it, what is packed into a piece when it is made is.";

/// What the goods sold cost as JSON.
#[must_use]
pub fn goods_sold(
    working: &GoodsSold,
    method: crate::stock::CostMethod,
    currency: &Currency,
) -> GoodsSoldJson {
    let plain = |amount: Money| currency.plain(amount);
    GoodsSoldJson {
        period: Period::new(currency, working.range),
        method: method.as_str(),
        opening: plain(working.opening),
        purchases: plain(working.purchases),
        own_use: plain(working.own_use),
        labour: plain(working.labour),
        materials: plain(working.materials),
        other: plain(working.other),
        available: plain(working.available()),
        closing: plain(working.closing),
        cost_of_goods_sold: plain(working.sold()),
        form_lines: working
            .form_lines()
            .into_iter()
            .map(|line| GoodsFormLineJson {
                line: line.line,
                what: line.what,
                amount: line.amount.map(plain),
                words: line.words,
            })
            .collect(),
        caution: GOODS_CAUTION,
    }
}
