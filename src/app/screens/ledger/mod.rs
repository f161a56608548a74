//! Ledger: the journal, the accounts, the trial balance, the lock and the history of changes.
//! Each part has its own file; this one holds which is shown.

mod accounts;
mod changes;
mod journal;

pub use accounts::AccountsPart;
pub use changes::ChangesPart;
pub use journal::{JournalPart, open_missing_receipts, open_missing_receipts_of};

use super::explain;
use super::year_end::{Paper, paper_ui, trial};
use crate::app::action::{Action, Form, FormWish};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{card, card_heading, choice_chips, empty_state, page_heading, soft};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// Which part is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Part {
    #[default]
    Journal,
    Accounts,
    Trial,
    Changes,
}

/// The room.
#[derive(Default)]
pub struct LedgerRoom {
    part: Part,
    shown: Option<Part>,
    is_empty: bool,
    journal: JournalPart,
    accounts: AccountsPart,
    trial: Paper,
    changes: ChangesPart,
}

impl Screen for LedgerRoom {
    fn title(&self) -> String {
        "Ledger".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.shown = Some(self.part);
        self.is_empty = book.entry_count()? == 0;
        match self.part {
            Part::Journal => self.journal.refresh(book, cx),
            Part::Accounts => self.accounts.refresh(book, cx),
            Part::Trial => {
                self.trial = trial(book, cx.period)?;
                Ok(())
            }
            Part::Changes => self.changes.refresh(book),
        }
    }

    fn is_stale(&self) -> bool {
        self.shown != Some(self.part) || (self.part == Part::Journal && self.journal.is_stale())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "The ledger",
            "What the accountant reads: every entry in debits and credits, every account.",
        );
        choice_chips(
            ui,
            "Part",
            &mut self.part,
            &[
                (Part::Journal, "Journal"),
                (Part::Accounts, "Accounts"),
                (Part::Trial, "Trial balance"),
                (Part::Changes, "Changes and lock"),
            ],
        );
        ui.add_space(space::MEDIUM);
        match self.part {
            Part::Journal if self.is_empty => {
                let begun = empty_state(
                    ui,
                    "No entry yet",
                    "Whatever you write down in plain words stands here in debits and credits. You never need this room \
                     to record anything; an entry can also be typed directly.",
                    &["Write an entry in debits and credits"],
                );
                begun.map(|_step| Action::Start(FormWish::new(Form::Manual)))
            }
            Part::Journal => self.journal.ui(ui, cx),
            Part::Accounts => self.accounts.ui(ui, cx),
            Part::Trial => self.trial_ui(ui),
            Part::Changes => self.changes.ui(ui, cx),
        }
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        self.accounts.written();
        self.changes.written();
        After::Stay
    }
}

impl LedgerRoom {
    fn trial_ui(&self, ui: &mut egui::Ui) -> Option<Action> {
        let source = card(ui, |ui| {
            card_heading(ui, &self.trial.title);
            soft(ui, &self.trial.about);
            ui.add_space(space::SMALL);
            paper_ui(ui, &self.trial)
        });
        source.map(explain::open)
    }
}
