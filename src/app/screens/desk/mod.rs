//! The desk: what is kept beside the books and never posted. Questions for the accountant.
//! Each page has a file of its own; this one says which page is open.

mod draft;
mod questions;

use egui::Ui;

pub use questions::QuestionList;

use crate::app::action::Action;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::widgets::page_heading;
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// A page of the desk.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DeskPage {
    /// Questions for the accountant.
    #[default]
    Questions,
}

/// Opens a page of the desk.
#[must_use]
pub fn open(page: DeskPage) -> Action {
    Action::Open(Box::new(DeskScreen::new(page)))
}

/// Opens the questions with a new one begun.
#[must_use]
pub fn ask() -> Action {
    let mut screen = DeskScreen::new(DeskPage::Questions);
    screen.questions.begin();
    Action::Open(Box::new(screen))
}

/// The desk.
pub struct DeskScreen {
    page: DeskPage,
    questions: QuestionList,
}

impl DeskScreen {
    fn new(page: DeskPage) -> Self {
        Self {
            page,
            questions: QuestionList::all(),
        }
    }
}

impl Screen for DeskScreen {
    fn title(&self) -> String {
        "Desk".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.questions.refresh(book)
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        match self.page {
            DeskPage::Questions => {
                page_heading(
                    ui,
                    "Questions for the accountant",
                    "Write a question down where it comes up. The open ones go with the year-end folder as a sheet that can \
                     come back with the answers.",
                );
                self.questions.ui(ui, cx)
            }
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.questions.written();
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.questions.refused(message);
    }

    fn has_draft(&self) -> bool {
        self.questions.has_draft()
    }
}
