//! The page of one order as it is drawn: how it stands, what it should come to, what came and what it cost, its claims.
//! What it says is worked out in `reports`.

use std::collections::BTreeMap;

use egui::{RichText, Ui};

use super::Pressed;
use crate::app::action::Form;
use crate::app::forms::orders::bill_table;
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::Source;
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    FigureCard, card, card_heading, columns, figure_card, primary_button, quiet_button,
    second_line, secondary_button, soft,
};
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::ordering::{Billing, ClaimState, open_words};
use crate::reports::{ArrivalReport, ClaimReport, OrderReport};
use crate::stock::MovementKind;

type Names = BTreeMap<String, String>;

fn called<'n>(names: &'n Names, code: &'n str) -> &'n str {
    names.get(code).map_or(code, String::as_str)
}

/// Shows the page.
#[must_use]
pub(super) fn order_ui(
    ui: &mut Ui,
    report: &OrderReport,
    names: &Names,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = head_ui(ui, report, names, cx);
    ui.add_space(space::MEDIUM);
    pressed = pressed.or(deeds_ui(ui, report));
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "What it should come to").on_hover_text("Expected bill");
        bill_table(ui, "expected bill", &report.expected.sheet, cx.currency);
        let when = report.order.when_words();
        if !when.is_empty() {
            ui.label(when);
        }
        for hint in &report.order_up {
            if report.standing.state.is_waiting() {
                let name = called(names, &hint.item);
                parts::hint(ui, &hint.sentence(name, cx.currency));
            }
        }
    });
    ui.add_space(space::LARGE);
    pressed = pressed.or(came_ui(ui, report, names, cx));
    if !report.claims.is_empty() || !unclaimed(report).is_empty() {
        ui.add_space(space::LARGE);
        pressed = pressed.or(claims_ui(ui, report, names, cx));
    }
    pressed
}

fn head_ui(
    ui: &mut Ui,
    report: &OrderReport,
    names: &Names,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let order = &report.order;
    let heading = format!("{}, order {}", order.supplier, order.key);
    ui.label(RichText::new(heading).font(theme::heading()));
    let items: Vec<String> = report
        .standing
        .items
        .iter()
        .map(|item| format!("{} {}", item.ordered, called(names, &item.item)))
        .collect();
    let state = report.standing.state.plain().to_lowercase();
    let mut second = format!(
        "{}, ordered on {}: {state}",
        items.join(", "),
        show_day(order.ordered_on)
    );
    if !order.note.is_empty() {
        second.push_str(&format!(". {}", order.note));
    }
    second_line(ui, &second);
    for note in &report.standing.notes {
        parts::hint(ui, &with_names(note, report, names));
    }
    ui.add_space(space::MEDIUM);
    let good: u64 = report.standing.items.iter().map(|item| item.good).sum();
    let spoiled: u64 = report.standing.items.iter().map(|item| item.spoiled).sum();
    let to_come: u64 = report
        .standing
        .items
        .iter()
        .map(|item| item.to_come())
        .sum();
    let came = format!("{spoiled} spoiled, {to_come} still to come");
    let expected = cx.show(report.expected.total);
    let cost = cx.show(report.cost());
    let about_cost = format!(
        "billed {}, later bills {}, credited {}",
        cx.show(report.billed),
        cx.show(report.later),
        cx.show(report.credited)
    );
    let good_ones = good.to_string();
    // What one item is worth now; of several the figure is no amount of anything.
    let item = match report.standing.items.as_slice() {
        [item] => Some(Source::ItemValue(item.item.clone(), cx.today)),
        _ => None,
    };
    let source = Source::OrderCost(report.order.id, cx.today);
    let figures = [
        (
            "It should come to",
            expected.as_str(),
            "line by line below",
            None,
        ),
        (
            "It cost so far",
            cost.as_str(),
            about_cost.as_str(),
            Some(source),
        ),
        ("Good pieces", good_ones.as_str(), came.as_str(), item),
    ];
    let mut pressed = None;
    columns(ui, &[1.0, 1.0, 1.0], |parts| {
        for (part, (label, figure, second, source)) in parts.iter_mut().zip(figures) {
            let shown = FigureCard {
                label,
                figure,
                second,
            };
            match source {
                Some(source) => {
                    if figure_card(part, shown, "").clicked() {
                        pressed = Some(Pressed::Explain(source));
                    }
                }
                None => {
                    card(part, |ui| {
                        ui.set_min_height(92.0);
                        soft(ui, label);
                        ui.label(RichText::new(figure).font(theme::figure()));
                        soft(ui, second);
                    });
                }
            }
        }
    });
    pressed
}

