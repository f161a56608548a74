//! What a shop's file would write: the file as it was read, held against what the book knows of that shop.
//! Asks the book and works nothing out itself; doing it is the book's.

use std::collections::{BTreeMap, BTreeSet};

use super::ReportError;
use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::import::Faults;
use crate::import::shops::{ShopTable, charges, orders};
use crate::ledger::AccountId;
use crate::money::Money;
use crate::shops::{FileKind, HoldKnown, Known, Product, ShopLayout, Steps, Told, reconcile};
use crate::statements::{Bridge, ChannelSummary, Includes, YearEnds, bridge};

/// A shop's file that is to be brought in.
#[derive(Clone, Copy, Debug)]
pub struct ShopFile<'a> {
    /// What it holds.
    pub kind: FileKind,
    /// Its rows.
    pub table: &'a ShopTable,
    /// The name of its layout.
    pub name: &'a str,
    /// How it is read.
    pub layout: &'a ShopLayout,
    /// The shop's account.
    pub channel: AccountId,
    /// Where payouts arrive.
    pub into: AccountId,
}

/// Why a shop's file cannot be brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShopFileError {
    /// What is wrong with its cells.
    Faults(Faults),
    /// The book cannot be read.
    Report(String),
}

impl From<Faults> for ShopFileError {
    fn from(faults: Faults) -> Self {
        Self::Faults(faults)
    }
}

impl<E: Into<ReportError>> From<E> for ShopFileError {
    fn from(error: E) -> Self {
        Self::Report(error.into().to_string())
    }
}

/// What follows from a shop's file. The amounts that count on each row, as the file showed them, come with it.
///
/// # Errors
/// Everything that is wrong with the file, or when the book cannot be read.
pub fn shop_steps(book: &Book, file: &ShopFile<'_>) -> Result<(Steps, ShopLayout), ShopFileError> {
    let known = shop_known(book, file.channel)?;
    let (products, no_products) = shop_products(book, file.channel)?;
    let mut layout = file.layout.clone();
    let mut notes = Vec::new();
    let (read, facts) = match file.kind {
        FileKind::Orders => {
            let read = orders(file.table, file.layout, book.currency())?;
            layout.per_row.clone_from(&read.per_row);
            notes.extend(read.notes);
            (read.orders, Vec::new())
        }
        FileKind::Payouts => {
            let facts = charges(file.table, file.layout, book.currency())?;
            (Vec::new(), facts)
        }
    };
    let told = Told {
        file: &file.table.file,
        layout: file.name,
        orders: &read,
        facts: &facts,
        channel: file.channel,
        into: file.into,
        chart: book.chart(),
        currency: book.currency(),
        products: &products,
        no_products: &no_products,
        first_day: book.first_day(),
        lock_date: book.lock_date(),
    };
    let mut steps = reconcile(&known, &told).map_err(|(row, error)| {
        let mut faults = Faults::new(&file.table.file);
        faults.row(row, error.describe(book.currency()));
        faults
    })?;
    notes.append(&mut steps.notes);
    steps.notes = notes;
    Ok((steps, layout))
}

/// What the book knows of a shop.
///
/// # Errors
/// When the book cannot be read.
pub fn shop_known(book: &Book, channel: AccountId) -> Result<Known, ReportError> {
    let records = book.shop_records(channel)?;
    let mut numbers = book.entry_numbers(&EntryFilter {
        account: Some(channel),
        ..EntryFilter::default()
    })?;
    numbers.extend(records.values().flatten());
    numbers.sort();
    numbers.dedup();
    let entries = book.entries(&numbers)?;
    let holds = book
        .holds()?
        .into_iter()
        .filter(|hold| hold.channel == channel)
        .map(|hold| HoldKnown {
            id: hold.id,
            amount: hold.amount,
            since: hold.since,
            released: hold.released,
        })
        .collect();
    Ok(Known::new(records, entries, holds))
}

/// The products that a shop's words mean, by the words in small letters, and the words that mean none. A product's own
/// code means itself.
///
/// # Errors
/// When the book cannot be read.
pub fn shop_products(
    book: &Book,
    channel: AccountId,
) -> Result<(BTreeMap<String, Product>, BTreeSet<String>), ReportError> {
    let mut by_code = BTreeMap::new();
    for item in book.items()?.into_iter().filter(|item| item.kind.is_sold()) {
        let product = Product {
            code: item.code,
            name: item.name,
        };
        by_code.insert(product.code.to_lowercase(), product);
    }
    for bundle in book.bundles()? {
        let product = Product {
            code: bundle.code,
            name: bundle.name,
        };
        by_code.insert(product.code.to_lowercase(), product);
    }
    let mut products = by_code.clone();
    let mut none = BTreeSet::new();
    let kept = book.shop_items()?.into_iter();
    for one in kept.filter(|one| one.channel == channel) {
        let words = one.words.trim().to_lowercase();
        match by_code.get(&one.item.to_lowercase()) {
            Some(product) => {
                products.insert(words, product.clone());
            }
            None => {
                none.insert(words);
            }
        }
    }
    Ok((products, none))
}

/// How many days at each end of a year are tried as a reason for a difference.
const YEAR_END_DAYS: u64 = 10;

/// The bridge of each shop over a range, from the gross that it reports to what it paid out.
///
/// # Errors
/// When the book cannot be read.
pub fn bridges(book: &Book, shops: &[ChannelSummary]) -> Result<Vec<Bridge>, ReportError> {
    let mut list = Vec::new();
    for shop in shops {
        let includes = bridge_includes(book, &shop.name)?;
        let differs = shop
            .reported_gross
            .is_some_and(|reported| reported != includes.of(shop));
        let ends = if differs {
            year_ends(book, shop, includes)?
        } else {
            YearEnds::default()
        };
        list.push(bridge(book.chart(), shop, includes, &ends));
    }
    Ok(list)
}

/// What the gross that a shop reports includes, as it was kept.
///
/// # Errors
/// When the book cannot be read.
pub fn bridge_includes(book: &Book, shop: &str) -> Result<Includes, ReportError> {
    let kept = book.file_layouts("bridge")?;
    let found = kept
        .into_iter()
        .find(|one| one.name.to_lowercase() == shop.to_lowercase());
    // What is kept and cannot be read says no more than that nothing is kept.
    Ok(found
        .and_then(|one| serde_json::from_str(&one.content).ok())
        .unwrap_or_default())
}

fn year_ends(
    book: &Book,
    shop: &ChannelSummary,
    includes: Includes,
) -> Result<YearEnds, ReportError> {
    let sums = |end: chrono::NaiveDate| -> Result<Vec<Money>, ReportError> {
        let mut sums = Vec::new();
        for days in 0..YEAR_END_DAYS {
            let from = end.checked_sub_days(chrono::Days::new(days)).unwrap_or(end);
            let part =
                super::selling::channel_part(book, shop.account, DateRange { from, to: end })?;
            sums.push(includes.of(&part));
        }
        Ok(sums)
    };
    let before = shop.range.from.pred_opt().unwrap_or(shop.range.from);
    Ok(YearEnds {
        last: sums(shop.range.to)?,
        before: sums(before)?,
    })
}
