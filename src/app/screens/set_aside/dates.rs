//! Keeping the days instalments are due as a calendar file: where, and whether with amounts.
//! How the file is written is `export`'s.

use std::path::{Path, PathBuf};

use egui::Ui;

use super::model::SetAsideModel;
use crate::app::action::{Action, Job};
use crate::app::theme::space;
use crate::app::widgets::{
    PathPicker, PathWanted, card, card_heading, choice_chips, primary_button_enabled, quiet_button,
    second_line,
};
use crate::book::Book;
use crate::export::icalendar;
use crate::money::Money;
use crate::reports;

/// The calendar file that is asked for.
#[derive(Debug, Default)]
pub(super) struct CalendarDraft {
    picker: Option<PathPicker>,
    with_amounts: bool,
    folder: Option<PathBuf>,
    /// The file without amounts and with them, or why there are no dates.
    texts: Option<Result<[String; 2], String>>,
}

impl CalendarDraft {
    /// Asks where to; answers true, since the file is still to be made ready.
    pub fn open(&mut self, model: &SetAsideModel) -> bool {
        let folder = self.folder.clone().unwrap_or_default();
        let target = folder.join(format!("set-aside-dates-{}.ics", model.year));
        self.picker = Some(PathPicker::new(PathWanted::NewFile("ics"), &target));
        true
    }

    /// Makes the file ready while it is asked for.
    pub fn read(&mut self, book: &Book, model: &SetAsideModel) {
        let folder = book.path().parent().unwrap_or(Path::new("."));
        self.folder = Some(folder.to_owned());
        if self.picker.is_none() {
            self.texts = None;
            return;
        }
        let today = model.facts.today;
        self.texts = Some(match reports::due_dates(book, model.year, None) {
            Ok(dates) => {
                let needed = |one: &crate::set_aside::Instalment| one.needed;
                let amounts: Vec<Money> = match model.refusal {
                    None => model
                        .facts
                        .estimate
                        .instalments
                        .iter()
                        .map(needed)
                        .collect(),
                    Some(_) => Vec::new(),
                };
                Ok([&[][..], amounts.as_slice()]
                    .map(|amounts| icalendar::due_dates(book, model.year, &dates, amounts, today)))
            }
            Err(error) => Err(error.to_string()),
        });
    }

    /// Writes the file on a thread of its own.
    pub fn write(&mut self) -> Option<Action> {
        let target = self.picker.take()?.path();
        let text = match self.texts.take()? {
            Ok([plain, with_amounts]) if self.with_amounts && !with_amounts.is_empty() => {
                drop(plain);
                with_amounts
            }
            Ok([plain, _with_amounts]) => plain,
            Err(words) => return Some(Action::Trouble(words)),
        };
        Some(Action::Run(Job {
            title: "Writing the calendar file".to_owned(),
            work: Box::new(move || {
                icalendar::write(&target, &text).map_err(|error| error.to_string())?;
                Ok(format!("The dates are written to {}", target.display()))
            }),
        }))
    }
}

/// Asks where the file goes; answers whether it is to be written.
pub(super) fn calendar_ui(ui: &mut Ui, draft: &mut CalendarDraft, is_stale: &mut bool) -> bool {
    let Some(picker) = &mut draft.picker else {
        return false;
    };
    let (mut is_wanted, mut is_left) = (false, false);
    ui.add_space(space::MEDIUM);
    card(ui, |ui| {
        card_heading(ui, "The dates as a calendar file").on_hover_text("iCalendar (RFC 5545)");
        second_line(
            ui,
            "One whole day for each date, with a reminder a week before. Any calendar can read it; reading a newer file \
             replaces the days of the older one.",
        );
        choice_chips(
            ui,
            "What the days say",
            &mut draft.with_amounts,
            &[
                (false, "only that something is due"),
                (true, "also how much is needed"),
            ],
        );
        picker.ui(ui, "A new file", None);
        ui.horizontal(|ui| {
            let has_path = !picker.text.trim().is_empty();
            is_wanted = primary_button_enabled(ui, has_path, "Write the dates here", "").clicked();
            is_left = quiet_button(ui, "Not now").clicked();
        });
    });
    if is_left {
        draft.picker = None;
        *is_stale = true;
    }
    is_wanted
}
