//! Buy as it is drawn.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::Pressed;
use super::kinds::{KindsDraft, kinds_ui};
use super::model::{BuyModel, BuyRow};
use crate::app::forms::parts;
use crate::app::screen::ViewContext;
use crate::app::screens::explain::Source;
use crate::app::screens::lately::{Lately, lately_ui};
use crate::app::screens::orders::{CardPressed, orders_card};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, count_badge, empty_state, figure_link, heading_with_figures,
    primary_button, quiet_button, second_line, secondary_button, soft,
};
use crate::dates::{DateRange, show_day};
use crate::kinds::EQUIPMENT_CAUTION;
use crate::ledger::{EntryKind, Role};

/// Shows the room.
#[must_use]
pub(super) fn buy_ui(
    ui: &mut Ui,
    model: &BuyModel,
    kinds: &mut KindsDraft,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if model.is_empty {
        ui.label(RichText::new("Nothing was bought yet.").font(theme::heading()));
        ui.add_space(space::MEDIUM);
        let begun = empty_state(
            ui,
            "What this room is for",
            "Everything you buy for the business (purchases): paper and glue, the cutter, the ink plan. Each receipt is kept \
             with its entry, what you pay again and again is proposed when it is due, and what is missing is listed.",
            &[
                "Write down a purchase",
                "Something I pay for again and again",
                "Order something",
            ],
        );
        return begun.map(|step| match step {
            0 => Pressed::Buy,
            1 => Pressed::NewRecurring,
            _ => Pressed::Orders(CardPressed::Order),
        });
    }
    let mut pressed = heading_ui(ui, model, cx);
    ui.add_space(space::LARGE);
    pressed = pressed.or(due_ui(ui, model, cx));
    let mut other = None;
    let mut state = (kinds, &mut other);
    parts::two_columns(
        ui,
        &mut state,
        |ui, state| {
            let (kinds, other) = state;
            let found = recent_ui(ui, model, cx);
            ui.add_space(space::LARGE);
            let found = found.or(orders_card(ui, &model.orders, cx).map(Pressed::Orders));
            ui.add_space(space::LARGE);
            let found = found.or(recurring_ui(ui, model, cx));
            ui.add_space(space::LARGE);
            let moved = kinds_ui(ui, &model.kinds, kinds, cx)
                .map(|write| Pressed::MoveKind(Box::new(write)));
            **other = found.or(moved);
        },
        |ui, state| {
            let found = missing_ui(ui, model, cx);
            ui.add_space(space::LARGE);
            let found = found.or(small_ui(ui, model, cx));
            if found.is_some() {
                *state.1 = found;
            }
        },
    );
    pressed.or(other)
}

fn heading_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let receipts = match model.n_purchases {
        1 => "one receipt".to_owned(),
        n => format!("{n} receipts"),
    };
    let mut pressed = None;
    match model.total {
        Some(total) => {
            let (shown, end) = (cx.show(total), format!(" on {receipts}."));
            let parts = [
                ("You spent ", None),
                (shown.as_str(), Some("Spent")),
                (end.as_str(), None),
            ];
            if heading_with_figures(ui, &parts).is_some() {
                pressed = Some(Pressed::Explain(Source::OfKind(
                    EntryKind::Purchase,
                    cx.period,
                )));
            }
        }
        None => {
            let words = RichText::new("Adding up what you spent\u{2026}").font(theme::heading());
            ui.label(words);
        }
    }
    second_line(
        ui,
        &format!(
            "Purchases, {}; what was bought is not yet what was used up.",
            cx.period_label
        ),
    );
    ui.add_space(space::MEDIUM);
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, "I bought something", "").clicked() {
            pressed = Some(Pressed::Buy);
        }
        if secondary_button(ui, "I ordered something", "")
            .on_hover_text("Purchase order: a print house, a supplier that delivers later")
            .clicked()
        {
            pressed = Some(Pressed::NewOrder);
        }
        if secondary_button(ui, "Something recurs", "")
            .on_hover_text("A subscription or plan: recurring purchase")
            .clicked()
        {
            pressed = Some(Pressed::NewRecurring);
        }
    });
    pressed
}

