//! Dates kept as a calendar file: where, and the work of writing it. What is in the file is `export`'s.

use std::path::{Path, PathBuf};

use egui::Ui;

use crate::app::action::{Action, Job};
use crate::app::theme::space;
use crate::app::widgets::{
    PathPicker, PathWanted, card, card_heading, primary_button_enabled, quiet_button,
    secondary_button, soft,
};
use crate::book::Book;
use crate::export::icalendar;

/// A calendar file that may be asked for.
#[derive(Default)]
pub(super) struct CalendarFile {
    picker: Option<PathPicker>,
    folder: PathBuf,
    is_wanted: bool,
    text: Option<String>,
}

impl CalendarFile {
    /// Reads where the book lies, and the file once it is wanted.
    pub(super) fn read(&mut self, book: &Book, text: impl FnOnce() -> String) {
        let folder = book.path().parent().unwrap_or(Path::new("."));
        folder.clone_into(&mut self.folder);
        if std::mem::take(&mut self.is_wanted) {
            self.text = Some(text());
        }
    }

    pub(super) fn is_stale(&self) -> bool {
        self.is_wanted
    }

    /// The card that asks where it goes.
    pub(super) fn ui(&mut self, ui: &mut Ui, name: &str, about: &str) -> Option<Action> {
        if let Some(text) = self.text.take() {
            let target = self.picker.take()?.path();
            return Some(Action::Run(Job {
                title: "Writing the calendar file".to_owned(),
                work: Box::new(move || {
                    icalendar::write(&target, &text).map_err(|error| error.to_string())?;
                    Ok(format!("The dates are written to {}", target.display()))
                }),
            }));
        }
        card(ui, |ui| {
            card_heading(ui, "The dates as a calendar file").on_hover_text("iCalendar (RFC 5545)");
            soft(ui, about);
            ui.add_space(space::SMALL);
            let Some(picker) = &mut self.picker else {
                if secondary_button(ui, "Keep the dates as a file\u{2026}", "").clicked() {
                    let target = self.folder.join(format!("{name}.ics"));
                    self.picker = Some(PathPicker::new(PathWanted::NewFile("ics"), &target));
                }
                return;
            };
            picker.ui(ui, "A new file", None);
            let mut is_left = false;
            ui.horizontal(|ui| {
                let has_path = !picker.text.trim().is_empty();
                self.is_wanted =
                    primary_button_enabled(ui, has_path, "Write the dates here", "").clicked();
                is_left = quiet_button(ui, "Not now").clicked();
            });
            if is_left {
                self.picker = None;
            }
        });
        None
    }
}
