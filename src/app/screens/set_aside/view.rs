//! Set aside as it is drawn: the worksheet, the dates, put by against needed, what to do now.
//! Its figures come from the estimate; every line shows how it comes about.

use egui::{RichText, Ui};

use super::SetAsideModel;
use crate::app::charts::{TimeLine, time_lines};
use crate::app::screens::explain::{self, Source};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, money_field, primary_button, primary_button_enabled,
    problem, quiet_button, second_line, secondary_button, soft, text_field,
};
use crate::dates::{DateRange, Month, show_day};
use crate::money::{Currency, Money, Percent};
use crate::set_aside::{Estimate, Figure};

/// What was pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// Move this much to savings.
    Move(Money),
    /// The owner paid an instalment of her tax.
    PaidTax,
    /// Keep another share.
    Share(String),
    /// A line, to be explained.
    Line(Source),
    /// Try another profit, or none.
    Try(Option<Money>),
}

/// What is being typed in the room.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Typed {
    /// The profit to try.
    pub what_if: String,
    /// Whether the profit to try is asked for.
    pub is_trying: bool,
    /// The share to keep.
    pub share: String,
    /// Whether another share is asked for.
    pub is_choosing: bool,
}

/// Shows the room.
#[must_use]
pub fn set_aside_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    typed: &mut Typed,
    currency: &Currency,
) -> Option<Pressed> {
    let estimate = &model.shown;
    ui.label(RichText::new(headline(model, currency)).font(theme::heading()));
    second_line(
        ui,
        "An estimate from your books. Each line shows where it comes from.",
    );
    ui.add_space(space::LARGE);
    if ui.available_width() < 820.0 {
        caution(ui, estimate.caution);
        ui.add_space(space::LARGE);
        let pressed = worksheet_card(ui, model, typed, currency);
        ui.add_space(space::LARGE);
        dates_ui(ui, estimate, currency);
        ui.add_space(space::LARGE);
        chart_ui(ui, model, currency);
        return pressed;
    }
    let mut pressed = None;
    let side = 320.0;
    let left = ui.available_width() - side - space::LARGE;
    ui.horizontal_top(|ui| {
        ui.allocate_ui(egui::vec2(left, 0.0), |ui| {
            ui.vertical(|ui| {
                ui.set_width(left);
                pressed = worksheet_card(ui, model, typed, currency);
                ui.add_space(space::LARGE);
                chart_ui(ui, model, currency);
            });
        });
        ui.add_space(space::MEDIUM);
        ui.vertical(|ui| {
            caution(ui, estimate.caution);
            ui.add_space(space::LARGE);
            dates_ui(ui, estimate, currency);
        });
    });
    pressed
}

fn headline(model: &SetAsideModel, currency: &Currency) -> String {
    let estimate = &model.shown;
    if model.tried.is_some() {
        return format!(
            "With that profit you would keep back {}.",
            currency.show(estimate.total)
        );
    }
    let by = estimate
        .next_due(model.today)
        .map(|instalment| format!(" by {}", day_and_month(instalment.due)))
        .unwrap_or_default();
    if estimate.to_move.is_positive() {
        format!("Keep back {} more{by}.", currency.show(estimate.to_move))
    } else if estimate.total.is_positive() {
        "Everything needed so far is put by.".to_owned()
    } else {
        "Nothing needs to be kept back so far.".to_owned()
    }
}

fn day_and_month(day: chrono::NaiveDate) -> String {
    use chrono::Datelike as _;
    format!("{} {}", day.day(), Month::of(day).name())
}

fn worksheet_card(
    ui: &mut Ui,
    model: &SetAsideModel,
    typed: &mut Typed,
    currency: &Currency,
) -> Option<Pressed> {
    card(ui, |ui| {
        let line = worksheet_ui(ui, model, currency);
        for note in &model.shown.notes {
            soft(ui, note);
        }
        ui.add_space(space::MEDIUM);
        let done = deeds_ui(ui, model, typed, currency);
        done.or(line.map(Pressed::Line))
    })
}

fn worksheet_ui(ui: &mut Ui, model: &SetAsideModel, currency: &Currency) -> Option<Source> {
    let columns = [
        Column::narrow("No.", 28.0),
        Column::words("Line", 3.0),
        Column::words("How", 3.0),
        Column::figures("Amount", 96.0),
    ];
    let last = model.shown.lines.len();
    let rows: Vec<Row> = model
        .shown
        .lines
        .iter()
        .enumerate()
        .map(|(idx, line)| {
            let shown = line.amount.show(currency);
            let cells = vec![
                Cell::text(line.no.to_string()),
                Cell::text(&line.label),
                Cell::soft(&line.formula),
                match line.amount {
                    Figure::Money(_amount) => Cell::opens(shown),
                    Figure::Percent(_share) => Cell::text(shown),
                },
            ];
            match line.key.as_str() {
                _ if idx + 1 == last => Row::last(cells),
                "profit" => Row::total(cells),
                _ => Row::line(cells),
            }
        })
        .collect();
    let (row, _column) = paper_table(ui, "worksheet", &columns, &rows)?;
    let line = model.shown.lines.get(row)?;
    Some(explain::source_of_estimate(&model.facts, &line.key).unwrap_or(Source::SetAside(line.no)))
}

