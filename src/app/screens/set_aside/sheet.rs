//! The sheet as on paper: numbered lines with how each comes about, where it comes from and what to be careful of;
//! then the instalments, worked both ways where the method has two.

use egui::Ui;

use super::model::{SetAsideModel, day_and_month, in_months};
use super::{Part, Pressed};
use crate::app::screen::ViewContext;
use crate::app::screens::explain::{self, Source};
use crate::app::theme::space;
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{card, card_heading, link, second_line, soft};
use crate::dates::show_day;
use crate::money::Money;
use crate::set_aside::{Estimate, EstimateLine, Figure, Instalment};

/// A sheet narrower than this says the source beneath the working.
const WIDE: f32 = 800.0;
/// A table narrower than this puts the number before the name, and the day beside the months.
pub(super) const NARROW: f32 = 480.0;

/// Shows the sheet; answers a figure that was opened.
pub(super) fn sheet_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let estimate = &model.facts.estimate;
    let has_worksheet = model.offers.len() > 1;
    let mut asked = None;
    let opened = card(ui, |ui| {
        card_heading(ui, "How it comes about").on_hover_text("The worksheet, line by line");
        if let Some(rates) = &estimate.rates {
            let words = match &rates.assumed_for {
                Some(year) => format!(
                    "{}, taken for {year} as an assumption. Point at a line's name to have it explained.",
                    rates.title
                ),
                None => format!(
                    "{}. Point at a line's name to have it explained.",
                    rates.title
                ),
            };
            second_line(ui, &words);
        } else if has_worksheet {
            second_line(
                ui,
                "A plain share. It can be worked line by line from published rates instead.",
            );
            if link(ui, "Answer what that asks").clicked() {
                asked = Some(Pressed::Show(Part::Answers));
            }
        }
        lines_ui(ui, model, cx)
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| instalments_ui(ui, model, cx));
    ui.add_space(space::LARGE);
    notes_ui(ui, model);
    opened.or(asked)
}

fn lines_ui(ui: &mut Ui, model: &SetAsideModel, cx: &ViewContext<'_>) -> Option<Pressed> {
    let estimate = &model.facts.estimate;
    let is_wide = ui.available_width() >= WIDE;
    let is_narrow = ui.available_width() < NARROW;
    let mut columns = vec![Column::words("Line", 2.6), Column::words("How", 3.4)];
    if !is_narrow {
        columns.insert(0, Column::narrow("No.", 26.0));
    }
    if is_wide {
        columns.push(Column::words("From", 2.2));
    }
    columns.push(Column::figures(cx.currency.code(), 92.0));
    let rows: Vec<Row> = estimate
        .lines
        .iter()
        .map(|line| {
            let mut row = row(line, estimate, is_wide, cx);
            if is_narrow {
                number_before_name(&mut row);
            }
            row
        })
        .collect();
    let (row, _column) = paper_table(ui, "worksheet", &columns, &rows)?;
    let line = estimate.lines.get(row)?;
    let source = explain::source_of_estimate(&model.facts, &line.key);
    Some(Pressed::Explain(
        source.unwrap_or(Source::SetAside(line.no)),
    ))
}

/// Puts the first cell, a number, before the words of the second.
pub(super) fn number_before_name(row: &mut Row) {
    let number = row.cells.remove(0);
    if let Some(name) = row.cells.first_mut() {
        name.text = format!("{} {}", number.text, name.text);
    }
}

fn row(line: &EstimateLine, estimate: &Estimate, is_wide: bool, cx: &ViewContext<'_>) -> Row {
    let mut how = line.formula.clone();
    if !is_wide && !line.source.is_empty() {
        how = format!("{how}\nFrom: {}", line.source);
    }
    if !line.caution.is_empty() {
        how = format!("{how}\nTake care: {}", line.caution);
    }
    let shown = line.amount.show(cx.currency);
    let amount = match line.amount {
        Figure::Money(_amount) => Cell::opens(shown),
        Figure::Percent(_share) => Cell::text(shown),
    };
    let mut cells = vec![
        Cell::text(line.no.to_string()),
        Cell::text(&line.label).explained(&line.explanation),
        Cell::soft(how),
    ];
    if is_wide {
        cells.push(Cell::soft(&line.source));
    }
    cells.push(amount);
    let is_last = estimate.lines.last().map(|last| last.no) == Some(line.no);
    if is_last {
        Row::last(cells)
    } else if line.key == "profit" || is_result(line, estimate) {
        Row::total(cells)
    } else {
        Row::line(cells)
    }
}

