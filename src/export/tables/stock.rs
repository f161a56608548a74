//! Stock, the sheet for counting and what the goods sold cost as tables.

use chrono::NaiveDate;

use super::span;
use crate::dates::show_day;
use crate::export::json::GOODS_CAUTION;
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::money::{Currency, Money};
use crate::reports::BundleOnHand;
use crate::statements::{CountRow, GoodsSold, StockList, StockPeriod};
use crate::stock::{CostMethod, StockKeeping};

const fn method_words(method: CostMethod) -> &'static str {
    match method {
        CostMethod::Average => "moving average cost",
        CostMethod::Fifo => "first in, first out",
    }
}

fn period_cells(period: &StockPeriod) -> Vec<Cell> {
    [
        period.opening,
        period.received,
        period.made,
        period.used,
        period.cost_of_goods_sold,
        period.packaging,
        period.waste,
        period.given,
        period.own_use,
    ]
    .map(Cell::Amount)
    .to_vec()
}

/// What lies in stock, with what came and went where a period was asked for.
#[must_use]
pub fn stock(list: &StockList, currency: &Currency) -> Table {
    let method = method_words(list.method);
    let subtitle = match list.range {
        Some(range) => format!("{}, at {method}", span(range)),
        None => format!("At the end of {}, at {method}", show_day(list.as_of)),
    };
    let mut table = Table::new("Stock", subtitle)
        .column("code", "Code")
        .column("name", "Name")
        .csv_column("kind")
        .csv_column("shelf");
    if list.range.is_some() {
        table = table
            .column("opening", "Before")
            .column("received", "Came in")
            .column("made", "Made")
            .column("used", "Into batches")
            .column("cost_of_goods_sold", "Sold")
            .csv_column("packaging")
            .column("waste", "Waste")
            .csv_column("given")
            .csv_column("own_use");
    }
    table = table
        .column("quantity", "How many")
        .column("unit", "")
        .csv_column("unit_cost")
        .column("value", "Worth");
    for line in &list.lines {
        let mut cells = vec![
            line.item.code.as_str().into(),
            line.item.name.as_str().into(),
            line.item.kind.as_str().into(),
            line.item.shelf.as_str().into(),
        ];
        cells.extend(line.period.iter().flat_map(period_cells));
        cells.extend([
            Cell::Number(line.quantity.to_string()),
            line.item.unit.as_str().into(),
            line.unit_cost(currency.decimals())
                .map_or(Cell::Empty, |cost| {
                    Cell::Number(cost.normalize().to_string())
                }),
            line.value.into(),
        ]);
        table.line(cells);
    }
    let mut sum = vec!["All items".into(), Cell::Empty, Cell::Empty, Cell::Empty];
    sum.extend(list.totals().iter().flat_map(period_cells));
    sum.extend([
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        list.total_value.into(),
    ]);
    table.push(RowStyle::Total, sum);
    let width = table.columns.len();
    let mut row = |style, words: &str, amount: Money| {
        let mut cells = vec![Cell::Empty; width];
        cells[0] = words.into();
        cells[width - 1] = amount.into();
        table.push(style, cells);
    };
    for account in &list.accounts {
        if !account.not_itemised.is_zero() {
            let why = match list.keeping {
                StockKeeping::Perpetual => "Not itemised",
                StockKeeping::Periodic => "Since the last count",
            };
            let words = format!("{why}: {} {}", account.number, account.name);
            row(RowStyle::Line, &words, account.not_itemised);
        }
    }
    row(RowStyle::Final, "Stock accounts", list.ledger_value);
    if list.keeping == StockKeeping::Periodic {
        table.note(
            "This book takes what is bought as a cost at once; its stock accounts follow at each count. The items stand at \
             what they cost.",
        );
    }
    if !list.part_made.is_zero() {
        table.note(format!(
            "Besides, {} is in batches that have no pieces yet.",
            currency.show(list.part_made)
        ));
    }
    table
}

/// The sheet for counting: an empty column to write in, and no quantity of the book.
#[must_use]
pub fn count_sheet(rows: &[CountRow]) -> Table {
    let mut table = Table::new("Count sheet", "")
        .column("place", "Place")
        .column("shelf", "Shelf")
        .column("code", "Code")
        .column("name", "Name")
        .column("unit", "Unit")
        .column("counted", "Counted");
    for row in rows {
        table.line(vec![
            row.place.as_str().into(),
            row.shelf.as_str().into(),
            row.code.as_str().into(),
            row.name.as_str().into(),
            row.unit.as_str().into(),
            Cell::Empty,
        ]);
    }
    table
}

/// The sets, with what of them can be sold and what their parts cost.
#[must_use]
pub fn bundles(list: &[BundleOnHand], as_of: NaiveDate, currency: &Currency) -> Table {
    let mut table = Table::new("Sets", format!("on {}", show_day(as_of)))
        .column("bundle", "Code")
        .column("name", "Name")
        .column("parts", "In one set")
        .column("sellable", "Can be sold")
        .column("cost", "Parts cost")
        .column("price", "Price")
        .column("left", "Left over");
    for one in list {
        let parts: Vec<String> = one
            .bundle
            .parts
            .iter()
            .map(|part| format!("{} {}", part.quantity, part.item))
            .collect();
        table.line(vec![
            one.bundle.code.as_str().into(),
            one.bundle.name.as_str().into(),
            parts.join(", ").into(),
            Cell::Number(one.sellable.to_string()),
            one.cost.into(),
            one.bundle.price.into(),
            one.left().into(),
        ]);
    }
    table.note(format!(
        "Parts at what they cost on hand ({}); what is left over is before fees, packing and postage.",
        currency.code()
    ));
    table
}

/// What the goods sold cost, line by line of the form.
#[must_use]
pub fn goods_sold(working: &GoodsSold, method: CostMethod, currency: &Currency) -> Table {
    let mut table = Table::new(
        "What the goods sold cost",
        format!("{}, at {}", span(working.range), method_words(method)),
    )
    .column("line", "Line")
    .column("what", "")
    .column("amount", currency.code())
    .csv_column("words");
    let mut places = std::collections::BTreeMap::new();
    for line in working.form_lines() {
        let cells = vec![
            Cell::Text(line.line.to_string()),
            line.what.into(),
            line.amount.into(),
            line.words.into(),
        ];
        let place = |line: u32| places.get(&line).copied().unwrap_or_default();
        let row = match line.line {
            40 => {
                let parts: Vec<SumPart> = (35..40).map(|line| SumPart::more(place(line))).collect();
                table.sum_of(RowStyle::Total, cells, &parts)
            }
            42 => {
                let parts = [SumPart::more(place(40)), SumPart::less(place(41))];
                table.sum_of(RowStyle::Final, cells, &parts)
            }
            _ => table.push(RowStyle::Line, cells),
        };
        places.insert(line.line, row);
    }
    table.note(GOODS_CAUTION);
    table
}
