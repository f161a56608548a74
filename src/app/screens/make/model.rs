//! What Make says: items by kind with their worth, the ledger's stock accounts beside them, batches, other places.
//! Read from the book after each change; drawing is `view`.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::app::forms::stock::in_units;
use crate::book::{Book, BookError, ItemStock};
use crate::dates::{DateRange, Month};
use crate::ledger::{AccountId, Balances, EntryNumber, Role};
use crate::money::{Currency, Money, Percent, Quantity, unit_cost};
use crate::reports::{self, BundleOnHand};
use crate::stock::{Item, ItemKind, Movement, MovementKind, StockKeeping, stock_role};

/// So many batches are shown.
const BATCHES_SHOWN: usize = 8;

/// One item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemRow {
    /// Its code.
    pub code: String,
    /// Its name, and its shelf.
    pub name: String,
    /// How many, with the unit.
    pub quantity: String,
    /// What they are worth.
    pub value: Money,
    /// What one cost, to four places.
    pub each: String,
    /// What is worth saying of it: low, short, slow, elsewhere.
    pub note: String,
    /// Whether it should be bought or made again.
    pub is_low: bool,
    /// Whether it has not gone out for long.
    pub is_slow: bool,
}

/// The items of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KindRows {
    /// The kind.
    pub kind: ItemKind,
    /// Its items, by name.
    pub rows: Vec<ItemRow>,
    /// What they are worth together.
    pub value: Money,
}

/// A stock account of the ledger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerRow {
    /// Which account.
    pub role: Role,
    /// The account.
    pub account: AccountId,
    /// Its number and name.
    pub title: String,
    /// What it holds.
    pub balance: Money,
    /// The kept items on it.
    pub itemised: Money,
    /// What names no kept item.
    pub not_itemised: Money,
}

/// A batch made lately.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BatchRow {
    /// Its entry.
    pub entry: Option<EntryNumber>,
    /// The day.
    pub date: NaiveDate,
    /// What and how many.
    pub what: String,
    /// The item's code.
    pub code: String,
    /// What was spoiled beyond the normal, in words.
    pub lost: String,
    /// What one piece came to.
    pub each: String,
    /// What the good pieces came to.
    pub value: Money,
}

/// What lies at another place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlaceRow {
    /// The place.
    pub place: String,
    /// How many kinds of things.
    pub what: String,
    /// What they would sell for.
    pub at_price: Money,
}

/// Everything in the room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MakeModel {
    /// The day it is told for.
    pub on: NaiveDate,
    /// The items by kind; kinds without items are left out.
    pub kinds: Vec<KindRows>,
    /// What the items are worth together.
    pub value: Money,
    /// Whether the stock accounts follow at each count only.
    pub is_periodic: bool,
    /// The stock accounts.
    pub ledger: Vec<LedgerRow>,
    /// Items of which more is wanted.
    pub n_low: usize,
    /// Batches, newest first.
    pub batches: Vec<BatchRow>,
    /// Of the pieces begun in the period, the share that was not good, where batches tell it.
    pub loss: Option<String>,
    /// Other places.
    pub places: Vec<PlaceRow>,
    /// Everything on hand, and what of it can be sold, at the end of each month.
    pub over_time: Vec<(Month, Money, Money)>,
    /// Sets, by name.
    pub sets: Vec<BundleOnHand>,
    /// Whether there are recipes.
    pub has_products: bool,
    /// Whether no item is kept.
    pub is_empty: bool,
}

impl MakeModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, period: DateRange, today: NaiveDate) -> Result<Self, BookError> {
        let on = if period.from > today {
            today
        } else {
            period.to.min(today)
        };
        let items = book.items()?;
        let movements: Vec<(Movement, Option<EntryNumber>)> = if items.is_empty() {
            Vec::new()
        } else {
            book.movements()?
        };
        let stock = if items.is_empty() {
            Vec::new()
        } else {
            book.stock_on(on)?
        };
        let slow = reports::slow_stock(book, on)?
            .into_iter()
            .map(|one| (one.code, one.since))
            .collect();
        let kinds = kinds(&items, &stock, &slow, book.currency());
        let rows = || kinds.iter().flat_map(|kind| &kind.rows);
        Ok(Self {
            on,
            value: kinds.iter().map(|kind| kind.value).sum(),
            ledger: ledger(book, &kinds, on)?,
            is_periodic: book.settings().stock_keeping() == StockKeeping::Periodic,
            n_low: rows().filter(|row| row.is_low).count(),
            batches: batches(book, &items, &movements, on)?,
            loss: loss(&movements, period),
            places: places(book, &items, on)?,
            over_time: over_time(book, period, on)?,
            sets: reports::bundles(book, on)?,
            has_products: items.iter().any(|item| item.kind == ItemKind::Made),
            is_empty: items.is_empty(),
            kinds,
        })
    }

    /// What the stock accounts hold together.
    #[must_use]
    pub fn in_ledger(&self) -> Money {
        self.ledger.iter().map(|row| row.balance).sum()
    }
}

