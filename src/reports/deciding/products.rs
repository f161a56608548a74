//! What products left: sales from the entries, cost from the stock; and whether a piece of equipment has paid for itself
//! with them. The arithmetic is `statements`' and `deciding`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::deciding::{DecidingError, Earned, Machine, Pace, Payback};
use crate::depreciation::Equipment;
use crate::ledger::{AccountClass, EntryKind, PostedEntry};
use crate::money::Money;
use crate::reports::ReportError;
use crate::statements::{ProductDay, ProductMargin, product_income, product_margins};
use crate::stock::{Item, ItemKind};

/// What stands beside a payback.
pub const PAYBACK_CAUTION: &str = "This says whether the piece was worth buying and is no tax figure: what wear counts for tax is \
     another matter, to be confirmed with local rules and a licensed professional.";

/// What each product left in a range, day by day.
///
/// # Errors
/// When the book cannot be read.
pub fn product_days(book: &Book, range: DateRange) -> Result<Vec<ProductDay>, ReportError> {
    let parts = parts_by_code(book)?;
    if parts.is_empty() {
        return Ok(Vec::new());
    }
    let sales = of_kind(book, EntryKind::Sale, range)?;
    let refunds = of_kind(book, EntryKind::Refund, range)?;
    let mut sale_of: BTreeMap<u64, PostedEntry> = BTreeMap::new();
    for refund in &refunds {
        let header = &refund.entry.header;
        let found = book
            .standing_with_document(EntryKind::Sale, &header.document)?
            .into_iter()
            .find(|sale| sale.entry.header.party == header.party);
        if let Some(sale) = found {
            sale_of.insert(refund.number.0, sale);
        }
    }
    let of_code = |code: &str| {
        let found = parts.get(&code.trim().to_lowercase());
        found.cloned().unwrap_or_default()
    };
    let mut days = product_income(book.chart(), &sales, |_refund| None, of_code)?;
    for refund in &refunds {
        let sale = sale_of.get(&refund.number.0);
        let one = std::slice::from_ref(refund);
        days.extend(product_income(book.chart(), one, |_refund| sale, of_code)?);
    }
    days.extend(book.stock_sold(range)?.into_iter().map(|sold| ProductDay {
        pieces: sold.pieces,
        cost: sold.cost,
        ..ProductDay::none(sold.day, sold.item)
    }));
    Ok(days)
}

/// What a code in a sale stands for: the item itself, or the parts of a set with their weights.
fn parts_by_code(book: &Book) -> Result<BTreeMap<String, Vec<(String, i64)>>, ReportError> {
    let items = book.items()?;
    let price_of = |code: &str| items.iter().find(|item| item.code == code)?.price;
    let mut parts: BTreeMap<String, Vec<(String, i64)>> = BTreeMap::new();
    for bundle in book.bundles()? {
        let codes = bundle.parts.iter().map(|part| part.item.clone());
        let weighed = codes.zip(bundle.weights(price_of)).collect();
        parts.insert(bundle.code.to_lowercase(), weighed);
    }
    for item in items {
        parts.insert(item.code.to_lowercase(), vec![(item.code, 1)]);
    }
    Ok(parts)
}

fn of_kind(
    book: &Book,
    kind: EntryKind,
    range: DateRange,
) -> Result<Vec<PostedEntry>, ReportError> {
    let filter = EntryFilter {
        kind: Some(kind),
        ..EntryFilter::in_range(range)
    };
    Ok(book.entries(&book.entry_numbers(&filter)?)?)
}

/// What each product left in a range, the one that left most first.
///
/// # Errors
/// When the book cannot be read.
pub fn margins(book: &Book, range: DateRange) -> Result<Vec<ProductMargin>, ReportError> {
    let items = book.items()?;
    Ok(margins_of(&items, &product_days(book, range)?))
}

/// The same from days that were read before.
#[must_use]
pub fn margins_of<'d>(
    items: &[Item],
    days: impl IntoIterator<Item = &'d ProductDay>,
) -> Vec<ProductMargin> {
    product_margins(days, |code| {
        items
            .iter()
            .find(|item| item.code == code)
            .map_or_else(|| code.to_owned(), |item| item.name.clone())
    })
}

