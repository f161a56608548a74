//! Make: what is on hand by kind, what is low, what lies elsewhere, batches made lately; an item has its own page.
//! `model` reads it, `view` draws it, `item` is the page of one item, `place` what lies at one place; `card` and `ways`
//! help to decide on a price, and whether to make it or have it made.

mod card;
mod card_draft;
mod item;
mod model;
mod pieces;
mod place;
mod told;
mod view;
mod ways;
mod ways_draft;

pub(in crate::app::screens) use card::sheet_ui;
pub use card::{CardScreen, open_card};
pub use item::{ItemScreen, open_item};
pub use model::{ItemRow, MakeModel};
pub use place::{PlaceScreen, open_place};
pub use ways::{WaysScreen, open_saved, open_ways};

use super::{entry, explain};
use crate::app::action::{Action, Form, FormWish};
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::deciding::SavedComparison;
use crate::ledger::EntryNumber;

/// What was pressed in the room or on an item's page.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Pressed {
    Item(String),
    Place(String),
    Explain(explain::Source),
    Entry(EntryNumber),
    Card(String),
    Ways(String),
    /// A comparison that is kept.
    Saved(Box<SavedComparison>),
    /// A form, about an item or about none.
    Form(Form, String),
}

/// The room.
#[derive(Default)]
pub struct MakeRoom {
    model: Option<MakeModel>,
}

impl Screen for MakeRoom {
    fn title(&self) -> String {
        "Make".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.model = Some(MakeModel::read(book, cx.period, cx.today)?);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let pressed = view::make_ui(ui, self.model.as_ref()?, cx)?;
        Some(answer(pressed))
    }
}

fn answer(pressed: Pressed) -> Action {
    match pressed {
        Pressed::Item(code) => open_item(code),
        Pressed::Place(place) => open_place(place),
        Pressed::Explain(source) => explain::open(source),
        Pressed::Entry(number) => entry::open(number),
        Pressed::Card(code) => open_card(code),
        Pressed::Ways(code) => open_ways(code),
        Pressed::Saved(comparison) => open_saved(*comparison),
        Pressed::Form(form, code) => Action::Start(FormWish::of_item(form, code)),
    }
}
