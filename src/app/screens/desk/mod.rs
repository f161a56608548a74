//! The desk: what is kept beside the books and never posted. Questions for the accountant, duties.
//! Each page has a file of its own; this one says which page is open.

mod calendar;
mod draft;
mod duties;
mod duty_form;
mod questions;

use egui::Ui;

pub use questions::QuestionList;

use self::duties::DutyPage;
use crate::app::action::Action;
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{choice_chips, page_heading};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// A page of the desk.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DeskPage {
    /// Questions for the accountant.
    #[default]
    Questions,
    /// What has a day.
    Duties,
}

impl DeskPage {
    const ALL: [(Self, &'static str); 2] =
        [(Self::Questions, "Questions"), (Self::Duties, "Duties")];
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

/// Opens the duties with a new one begun.
#[must_use]
pub fn new_duty() -> Action {
    let mut screen = DeskScreen::new(DeskPage::Duties);
    screen.duties.begin();
    Action::Open(Box::new(screen))
}

/// The desk.
pub struct DeskScreen {
    page: DeskPage,
    questions: QuestionList,
    duties: DutyPage,
}

impl DeskScreen {
    fn new(page: DeskPage) -> Self {
        Self {
            page,
            questions: QuestionList::all(),
            duties: DutyPage::default(),
        }
    }
}

impl Screen for DeskScreen {
    fn title(&self) -> String {
        "Desk".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.questions.refresh(book)?;
        self.duties.refresh(book, cx.today)
    }

    fn is_stale(&self) -> bool {
        self.duties.is_stale()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "The desk",
            "What is kept beside the books and never posted.",
        );
        choice_chips(ui, "At the desk", &mut self.page, &DeskPage::ALL);
        ui.add_space(space::LARGE);
        match self.page {
            DeskPage::Questions => self.questions.ui(ui, cx),
            DeskPage::Duties => self.duties.ui(ui, cx),
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.questions.written();
        self.duties.written();
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        match self.page {
            DeskPage::Questions => self.questions.refused(message),
            DeskPage::Duties => self.duties.refused(message),
        }
    }

    fn has_draft(&self) -> bool {
        self.questions.has_draft() || self.duties.has_draft()
    }
}
