//! Put by: how much should be there, how much is, what is missing, how it went quarter by quarter, and the year as a chart.
//! What each figure is comes from the model.

use egui::Ui;

use super::Pressed;
use super::model::{SetAsideModel, day_and_month, in_months};
use super::sheet::NARROW;
use crate::app::charts::{LineStroke, TimeLine, time_lines};
use crate::app::screen::ViewContext;
use crate::app::screens::explain::{self, Source};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    FigureCard, card, card_heading, columns, figure_card, second_line, soft,
};
use crate::dates::Month;
use crate::money::Money;
use crate::reports::MonthKept;

/// A card: its label, its figure, what explains it, the trade's word, the key of its line.
type KeptCard<'a> = (&'a str, &'a String, &'a str, &'a str, &'a str);

/// Shows the part.
pub(super) fn put_by_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let estimate = &model.facts.estimate;
    let paid = if estimate.already_paid.is_positive() {
        format!("{} of it is paid already", cx.show(estimate.already_paid))
    } else {
        "for the profit so far".to_owned()
    };
    let (needed, put_by, gap) = (
        cx.show(estimate.total),
        cx.show(estimate.put_by),
        cx.show(estimate.to_move),
    );
    let cards = [
        ("Needed so far", &needed, paid.as_str(), "target", "so-far"),
        (
            "Put by",
            &put_by,
            "what the set-aside savings hold",
            "balance of the set-aside account",
            "put-by",
        ),
        ("Still to move", &gap, "an estimate only", "gap", "to-move"),
    ];
    let mut pressed = None;
    let mut card_ui = |ui: &mut Ui, (label, figure, second, term, key): KeptCard<'_>| {
        let shown = FigureCard {
            label,
            figure,
            second,
        };
        if figure_card(ui, shown, term).clicked() {
            let source = explain::source_of_estimate(&model.facts, key);
            let no = estimate.line(key).map_or(0, |line| line.no);
            pressed = Some(Pressed::Explain(source.unwrap_or(Source::SetAside(no))));
        }
    };
    if ui.available_width() < NARROW {
        for card in cards {
            card_ui(ui, card);
            ui.add_space(space::MEDIUM);
        }
    } else {
        columns(ui, &[1.0, 1.0, 1.0], |parts| {
            for (part, card) in parts.iter_mut().zip(cards) {
                card_ui(part, card);
            }
        });
    }
    ui.add_space(space::LARGE);
    card(ui, |ui| history_ui(ui, model, cx));
    ui.add_space(space::LARGE);
    card(ui, |ui| chart_ui(ui, model, cx));
    pressed
}

fn history_ui(ui: &mut Ui, model: &SetAsideModel, cx: &ViewContext<'_>) {
    card_heading(ui, "Quarter by quarter").on_hover_text("Each instalment on the day it was due");
    if model.quarters.is_empty() {
        soft(ui, "The first quarter has not begun.");
        return;
    }
    second_line(
        ui,
        "Counted from the beginning of the year: what the instalments ask for by the day they are due, what lay in savings \
         and what was paid by then. They may ask for less than the year's tax above: the rest comes with the return.",
    );
    let is_narrow = ui.available_width() < NARROW;
    let mut table = vec![
        Column::words("For", 1.4),
        Column::words("Counted on", 1.4),
        Column::figures("Needed by then", 92.0),
        Column::figures("Put by", 92.0),
        Column::figures("Paid", 92.0),
        Column::figures("Missing", 92.0),
    ];
    if is_narrow {
        table.remove(1);
    }
    let rows: Vec<Row> = model
        .quarters
        .iter()
        .map(|quarter| {
            let on = if quarter.counted_to < quarter.due {
                format!("today; due {}", day_and_month(quarter.due))
            } else {
                day_and_month(quarter.due)
            };
            let missing = if quarter.gap.is_positive() {
                cx.show(quarter.gap)
            } else {
                "none".to_owned()
            };
            let mut cells = vec![
                Cell::text(in_months(quarter.period)),
                Cell::text(on),
                Cell::text(cx.show(quarter.needed)),
                Cell::text(cx.show(quarter.put_by)),
                Cell::text(cx.show(quarter.paid)),
                Cell::text(missing)
                    .explained("Needed, less put by, less paid; never below nothing"),
            ];
            if is_narrow {
                let on = cells.remove(1);
                cells[0] = Cell::text(format!("{}, {}", cells[0].text, on.text));
            }
            Row::line(cells)
        })
        .collect();
    let _nothing_opens = paper_table(ui, "quarters", &table, &rows);
}

fn chart_ui(ui: &mut Ui, model: &SetAsideModel, cx: &ViewContext<'_>) {
    card_heading(ui, "Over the year");
    let months = &model.months;
    if months.len() < 2 {
        soft(ui, "A line needs two months of the year.");
        return;
    }
    let is_flat = |month: &MonthKept| {
        month.profit.is_zero() && month.needed.is_zero() && month.put_by.is_zero()
    };
    if months.iter().all(is_flat) {
        soft(
            ui,
            "The lines begin with the first profit: what was earned, what is needed of it, and what is put by or paid.",
        );
        return;
    }
    second_line(
        ui,
        "Profit of the year so far, what is needed of it, and what is put by or paid, at the end of each month.",
    );
    let labels: Vec<String> = months
        .iter()
        .map(|month| Month::of(month.day).name().chars().take(3).collect())
        .collect();
    let line = |name: &str, stroke, of: fn(&MonthKept) -> Money| TimeLine {
        name: name.to_owned(),
        amounts: months.iter().map(of).collect(),
        stroke,
    };
    let lines = [
        line("profit", LineStroke::Solid, |month| month.profit),
        line("needed", LineStroke::Dashed, |month| month.needed),
        line("put by or paid", LineStroke::Dotted, |month| month.put_by),
    ];
    time_lines(
        ui,
        "profit, needed and put by",
        &labels,
        &lines,
        cx.currency,
        200.0,
    );
}
