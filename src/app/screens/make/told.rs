//! On an item's page: what its batches really took beside what was planned, and the comparisons that are kept with it.
//! Writing a batch down is a form; a comparison opens in `ways`.

use egui::Ui;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Pressed;
use crate::app::screen::ViewContext;
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{ListBar, bar_list, card, card_heading, soft};
use crate::dates::show_day;
use crate::deciding::SavedComparison;
use crate::reports::{BatchTold, lost_percent};

/// So many batches are listed.
const LISTED: usize = 12;

/// The batches of a product, newest first, with planned and real minutes and what was lost.
pub(super) fn batches_ui(ui: &mut Ui, batches: &[BatchTold]) -> Option<Pressed> {
    if batches.is_empty() {
        return None;
    }
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "What its batches took").on_hover_text("Actual against standard");
        ui.label(together(batches));
        let columns = [
            Column::words("Batch", 1.6),
            Column::figures("Good", 52.0),
            Column::figures("Lost", 52.0),
            Column::figures("Planned min.", 84.0),
            Column::figures("Took min.", 76.0),
        ];
        let shown: Vec<&BatchTold> = batches.iter().rev().take(LISTED).collect();
        let dash = |minutes: Option<Decimal>| {
            minutes.map_or_else(|| "\u{2013}".to_owned(), |minutes| minutes.to_string())
        };
        let mut rows = Vec::new();
        let mut of_row = Vec::new();
        for one in &shown {
            let name = format!("{}, {}", show_day(one.date), one.batch);
            rows.push(Row::line(vec![
                if one.entry.is_some() {
                    Cell::opens(name)
                } else {
                    Cell::text(name)
                },
                Cell::text(one.good.to_string()),
                Cell::text(one.lost.to_string()),
                Cell::text(dash(one.planned_minutes)),
                Cell::text(dash(one.own_minutes)),
            ]));
            of_row.push(one.entry);
            if !one.why.is_empty() {
                rows.push(Row::line(vec![Cell::soft(format!("spoiled: {}", one.why))]));
                of_row.push(None);
            }
        }
        if let Some((row, _cell)) = paper_table(ui, "batches of the item", &columns, &rows) {
            pressed = of_row.get(row).copied().flatten().map(Pressed::Entry);
        }
        if batches.len() > 1 {
            ui.add_space(space::SMALL);
            soft(ui, "Lost of those begun, batch by batch:");
            let bars: Vec<ListBar> = batches
                .iter()
                .rev()
                .take(LISTED)
                .map(|one| ListBar {
                    label: show_day(one.date),
                    words: format!("{} %", one.lost_percent),
                    height: one.lost_percent.to_f32().unwrap_or_default(),
                })
                .collect();
            bar_list(ui, "Lost of each batch", &bars);
        }
    });
    ui.add_space(space::LARGE);
    pressed
}

/// What all batches come to, in words.
fn together(batches: &[BatchTold]) -> String {
    let good: Decimal = batches.iter().map(|one| one.good).sum();
    let lost: Decimal = batches.iter().map(|one| one.lost).sum();
    let mut words = format!(
        "{good} good pieces, {lost} lost: {} % of those begun.",
        lost_percent(good, lost)
    );
    let timed = batches.iter().filter_map(|one| {
        let took = one.own_minutes?;
        Some((one.planned_minutes?, took))
    });
    let (planned, took) = timed.fold((Decimal::ZERO, Decimal::ZERO), |sum, one| {
        (sum.0 + one.0, sum.1 + one.1)
    });
    if !planned.is_zero() {
        words.push_str(&format!(
            " Where minutes were written down, {planned} were planned and it took {took}."
        ));
    }
    words
}

/// The comparisons that are kept with a product, each with what it says.
pub(super) fn comparisons_ui(
    ui: &mut Ui,
    comparisons: &[SavedComparison],
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    if comparisons.is_empty() {
        return None;
    }
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Make it or have it made: kept comparisons");
        let columns = [Column::words("", 1.0), Column::words("", 2.0)];
        let rows: Vec<Row> = comparisons
            .iter()
            .map(|one| {
                let told = one.ask.tell(cx.currency);
                let words =
                    told.map_or_else(|error| error.to_string(), |told| told.sentence(cx.currency));
                Row::line(vec![Cell::opens(one.name.clone()), Cell::text(words)])
            })
            .collect();
        if let Some((row, _cell)) = paper_table(ui, "kept comparisons", &columns, &rows) {
            pressed = comparisons
                .get(row)
                .map(|one| Pressed::Saved(Box::new(one.clone())));
        }
        soft(ui, "They ask with the figures they were kept with.");
    });
    ui.add_space(space::LARGE);
    pressed
}
