//! What the forms of the desk share: what is wrong beside its field, and the row of buttons.

use chrono::NaiveDate;
use egui::Ui;

use crate::app::action::{Action, DeskWrite, Write};
use crate::app::keys;
use crate::app::theme::{self, space};
use crate::app::widgets::{link, parse_day, primary_button, problem, quiet_button};
use crate::ledger::EntryNumber;

/// What is wrong with a draft: in which field, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wrong {
    field: &'static str,
    words: String,
}

impl Wrong {
    pub(super) fn new(field: &'static str, words: impl Into<String>) -> Self {
        Self {
            field,
            words: words.into(),
        }
    }
}

/// What is said beside a field that holds no day.
const NOT_A_DAY: &str = "not a day; write 28 Sep or 2026-09-28";

/// The day that was typed into a field.
pub(super) fn day_of(
    text: &str,
    field: &'static str,
    today: NaiveDate,
) -> Result<NaiveDate, Wrong> {
    parse_day(text, today).ok_or_else(|| Wrong::new(field, NOT_A_DAY))
}

/// The same of a field that may stay empty.
pub(super) fn may_day_of(
    text: &str,
    field: &'static str,
    today: NaiveDate,
) -> Result<Option<NaiveDate>, Wrong> {
    match text.trim() {
        "" => Ok(None),
        text => day_of(text, field, today).map(Some),
    }
}

/// What the desk writes, as an action.
pub(super) fn desk(write: DeskWrite) -> Action {
    Action::write(Write::Desk(Box::new(write)))
}

/// How far a form has got: whether keeping it was tried, and what the book refused.
#[derive(Clone, Debug, Default)]
pub(super) struct Tried {
    was_tried: bool,
    is_asked: bool,
    refused: Option<String>,
}

/// What was pressed beneath a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pressed {
    Keep,
    Leave,
}

/// A form that can be tried.
pub(super) trait Form {
    /// How trying it went.
    fn tried(&mut self) -> &mut Tried;
}

/// Leaves a form whose keeping was asked for and done.
pub(super) fn leave_when_written(draft: &mut Option<impl Form>) {
    if draft.as_mut().is_some_and(|draft| draft.tried().is_asked()) {
        *draft = None;
    }
}

/// Says at a form why the book refused it.
pub(super) fn say_refused(draft: &mut Option<impl Form>, message: &str) {
    if let Some(draft) = draft {
        draft.tried().refused(message);
    }
}

impl Tried {
    /// What stands beneath a field.
    pub(super) fn beside<'w>(&self, wrong: Option<&'w Wrong>, field: &str) -> Option<&'w str> {
        let wrong = wrong.filter(|wrong| self.was_tried && wrong.field == field)?;
        Some(wrong.words.as_str())
    }

    /// Whether what was asked for is being written.
    pub(super) fn is_asked(&mut self) -> bool {
        std::mem::take(&mut self.is_asked)
    }

    /// The book said no.
    pub(super) fn refused(&mut self, message: &str) {
        self.is_asked = false;
        self.refused = Some(message.to_owned());
    }

    /// The buttons beneath a form, and what the book refused. Keeping it is only answered when nothing is wrong.
    pub(super) fn buttons(
        &mut self,
        ui: &mut Ui,
        keep: &str,
        wrong: Option<&Wrong>,
    ) -> Option<Pressed> {
        let is_key = keys::take_write_down(ui.ctx());
        let mut pressed = None;
        ui.add_space(space::SMALL);
        ui.horizontal_wrapped(|ui| {
            if primary_button(ui, keep, "Ctrl Enter").clicked() || is_key {
                self.was_tried = true;
                self.refused = None;
                self.is_asked = wrong.is_none();
                pressed = wrong.is_none().then_some(Pressed::Keep);
            }
            if quiet_button(ui, "Not now").clicked() {
                pressed = Some(Pressed::Leave);
            }
        });
        if let Some(words) = &self.refused {
            problem(ui, words);
        }
        pressed
    }
}

/// In a row that wraps, begins the next line where a field of this width does not fit any more. Answers the width it may have.
pub(super) fn room_for(ui: &mut Ui, width: f32) -> f32 {
    let line = ui.max_rect();
    let at = ui.cursor().left();
    if at > line.left() + 1.0 && at + width > line.right() {
        ui.end_row();
    }
    width.min(line.width())
}

/// What can be done about a thing, as links in a row; each names the thing for whoever does not see where it stands.
pub(super) fn deeds_ui<D: Copy>(
    ui: &mut Ui,
    about: &str,
    deeds: &[(impl AsRef<str>, bool, D)],
) -> Option<D> {
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        for (words, is_there, deed) in deeds {
            if !is_there {
                continue;
            }
            let words = words.as_ref();
            let galley =
                ui.painter()
                    .layout_no_wrap(words.to_owned(), theme::body(), egui::Color32::BLACK);
            room_for(ui, galley.size().x + space::MEDIUM);
            let response = link(ui, words);
            let name = format!("{words}: {about}");
            response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, &name));
            if response.clicked() {
                pressed = Some(*deed);
            }
            ui.add_space(space::MEDIUM);
        }
    });
    pressed
}

/// The entry whose number is typed; none when nothing is.
pub(super) fn entry_typed(
    text: &str,
    n_entries: u64,
    field: &'static str,
) -> Result<Option<EntryNumber>, Wrong> {
    let text = text.trim().trim_start_matches('#');
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<u64>() {
        Ok(number) if (1..=n_entries).contains(&number) => Ok(Some(EntryNumber(number))),
        Ok(number) => Err(Wrong::new(field, format!("there is no entry {number}"))),
        Err(_no_number) => Err(Wrong::new(field, "the number of an entry, such as 12")),
    }
}