/// Whether it is the line that all before it come to: the last with that amount before what is put by.
fn is_result(line: &EstimateLine, estimate: &Estimate) -> bool {
    let total = Figure::Money(estimate.year_total);
    let mut with_total = estimate.lines.iter().rev();
    let found = with_total.find(|one| one.amount == total && one.key != "to-move");
    found.map(|one| one.no) == Some(line.no)
}

fn instalments_ui(ui: &mut Ui, model: &SetAsideModel, cx: &ViewContext<'_>) {
    let estimate = &model.facts.estimate;
    card_heading(ui, "When it is due").on_hover_text("Instalments of estimated tax");
    let has_ways = estimate.instalments.iter().any(|one| one.columns.is_some());
    if has_ways {
        second_line(
            ui,
            "Each instalment is worked in equal parts and by the season, that is by what the months so far would make for \
             a year (annualised); the lower one is enough. What a low one leaves out, later ones make up.",
        );
    }
    let is_narrow = ui.available_width() < NARROW;
    let mut columns = vec![Column::words("For", 1.6)];
    if !is_narrow {
        columns.push(Column::words("Due", 1.4));
    }
    if has_ways {
        columns.push(Column::figures("In equal parts", 86.0));
        columns.push(Column::figures("By the season", 86.0));
    }
    columns.push(Column::figures("Needed", 86.0));
    columns.push(Column::figures("Paid by then", 86.0));
    if !is_narrow {
        columns.push(Column::words("", 1.8));
    }
    let rows: Vec<Row> = estimate
        .instalments
        .iter()
        .enumerate()
        .map(|(idx, one)| {
            let paid = model.quarters.get(idx).map(|quarter| quarter.paid);
            let mut cells = instalment_cells(one, paid, has_ways, cx);
            if is_narrow {
                let due = cells.remove(1);
                let note = cells.pop().unwrap_or_default();
                cells[0] = Cell::text(format!("{}, due {} {}", cells[0].text, due.text, note.text));
            }
            Row::line(cells)
        })
        .collect();
    let _nothing_opens = paper_table(ui, "dates", &columns, &rows);
    for one in &estimate.instalments {
        if !one.moved_because.is_empty() {
            soft(
                ui,
                &format!("Due on {}: {}.", show_day(one.due), one.moved_because),
            );
        }
    }
    let worked: Vec<&Instalment> = estimate
        .instalments
        .iter()
        .filter(|one| {
            one.columns
                .as_ref()
                .is_some_and(|ways| !ways.formula.is_empty())
        })
        .collect();
    if !worked.is_empty() {
        ui.add_space(space::SMALL);
        egui::CollapsingHeader::new("How the season's amounts come about")
            .id_salt("by-the-season")
            .show(ui, |ui| {
                for one in worked {
                    let ways = one
                        .columns
                        .as_ref()
                        .map_or("", |ways| ways.formula.as_str());
                    soft(ui, &format!("{}: {ways}.", in_months(one.period)));
                }
            });
    }
    if !estimate.dates_source.is_empty() {
        soft(ui, &format!("Dates from: {}", estimate.dates_source));
    }
}

fn instalment_cells(
    one: &Instalment,
    paid: Option<Money>,
    has_ways: bool,
    cx: &ViewContext<'_>,
) -> Vec<Cell> {
    let months = in_months(one.period);
    let name = if one.label.is_empty() {
        months
    } else {
        format!("{}, {months}", one.label)
    };
    let mut cells = vec![
        Cell::text(name),
        Cell::text(day_and_month(one.due)).explained(&one.moved_because),
    ];
    if has_ways {
        let ways = one.columns.as_ref();
        let show = |amount: Option<Money>| {
            amount.map_or_else(|| "\u{2014}".to_owned(), |amount| cx.show(amount))
        };
        cells.push(Cell::text(show(ways.map(|ways| ways.equal))));
        let season = ways.and_then(|ways| ways.annualised);
        let how = ways.map_or("", |ways| ways.formula.as_str());
        cells.push(Cell::text(show(season)).explained(how));
    }
    cells.push(Cell::text(cx.show(one.needed)));
    cells.push(Cell::text(
        paid.map_or_else(|| "\u{2014}".to_owned(), |paid| cx.show(paid)),
    ));
    cells.push(Cell::soft(&one.note));
    cells
}

fn notes_ui(ui: &mut Ui, model: &SetAsideModel) {
    // The first note of a plain share that stands in says what is said above already.
    let skipped = usize::from(model.refusal.is_some());
    for note in model.facts.estimate.notes.iter().skip(skipped) {
        soft(ui, note);
    }
}
