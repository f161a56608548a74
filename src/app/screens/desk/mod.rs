//! The desk: what is kept beside the books and never posted. Questions for the accountant, duties,
//! papers and decisions, hours, driving, the workspace at home, and bills used privately too.
//! Each page has a file of its own; this one says which page is open.

mod calendar;
mod draft;
mod driving;
mod duties;
mod duty_form;
mod home;
mod hours;
mod papers;
mod questions;
mod shared;
mod time_form;
mod trip_form;
mod week;

use egui::Ui;

pub use questions::QuestionList;

use self::driving::DrivingPage;
use self::duties::DutyPage;
use self::home::HomePage;
use self::hours::HoursPage;
use self::papers::PapersPage;
use self::shared::SharedPage;
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
    /// Papers of the company, and decisions.
    Papers,
    /// The owner's hours.
    Hours,
    /// Trips for the business.
    Driving,
    /// The workspace at home.
    Home,
    /// Bills used privately too.
    Shared,
}

impl DeskPage {
    const ALL: [(Self, &'static str); 7] = [
        (Self::Questions, "Questions"),
        (Self::Duties, "Duties"),
        (Self::Papers, "Papers and decisions"),
        (Self::Hours, "Hours"),
        (Self::Driving, "Driving"),
        (Self::Home, "Workspace"),
        (Self::Shared, "Shared bills"),
    ];
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

/// Opens the decisions with a new one begun.
#[must_use]
pub fn decide() -> Action {
    let mut screen = DeskScreen::new(DeskPage::Papers);
    screen.papers.begin_decision();
    Action::Open(Box::new(screen))
}

/// Opens the hours.
#[must_use]
pub fn open_hours() -> Action {
    open(DeskPage::Hours)
}

/// Opens the driving with a trip begun.
#[must_use]
pub fn drove() -> Action {
    let mut screen = DeskScreen::new(DeskPage::Driving);
    screen.driving.begin();
    Action::Open(Box::new(screen))
}

/// Opens the driving.
#[must_use]
pub fn open_driving() -> Action {
    open(DeskPage::Driving)
}

/// Opens the workspace at home.
#[must_use]
pub fn open_workspace() -> Action {
    open(DeskPage::Home)
}

/// Opens the bills used privately too.
#[must_use]
pub fn open_shared_bills() -> Action {
    open(DeskPage::Shared)
}

/// Opens the company's papers.
#[must_use]
pub fn open_papers() -> Action {
    open(DeskPage::Papers)
}

/// The desk.
pub struct DeskScreen {
    page: DeskPage,
    questions: QuestionList,
    duties: DutyPage,
    papers: PapersPage,
    hours: HoursPage,
    driving: DrivingPage,
    home: HomePage,
    shared: SharedPage,
    seen: Option<DeskPage>,
}

impl DeskScreen {
    fn new(page: DeskPage) -> Self {
        Self {
            page,
            questions: QuestionList::all(),
            duties: DutyPage::default(),
            papers: PapersPage::default(),
            hours: HoursPage::default(),
            driving: DrivingPage::default(),
            home: HomePage::default(),
            shared: SharedPage::default(),
            seen: None,
        }
    }
}

impl Screen for DeskScreen {
    fn title(&self) -> String {
        "Desk".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.seen = Some(self.page);
        match self.page {
            DeskPage::Questions => self.questions.refresh(book),
            DeskPage::Duties => self.duties.refresh(book, cx.today),
            DeskPage::Papers => self.papers.refresh(book, cx),
            DeskPage::Hours => self.hours.refresh(book, cx),
            DeskPage::Driving => self.driving.refresh(book, cx),
            DeskPage::Home => self.home.refresh(book, cx),
            DeskPage::Shared => self.shared.refresh(book),
        }
    }

    fn is_stale(&self) -> bool {
        let is_page_stale = match self.page {
            DeskPage::Questions | DeskPage::Driving | DeskPage::Home | DeskPage::Shared => false,
            DeskPage::Duties => self.duties.is_stale(),
            DeskPage::Papers => self.papers.is_stale(),
            DeskPage::Hours => self.hours.is_stale(),
        };
        is_page_stale || self.seen != Some(self.page)
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
            DeskPage::Papers => self.papers.ui(ui, cx),
            DeskPage::Hours => self.hours.ui(ui, cx),
            DeskPage::Driving => self.driving.ui(ui, cx),
            DeskPage::Home => self.home.ui(ui, cx),
            DeskPage::Shared => self.shared.ui(ui, cx),
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        match self.page {
            DeskPage::Questions => self.questions.written(),
            DeskPage::Duties => self.duties.written(),
            DeskPage::Papers => self.papers.written(),
            DeskPage::Hours => self.hours.written(),
            DeskPage::Driving => self.driving.written(),
            DeskPage::Home => self.home.written(),
            DeskPage::Shared => self.shared.written(),
        }
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        match self.page {
            DeskPage::Questions => self.questions.refused(message),
            DeskPage::Duties => self.duties.refused(message),
            DeskPage::Papers => self.papers.refused(message),
            DeskPage::Hours => self.hours.refused(message),
            DeskPage::Driving => self.driving.refused(message),
            DeskPage::Home => self.home.refused(message),
            DeskPage::Shared => self.shared.refused(message),
        }
    }

    fn has_draft(&self) -> bool {
        self.questions.has_draft()
            || self.duties.has_draft()
            || self.papers.has_draft()
            || self.hours.has_draft()
            || self.driving.has_draft()
            || self.home.has_draft()
            || self.shared.has_draft()
    }
}
