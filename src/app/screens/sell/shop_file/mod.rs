//! A shop's file brought in by hand: which file and shop, what its columns and rows mean, what it would write.
//! `draft` holds what was said of it and what follows, `view` draws it.

mod draft;
mod view;

use self::draft::FileDraft;
use crate::app::action::{Action, ShopFileWrite, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;

/// Opens the page that brings a shop's file in.
#[must_use]
pub fn bring_file() -> Action {
    Action::Open(Box::new(ShopFileScreen::default()))
}

/// What was pressed on the page.
enum Pressed {
    /// The shop is opened as a new one.
    OpenShop(String),
    /// The file is brought in.
    Bring,
}

/// The page.
#[derive(Default)]
struct ShopFileScreen {
    draft: FileDraft,
    is_brought: bool,
}

impl Screen for ShopFileScreen {
    fn title(&self) -> String {
        "Bring a shop's file".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.draft.read(book)
    }

    fn is_stale(&self) -> bool {
        self.draft.is_stale()
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        Some(match view::shop_file_ui(ui, &mut self.draft, cx)? {
            Pressed::OpenShop(name) => Action::write(Write::OpenChannel(name)),
            Pressed::Bring => {
                let write: ShopFileWrite = self.draft.write()?;
                self.is_brought = true;
                Action::write(Write::ShopFile(Box::new(write)))
            }
        })
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_brought) {
            After::Close
        } else {
            After::Stay
        }
    }

    fn refused(&mut self, _message: &str) {
        self.is_brought = false;
    }
}
