//! Make it or have it made: what both ways come to for a quantity, where they cross, and what would be left over.
//! Its fields are for trying things out: nothing here touches the book. What is typed is read in `ways_draft`.

use egui::{RichText, Ui};
use rust_decimal::Decimal;

use super::card::sheet_ui;
use super::ways_draft::WaysDraft;
use crate::app::action::{Action, Write};
use crate::app::charts::{LineStroke, TimeLine, time_lines};
use crate::app::forms::parts::{cells, two_columns, widths};
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    Field, card, card_heading, caution, choice_chips, primary_button_enabled, problem,
    quiet_button, second_line, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError};
use crate::deciding::{OwnTime, Run, SavedComparison, UnitCost, WaysAsk, WaysTold};
use crate::export::json::WAYS_CAUTION;
use crate::money::{Currency, Money};
use crate::reports::{self, Making};

/// Opens the comparison for a product.
#[must_use]
pub fn open_ways(code: String) -> Action {
    Action::Open(Box::new(WaysScreen {
        code,
        making: None,
        draft: None,
        told: None,
        begin: None,
        saved: None,
        name: String::new(),
    }))
}

/// Opens a comparison that is kept.
#[must_use]
pub fn open_saved(comparison: SavedComparison) -> Action {
    Action::Open(Box::new(WaysScreen {
        code: comparison.item,
        making: None,
        draft: None,
        told: None,
        begin: Some(comparison.ask),
        saved: Some(comparison.id),
        name: comparison.name,
    }))
}

/// The screen.
pub struct WaysScreen {
    code: String,
    making: Option<Making>,
    draft: Option<WaysDraft>,
    told: Option<(WaysDraft, Result<WaysTold, String>)>,
    /// What it begins with, when it was kept.
    begin: Option<WaysAsk>,
    /// Its number in the book, when it is kept.
    saved: Option<i64>,
    /// The name it is kept under.
    name: String,
}

impl Screen for WaysScreen {
    fn title(&self) -> String {
        "Make it or have it made".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.making = reports::making(book, &self.code, cx.today)?;
        if let (Some(making), None) = (&self.making, &self.draft) {
            let own_rate = book.settings().amount("owner_rate");
            self.draft = Some(match &self.begin {
                Some(ask) => WaysDraft::of(ask, cx.currency),
                None => WaysDraft::new(making, own_rate, cx.currency),
            });
        }
        let kept = book.comparisons()?;
        let of_name = |one: &&SavedComparison| {
            one.item.eq_ignore_ascii_case(&self.code)
                && one.name.to_lowercase() == self.name.trim().to_lowercase()
        };
        // What was just kept has its number now; what was removed or undone has none any more.
        let still = kept.iter().find(|one| Some(one.id) == self.saved);
        self.saved = kept.iter().find(of_name).or(still).map(|one| one.id);
        Ok(())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let (Some(making), Some(draft)) = (&self.making, &mut self.draft) else {
            ui.label("This item is no longer kept.");
            return None;
        };
        if self.told.as_ref().is_none_or(|(of, _told)| of != draft) {
            self.told = Some((draft.clone(), draft.tell(cx.currency)));
        }
        let told = self.told.as_ref().map(|(_of, told)| told);
        let title = match told {
            Some(Ok(told)) => told.sentence(cx.currency),
            _ => format!("{}: make it, or have it made?", making.item.name),
        };
        ui.label(RichText::new(title).font(theme::heading()));
        second_line(
            ui,
            &format!(
                "Both ways to have {} (make or buy): try things out; only keeping it changes the book.",
                making.item.name
            ),
        );
        ui.add_space(space::LARGE);
        let (name, saved, code) = (&mut self.name, self.saved, &self.code);
        let mut asked = None;
        two_columns(
            ui,
            draft,
            |ui, draft| {
                fields_ui(ui, draft);
                ui.add_space(space::LARGE);
                if let Some(Ok(_told)) = told {
                    asked = keep_ui(ui, name, saved).and_then(|pressed| {
                        write_of(pressed, name, saved, code, draft, cx.currency)
                    });
                    ui.add_space(space::LARGE);
                }
                if let Some(Ok(told)) = told {
                    chart_ui(ui, told, cx.currency);
                    ui.add_space(space::LARGE);
                }
                caution(ui, WAYS_CAUTION);
            },
            |ui, _draft| match told {
                Some(Ok(told)) => told_ui(ui, told, making, cx.currency),
                Some(Err(words)) => {
                    problem(ui, words);
                }
                None => {}
            },
        );
        asked
    }
}

