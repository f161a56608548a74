//! Ledger: the journal, the accounts, the trial balance, the lock and the history of changes.
//! Each part has its own file; this one holds which is shown and answers what was pressed.

mod journal;

pub use journal::{JournalPart, open_missing_receipts};

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};

/// The room.
#[derive(Default)]
pub struct LedgerRoom {
    journal: JournalPart,
}

impl Screen for LedgerRoom {
    fn title(&self) -> String {
        "Ledger".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.journal.refresh(book, cx)
    }

    fn is_stale(&self) -> bool {
        self.journal.is_stale()
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        self.journal.ui(ui, cx)
    }
}
