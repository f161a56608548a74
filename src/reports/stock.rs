//! What lies in stock, what is to be counted, what the goods sold cost, and what of it wants doing.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use super::{ReportError, balances_before, entries};
use crate::book::Book;
use crate::dates::DateRange;
use crate::money::{Money, Quantity};
use crate::needs::StockFound;
use crate::statements::{
    CountRow, GoodsSold, StockList, Worth, count_sheet, goods_sold, stock_list,
};
use crate::stock::{Bundle, MovementKind, in_units};

/// After so many days without a sale what can be sold counts as slow.
pub const SLOW_AFTER_DAYS: u64 = 120;
/// A count within so many days of the year's end is a count of the year's end.
const COUNTED_WITHIN_DAYS: u64 = 31;

/// What lies in stock at the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn stock(book: &Book, as_of: NaiveDate) -> Result<StockList, ReportError> {
    list(book, as_of, None)
}

/// What lies in stock at the end of a period, with what came and went in it.
///
/// # Errors
/// When the book cannot be read.
pub fn stock_in(book: &Book, range: DateRange) -> Result<StockList, ReportError> {
    list(book, range.to, Some(range))
}

fn list(book: &Book, as_of: NaiveDate, range: Option<DateRange>) -> Result<StockList, ReportError> {
    let (mut before, mut flows) = (BTreeMap::new(), Vec::new());
    if let Some(range) = range {
        if let Some(eve) = range.from.pred_opt() {
            before = worth(book, eve)?;
        }
        flows = book.stock_flows(range)?;
    }
    Ok(stock_list(
        book.chart(),
        &book.balances_to(as_of)?,
        (book.settings().costing(), book.settings().stock_keeping()),
        as_of,
        range,
        book.items()?,
        &worth(book, as_of)?,
        &before,
        &flows,
    )?)
}

fn worth(book: &Book, day: NaiveDate) -> Result<BTreeMap<String, Worth>, ReportError> {
    Ok(book
        .stock_on(day)?
        .into_iter()
        .map(|one| (one.item.code, (one.quantity, one.value)))
        .collect())
}

/// What is to be counted on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn to_count(book: &Book, day: NaiveDate) -> Result<Vec<CountRow>, ReportError> {
    Ok(count_sheet(&book.items()?, &book.stocks_on(day)?.places))
}

/// A set as it stands on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BundleOnHand {
    /// The set.
    pub bundle: Bundle,
    /// How many whole sets can be sold from what is on hand.
    pub sellable: u64,
    /// The name of the part of which there is too little for one more.
    pub short_of: String,
    /// What the parts of one set cost by what is on hand, in minor units; not known when one of them is not there.
    pub cost: Option<Money>,
}

impl BundleOnHand {
    /// What its price leaves over what its parts cost, before fees and packing; not known without either.
    #[must_use]
    pub fn left(&self) -> Option<Money> {
        Some(self.bundle.price? - self.cost?)
    }
}

/// The sets, by name, with what of them can be sold on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn bundles(book: &Book, day: NaiveDate) -> Result<Vec<BundleOnHand>, ReportError> {
    let bundles = book.bundles()?;
    if bundles.is_empty() {
        return Ok(Vec::new());
    }
    let worth = worth(book, day)?;
    let names: BTreeMap<String, String> = book
        .items()?
        .into_iter()
        .map(|item| (item.code, item.name))
        .collect();
    let on_hand = |code: &str| worth.get(code).map(|(many, _)| *many).unwrap_or_default();
    Ok(bundles
        .into_iter()
        .map(|bundle| {
            let (sellable, short) = bundle.sellable(on_hand);
            let short_of = short.and_then(|part| names.get(&part.item)).cloned();
            BundleOnHand {
                sellable,
                short_of: short_of.unwrap_or_default(),
                cost: cost_of(&bundle, &worth),
                bundle,
            }
        })
        .collect())
}

/// What the parts of one set cost: the exact shares added up, then rounded once.
fn cost_of(bundle: &Bundle, worth: &BTreeMap<String, Worth>) -> Option<Money> {
    let mut whole = Decimal::ZERO;
    for part in &bundle.parts {
        let (many, value) = worth.get(&part.item)?;
        if many.value() <= Decimal::ZERO {
            return None;
        }
        let value = Decimal::from(value.minor()).checked_mul(part.quantity.value())?;
        whole = whole.checked_add(value.checked_div(many.value())?)?;
    }
    Some(Money::rounded_minor(whole))
}

