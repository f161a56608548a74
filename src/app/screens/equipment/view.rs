//! Equipment as it is drawn.
//! What it says is worked out in `model`.

use egui::{RichText, Ui};

use super::model::{EquipmentModel, WearChoice};
use crate::app::theme::{self, space};
use crate::app::widgets::paper::{Cell, Column, Row, paper_table};
use crate::app::widgets::{
    card, card_heading, caution, empty_state, primary_button, second_line, secondary_button, soft,
};
use crate::dates::{Month, show_day};
use crate::ledger::EntryNumber;
use crate::money::Currency;

/// The caution beside every figure of wear.
pub const CAUTION: &str = "Wear here spreads a cost over its life for your own books. What your tax rules let you \
     deduct, and when, is another matter: confirm with local rules and a licensed professional.";

/// What was pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// A piece, to be opened.
    Piece(String),
    /// Where its book value comes from.
    BookValue(String),
    /// Write wear down through a day.
    Wear(chrono::NaiveDate),
    /// An entry, to be opened.
    Entry(EntryNumber),
    /// Write down a purchase.
    Buy,
    /// Bring in what is already owned.
    BringIn,
    /// The list for insurer and county.
    Things,
}

/// Shows the room.
#[must_use]
pub fn equipment_ui(ui: &mut Ui, model: &EquipmentModel, currency: &Currency) -> Option<Pressed> {
    let title = if model.pieces.is_empty() {
        "Nothing that lasts is in the book yet.".to_owned()
    } else {
        format!(
            "Your equipment stands at {}, its wear up to today taken off.",
            currency.show(model.book_value)
        )
    };
    ui.label(RichText::new(title).font(theme::heading()));
    second_line(
        ui,
        "What lasts for years, what it cost, how it wears. Fixed assets at cost less depreciation.",
    );
    ui.add_space(space::MEDIUM);
    if model.pieces.is_empty() && model.small.is_empty() {
        ui.add_space(space::MEDIUM);
        let begun = empty_state(
            ui,
            "No equipment yet",
            "A press, a cutter, a printer: what you will still have in a year and what cost at least your threshold \
             joins this register, and its cost is spread over its life. Write down its purchase, or bring in what you \
             already own.",
            &["I bought something", "Bring in what I own"],
        );
        return begun.map(|step| match step {
            0 => Pressed::Buy,
            _ => Pressed::BringIn,
        });
    }
    let mut pressed = wear_ui(ui, model, currency);
    ui.add_space(space::LARGE);
    pressed = pressed.or(register_ui(ui, model, currency));
    ui.add_space(space::LARGE);
    caution(ui, CAUTION);
    ui.add_space(space::LARGE);
    pressed = pressed.or(small_ui(ui, model, currency));
    ui.add_space(space::LARGE);
    if secondary_button(ui, "List for insurer and county", "").clicked() {
        pressed = Some(Pressed::Things);
    }
    pressed
}

fn wear_ui(ui: &mut Ui, model: &EquipmentModel, currency: &Currency) -> Option<Pressed> {
    let mut pressed = None;
    let words = |choice: &WearChoice, what: &str| {
        format!("Write down {what}, {}", currency.show(choice.amount))
    };
    ui.horizontal_wrapped(|ui| {
        if let Some(month) = &model.month {
            let what = format!("wear through {}", Month::of(month.through).name());
            if primary_button(ui, &words(month, &what), "").clicked() {
                pressed = Some(Pressed::Wear(month.through));
            }
        }
        if let Some(year) = &model.year {
            let what = format!("wear through {}", show_day(year.through));
            if secondary_button(ui, &words(year, &what), "").clicked() {
                pressed = Some(Pressed::Wear(year.through));
            }
        }
        if model.month.is_none() && model.year.is_none() {
            soft(ui, "All wear up to now is written down.");
        }
    });
    pressed
}

fn register_ui(ui: &mut Ui, model: &EquipmentModel, currency: &Currency) -> Option<Pressed> {
    let columns = [
        Column::words("Piece", 2.0),
        Column::words("How it stands", 3.0),
        Column::figures("Cost", 90.0),
        Column::figures("Wear this year", 104.0),
        Column::figures("Book value", 90.0),
    ];
    let mut rows: Vec<Row> = model
        .pieces
        .iter()
        .map(|piece| {
            Row::line(vec![
                Cell::opens(&piece.name),
                Cell::soft(&piece.about),
                Cell::text(currency.show(piece.cost)),
                Cell::text(currency.show(piece.wear)),
                if piece.is_gone {
                    Cell::soft("gone")
                } else {
                    Cell::opens(currency.show(piece.book_value))
                },
            ])
        })
        .collect();
    rows.push(Row::last(vec![
        Cell::text("What is there"),
        Cell::default(),
        Cell::text(currency.show(model.cost)),
        Cell::text(currency.show(model.wear)),
        Cell::text(currency.show(model.book_value)),
    ]));
    let (row, column) = card(ui, |ui| {
        card_heading(ui, "The register").on_hover_text("Fixed asset register");
        paper_table(ui, "register", &columns, &rows)
    })?;
    let piece = model.pieces.get(row)?;
    Some(if column == 0 {
        Pressed::Piece(piece.key.clone())
    } else {
        Pressed::BookValue(piece.key.clone())
    })
}

fn small_ui(ui: &mut Ui, model: &EquipmentModel, currency: &Currency) -> Option<Pressed> {
    let (row, _column) = card(ui, |ui| {
        card_heading(ui, "Small equipment").on_hover_text("Expensed at once, kept on a list");
        soft(ui, &model.threshold);
        if model.small.is_empty() {
            return None;
        }
        let columns = [
            Column::words("What", 3.0),
            Column::words("From", 2.0),
            Column::narrow("Bought", 92.0),
            Column::figures("How many", 76.0),
            Column::figures("Cost", 90.0),
        ];
        let rows: Vec<Row> = model
            .small
            .iter()
            .map(|thing| {
                Row::line(vec![
                    Cell::opens(&thing.what),
                    Cell::soft(&thing.supplier),
                    Cell::soft(show_day(thing.bought_on)),
                    Cell::text(thing.quantity.map(|q| q.to_string()).unwrap_or_default()),
                    Cell::text(currency.show(thing.amount)),
                ])
            })
            .collect();
        paper_table(ui, "small equipment", &columns, &rows)
    })?;
    model
        .small
        .get(row)
        .map(|thing| Pressed::Entry(thing.entry))
}
