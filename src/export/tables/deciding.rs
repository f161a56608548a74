//! The cost card of a product and both ways to have it as tables.

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::deciding::{Figure, UnitCost, Worksheet};
use crate::export::json::{CARD_CAUTION, WAYS_CAUTION};
use crate::export::{Cell, RowStyle, Table};
use crate::money::Currency;
use crate::reports::{CardKnown, CardTold, Making, WaysTold};

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
    for note in told.notes(making, currency) {
        table.note(note);
    }
    table.note(WAYS_CAUTION);
    table
}