fn due_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    if model.due.is_empty() && model.used_up.is_none() && model.renewals.is_empty() {
        return None;
    }
    let mut pressed = None;
    card(ui, |ui| {
        ui.horizontal(|ui| {
            card_heading(ui, "Due now");
            count_badge(ui, model.due.len() + usize::from(model.used_up.is_some()));
        });
        for due in &model.due {
            ui.add_space(space::SMALL);
            let mut deeds = |ui: &mut Ui| {
                if secondary_button(ui, &format!("Write down {}", due.name), "").clicked() {
                    pressed = Some(Pressed::Confirm(due.id));
                }
                if quiet_button(ui, &format!("Skip {} this time", due.name)).clicked() {
                    pressed = Some(Pressed::Skip(due.id));
                }
            };
            if ui.available_width() < 560.0 {
                ui.label(&due.words);
                ui.horizontal_wrapped(deeds);
                continue;
            }
            egui::Sides::new().shrink_left().wrap().show(
                ui,
                |ui| ui.label(&due.words),
                |ui| deeds(ui),
            );
        }
        if let Some((count, amount)) = model.used_up {
            ui.horizontal_wrapped(|ui| {
                let parts = if count == 1 { "part" } else { "parts" };
                ui.label(format!("{count} {parts} of what you paid ahead, used up:"));
                if figure_link(ui, &cx.show(amount), "Used up", false).clicked() {
                    pressed = Some(Pressed::Explain(Source::UsedUp));
                }
                if secondary_button(ui, "Write it down as a cost", "")
                    .on_hover_text("Release of a prepaid expense")
                    .clicked()
                {
                    pressed = Some(Pressed::ReleasePaidAhead);
                }
            });
        }
        for words in &model.renewals {
            soft(ui, words);
        }
    });
    ui.add_space(space::LARGE);
    pressed
}

fn recent_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let lately = Lately {
        heading: "Bought lately",
        term: "Purchases of the period, newest first",
        nothing: "Nothing was bought in this period; choose another above.",
        n_all: model.n_purchases,
    };
    let columns = [
        Column::narrow("When", 88.0),
        Column::words("What", 2.0),
        Column::words("Kind", 1.2),
        Column::narrow("Receipt", 72.0),
        Column::figures("Amount", 84.0),
    ];
    let row = |row: &BuyRow| {
        let cells = vec![
            Cell::soft(show_day(row.date)),
            Cell::opens(row.what.clone()),
            Cell::soft(row.kinds.clone()),
            Cell::soft(row.receipt),
            Cell::opens(cx.show(row.amount)),
        ];
        (row.number, Row::line(cells))
    };
    let rows = model.rows.iter().map(row).collect();
    lately_ui(ui, lately, &columns, rows).map(Pressed::Entry)
}

fn recurring_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Again and again")
            .on_hover_text("Recurring purchases: subscriptions, plans, rents");
        if model.recurring.is_empty() {
            soft(
                ui,
                "Subscriptions and plans stand here with what they come to in a year.",
            );
            return;
        }
        let columns = [
            Column::words("What", 1.6),
            Column::words("How often", 1.0),
            Column::narrow("Next", 92.0),
            Column::figures("Each", 76.0),
            Column::figures("A year", 84.0),
        ];
        let mut rows: Vec<Row> = model
            .recurring
            .iter()
            .map(|row| {
                Row::line(vec![
                    Cell::opens(row.what.clone()),
                    Cell::soft(row.cycle.clone()),
                    Cell::soft(show_day(row.next)),
                    Cell::opens(cx.show(row.amount)),
                    Cell::opens(cx.show(row.yearly)),
                ])
            })
            .collect();
        rows.push(Row::last(vec![
            Cell::text("In a year"),
            Cell::default(),
            Cell::default(),
            Cell::default(),
            Cell::opens(cx.show(model.yearly)),
        ]));
        if let Some((row, _)) = paper_table(ui, "recurring", &columns, &rows) {
            pressed = Some(match model.recurring.get(row) {
                Some(row) => Pressed::ChangeRecurring(row.id),
                None => Pressed::Explain(Source::Yearly),
            });
        }
        soft(
            ui,
            "Open one to change it. Nothing is ever written down by itself.",
        );
    });
    pressed
}

