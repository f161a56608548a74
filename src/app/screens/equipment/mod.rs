//! Equipment: the register, wear to write down, small equipment on its list; a piece has its own page.
//! `model` reads it, `view` draws it, `piece` is the page of one piece, `things` the list for
//! insurer and county.

mod model;
mod payback;
mod piece;
mod piece_forms;
mod things;
mod view;

pub use model::{EquipmentModel, PieceRow};
pub use payback::{PaybackScreen, open_payback};
pub use piece::{PieceScreen, open_piece};
pub use things::{ThingsScreen, open_things};

use chrono::NaiveDate;

use self::view::Pressed;
use super::explain::{self, Source};
use super::facts::Facts;
use super::{entry, moves};
use crate::app::action::{Action, Form, FormWish};
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::depreciation::DepreciationProposal;
use crate::reports;

/// The room.
#[derive(Default)]
pub struct EquipmentRoom {
    facts: Option<Facts>,
    model: Option<EquipmentModel>,
    /// Wear through the period's last whole month, then through the end of its year.
    wear: Vec<DepreciationProposal>,
}

impl Screen for EquipmentRoom {
    fn title(&self) -> String {
        "Equipment".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let facts = Facts::read(book, cx.period, cx.today)?;
        let month = reports::last_whole_month(cx.today.min(cx.period.to));
        self.wear = vec![
            reports::wear_proposal(book, month)?,
            reports::wear_proposal(book, facts.year.to)?,
        ];
        self.model = Some(EquipmentModel::read(book, &facts, &self.wear)?);
        self.facts = Some(facts);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let pressed = view::equipment_ui(ui, self.model.as_ref()?, cx.currency)?;
        Some(match pressed {
            Pressed::Piece(key) => open_piece(key),
            Pressed::BookValue(key) => explain::open(Source::Equipment(key)),
            Pressed::Wear(through) => self.write_wear(through),
            Pressed::Entry(number) => entry::open(number),
            Pressed::Things => open_things(),
            Pressed::Buy => Action::Start(FormWish::new(Form::Purchase)),
            Pressed::BringIn => Action::Start(FormWish::new(Form::BroughtIn)),
        })
    }
}

impl EquipmentRoom {
    fn write_wear(&self, through: NaiveDate) -> Action {
        let Some(facts) = &self.facts else {
            return Action::Trouble("The book is not read yet".to_owned());
        };
        match self.wear.iter().find(|wear| wear.through == through) {
            Some(wear) => moves::write_proposal(facts, wear),
            None => Action::Trouble("This wear is written down already".to_owned()),
        }
    }
}