/// A sentence about an item by its code, with its name instead.
fn with_names(note: &str, report: &OrderReport, names: &Names) -> String {
    let mut words = note.to_owned();
    for item in &report.standing.items {
        let code = format!(" of {}", item.item);
        words = words.replace(&code, &format!(" of {}", called(names, &item.item)));
    }
    words
}

fn deeds_ui(ui: &mut Ui, report: &OrderReport) -> Option<Pressed> {
    let id = report.order.id;
    let mut pressed = None;
    let is_waiting = report.standing.state.is_waiting();
    ui.horizontal_wrapped(|ui| {
        let is_arrived = if is_waiting {
            primary_button(ui, "It arrived", "").clicked()
        } else {
            secondary_button(ui, "More of it arrived", "").clicked()
        };
        if is_arrived {
            pressed = Some(Pressed::Form(Form::Arrival, id));
        }
        let has_bill = report.standing_arrivals().any(|one| one.lines.is_empty());
        if is_waiting
            && report.order.billing == Billing::OneBill
            && !has_bill
            && secondary_button(ui, "The bill came first", "")
                .on_hover_text("Prepayment")
                .clicked()
        {
            pressed = Some(Pressed::Form(Form::BilledAhead, id));
        }
        let has_pieces = report
            .standing_arrivals()
            .any(|one| one.lines.iter().any(|line| line.line.movement.is_some()));
        if has_pieces
            && secondary_button(ui, "A bill that came later", "")
                .on_hover_text("Freight, duty: landed cost")
                .clicked()
        {
            pressed = Some(Pressed::Form(Form::LateBill, id));
        }
        if secondary_button(ui, "Change the order", "").clicked() {
            pressed = Some(Pressed::Form(Form::Order, id));
        }
        if report.order.closed_on.is_some() {
            if quiet_button(ui, "Open it again").clicked() {
                pressed = Some(Pressed::Close(false));
            }
        } else if is_waiting && quiet_button(ui, "Nothing more will come").clicked() {
            pressed = Some(Pressed::Close(true));
        }
        if report.arrivals.is_empty() && quiet_button(ui, "Take it out").clicked() {
            pressed = Some(Pressed::Remove);
        }
    });
    pressed
}

fn came_ui(
    ui: &mut Ui,
    report: &OrderReport,
    names: &Names,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    card(ui, |ui| {
        card_heading(ui, "What came and what it cost").on_hover_text("Landed cost");
        if report.arrivals.is_empty() {
            soft(ui, "Nothing came yet.");
            return None;
        }
        soft(ui, "Open a line to see its entry and its receipt.");
        let table = [
            Column::narrow("When", 84.0),
            Column::words("What", 1.4),
            Column::figures("Good", 48.0),
            Column::figures("Spoiled", 56.0),
            Column::figures("Amount", 78.0),
            Column::figures("Each", 64.0),
        ];
        let mut rows = Vec::new();
        let mut entries: Vec<Option<EntryNumber>> = Vec::new();
        for one in &report.arrivals {
            arrival_rows(one, names, cx, &mut rows, &mut entries);
        }
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::soft("by what is known now"),
            Cell::default(),
            Cell::default(),
            Cell::text(cx.show(report.cost())),
            Cell::default(),
        ]));
        entries.push(None);
        let opened = paper_table(ui, "what came", &table, &rows);
        if report.ahead.is_positive() {
            soft(
                ui,
                &format!(
                    "{} of it is paid ahead and waits for pieces still to come.",
                    cx.show(report.ahead)
                ),
            );
        }
        let has_design = report
            .order
            .lines
            .iter()
            .any(|line| line.is_first_run && line.once_per_design.is_positive());
        if has_design {
            soft(
                ui,
                "What was paid once for the design is part of what the pieces of this first run cost.",
            );
        }
        let (row, _column) = opened?;
        entries.get(row).copied().flatten().map(Pressed::Entry)
    })
}