/// Whether a piece has paid for itself, and with which products.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaybackReport {
    /// The piece.
    pub piece: Equipment,
    /// The products whose sales count, by code and name.
    pub items: Vec<(String, String)>,
    /// How far it has paid.
    pub payback: Payback,
}

/// The products that can have been made with equipment: what is made, by code and name.
///
/// # Errors
/// When the book cannot be read.
pub fn made_items(book: &Book) -> Result<Vec<(String, String)>, ReportError> {
    Ok(book
        .items()?
        .into_iter()
        .filter(|item| item.kind == ItemKind::Made)
        .map(|item| (item.code, item.name))
        .collect())
}

/// Works out how far a piece of equipment has paid for itself with these products by a day. Its cost is the business's
/// share, with repairs that name the piece; what products left is before own time and before wear.
///
/// # Errors
/// When the book cannot be read.
pub fn payback(
    book: &Book,
    piece: &Equipment,
    items: &[(String, String)],
    pace: Pace,
    day: NaiveDate,
) -> Result<Result<PaybackReport, DecidingError>, ReportError> {
    let machine = Machine {
        name: piece.name.clone(),
        bought_on: piece.bought_on,
        cost: piece.cost.share(piece.business_share),
        repairs: repairs(book, piece, day)?,
    };
    let mut by_day: BTreeMap<NaiveDate, (Decimal, Money)> = BTreeMap::new();
    if let Some(range) = DateRange::new(piece.bought_on, day) {
        for left in product_days(book, range)? {
            if items.iter().any(|(code, _name)| *code == left.item) {
                let sum = by_day.entry(left.day).or_default();
                sum.0 += left.pieces;
                sum.1 += left.kept();
            }
        }
    }
    let earned: Vec<Earned> = by_day
        .into_iter()
        .map(|(day, (pieces, kept))| Earned {
            day,
            pieces: pieces.max(Decimal::ZERO).trunc().to_u64().unwrap_or(0),
            kept,
        })
        .collect();
    Ok(
        Payback::of(&machine, &earned, pace, day, book.currency()).map(|payback| PaybackReport {
            piece: piece.clone(),
            items: items.to_vec(),
            payback,
        }),
    )
}

/// What purchases that name the piece were a cost at once: repairs and upkeep.
fn repairs(book: &Book, piece: &Equipment, day: NaiveDate) -> Result<Money, ReportError> {
    let filter = EntryFilter {
        equipment: Some(piece.key.clone()),
        range: DateRange::new(piece.bought_on, day),
        ..EntryFilter::default()
    };
    let chart = book.chart();
    let mut sum = Money::ZERO;
    for posted in book.entries(&book.entry_numbers(&filter)?)? {
        let kind = posted.entry.header.kind;
        let is_told = matches!(kind, EntryKind::Purchase | EntryKind::SupplierRefund);
        if !is_told || posted.reversed_by.is_some() {
            continue;
        }
        for line in posted.entry.lines() {
            let is_cost = chart
                .account(line.account)
                .is_ok_and(|account| account.class == AccountClass::Expense);
            if is_cost && line.equipment.as_deref() == Some(piece.key.as_str()) {
                sum += line.amount;
            }
        }
    }
    Ok(sum.max(Money::ZERO))
}

impl PaybackReport {
    /// In words how far it has paid.
    #[must_use]
    pub fn sentence(&self, currency: &crate::money::Currency) -> String {
        use crate::dates::show_day;
        let payback = &self.payback;
        let name = &self.piece.name;
        if let Some(day) = payback.paid_back_on {
            return format!(
                "{name} has paid for itself: since {} what was made with it has left more than it cost.",
                show_day(day)
            );
        }
        let to_go = currency.show(payback.to_go);
        let mut words =
            format!("{name} has not paid for itself yet: {to_go} are still to be earned");
        match (payback.pieces_to_go, payback.expected_on) {
            (Some(pieces), Some(day)) => words.push_str(&format!(
                ", about {pieces} more pieces, at this pace by {}",
                show_day(day)
            )),
            (Some(pieces), None) => words.push_str(&format!(", about {pieces} more pieces")),
            (None, _) => words.push_str(", and nothing sold so far brings it nearer"),
        }
        format!("{words}.")
    }
}
