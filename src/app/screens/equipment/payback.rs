//! Did a piece of equipment pay for itself: what was made with it has left since it was bought, against what it cost.
//! Nothing here touches the book.

use egui::{RichText, Ui};

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::make::sheet_ui;
use crate::app::theme::{self, space};
use crate::app::widgets::{card, card_heading, caution, problem, second_line, soft};
use crate::book::{Book, BookError};
use crate::deciding::Pace;
use crate::reports::{self, PAYBACK_CAUTION, PaybackReport};

/// Opens the payback of a piece.
#[must_use]
pub fn open_payback(key: String) -> Action {
    Action::Open(Box::new(PaybackScreen {
        key,
        items: None,
        told: None,
        is_stale: false,
    }))
}

/// The screen.
pub struct PaybackScreen {
    key: String,
    /// What is made, by code and name, and whether it counts as made with the piece.
    items: Option<Vec<(String, String, bool)>>,
    told: Option<Result<PaybackReport, String>>,
    is_stale: bool,
}

impl Screen for PaybackScreen {
    fn title(&self) -> String {
        "Did it pay for itself".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.is_stale = false;
        let Ok(piece) = book.piece(&self.key) else {
            self.told = None;
            return Ok(());
        };
        let before = self.items.take().unwrap_or_default();
        let items: Vec<(String, String, bool)> = reports::made_items(book)?
            .into_iter()
            .map(|(code, name)| {
                let counted = before.iter().find(|(known, ..)| *known == code);
                let counts = counted.is_none_or(|(.., counts)| *counts);
                (code, name, counts)
            })
            .collect();
        let counted: Vec<(String, String)> = items
            .iter()
            .filter(|(.., counts)| *counts)
            .map(|(code, name, _)| (code.clone(), name.clone()))
            .collect();
        let told = reports::payback(book, &piece, &counted, Pace::SinceBought, cx.today)?;
        self.told = Some(told.map_err(|error| error.to_string()));
        self.items = Some(items);
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.is_stale
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some(told) = &self.told else {
            ui.label("This piece is no longer in the register.");
            return None;
        };
        let report = match told {
            Ok(report) => report,
            Err(words) => {
                problem(ui, words);
                return None;
            }
        };
        ui.label(RichText::new(report.sentence(cx.currency)).font(theme::heading()));
        second_line(
            ui,
            "What was made with it has left (contribution) since it was bought, before your own time and its wear.",
        );
        ui.add_space(space::LARGE);
        card(ui, |ui| {
            card_heading(ui, "How it comes about").on_hover_text("Payback");
            sheet_ui(
                ui,
                "payback",
                &report.payback.sheet,
                &["to-go"],
                cx.currency,
            );
        });
        ui.add_space(space::LARGE);
        card(ui, |ui| {
            card_heading(ui, "What is made with it");
            soft(
                ui,
                "The book does not know on which machine a thing was made: take out what this piece has no part in.",
            );
            for (_code, name, counts) in self.items.iter_mut().flatten() {
                if ui.checkbox(counts, name.as_str()).changed() {
                    self.is_stale = true;
                }
            }
        });
        ui.add_space(space::LARGE);
        caution(ui, PAYBACK_CAUTION);
        None
    }
}
