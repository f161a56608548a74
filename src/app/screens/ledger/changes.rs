//! The history of the book, newest first, and the lock. The history is append-only and chained; nothing here alters it.

use chrono::NaiveDate;
use egui::Ui;

use crate::app::action::{Action, Write};
use crate::app::screen::ViewContext;
use crate::app::screens::entry;
use crate::app::theme::space;
use crate::app::widgets::{
    Column, Field, card, card_heading, data_table, date_field, primary_button_enabled,
    quiet_button, secondary_button, soft, text_field,
};
use crate::book::{Book, BookError, HistoryRow};
use crate::dates::show_day;

/// So many changes are shown; the whole history goes with the year-end folder.
const MOST_SHOWN: usize = 2_000;

/// The history and the lock.
#[derive(Default)]
pub struct ChangesPart {
    rows: Vec<HistoryRow>,
    lock: Option<NaiveDate>,
    lock_day: Option<String>,
    unlock_reason: Option<String>,
}

impl ChangesPart {
    /// Reads the newest changes.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn refresh(&mut self, book: &Book) -> Result<(), BookError> {
        self.rows = book.recent_history(MOST_SHOWN)?;
        self.rows.sort_by_key(|row| std::cmp::Reverse(row.seq));
        self.lock = book.lock_date();
        Ok(())
    }

    /// Puts the forms away.
    pub fn written(&mut self) {
        self.lock_day = None;
        self.unlock_reason = None;
    }

    /// Shows them.
    pub fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let mut asked = self.lock_ui(ui, cx.today);
        ui.add_space(space::LARGE);
        soft(
            ui,
            "Every change with its time and reason, newest first. Each is chained to the one before, so that a gap would show.",
        );
        let columns = [
            Column::words("When", 172.0),
            Column::figures("Entry", 64.0),
            Column::rest("What"),
            Column::words("Why", 260.0),
        ];
        let rows = &self.rows;
        let pressed = data_table(ui, "history", &columns, rows.len(), None, |idx| {
            rows.get(idx).map(|row| {
                vec![
                    entry::moment(&row.at),
                    row.entry
                        .map(|number| number.to_string())
                        .unwrap_or_default(),
                    row.what.clone(),
                    row.reason.clone(),
                ]
            })
        });
        if let Some(number) = pressed
            .and_then(|idx| rows.get(idx))
            .and_then(|row| row.entry)
        {
            asked = asked.or(Some(entry::open(number)));
        }
        asked
    }

    fn lock_ui(&mut self, ui: &mut Ui, today: NaiveDate) -> Option<Action> {
        let mut asked = None;
        card(ui, |ui| {
            card_heading(ui, "The lock").on_hover_text("Lock date of the book");
            match self.lock {
                Some(lock) => soft(
                    ui,
                    &format!(
                        "Nothing up to {} can be added, changed or taken away.",
                        show_day(lock)
                    ),
                ),
                None => soft(
                    ui,
                    "Nothing is locked. Locking keeps what you have handed over as it was.",
                ),
            };
            asked = self.lock_later_ui(ui, today);
            asked = asked.take().or(self.unlock_ui(ui));
        });
        asked
    }

    fn lock_later_ui(&mut self, ui: &mut Ui, today: NaiveDate) -> Option<Action> {
        let Some(day) = &mut self.lock_day else {
            if secondary_button(ui, "Lock up to a day\u{2026}", "").clicked() {
                let eve = crate::reports::last_whole_month(today);
                self.lock_day = Some(show_day(eve));
            }
            return None;
        };
        let mut asked = None;
        let mut is_left = false;
        let (_field, read) = date_field(
            ui,
            Field::new("Lock up to and with").width(150.0),
            day,
            today,
        );
        ui.horizontal(|ui| {
            let lock = primary_button_enabled(ui, read.is_some(), "Lock it", "").clicked();
            if let (true, Some(day)) = (lock, read) {
                asked = Some(Action::write(Write::Lock(day)));
            }
            is_left = quiet_button(ui, "Not now").clicked();
        });
        if is_left {
            self.lock_day = None;
        }
        asked
    }

    fn unlock_ui(&mut self, ui: &mut Ui) -> Option<Action> {
        self.lock?;
        let Some(reason) = &mut self.unlock_reason else {
            if quiet_button(ui, "Unlock\u{2026}").clicked() {
                self.unlock_reason = Some(String::new());
            }
            return None;
        };
        let mut asked = None;
        let mut is_left = false;
        text_field(ui, Field::new("Why it is unlocked"), reason);
        ui.horizontal(|ui| {
            if primary_button_enabled(ui, !reason.trim().is_empty(), "Unlock", "").clicked() {
                asked = Some(Action::write(Write::Unlock(reason.trim().to_owned())));
            }
            is_left = quiet_button(ui, "Leave it locked").clicked();
        });
        if is_left {
            self.unlock_reason = None;
        }
        asked
    }
}
