//! Sell: the shops with what they sold, kept and owe; sales by month; postage charged against postage paid.
//! `model` reads it, `view` draws it.

mod model;
mod reported;
mod shop_file;
mod view;

pub use model::{SaleRow, SellModel, SoldInMonth};
pub use reported::ReportedDraft;
pub use shop_file::bring_file;

use super::by_month::ByMonth;
use super::{entry, explain};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// What was pressed in the room.
#[derive(Clone, Debug)]
enum Pressed {
    Entry(EntryNumber),
    Explain(explain::Source),
    Start(FormWish),
    Write(Box<Write>),
    BringFile,
}

/// The room.
#[derive(Default)]
pub struct SellRoom {
    model: Option<SellModel>,
    parts: ByMonth<SoldInMonth>,
    reported: ReportedDraft,
}

impl Screen for SellRoom {
    fn title(&self) -> String {
        "Sell".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.reported.read(book, cx.period)?;
        let parts = &mut self.parts;
        self.model = Some(SellModel::read(book, cx.period, cx.today, parts)?);
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.model.is_some() && !self.parts.is_whole()
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        Some(match view::sell_ui(ui, model, &mut self.reported, cx)? {
            Pressed::Entry(number) => entry::open(number),
            Pressed::Explain(source) => explain::open(source),
            Pressed::Start(wish) => Action::Start(wish),
            Pressed::Write(write) => Action::Write(write),
            Pressed::BringFile => shop_file::bring_file(),
        })
    }
}

/// The wish for a sale's form.
fn a_sale() -> FormWish {
    FormWish::new(Form::Sale)
}
