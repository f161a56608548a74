//! Deciding as tables: the cost card of a product, both ways to have it, what products left, whether a machine has paid.

use chrono::NaiveDate;

use super::span;
use crate::dates::{DateRange, show_day};
use crate::deciding::{Figure, SavedComparison, UnitCost, WaysTold, Worksheet};
use crate::export::json::{CARD_CAUTION, WAYS_CAUTION};
use crate::export::{Cell, RowStyle, Table};
use crate::money::Currency;
use crate::reports::{CardKnown, CardTold, Making, PAYBACK_CAUTION, PaybackReport};
use crate::statements::ProductMargin;

fn figure(amount: Figure, currency: &Currency) -> Cell {
    match amount {
        Figure::Money(amount) => amount.into(),
        other => Cell::Number(other.show(currency)),
    }
}

fn sheet_lines(table: &mut Table, sheet: &Worksheet, totals: &[&str], currency: &Currency) {
    for line in sheet.lines() {
        let style = if totals.contains(&line.key) {
            RowStyle::Total
        } else {
            RowStyle::Line
        };
        table.push(
            style,
            vec![
                Cell::Text(line.no.to_string()),
                line.label.as_str().into(),
                line.formula.as_str().into(),
                figure(line.amount, currency),
            ],
        );
    }
}

/// A cost card, line by line, with what follows from it beneath.
#[must_use]
pub fn cost_card(
    known: &CardKnown,
    told: &CardTold,
    as_of: NaiveDate,
    currency: &Currency,
) -> Table {
    let item = &known.making.item;
    let mut table = Table::new(
        format!("Cost card of {} ({})", item.name, item.code),
        format!("On {}", show_day(as_of)),
    )
    .column("no", "No.")
    .column("what", "")
    .column("formula", "How it comes about")
    .column("amount", currency.code());
    sheet_lines(&mut table, &told.figures.sheet, &["kept", "left"], currency);
    table.note(format!("{}.", told.figures.sentence(currency)));
    for sentence in told.sentences(currency) {
        table.note(sentence);
    }
    for view in told.by_cost.iter().flatten() {
        table.note(format!(
            "{}: {} kept.",
            view.basis.label(),
            currency.show(view.figures.kept)
        ));
    }
    for view in &told.once {
        let each = UnitCost::from_minor(view.each.round_dp(6)).unwrap_or_default();
        table.note(format!(
            "{}: what comes once adds {} to each, so {} is kept.",
            view.spread.label(),
            each.show(currency),
            currency.show(view.figures.kept)
        ));
    }
    for part in &told.figures.open {
        table.note(format!("Not known: {}.", part.label()));
    }
    for name in &told.figures.unknown {
        table.note(format!(
            "Not known: what {name} costs, for it never came in."
        ));
    }
    for (what, words) in &told.sources {
        table.note(format!("{what}: {words}."));
    }
    table.note(CARD_CAUTION);
    table
}

/// Both ways side by side and line by line.
#[must_use]
pub fn make_or_buy(
    making: &Making,
    told: &WaysTold,
    as_of: NaiveDate,
    currency: &Currency,
) -> Table {
    let item = &making.item;
    let mut table = Table::new(
        format!("Make {} ({}) or have it made", item.name, item.code),
        format!("On {}", show_day(as_of)),
    )
    .column("no", "No.")
    .column("what", "")
    .column("formula", "How it comes about")
    .column("amount", currency.code());
    table.heading("Having it made");
    sheet_lines(&mut table, &told.outside_sheet, &["total"], currency);
    table.heading("Making it");
    sheet_lines(&mut table, &told.own_sheet, &["total"], currency);
    table.note(told.sentence(currency));
    for band in &told.bands {
        table.note(format!(
            "{} to {}: {}.",
            band.from,
            band.to,
            WaysTold::leaning(band.cheaper)
        ));
    }
    for note in told.notes(making.sold_a_month, &making.unknown(), currency) {
        table.note(note);
    }
    table.note(WAYS_CAUTION);
    table
}

/// What products left over a period, the one that left most first.
#[must_use]
pub fn products(margins: &[ProductMargin], range: DateRange) -> Table {
    let mut table = Table::new("What each product left", span(range))
        .column("item", "Code")
        .column("name", "Product")
        .column("pieces", "Pieces")
        .column("income", "Sold for")
        .column("fees", "Fees")
        .column("cost", "Cost")
        .column("kept", "Kept")
        .column("margin_percent", "Per cent");
    for one in margins {
        table.line(vec![
            one.item.as_str().into(),
            one.name.as_str().into(),
            Cell::Number(one.pieces.to_string()),
            one.income.into(),
            one.fees.into(),
            one.cost.into(),
            one.kept().into(),
            one.margin_percent()
                .map_or(Cell::Empty, |margin| Cell::Number(margin.to_string())),
        ]);
    }
    table.note("Before your own time, packaging, postage and wear of equipment.");
    table
}

/// How far a piece of equipment has paid for itself, line by line.
#[must_use]
pub fn payback(report: &PaybackReport, as_of: NaiveDate, currency: &Currency) -> Table {
    let mut table = Table::new(
        format!("Did {} pay for itself?", report.piece.name),
        format!("On {}", show_day(as_of)),
    )
    .column("no", "No.")
    .column("what", "")
    .column("formula", "How it comes about")
    .column("amount", currency.code());
    sheet_lines(&mut table, &report.payback.sheet, &["to-go"], currency);
    table.note(report.sentence(currency));
    let names: Vec<&str> = report.items.iter().map(|(_, name)| name.as_str()).collect();
    table.note(format!("Counted as made with it: {}.", names.join(", ")));
    table.note(PAYBACK_CAUTION);
    table
}

/// The comparisons that are kept, each with what it says.
#[must_use]
pub fn comparisons(list: &[SavedComparison], currency: &Currency) -> Table {
    let mut table = Table::new("Comparisons of making and having made", "")
        .column("item", "Code")
        .column("name", "Name")
        .column("quantity", "Pieces")
        .column("says", "");
    for one in list {
        let told = one.ask.tell(currency);
        table.line(vec![
            one.item.as_str().into(),
            one.name.as_str().into(),
            Cell::Number(one.ask.wanted.to_string()),
            told.map_or_else(|error| error.to_string(), |told| told.sentence(currency))
                .into(),
        ]);
    }
    table
}
