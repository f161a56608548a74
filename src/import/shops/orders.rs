//! A file of orders: rows of things sold, gathered into orders.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::cells::Cells;
use super::table::ShopTable;
use crate::happenings::{Fee, FeeKind};
use crate::import::Faults;
use crate::money::{Currency, Money};
use crate::shops::{ColumnMeaning, FeeSign, RowMeaning, ShopLayout, ShopOrder, ShopOrderLine};

/// What a file of orders holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrdersRead {
    /// The orders, in the order of their first rows.
    pub orders: Vec<ShopOrder>,
    /// Orders that were cancelled, by their numbers.
    pub cancelled: Vec<String>,
    /// The amounts that count on each row of an order.
    pub per_row: BTreeSet<ColumnMeaning>,
    /// What the owner should know.
    pub notes: Vec<String>,
}

/// The amounts that stand for an order or for one row of it.
const OF_ORDER: [ColumnMeaning; 9] = [
    ColumnMeaning::Discount,
    ColumnMeaning::Postage,
    ColumnMeaning::TaxOurs,
    ColumnMeaning::TaxByChannel,
    ColumnMeaning::FeeListing,
    ColumnMeaning::FeeCommission,
    ColumnMeaning::FeeProcessing,
    ColumnMeaning::FeeOther,
    ColumnMeaning::Refund,
];

/// One row of the file.
struct OrderRow {
    row: u64,
    date: Option<NaiveDate>,
    refund_date: Option<NaiveDate>,
    line: ShopOrderLine,
    amounts: BTreeMap<ColumnMeaning, Money>,
    total: Option<Money>,
    book_total: Option<Money>,
    other_currency: Option<String>,
    is_cancelled: bool,
}

/// Reads a file of orders.
///
/// # Errors
/// Every cell that cannot be read, every order without a day, every order in another currency without its total in
/// the book's.
pub fn orders(
    table: &ShopTable,
    layout: &ShopLayout,
    currency: &Currency,
) -> Result<OrdersRead, Faults> {
    let mut cells = Cells::new(table, layout, currency);
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut groups: Vec<(String, Vec<OrderRow>)> = Vec::new();
    for (row, texts) in &table.rows {
        let order = cells.text(texts, ColumnMeaning::Order);
        if order.is_empty() {
            cells.faults.row(*row, "the row has no order number");
            continue;
        }
        let read = one_row(&mut cells, *row, texts);
        let place = *places.entry(order.clone()).or_insert(groups.len());
        match groups.get_mut(place) {
            Some((_, rows)) => rows.push(read),
            None => groups.push((order, vec![read])),
        }
    }
    let mut read = OrdersRead {
        per_row: per_row(layout, &groups),
        ..OrdersRead::default()
    };
    for (order, rows) in groups {
        if rows.iter().all(|row| row.is_cancelled) {
            read.cancelled.push(order);
            continue;
        }
        if let Some(order) = gather(&mut cells, order, rows, &mut read) {
            read.orders.push(order);
        }
    }
    say_cancelled(&mut read);
    cells.faults.into_result(read)
}

fn say_cancelled(read: &mut OrdersRead) {
    match read.cancelled.as_slice() {
        [] => {}
        [one] => read
            .notes
            .push(format!("Order {one} was cancelled and left out.")),
        several => read.notes.push(format!(
            "{} orders were cancelled and left out: {}.",
            several.len(),
            several.join(", ")
        )),
    }
}

