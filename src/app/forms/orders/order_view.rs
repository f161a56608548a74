//! An order as it is drawn, with what it should come to beneath it as it is typed.
//! What is typed is read in `order`.

use egui::Ui;

use super::line::line_ui;
use super::order::{DealDraft, OrderDraft};
use crate::app::forms::facts::Facts;
use crate::app::forms::input::Problems;
use crate::app::forms::parts::{self, cells, rule, select, widths};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, choice_chips, date_field, money_field, problem, quiet_button, soft,
    suggest_field, text_field,
};
use crate::deciding::Worksheet;
use crate::money::Currency;
use crate::ordering::{DealOn, expected_bill, order_up};

/// Draws the cards.
pub fn order_ui(
    ui: &mut Ui,
    draft: &mut OrderDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("From whom")
                    .width(width)
                    .hint("the print house, the paper mill")
                    .problem(problems.of("supplier"))
                    .take_focus(take_focus);
                suggest_field(ui, field, &mut draft.supplier, &facts.suppliers);
            } else {
                let field = Field::new("Ordered on")
                    .width(width)
                    .problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        ui.add_space(space::SMALL);
        if facts.stock.items.is_empty() {
            parts::hint(
                ui,
                "What is ordered must be kept in stock first: add the item in the room Make.",
            );
        }
        let count = draft.lines.len();
        let mut out = None;
        for (idx, line) in draft.lines.iter_mut().enumerate() {
            if idx > 0 {
                rule(ui);
            }
            line.offer_terms(&draft.supplier, draft.id, facts);
            if line_ui(ui, line, (idx, count), facts, problems, false) {
                out = Some(idx);
            }
        }
        if let Some(idx) = out {
            draft.lines.remove(idx);
        }
        if quiet_button(ui, "Another thing on the same order").clicked() {
            draft.add_line();
        }
        rule(ui);
        when_ui(ui, draft, facts, problems);
        deals_ui(ui, draft, problems);
        if draft.is_more {
            more_ui(ui, draft, problems);
        }
    });
}

fn when_ui(ui: &mut Ui, draft: &mut OrderDraft, facts: &Facts, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
    cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
        0 => {
            let field = Field::new("Carriage")
                .width(width)
                .problem(problems.of("carriage"));
            money_field(ui, field, &mut draft.carriage, &facts.currency);
        }
        1 => {
            let mut field = Field::new("Days until it is here")
                .width(width)
                .hint("14")
                .problem(problems.of("lead_days"));
            field.right = true;
            text_field(ui, field, &mut draft.lead_days);
        }
        _ => {
            // It may stay empty, which a field for a day takes for a mistake.
            let field = Field::new("Wanted by")
                .width(width)
                .hint("28 Sep")
                .problem(problems.of("wanted_on"));
            text_field(ui, field, &mut draft.wanted);
        }
    });
    ui.add_space(space::SMALL);
}

fn deals_ui(ui: &mut Ui, draft: &mut OrderDraft, problems: &Problems) {
    let on: Vec<(DealOn, String)> = DealOn::ALL
        .iter()
        .map(|on| (*on, format!("off {}", on.plain())))
        .collect();
    for (idx, deal) in draft.deals.iter_mut().enumerate() {
        let named = |words: &str| match idx {
            0 => words.to_owned(),
            idx => format!("{words}, {}", idx + 1),
        };
        let columns = widths(ui.available_width(), &[130.0, 0.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let label = named("Taken off");
                let mut field = Field::new(&label).width(width).hint("10 % or 5.00");
                field.right = true;
                text_field(ui, field, &mut deal.off);
            } else {
                let label = named("From what");
                select(ui, &label, width, &mut deal.on, &on, None);
            }
        });
    }
    if let Some(words) = problems.of("deals") {
        problem(ui, words);
    }
    ui.add_space(space::SMALL);
    ui.horizontal_wrapped(|ui| {
        if quiet_button(ui, "Something more is taken off").clicked() {
            draft.deals.push(DealDraft::new());
        }
        if !draft.is_more && quiet_button(ui, "More of what was agreed").clicked() {
            draft.is_more = true;
        }
    });
}

