//! Orders to suppliers as tables: all of them, and one with its expected bill, what came of it, and its claims.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::deciding::Figure;
use crate::export::{Cell, RowStyle, Table};
use crate::money::Currency;
use crate::ordering::{ClaimState, open_words};
use crate::reports::OrderReport;

type Names = BTreeMap<String, String>;

fn called<'n>(names: &'n Names, code: &'n str) -> &'n str {
    names.get(code).map_or(code, String::as_str)
}

fn day(date: Option<NaiveDate>) -> Cell {
    date.map(show_day).unwrap_or_default().as_str().into()
}

/// Every order, a row an item.
#[must_use]
pub fn orders(list: &[OrderReport], names: &Names, as_of: NaiveDate) -> Table {
    let mut table = Table::new("Orders to suppliers", format!("On {}", show_day(as_of)))
        .column("order", "Order")
        .column("supplier", "From")
        .column("ordered_on", "Ordered on")
        .column("expected_on", "Expected")
        .column("state", "State")
        .column("item", "What")
        .column("quantity", "Ordered")
        .column("good", "Good")
        .column("spoiled", "Spoiled")
        .column("expected_total", "Expected bill")
        .column("cost", "Cost so far");
    for report in list {
        for (idx, item) in report.standing.items.iter().enumerate() {
            let amounts = if idx == 0 {
                [report.expected.total.into(), report.cost().into()]
            } else {
                [Cell::Empty, Cell::Empty]
            };
            let [expected, cost] = amounts;
            table.line(vec![
                report.order.key.as_str().into(),
                report.order.supplier.as_str().into(),
                day(Some(report.order.ordered_on)),
                day(report.order.expected_on()),
                state(report).into(),
                called(names, &item.item).into(),
                item.ordered.to_string().as_str().into(),
                item.good.to_string().as_str().into(),
                item.spoiled.to_string().as_str().into(),
                expected,
                cost,
            ]);
        }
        for one in report.open_claims() {
            table.note(format!(
                "Order {}: a claim is {}.",
                report.order.key,
                open_words(one.claim.age_days(as_of))
            ));
        }
    }
    if list.is_empty() {
        table.note("Nothing was ordered from a supplier yet.");
    }
    table
}

fn state(report: &OrderReport) -> &'static str {
    if report.standing.is_overdue {
        "Overdue"
    } else {
        report.standing.state.plain()
    }
}

/// The expected bill of an order, line by line, and what is to be known of it.
#[must_use]
pub fn order_bill(report: &OrderReport, currency: &Currency) -> Table {
    let order = &report.order;
    let mut table = Table::new(
        format!("Order {}, {}", order.key, order.supplier),
        format!(
            "Ordered on {}: {}",
            show_day(order.ordered_on),
            report.standing.state.plain().to_lowercase()
        ),
    )
    .column("no", "")
    .column("label", "")
    .column("formula", "How it comes about")
    .column("amount", "Amount");
    for line in report.expected.sheet.lines() {
        let style = if line.key == "total" {
            RowStyle::Total
        } else {
            RowStyle::Line
        };
        let amount = match line.amount {
            Figure::Money(amount) => amount.into(),
            other => other.show(currency).as_str().into(),
        };
        table.push(
            style,
            vec![
                line.no.to_string().as_str().into(),
                line.label.as_str().into(),
                line.formula.as_str().into(),
                amount,
            ],
        );
    }
    let when = order.when_words();
    if !when.is_empty() {
        table.note(when);
    }
    for hint in &report.order_up {
        table.note(hint.sentence(&hint.item, currency));
    }
    for note in &report.standing.notes {
        table.note(note.clone());
    }
    table
}

/// What came of an order and what it cost.
#[must_use]
pub fn order_arrivals(report: &OrderReport, names: &Names, currency: &Currency) -> Table {
    let mut table = Table::new("What came", format!("Order {}", report.order.key))
        .column("arrival", "Arrival")
        .column("date", "Day")
        .column("entry", "Entry")
        .column("item", "What")
        .column("good", "Good")
        .column("spoiled", "Spoiled")
        .column("billed", "Billed")
        .column("later_bills", "Later bills")
        .column("credited", "Credited")
        .column("each", "Each good one");
    for one in report.standing_arrivals() {
        let entry = one
            .arrival
            .entry
            .map(|number| number.to_string())
            .unwrap_or_default();
        if one.lines.is_empty() {
            table.line(vec![
                one.arrival.key.as_str().into(),
                day(Some(one.arrival.date)),
                entry.as_str().into(),
                "Billed ahead".into(),
                Cell::Empty,
                Cell::Empty,
                one.billed.into(),
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
            ]);
        }
        for line in &one.lines {
            let each = line
                .each(currency)
                .map(|each| each.to_string())
                .unwrap_or_default();
            table.line(vec![
                one.arrival.key.as_str().into(),
                day(Some(one.arrival.date)),
                entry.as_str().into(),
                called(names, &line.line.item).into(),
                line.line.good.to_string().as_str().into(),
                line.line.spoiled.to_string().as_str().into(),
                line.billed.into(),
                line.later.into(),
                line.credited.into(),
                each.as_str().into(),
            ]);
        }
    }
    if report.standing_arrivals().next().is_none() {
        table.note("Nothing came yet.");
    }
    table.note(format!(
        "Billed {}, later bills {}, credited {}: together {}.",
        currency.show(report.billed),
        currency.show(report.later),
        currency.show(report.credited),
        currency.show(report.cost())
    ));
    if !report.ahead.is_zero() {
        table.note(format!(
            "{} of it is paid ahead for what is still to come.",
            currency.show(report.ahead)
        ));
    }
    table
}

/// The claims of an order.
#[must_use]
pub fn order_claims(report: &OrderReport, names: &Names, as_of: NaiveDate) -> Table {
    let mut table = Table::new("Claims", format!("Order {}", report.order.key))
        .column("claim", "Claim")
        .column("opened_on", "Made on")
        .column("item", "What")
        .column("pieces", "Pieces")
        .column("amount", "Asked")
        .column("state", "State")
        .column("credited", "Credited");
    for one in &report.claims {
        let claim = &one.claim;
        let state = if claim.state == ClaimState::Open {
            open_words(claim.age_days(as_of))
        } else {
            claim.state.plain().to_owned()
        };
        let item = claim
            .item
            .as_deref()
            .map_or("the bill", |code| called(names, code));
        table.line(vec![
            claim.key.as_str().into(),
            day(Some(claim.opened_on)),
            format!("{item}, {}", claim.what.plain()).as_str().into(),
            claim.pieces.to_string().as_str().into(),
            claim.amount.into(),
            state.as_str().into(),
            one.credited.into(),
        ]);
    }
    table
}