fn one_row(cells: &mut Cells<'_>, row: u64, texts: &[String]) -> OrderRow {
    let quantity = cells.quantity(row, texts);
    let of_line = cells.amount(row, texts, ColumnMeaning::LinePrice);
    let each = cells.amount(row, texts, ColumnMeaning::Price);
    let pieces = quantity.map_or(Decimal::ONE, |quantity| quantity.value());
    let amount = of_line
        .or(each.map(|each| each.times(pieces)))
        .unwrap_or_default();
    if amount.is_negative() {
        cells.faults.row(
            row,
            "a thing that was sold cannot have a price below nothing",
        );
    }
    let mut amounts = BTreeMap::new();
    for meaning in OF_ORDER {
        if let Some(amount) = cells.amount(row, texts, meaning) {
            amounts.insert(meaning, amount);
        }
    }
    let status = cells.text(texts, ColumnMeaning::Status).to_lowercase();
    let is_cancelled = match cells.layout.row_meaning(&status) {
        Some(meaning) => meaning == RowMeaning::Ignore,
        None => ["cancel", "void"]
            .iter()
            .any(|word| status.starts_with(word)),
    };
    OrderRow {
        row,
        date: cells.day(row, texts, ColumnMeaning::Date),
        refund_date: cells.day(row, texts, ColumnMeaning::RefundDate),
        line: ShopOrderLine {
            words: cells.text(texts, ColumnMeaning::Item),
            listing: cells.text(texts, ColumnMeaning::Listing),
            code: cells.text(texts, ColumnMeaning::Code),
            quantity,
            amount,
        },
        amounts,
        total: cells.amount(row, texts, ColumnMeaning::Total),
        book_total: cells.amount(row, texts, ColumnMeaning::BookTotal),
        other_currency: cells.other_currency(texts),
        is_cancelled,
    }
}

/// The amounts that count on each row: those of the layout, those that differ within an order, and those of which only
/// the sum over the rows makes an order's total.
fn per_row(layout: &ShopLayout, groups: &[(String, Vec<OrderRow>)]) -> BTreeSet<ColumnMeaning> {
    let mut per_row = layout.per_row.clone();
    for meaning in OF_ORDER {
        let differs = groups
            .iter()
            .any(|(_, rows)| distinct(rows, meaning).len() > 1);
        if differs {
            per_row.insert(meaning);
        }
    }
    let mut proven = BTreeSet::new();
    for (_, rows) in groups.iter().filter(|(_, rows)| rows.len() > 1) {
        let Some(total) = rows.iter().find_map(|row| row.total) else {
            continue;
        };
        if fits(rows, &per_row, total) {
            continue;
        }
        for meaning in OF_ORDER {
            let mut tried = per_row.clone();
            if tried.insert(meaning) && fits(rows, &tried, total) {
                proven.insert(meaning);
            }
        }
    }
    per_row.extend(proven);
    per_row
}

/// Whether an order's rows come to its total, with or without the tax that the shop pays over.
fn fits(rows: &[OrderRow], per_row: &BTreeSet<ColumnMeaning>, total: Money) -> bool {
    let of = |meaning| amount_of(rows, meaning, per_row);
    let lines: Money = rows.iter().map(|row| row.line.amount).sum();
    let pays = lines - of(ColumnMeaning::Discount).abs()
        + of(ColumnMeaning::Postage)
        + of(ColumnMeaning::TaxOurs);
    total == pays || total == pays + of(ColumnMeaning::TaxByChannel)
}

/// The amounts of a meaning that stand on an order's rows, nothing left out, each once.
fn distinct(rows: &[OrderRow], meaning: ColumnMeaning) -> BTreeSet<Money> {
    rows.iter()
        .filter_map(|row| row.amounts.get(&meaning).copied())
        .filter(|amount| !amount.is_zero())
        .collect()
}

fn amount_of(
    rows: &[OrderRow],
    meaning: ColumnMeaning,
    per_row: &BTreeSet<ColumnMeaning>,
) -> Money {
    if per_row.contains(&meaning) {
        let amounts = rows.iter().filter_map(|row| row.amounts.get(&meaning));
        return amounts.copied().sum();
    }
    distinct(rows, meaning)
        .into_iter()
        .next()
        .unwrap_or_default()
}