fn missing_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        ui.horizontal(|ui| {
            card_heading(ui, "Receipts to find").on_hover_text("Entries without proof");
            count_badge(ui, model.n_missing);
        });
        if model.missing.is_empty() {
            soft(ui, "Every receipt is kept. Well done.");
        } else {
            soft(
                ui,
                "Oldest first; open one to add its receipt or say what stands in.",
            );
            pressed = short_list(ui, "receipts to find", &model.missing, cx);
            let more = model.n_missing - model.missing.len().min(model.n_missing);
            if more > 0 {
                soft(ui, &format!("and {more} more"));
            }
        }
        if !model.no_purpose.is_empty() {
            ui.add_space(space::MEDIUM);
            card_heading(ui, "What was it for?").on_hover_text("Business purpose missing");
            pressed = pressed
                .take()
                .or(short_list(ui, "purpose missing", &model.no_purpose, cx));
        }
    });
    pressed
}

fn short_list(ui: &mut Ui, name: &str, list: &[BuyRow], cx: &ViewContext<'_>) -> Option<Pressed> {
    let columns = [
        Column::narrow("When", 84.0),
        Column::words("What", 1.0),
        Column::figures("Amount", 76.0),
    ];
    let rows: Vec<Row> = list
        .iter()
        .map(|row| {
            Row::line(vec![
                Cell::soft(show_day(row.date)),
                Cell::opens(row.what.clone()),
                Cell::opens(cx.show(row.amount)),
            ])
        })
        .collect();
    let (row, _) = paper_table(ui, name, &columns, &rows)?;
    list.get(row).map(|row| Pressed::Entry(row.number))
}

fn small_ui(ui: &mut Ui, model: &BuyModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Small equipment")
            .on_hover_text("Under your threshold: a cost at once, and still on a list for the insurer and the day it goes");
        if model.small.is_empty() {
            soft(
                ui,
                "What lasts but cost less than your threshold is listed here, for the insurer and the day it goes.",
            );
            return;
        }
        let columns = [
            Column::narrow("Since", 84.0),
            Column::words("What", 1.0),
            Column::figures("Cost", 76.0),
        ];
        let mut rows: Vec<Row> = model
            .small
            .iter()
            .map(|thing| {
                Row::line(vec![
                    Cell::soft(show_day(thing.bought_on)),
                    Cell::opens(thing.what.clone()),
                    Cell::opens(cx.show(thing.amount)),
                ])
            })
            .collect();
        rows.push(Row::last(vec![
            Cell::text("Together"),
            Cell::default(),
            Cell::opens(cx.show(model.small.iter().map(|thing| thing.amount).sum())),
        ]));
        if let Some((row, _)) = paper_table(ui, "small equipment", &columns, &rows) {
            pressed = match model.small.get(row) {
                Some(thing) => Some(Pressed::Entry(thing.entry)),
                None => whole_account(cx, Role::SmallTools).map(Pressed::Explain),
            };
        }
        soft(ui, EQUIPMENT_CAUTION);
    });
    pressed
}

/// Everything that ever moved on the account of this role, up to today.
fn whole_account(cx: &ViewContext<'_>, role: Role) -> Option<Source> {
    let account = cx.chart.role(role).ok()?;
    let range = DateRange::new(cx.settings.first_day(), cx.today)?;
    Some(Source::Movement(account, range))
}