/// Whether so few are left that there should be more.
#[must_use]
pub fn is_low(item: &Item, there: Quantity) -> bool {
    item.is_active
        && item
            .reorder_point
            .is_some_and(|point| there.value() <= point.value())
}

/// What one costs, to four places; nothing while there is none.
#[must_use]
pub fn each(value: Money, quantity: Quantity, currency: &Currency) -> String {
    if quantity.value() <= Decimal::ZERO {
        return String::new();
    }
    unit_cost(value, quantity, currency).map_or_else(String::new, |each| format!("{each:.4}"))
}

fn kinds(
    items: &[Item],
    stock: &[ItemStock],
    slow: &BTreeMap<String, NaiveDate>,
    currency: &Currency,
) -> Vec<KindRows> {
    let there: BTreeMap<&str, &ItemStock> = stock
        .iter()
        .map(|one| (one.item.code.as_str(), one))
        .collect();
    ItemKind::ALL
        .into_iter()
        .filter_map(|kind| {
            let rows: Vec<ItemRow> = items
                .iter()
                .filter(|item| item.kind == kind)
                .filter_map(|item| {
                    let one = there.get(item.code.as_str());
                    let quantity = one.map_or_else(Quantity::default, |one| one.quantity);
                    let value = one.map_or(Money::ZERO, |one| one.value);
                    if !item.is_active && quantity.value().is_zero() && value.is_zero() {
                        return None;
                    }
                    let is_slow = slow.contains_key(&item.code);
                    Some(ItemRow {
                        code: item.code.clone(),
                        name: match item.shelf.as_str() {
                            "" => item.name.clone(),
                            shelf => format!("{} ({shelf})", item.name),
                        },
                        quantity: in_units(quantity.value(), item),
                        each: each(value, quantity, currency),
                        note: note(item, quantity, slow.get(&item.code).copied()),
                        is_low: is_low(item, quantity),
                        is_slow,
                        value,
                    })
                })
                .collect();
            (!rows.is_empty()).then(|| KindRows {
                kind,
                value: rows.iter().map(|row| row.value).sum(),
                rows,
            })
        })
        .collect()
}

fn note(item: &Item, quantity: Quantity, slow_since: Option<NaiveDate>) -> String {
    let mut words = Vec::new();
    if quantity.value() < Decimal::ZERO {
        words.push("more went than came: count it, or write down what came".to_owned());
    } else if is_low(item, quantity) {
        let point = item.reorder_point.unwrap_or_default();
        words.push(format!("low: get more from {point} on"));
    }
    if let Some(since) = slow_since {
        let since = crate::dates::show_day(since);
        words.push(format!("slow: none sold since {since}"));
    }
    if !item.is_active {
        words.push("no longer kept".to_owned());
    }
    words.join("; ")
}

fn ledger(book: &Book, kinds: &[KindRows], on: NaiveDate) -> Result<Vec<LedgerRow>, BookError> {
    let balances = book.balances_to(on)?;
    let chart = book.chart();
    let mut rows = Vec::new();
    let roles = ItemKind::ALL.map(|kind| (Some(kind), stock_role(kind)));
    for (kind, role) in roles.into_iter().chain([(None, Role::PartMade)]) {
        let Ok(account) = chart.role(role) else {
            continue;
        };
        let balance = balances.net(account);
        let itemised = kinds
            .iter()
            .find(|rows| Some(rows.kind) == kind)
            .map_or(Money::ZERO, |rows| rows.value);
        if balance.is_zero() && itemised.is_zero() {
            continue;
        }
        rows.push(LedgerRow {
            role,
            account,
            title: chart.title(account),
            balance,
            itemised,
            not_itemised: balance - itemised,
        });
    }
    Ok(rows)
}