/// The rows of an arrival, with the entry that each opens.
fn arrival_rows(
    one: &ArrivalReport,
    names: &Names,
    cx: &ViewContext<'_>,
    rows: &mut Vec<Row>,
    entries: &mut Vec<Option<EntryNumber>>,
) {
    let day = show_day(one.arrival.date);
    let entry = one.arrival.entry;
    let figure = |amount: Money| {
        if entry.is_some() {
            Cell::opens(cx.show(amount))
        } else {
            Cell::text(cx.show(amount))
        }
    };
    if one.arrival.is_void {
        rows.push(Row::line(vec![
            Cell::soft(day),
            Cell::opens("Taken back"),
            Cell::default(),
            Cell::default(),
            Cell::default(),
            Cell::default(),
        ]));
        entries.push(entry);
        return;
    }
    if one.lines.is_empty() {
        rows.push(Row::line(vec![
            Cell::soft(day.clone()),
            Cell::opens("Billed ahead"),
            Cell::default(),
            Cell::default(),
            figure(one.billed),
            Cell::default(),
        ]));
        entries.push(entry);
    }
    for line in &one.lines {
        let each = line
            .each(cx.currency)
            .map(|each| each.normalize().to_string())
            .unwrap_or_default();
        let name = called(names, &line.line.item);
        let words = if entry.is_some() {
            Cell::opens(name)
        } else {
            Cell::text(format!("{name}, sent for nothing"))
        };
        rows.push(Row::line(vec![
            Cell::soft(day.clone()),
            words,
            Cell::text(line.line.good.to_string()),
            Cell::text(line.line.spoiled.to_string()),
            figure(line.billed),
            Cell::text(each),
        ]));
        entries.push(entry);
    }
    let mut later: BTreeMap<Option<u64>, (String, Money)> = BTreeMap::new();
    for bill in &one.later {
        if bill.kind == MovementKind::LaterCost {
            let number = bill.entry.map(|number| number.0);
            let found = later
                .entry(number)
                .or_insert_with(|| (show_day(bill.date), Money::ZERO));
            found.1 += bill.amount;
        }
    }
    for (number, (day, amount)) in later {
        rows.push(Row::line(vec![
            Cell::soft(day),
            Cell::opens("A bill that came later"),
            Cell::default(),
            Cell::default(),
            Cell::opens(cx.show(amount)),
            Cell::default(),
        ]));
        entries.push(number.map(EntryNumber));
    }
    for (number, date, amount) in &one.refunds {
        rows.push(Row::line(vec![
            Cell::soft(show_day(*date)),
            Cell::opens("Credited by the supplier"),
            Cell::default(),
            Cell::default(),
            Cell::opens(cx.show(-*amount)),
            Cell::default(),
        ]));
        entries.push(Some(*number));
    }
}

/// Spoiled pieces that nobody claimed yet: the arrival, the item's code, how many.
fn unclaimed(report: &OrderReport) -> Vec<(i64, String, u64)> {
    let mut list = Vec::new();
    for one in report.standing_arrivals() {
        for line in &one.lines {
            let claimed: u64 = report
                .claims
                .iter()
                .filter(|claim| claim.claim.counts_against(one.arrival.id, &line.line.item))
                .map(|claim| claim.claim.pieces)
                .sum();
            let left = line.line.spoiled.saturating_sub(claimed);
            if left > 0 && one.arrival.entry.is_some() {
                list.push((one.arrival.id, line.line.item.clone(), left));
            }
        }
    }
    list
}

fn claims_ui(
    ui: &mut Ui,
    report: &OrderReport,
    names: &Names,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Claims").on_hover_text("Claims on the supplier");
        for one in &report.claims {
            if let Some(found) = claim_ui(ui, one, names, cx) {
                pressed = Some(found);
            }
            ui.add_space(space::SMALL);
        }
        for (arrival, item, left) in unclaimed(report) {
            let words = format!("Claim {left} spoiled {}", called(names, &item));
            if secondary_button(ui, &words, "").clicked() {
                pressed = Some(Pressed::Claim(arrival, item));
            }
        }
    });
    pressed
}

fn claim_ui(
    ui: &mut Ui,
    one: &ClaimReport,
    names: &Names,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let claim = &one.claim;
    let what = match &claim.item {
        Some(code) => format!(
            "{} {} {}",
            claim.pieces,
            claim.what.plain(),
            called(names, code)
        ),
        None => "The bill as a whole".to_owned(),
    };
    let stands = match claim.state {
        ClaimState::Open => open_words(claim.age_days(cx.today)),
        ClaimState::Credited => format!("credited with {}", cx.show(one.credited)),
        ClaimState::Refused => "refused".to_owned(),
    };
    let note = if claim.note.is_empty() {
        String::new()
    } else {
        format!(" ({})", claim.note)
    };
    ui.label(format!(
        "{what}: {} claimed on {}, {stands}{note}.",
        cx.show(claim.amount),
        show_day(claim.opened_on)
    ));
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        if claim.state == ClaimState::Open {
            if secondary_button(ui, "They credited it", "").clicked() {
                pressed = Some(Pressed::Form(Form::ClaimCredit, claim.id));
            }
            if quiet_button(ui, "They refused it").clicked() {
                pressed = Some(Pressed::Refuse(claim.id));
            }
        }
        if let Some(number) = claim.entry
            && quiet_button(ui, "Show the credit").clicked()
        {
            pressed = Some(Pressed::Entry(number));
        }
        if claim.state != ClaimState::Credited && quiet_button(ui, "It was a mistake").clicked() {
            pressed = Some(Pressed::RemoveClaim(claim.id));
        }
    });
    pressed
}
