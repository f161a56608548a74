//! What the bar at the foot says: the last thing done, with Undo, or the last thing that went wrong.
//! Only the newest is shown; nothing disappears by itself while it is being read.

use egui::Ui;

use super::widgets::{self, Notice};

/// What the bar says.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Said {
    words: String,
    is_problem: bool,
    can_undo: bool,
}

/// The bar.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Notices {
    said: Option<Said>,
}

impl Notices {
    /// Something was done.
    pub(super) fn done(&mut self, words: impl Into<String>, can_undo: bool) {
        self.said = Some(Said {
            words: words.into(),
            is_problem: false,
            can_undo,
        });
    }

    /// Something did not work.
    pub(super) fn trouble(&mut self, words: impl std::fmt::Display) {
        let words = words.to_string();
        let mut letters = words.chars();
        let begun: String = letters
            .next()
            .map(|first| first.to_uppercase().chain(letters).collect())
            .unwrap_or_default();
        self.said = Some(Said {
            words: begun,
            is_problem: true,
            can_undo: false,
        });
    }

    /// Puts a notice of something done away, as when the next thing is begun.
    pub(super) fn put_away(&mut self) {
        self.said = None;
    }

    /// Whether there is anything to show.
    pub(super) const fn is_said(&self) -> bool {
        self.said.is_some()
    }

    /// Shows the bar; answers true when Undo was pressed.
    pub(super) fn ui(&mut self, ui: &mut Ui) -> bool {
        let Some(said) = &self.said else {
            return false;
        };
        let offer = said.can_undo.then_some(("Undo", "Ctrl Z"));
        let pressed = widgets::notice_bar(ui, &said.words, said.is_problem, offer);
        if pressed.is_some() {
            self.said = None;
        }
        pressed == Some(Notice::Act)
    }
}