/// The working of what the goods sold cost in a period.
///
/// # Errors
/// When the book cannot be read.
pub fn cost_of_goods_sold(book: &Book, range: DateRange) -> Result<GoodsSold, ReportError> {
    Ok(goods_sold(
        book.chart(),
        &balances_before(book, range.from)?,
        &book.balances_to(range.to)?,
        &entries(book, range)?,
        &book
            .items()?
            .into_iter()
            .map(|item| (item.code, item.kind))
            .collect(),
        range,
    )?)
}

/// The items that lay there on a day and were not counted within a month of it, by name.
///
/// # Errors
/// When the book cannot be read.
pub fn uncounted(book: &Book, day: NaiveDate) -> Result<Vec<String>, ReportError> {
    let around = (
        day.checked_sub_days(Days::new(COUNTED_WITHIN_DAYS))
            .unwrap_or(day),
        day.checked_add_days(Days::new(COUNTED_WITHIN_DAYS))
            .unwrap_or(day),
    );
    let counted: BTreeSet<String> = book
        .movements()?
        .into_iter()
        .map(|(movement, _entry)| movement)
        .filter(|one| {
            one.kind == MovementKind::Count && around.0 <= one.date && one.date <= around.1
        })
        .map(|one| one.item)
        .collect();
    Ok(book
        .stock_on(day)?
        .into_iter()
        .filter(|one| one.quantity.value() > Decimal::ZERO && !counted.contains(&one.item.code))
        .map(|one| one.item.name)
        .collect())
}

/// Something that can be sold, lies there and has not been sold for long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlowStock {
    /// The item's code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// How many lie there.
    pub quantity: Quantity,
    /// What they cost, in minor units.
    pub value: Money,
    /// The day of its last sale, or on which it first came.
    pub since: NaiveDate,
}

/// What has not been sold for [`SLOW_AFTER_DAYS`] up to a day though it lies there, by name.
///
/// # Errors
/// When the book cannot be read.
pub fn slow_stock(book: &Book, on: NaiveDate) -> Result<Vec<SlowStock>, ReportError> {
    let limit = on
        .checked_sub_days(Days::new(SLOW_AFTER_DAYS))
        .unwrap_or(on);
    let last = book.last_sold(on)?;
    Ok(book
        .stock_on(on)?
        .into_iter()
        .filter_map(|one| {
            let since = *last.get(&one.item.code)?;
            let is_slow = since <= limit && one.quantity.value() > Decimal::ZERO;
            is_slow.then_some(SlowStock {
                code: one.item.code,
                name: one.item.name,
                quantity: one.quantity,
                value: one.value,
                since,
            })
        })
        .collect())
}

/// What of the stock wants doing today. `year_end` is the last day of a finished year that is still open.
pub(super) fn stock_found(
    book: &Book,
    today: NaiveDate,
    year_end: Option<NaiveDate>,
) -> Result<StockFound, ReportError> {
    let items = book.items()?;
    if items.is_empty() {
        return Ok(StockFound::default());
    }
    let here = worth(book, today)?;
    let mut found = StockFound::default();
    for item in items {
        let quantity = here
            .get(&item.code)
            .map(|(quantity, _value)| quantity.value())
            .unwrap_or_default();
        if quantity < Decimal::ZERO {
            found.below.push(item.name);
        } else if item.is_active
            && item
                .reorder_point
                .is_some_and(|point| quantity <= point.value())
        {
            found.low.push(format!(
                "{} ({} left)",
                item.name,
                in_units(quantity, &item)
            ));
        }
    }
    let currency = book.currency();
    found.slow = slow_stock(book, today)?
        .into_iter()
        .map(|one| format!("{} ({} at cost)", one.name, currency.show(one.value)))
        .collect();
    if let Some(day) = year_end {
        let names = uncounted(book, day)?;
        found.uncounted = (!names.is_empty()).then_some((day, names));
    }
    Ok(found)
}
