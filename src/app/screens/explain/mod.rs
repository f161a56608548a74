//! "Where this comes from": from any figure to the lines of its formula, to the entries, to the receipts.
//! `source` names the figure, `model` works the answer out, `view` draws it; the window keeps the way back.

mod free;
mod model;
mod movements;
mod rooms;
mod shops;
mod source;
mod stock;
mod view;

pub use free::free_explanation;
pub use model::{EntryRow, Explanation, TermRow, explain, in_words, natural, what_was_it};
pub use rooms::source_of_estimate;
pub use source::{BalanceFigure, EquipmentFigure, Flow, PaidBy, ProfitFigure, ShopFigure, Source};
pub use view::{Pressed, explanation_ui};

use super::facts::Facts;
use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};

/// Opens where a figure comes from. An entry opens its own page.
#[must_use]
pub fn open(source: Source) -> Action {
    match source {
        Source::Entry(number) => super::entry::open(number),
        Source::FreeToSpend => super::free::open_free(),
        source => Action::Open(Box::new(ExplainScreen {
            source,
            answer: None,
        })),
    }
}

/// The screen that explains one figure.
pub struct ExplainScreen {
    source: Source,
    answer: Option<Explanation>,
}

impl Screen for ExplainScreen {
    fn title(&self) -> String {
        self.answer.as_ref().map_or_else(
            || "Where this comes from".to_owned(),
            |answer| answer.title.clone(),
        )
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let facts = Facts::read(book, cx.period, cx.today)?;
        self.answer = Some(explain(book, &facts, &self.source)?);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let answer = self.answer.as_ref()?;
        match explanation_ui(ui, answer, cx.currency)? {
            Pressed::Term(source) => Some(open(source)),
            Pressed::Entry(number) => Some(super::entry::open(number)),
        }
    }
}