fn batches(
    book: &Book,
    items: &[Item],
    movements: &[(Movement, Option<EntryNumber>)],
    on: NaiveDate,
) -> Result<Vec<BatchRow>, BookError> {
    let mut made: Vec<&(Movement, Option<EntryNumber>)> = movements
        .iter()
        .filter(|(movement, _entry)| movement.kind == MovementKind::Make && movement.date <= on)
        .collect();
    made.sort_by_key(|(movement, _entry)| std::cmp::Reverse((movement.date, movement.id)));
    made.truncate(BATCHES_SHOWN);
    if made.is_empty() {
        return Ok(Vec::new());
    }
    let worth = book.made_worth()?;
    Ok(made
        .into_iter()
        .filter_map(|(movement, entry)| {
            let item = items.iter().find(|item| item.code == movement.item)?;
            let value = worth.get(&movement.id.0).copied().unwrap_or_default();
            let many = in_units(movement.quantity.value(), item);
            Some(BatchRow {
                entry: *entry,
                date: movement.date,
                what: format!("{}, {many}", item.name),
                code: item.code.clone(),
                lost: if movement.abnormal.value().is_zero() {
                    String::new()
                } else {
                    format!("{} lost beyond normal", movement.abnormal)
                },
                each: each(value, movement.quantity, book.currency()),
                value,
            })
        })
        .collect())
}

/// Of the pieces that came out or were lost beyond the normal in the period, the share lost.
fn loss(movements: &[(Movement, Option<EntryNumber>)], period: DateRange) -> Option<String> {
    let (mut good, mut lost) = (Decimal::ZERO, Decimal::ZERO);
    for (movement, _entry) in movements {
        if movement.kind == MovementKind::Make && period.contains(movement.date) {
            good += movement.quantity.value();
            lost += movement.abnormal.value();
        }
    }
    if lost.is_zero() {
        return None;
    }
    let share = lost
        .checked_mul(Decimal::ONE_HUNDRED)?
        .checked_div(good + lost)?;
    let share = Percent::new(share.round_dp(1)).ok()?;
    Some(format!(
        "{lost} of {} pieces were lost beyond the normal in this period, {share} %.",
        good + lost
    ))
}

fn places(book: &Book, items: &[Item], on: NaiveDate) -> Result<Vec<PlaceRow>, BookError> {
    if items.is_empty() {
        return Ok(Vec::new());
    }
    let mut rows: BTreeMap<String, (usize, Money)> = BTreeMap::new();
    for ((code, place), quantity) in book.stocks_on(on)?.places {
        if place.is_empty() {
            continue;
        }
        let row = rows.entry(place).or_default();
        row.0 += 1;
        let price = items
            .iter()
            .find(|item| item.code == code)
            .and_then(|item| item.price);
        row.1 += price.map_or(Money::ZERO, |price| price.times(quantity.value()));
    }
    Ok(rows
        .into_iter()
        .map(|(place, (count, at_price))| PlaceRow {
            place,
            what: match count {
                1 => "1 kind of thing".to_owned(),
                n => format!("{n} kinds of things"),
            },
            at_price,
        })
        .collect())
}

fn over_time(
    book: &Book,
    period: DateRange,
    on: NaiveDate,
) -> Result<Vec<(Month, Money, Money)>, BookError> {
    let chart = book.chart();
    let of = |kinds: &[Role], balances: &Balances| -> Money {
        kinds
            .iter()
            .filter_map(|role| chart.role(*role).ok())
            .map(|account| balances.net(account))
            .sum()
    };
    let to_sell = [Role::MadeGoods, Role::BoughtInGoods];
    let all = [
        Role::Materials,
        Role::PackagingOnHand,
        Role::PartMade,
        Role::MadeGoods,
        Role::BoughtInGoods,
    ];
    let mut rows = Vec::new();
    for part in period.by_month() {
        if part.from > on {
            break;
        }
        let balances = book.balances_to(part.to.min(on))?;
        rows.push((
            Month::of(part.from),
            of(&all, &balances),
            of(&to_sell, &balances),
        ));
    }
    Ok(rows)
}