fn gather(
    cells: &mut Cells<'_>,
    order: String,
    rows: Vec<OrderRow>,
    read: &mut OrdersRead,
) -> Option<ShopOrder> {
    let first = rows.first()?.row;
    let Some(date) = rows.iter().find_map(|row| row.date) else {
        cells.faults.row(first, format!("order {order} has no day"));
        return None;
    };
    let of = |meaning| amount_of(&rows, meaning, &read.per_row);
    let sign = |amount: Money| match cells.layout.fees {
        Some(FeeSign::Minus) => -amount,
        Some(FeeSign::Plus) | None => amount,
    };
    let fees = [
        (ColumnMeaning::FeeListing, FeeKind::Listing),
        (ColumnMeaning::FeeCommission, FeeKind::Commission),
        (ColumnMeaning::FeeProcessing, FeeKind::Processing),
        (ColumnMeaning::FeeOther, FeeKind::Other),
    ]
    .map(|(meaning, kind)| Fee::new(kind, sign(of(meaning))));
    let refund = of(ColumnMeaning::Refund).abs();
    let refund_date = rows.iter().find_map(|row| row.refund_date);
    let mut found = ShopOrder {
        date,
        discount: of(ColumnMeaning::Discount).abs(),
        postage: of(ColumnMeaning::Postage),
        tax_ours: of(ColumnMeaning::TaxOurs),
        tax_by_channel: of(ColumnMeaning::TaxByChannel).abs(),
        tells_tax: cells.layout.has(ColumnMeaning::TaxByChannel),
        fees: fees
            .into_iter()
            .filter(|fee| !fee.amount.is_zero())
            .collect(),
        refund: (!refund.is_zero()).then_some((refund_date, refund)),
        row: first,
        lines: Vec::new(),
        order,
    };
    let total = rows.iter().find_map(|row| row.total);
    let book_total = rows.iter().find_map(|row| row.book_total);
    let other = rows.iter().find_map(|row| row.other_currency.clone());
    found.lines = rows.into_iter().map(|row| row.line).collect();
    if let Some(fee) = found.fees.iter().find(|fee| fee.amount.is_negative()) {
        let message = format!(
            "order {} has a {} below nothing; where the file writes fees so, say --fees minus",
            found.order,
            fee.kind.plain()
        );
        cells.faults.row(first, message);
    }
    if let Some(total) = total {
        let pays = found.customer_pays();
        if total != pays && total != pays + found.tax_by_channel {
            read.notes.push(format!(
                "Order {}: its rows come to {}, and its total says {}.",
                found.order,
                cells.currency.show(pays),
                cells.currency.show(total)
            ));
        }
    }
    if let Some(other) = other {
        let Some(total) = book_total else {
            let message = format!(
                "order {} is in {other} and the book in {}; point at the column that has its total in {}: --columns \
                 \"book-total=NAME\"",
                found.order,
                cells.currency.code(),
                cells.currency.code()
            );
            cells.faults.row(first, message);
            return None;
        };
        convert(&mut found, total);
    }
    Some(found)
}

/// Puts an order into the book's currency by what it came to there; the first line takes what rounding leaves.
fn convert(order: &mut ShopOrder, total: Money) {
    let pays = order.customer_pays();
    if pays.is_zero() {
        return;
    }
    let factor = Decimal::from(total.minor()) / Decimal::from(pays.minor());
    let put = |amount: &mut Money| *amount = amount.times(factor);
    order
        .lines
        .iter_mut()
        .for_each(|line| put(&mut line.amount));
    order.fees.iter_mut().for_each(|fee| put(&mut fee.amount));
    put(&mut order.discount);
    put(&mut order.postage);
    put(&mut order.tax_ours);
    put(&mut order.tax_by_channel);
    if let Some((_, amount)) = &mut order.refund {
        put(amount);
    }
    let left = total - order.customer_pays();
    if let Some(line) = order.lines.first_mut() {
        line.amount += left;
    }
}
