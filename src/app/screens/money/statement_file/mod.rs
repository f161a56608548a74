//! Statements brought in by hand: which files, of which account, how each is understood, what it leaves open.
//! `draft` holds the files and what was said of them, `view` draws them, `bringing` is the work with the book lent.

mod bringing;
mod draft;
mod view;

use std::path::PathBuf;

use egui::Ui;

use self::draft::StatementDraft;
use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};

/// Opens the page that brings statements in.
#[must_use]
pub fn open_statement_file() -> Action {
    Action::Open(Box::new(StatementFileScreen::default()))
}

/// Opens the page with files that were dropped on the window, when there are any.
#[must_use]
pub fn dropped_statements(ui: &Ui) -> Option<Action> {
    let paths = dropped(ui);
    if paths.is_empty() {
        return None;
    }
    let mut screen = StatementFileScreen::default();
    screen.draft.add(paths);
    Some(Action::Open(Box::new(screen)))
}

fn dropped(ui: &Ui) -> Vec<PathBuf> {
    ui.input(|input| {
        let files = input.raw.dropped_files.iter();
        files.map(|file| file.path().to_path_buf()).collect()
    })
}

/// What was pressed on the page.
enum Pressed {
    /// The files that are ready are brought in.
    Bring,
    /// The lines are sorted.
    Sort,
}

/// The page.
#[derive(Default)]
pub struct StatementFileScreen {
    draft: StatementDraft,
}

impl Screen for StatementFileScreen {
    fn title(&self) -> String {
        "Bring a statement".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.draft.read(book, cx.today)
    }

    fn is_stale(&self) -> bool {
        self.draft.is_stale()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        self.draft.add(dropped(ui));
        self.draft.take_looks(ui.ctx());
        Some(match view::statement_file_ui(ui, &mut self.draft, cx)? {
            Pressed::Bring => Action::Lend(self.draft.bring()),
            Pressed::Sort => super::open_tray(),
        })
    }

    fn has_draft(&self) -> bool {
        self.draft.is_waiting()
    }
}