fn more_ui(ui: &mut Ui, draft: &mut OrderDraft, problems: &Problems) {
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        let (words, wrong, text) = if cell == 0 {
            (
                "At most over, %",
                problems.of("over_percent"),
                &mut draft.over,
            )
        } else {
            (
                "At most under, %",
                problems.of("under_percent"),
                &mut draft.under,
            )
        };
        let mut field = Field::new(words).width(width).hint("5").problem(wrong);
        field.right = true;
        text_field(ui, field, text);
    });
    ui.checkbox(&mut draft.no_unders, "No fewer than ordered were agreed");
    let choices = [
        (false, "with each arrival"),
        (true, "one bill for all of it"),
    ];
    choice_chips(ui, "How it is billed", &mut draft.is_one_bill, &choices);
    let columns = widths(ui.available_width(), &[0.0, 0.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        let (words, wrong, text) = if cell == 0 {
            (
                "My name for the order",
                problems.of("order"),
                &mut draft.key,
            )
        } else {
            ("Their number of it", None, &mut draft.reference)
        };
        let field = Field::new(words).width(width).problem(wrong);
        text_field(ui, field, text);
    });
    let field = Field::new("Note");
    text_field(ui, field, &mut draft.note);
}

/// What an order should come to, beside it as it is typed.
pub fn expected_ui(ui: &mut Ui, draft: &OrderDraft, facts: &Facts) {
    card(ui, |ui| {
        card_heading(ui, "What it should come to").on_hover_text("Expected bill");
        let Ok(order) = draft.order(facts) else {
            soft(
                ui,
                "It is worked out here line by line once it is said what is ordered and what each piece costs.",
            );
            return;
        };
        let bill = expected_bill(&order, |code| facts.stock.name(code), &facts.currency);
        for line in bill.sheet.lines() {
            let amount = line.amount.show(&facts.currency);
            if line.key == "total" {
                ui.add_space(space::SMALL);
                let words = format!("{}. {}", line.no, line.label);
                parts::total_line(ui, &words, &amount);
                continue;
            }
            egui::Sides::new().shrink_left().wrap().show(
                ui,
                |ui| ui.label(format!("{}. {}", line.no, line.label)),
                |ui| ui.label(amount),
            );
            soft(ui, &line.formula);
        }
        ui.add_space(space::SMALL);
        let when = order.when_words();
        if !when.is_empty() {
            ui.label(when);
        }
        for hint in order_up(&order) {
            let called = facts.stock.name(&hint.item);
            parts::hint(ui, &hint.sentence(&called, &facts.currency));
        }
        let has_design = order
            .lines
            .iter()
            .any(|line| line.is_first_run && line.once_per_design.is_positive());
        if has_design {
            soft(
                ui,
                "What is paid once for a design is part of what the pieces of its first run cost.",
            );
        }
    });
}

/// The numbered lines of a bill.
pub fn bill_table(ui: &mut Ui, name: &str, sheet: &Worksheet, currency: &Currency) {
    let columns = [
        Column::narrow("", 22.0),
        Column::words("", 1.4),
        Column::words("How it comes about", 1.8),
        Column::figures("Amount", 84.0),
    ];
    let rows: Vec<Row> = sheet
        .lines()
        .iter()
        .map(|line| {
            let cells = vec![
                Cell::soft(line.no.to_string()),
                Cell::text(&line.label),
                Cell::soft(&line.formula),
                Cell::text(line.amount.show(currency)),
            ];
            if line.key == "total" {
                Row::total(cells)
            } else {
                Row::line(cells)
            }
        })
        .collect();
    let _nothing_opens = paper_table(ui, name, &columns, &rows);
    ui.add_space(space::SMALL);
}