fn deeds_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    typed: &mut Typed,
    currency: &Currency,
) -> Option<Pressed> {
    let mut pressed = None;
    let to_move = model.shown.to_move;
    ui.horizontal_wrapped(|ui| {
        if model.tried.is_none() && to_move.is_positive() {
            let words = format!("Move {} to savings", currency.show(to_move));
            if primary_button(ui, &words, "").clicked() {
                pressed = Some(Pressed::Move(to_move));
            }
        }
        if secondary_button(ui, "What if\u{2026}", "").clicked() {
            typed.is_trying = !typed.is_trying;
        }
        if secondary_button(ui, "Another share\u{2026}", "").clicked() {
            typed.is_choosing = !typed.is_choosing;
        }
        if secondary_button(ui, "I paid tax", "")
            .on_hover_text("An instalment of your own tax: a drawing")
            .clicked()
        {
            pressed = Some(Pressed::PaidTax);
        }
    });
    if typed.is_trying {
        ui.add_space(space::SMALL);
        pressed = pressed.or(what_if_ui(ui, typed, currency));
    }
    if typed.is_choosing {
        ui.add_space(space::SMALL);
        pressed = pressed.or(share_ui(ui, typed));
    }
    pressed
}

fn what_if_ui(ui: &mut Ui, typed: &mut Typed, currency: &Currency) -> Option<Pressed> {
    let mut pressed = None;
    let field = Field::new("If the year's profit were")
        .width(180.0)
        .hint("4,000");
    let (response, amount) = money_field(ui, field, &mut typed.what_if, currency);
    if response.changed() {
        pressed = Some(Pressed::Try(amount));
    }
    if quiet_button(ui, "Back to the books").clicked() {
        typed.is_trying = false;
        typed.what_if.clear();
        pressed = Some(Pressed::Try(None));
    }
    pressed
}

fn share_ui(ui: &mut Ui, typed: &mut Typed) -> Option<Pressed> {
    let mut pressed = None;
    soft(
        ui,
        "A share of the year's profit, before your own pay. A habit often named is 25 to 30 % of profit.",
    );
    text_field(
        ui,
        Field::new("Share of profit in %").width(180.0),
        &mut typed.share,
    );
    let read: Result<Percent, _> = typed.share.trim().trim_end_matches('%').trim().parse();
    if let (Err(error), false) = (&read, typed.share.trim().is_empty()) {
        problem(ui, &error.to_string());
    }
    ui.horizontal(|ui| {
        let keep = primary_button_enabled(ui, read.is_ok(), "Keep this share", "");
        if let (true, Ok(share)) = (keep.clicked(), &read) {
            pressed = Some(Pressed::Share(share.to_string()));
        }
        if quiet_button(ui, "Leave it").clicked() {
            typed.is_choosing = false;
        }
    });
    pressed
}

fn dates_ui(ui: &mut Ui, estimate: &Estimate, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Dates").on_hover_text("Instalments of estimated tax");
        let columns = [
            Column::words("For", 1.0),
            Column::words("Due", 1.4),
            Column::figures("Needed", 76.0),
        ];
        let rows: Vec<Row> = estimate
            .instalments
            .iter()
            .map(|instalment| {
                let needed = if instalment.note.is_empty() {
                    currency.show(instalment.needed)
                } else {
                    instalment
                        .note
                        .split(':')
                        .next()
                        .unwrap_or_default()
                        .to_owned()
                };
                Row::line(vec![
                    Cell::text(in_months(instalment.period)),
                    Cell::text(day_and_month(instalment.due)),
                    Cell::text(needed),
                ])
            })
            .collect();
        let _nothing_opens = paper_table(ui, "dates", &columns, &rows);
        for instalment in &estimate.instalments {
            if !instalment.moved_because.is_empty() {
                soft(
                    ui,
                    &format!("{}: {}", show_day(instalment.due), instalment.moved_because),
                );
            }
        }
        if !estimate.dates_source.is_empty() {
            soft(ui, &format!("Dates from: {}", estimate.dates_source));
        }
    });
}

/// `Jan to Mar`, `Apr, May`, `Sep`.
fn in_months(range: DateRange) -> String {
    let short = |month: Month| -> String { month.name().chars().take(3).collect() };
    let (from, to) = (Month::of(range.from), Month::of(range.to));
    match to.index() - from.index() {
        0 => short(from),
        1 => format!("{}, {}", short(from), short(to)),
        _ => format!("{} to {}", short(from), short(to)),
    }
}

fn chart_ui(ui: &mut Ui, model: &SetAsideModel, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Put by over the year");
        if model.over_time.len() < 2 {
            soft(ui, "A line needs two months of the year.");
            return;
        }
        let is_flat = |row: &super::MonthRow| row.needed.is_zero() && row.put_by.is_zero();
        if model.over_time.iter().all(is_flat) {
            soft(
                ui,
                "The lines begin with the first profit: what is needed, and what is put by or paid.",
            );
            return;
        }
        soft(
            ui,
            "Needed by the end of each month, and put by until then; instalments already paid count as put by.",
        );
        let labels: Vec<String> = model
            .over_time
            .iter()
            .map(|row| row.month.name().chars().take(3).collect())
            .collect();
        let lines = [
            TimeLine {
                name: "needed".to_owned(),
                amounts: model.over_time.iter().map(|row| row.needed).collect(),
                is_dashed: false,
            },
            TimeLine {
                name: "put by or paid".to_owned(),
                amounts: model.over_time.iter().map(|row| row.put_by).collect(),
                is_dashed: true,
            },
        ];
        time_lines(ui, "put by and needed", &labels, &lines, currency, 170.0);
    });
}