enum Pressed {
    Keep,
    KeepAnew,
    Remove,
}

/// Keeping the comparison with its product, under a name.
fn keep_ui(ui: &mut Ui, name: &mut String, saved: Option<i64>) -> Option<Pressed> {
    let mut pressed = None;
    card(ui, |ui| {
        card_heading(ui, "Keep it with the product");
        text_field(ui, Field::new("Name of the comparison").width(260.0), name);
        let has_name = !name.trim().is_empty();
        if !has_name {
            soft(
                ui,
                "Give it a name to keep it, such as the house that would make it.",
            );
        }
        ui.horizontal_wrapped(|ui| {
            let words = if saved.is_some() {
                "Keep the changes"
            } else {
                "Keep this comparison"
            };
            if primary_button_enabled(ui, has_name, words, "").clicked() {
                pressed = Some(Pressed::Keep);
            }
            if saved.is_some() {
                if secondary_button(ui, "Keep as another", "").clicked() && has_name {
                    pressed = Some(Pressed::KeepAnew);
                }
                if quiet_button(ui, "Remove this comparison").clicked() {
                    pressed = Some(Pressed::Remove);
                }
            }
        });
    });
    pressed
}

fn write_of(
    pressed: Pressed,
    name: &str,
    saved: Option<i64>,
    code: &str,
    draft: &WaysDraft,
    currency: &Currency,
) -> Option<Action> {
    let id = match pressed {
        Pressed::Remove => {
            return saved.map(|id| Action::Write(Box::new(Write::RemoveComparison(id))));
        }
        Pressed::Keep => saved.unwrap_or(0),
        Pressed::KeepAnew => 0,
    };
    let comparison = SavedComparison {
        id,
        item: code.to_owned(),
        name: name.trim().to_owned(),
        ask: draft.ask(currency).ok()?,
    };
    let write = Write::KeepComparison(Box::new(comparison));
    Some(Action::Write(Box::new(write)))
}

fn fields_ui(ui: &mut Ui, draft: &mut WaysDraft) {
    card(ui, |ui| {
        card_heading(ui, "Having it made");
        let mut removed = None;
        let count = draft.tiers.len();
        for (idx, (from, each)) in draft.tiers.iter_mut().enumerate() {
            let named = |words: &str| match idx {
                0 => words.to_owned(),
                idx => format!("{words} {}", idx + 1),
            };
            ui.push_id(("tier", idx), |ui| {
                let columns = widths(ui.available_width(), &[0.0, 0.0, 80.0]);
                cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
                    0 => figure_ui(ui, &named("From how many"), width, from),
                    1 => figure_ui(ui, &named("Price of each"), width, each),
                    _ if count > 1 => {
                        ui.add_space(24.0);
                        if quiet_button(ui, &named("Away")).clicked() {
                            removed = Some(idx);
                        }
                    }
                    _ => {}
                });
            });
        }
        if let Some(idx) = removed {
            draft.tiers.remove(idx);
        }
        if quiet_button(ui, "Another price from more pieces").clicked() {
            draft.tiers.push((String::new(), String::new()));
        }
        row_ui(
            ui,
            [
                ("Fewest it makes", &mut draft.minimum),
                ("Once for the design", &mut draft.out_design),
            ],
        );
        row_ui(
            ui,
            [
                ("Set-up of a run", &mut draft.out_run),
                ("Carriage", &mut draft.carriage),
            ],
        );
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "Making it");
        row_ui(
            ui,
            [
                ("Goes into a piece", &mut draft.each),
                ("Pieces in a batch", &mut draft.batch),
                ("Normally lost, per cent", &mut draft.loss),
            ],
        );
        row_ui(
            ui,
            [
                ("Your minutes a piece", &mut draft.minutes),
                ("Your hour is worth", &mut draft.rate),
                ("Equipment to buy", &mut draft.equipment),
            ],
        );
        ui.add_space(space::SMALL);
        let times = [
            (OwnTime::LeftOut, "only what is paid"),
            (OwnTime::Counted, "my own time too"),
        ];
        choice_chips(ui, "What counts", &mut draft.time, &times);
        let runs = [(Run::First, "for the first time"), (Run::Reorder, "again")];
        choice_chips(ui, "It is made", &mut draft.run, &runs);
        row_ui(ui, [("How many you want", &mut draft.wanted)]);
    });
}

