//! Where a figure comes from, as it is drawn: its formula, then its entries; each opens in turn.
//! The way back is the window's.

use egui::{RichText, Ui};

use super::model::Explanation;
use super::source::Source;
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column as PaperColumn, Row, paper_table};
use crate::app::widgets::{Column, card, card_heading, caution, data_table, second_line, soft};
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::money::Currency;
use crate::set_aside::CAUTION;

/// What was pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// A term, to be explained in turn.
    Term(Source),
    /// An entry, to be opened.
    Entry(EntryNumber),
}

/// Shows an explanation.
#[must_use]
pub fn explanation_ui(ui: &mut Ui, answer: &Explanation, currency: &Currency) -> Option<Pressed> {
    let mut pressed = None;
    let title = format!("{}: {}", answer.title, currency.show(answer.amount));
    ui.label(RichText::new(title).font(theme::heading()));
    if !answer.sentence.is_empty() {
        second_line(ui, &answer.sentence);
    }
    ui.add_space(space::LARGE);
    if answer.is_estimate {
        caution(ui, CAUTION);
        ui.add_space(space::LARGE);
    }
    if !answer.terms.is_empty() {
        pressed = card(ui, |ui| formula_ui(ui, answer, currency));
        ui.add_space(space::LARGE);
    }
    if answer.terms.is_empty() || !answer.entries.is_empty() {
        let entry = card(ui, |ui| entries_ui(ui, answer, currency));
        pressed = pressed.or(entry);
    }
    pressed
}

fn formula_ui(ui: &mut Ui, answer: &Explanation, currency: &Currency) -> Option<Pressed> {
    card_heading(ui, "How it comes about");
    let columns = [
        PaperColumn::words("Line", 3.0),
        PaperColumn::words("How", 3.0),
        PaperColumn::figures("Amount", 110.0),
    ];
    let rows: Vec<Row> = answer
        .terms
        .iter()
        .map(|term| {
            let amount = currency.show(term.amount);
            let cells = vec![
                Cell::text(&term.label),
                Cell::soft(&term.how),
                if term.source.is_some() {
                    Cell::opens(amount)
                } else {
                    Cell::text(amount)
                },
            ];
            if term.is_total {
                Row::last(cells)
            } else {
                Row::line(cells)
            }
        })
        .collect();
    let (row, _column) = paper_table(ui, "formula", &columns, &rows)?;
    let term = answer.terms.get(row)?;
    term.source.clone().map(|source| match source {
        Source::Entry(number) => Pressed::Entry(number),
        other => Pressed::Term(other),
    })
}

fn entries_ui(ui: &mut Ui, answer: &Explanation, currency: &Currency) -> Option<Pressed> {
    let count = answer.entries.len();
    card_heading(ui, "The entries");
    let words = match count {
        0 => "No entry stands behind it yet.".to_owned(),
        1 => "1 entry; open it to see its receipt.".to_owned(),
        n => format!("{n} entries; open one to see its receipt."),
    };
    soft(ui, &words);
    if count == 0 {
        return None;
    }
    let columns = [
        Column::figures("No.", 56.0),
        Column::words("Day", 100.0),
        Column::rest("What"),
        Column::figures("Amount", 110.0),
    ];
    let height = (count as f32 + 1.5) * space::ROW;
    let room = ui.available_height().max(240.0);
    ui.allocate_ui(egui::vec2(ui.available_width(), height.min(room)), |ui| {
        data_table(ui, "entries of a figure", &columns, count, None, |idx| {
            answer.entries.get(idx).map(|row| {
                vec![
                    row.number.to_string(),
                    show_day(row.date),
                    row.what.clone(),
                    currency.show(row.amount),
                ]
            })
        })
    })
    .inner
    .and_then(|idx| answer.entries.get(idx))
    .map(|row| Pressed::Entry(row.number))
}