fn figure_ui(ui: &mut Ui, label: &str, width: f32, text: &mut String) {
    let mut field = Field::new(label).width(width);
    field.right = true;
    text_field(ui, field, text);
}

fn row_ui<const N: usize>(ui: &mut Ui, mut row: [(&str, &mut String); N]) {
    let columns = widths(ui.available_width(), &[0.0; N]);
    let order: Vec<usize> = (0..N).collect();
    cells(ui, &columns, &order, |ui, cell, width| {
        if let Some((label, text)) = row.get_mut(cell) {
            figure_ui(ui, label, width, text);
        }
    });
}

fn chart_ui(ui: &mut Ui, told: &WaysTold, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Both ways, by how many you want");
        let labels: Vec<String> = told
            .points
            .iter()
            .map(|(many, ..)| many.to_string())
            .collect();
        let lines = [
            TimeLine {
                name: "making it".to_owned(),
                amounts: told.points.iter().map(|(_, _, own)| *own).collect(),
                stroke: LineStroke::Solid,
            },
            TimeLine {
                name: "having it made".to_owned(),
                amounts: told.points.iter().map(|(_, outside, _)| *outside).collect(),
                stroke: LineStroke::Dashed,
            },
        ];
        time_lines(ui, "both ways", &labels, &lines, currency, 180.0);
    });
}

fn told_ui(ui: &mut Ui, told: &WaysTold, making: &Making, currency: &Currency) {
    card(ui, |ui| {
        card_heading(ui, "Side by side");
        let columns = [
            Column::words("", 1.0),
            Column::figures("Made there", 84.0),
            Column::figures("Made by me", 84.0),
        ];
        let (outside, own) = (told.side.outside.best, told.side.own);
        let pieces = |count: u64| Cell::text(count.to_string());
        let money = |amount: Money| Cell::text(currency.show(amount));
        let each = |minor: Decimal| {
            let shown = UnitCost::from_minor(minor.round_dp(6)).unwrap_or_default();
            Cell::text(shown.show(currency))
        };
        let row = |words: &str, first: Cell, second: Cell| {
            Row::line(vec![Cell::text(words), first, second])
        };
        let rows = [
            row(
                "Ordered, or begun",
                pieces(outside.taken),
                pieces(own.taken),
            ),
            row(
                "Left over",
                pieces(outside.left_over),
                pieces(own.left_over),
            ),
            row(
                "To pay up front",
                money(outside.cash_up_front),
                money(own.cash_up_front),
            ),
            row(
                "Own time in it",
                money(outside.own_time),
                money(own.own_time),
            ),
            row(
                "Each wanted piece",
                each(outside.each_wanted()),
                each(own.each_wanted()),
            ),
            Row::last(vec![
                Cell::text("Together"),
                money(outside.total),
                money(own.total),
            ]),
        ];
        let _nothing_opens = paper_table(ui, "side by side", &columns, &rows);
        for words in told.notes(making.sold_a_month, &making.unknown(), currency) {
            soft(ui, &words);
        }
    });
    ui.add_space(space::LARGE);
    card(ui, |ui| {
        card_heading(ui, "What is cheaper, from how many");
        for band in &told.bands {
            let words = WaysTold::leaning(band.cheaper);
            ui.label(format!("{} to {}: {words}", band.from, band.to));
        }
    });
    for (title, sheet) in [
        ("Having it made, line by line", &told.outside_sheet),
        ("Making it, line by line", &told.own_sheet),
    ] {
        ui.add_space(space::LARGE);
        card(ui, |ui| {
            card_heading(ui, title);
            sheet_ui(ui, title, sheet, &[], currency);
        });
    }
}
