//! The week as a grid: an activity a row, a day a column, whole minutes typed in the cells.
//! What stands in a cell is what was told plainly of that day; time by the clock is listed elsewhere.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use egui::{Grid, ScrollArea, TextEdit, Ui};

use crate::app::theme::space;
use crate::app::widgets::{Field, follow, problem, soft, text_field};
use crate::dates::{DateRange, show_day};
use crate::desk::{ACTIVITIES, WorkTime, read_minutes};

/// The width of a cell in points.
const CELL: f32 = 58.0;

/// The cells of a week, as they are typed.
#[derive(Default)]
pub(super) struct WeekGrid {
    days: Option<DateRange>,
    rows: Vec<(String, Vec<String>)>,
    kept: BTreeMap<(String, NaiveDate), u32>,
    own: String,
    wrong: Option<(String, NaiveDate, String)>,
}

/// Minutes as the grid shows them: `1:30`.
fn shown(minutes: u32) -> String {
    if minutes == 0 {
        String::new()
    } else {
        format!("{}:{:02}", minutes / 60, minutes % 60)
    }
}

fn days_of(days: DateRange) -> impl Iterator<Item = NaiveDate> {
    days.from.iter_days().take_while(move |day| *day <= days.to)
}

impl WeekGrid {
    /// Reads what the book has of a week. What is typed and was not taken stays.
    pub(super) fn read(&mut self, days: DateRange, times: &[WorkTime]) {
        let mut kept: BTreeMap<(String, NaiveDate), u32> = BTreeMap::new();
        for time in times.iter().filter(|time| time.is_plain()) {
            *kept.entry((time.activity.clone(), time.day)).or_default() += time.minutes;
        }
        let is_same_week = self.days == Some(days);
        if !is_same_week {
            self.wrong = None;
        }
        let mut names: Vec<String> = ACTIVITIES.iter().map(|name| (*name).to_owned()).collect();
        let told = times.iter().map(|time| time.activity.clone());
        let typed = self.rows.iter().map(|(name, _cells)| name.clone());
        for name in told.chain(typed.filter(|_name| is_same_week)) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let rows = names
            .into_iter()
            .map(|name| {
                let cells = days_of(days)
                    .map(|day| {
                        let is_wrong = self
                            .wrong
                            .as_ref()
                            .is_some_and(|(of, on, _words)| *of == name && *on == day);
                        let key = (name.clone(), day);
                        match self.cell(&name, day) {
                            Some(text) if is_wrong => text.to_owned(),
                            _ => shown(kept.get(&key).copied().unwrap_or(0)),
                        }
                    })
                    .collect();
                (name, cells)
            })
            .collect();
        self.rows = rows;
        self.kept = kept;
        self.days = Some(days);
    }

    fn cell(&self, name: &str, day: NaiveDate) -> Option<&str> {
        let days = self.days?;
        let place = days_of(days).position(|one| one == day)?;
        let (_name, cells) = self.rows.iter().find(|(of, _cells)| of == name)?;
        cells.get(place).map(String::as_str)
    }

    /// The grid; answers the cell that changed.
    pub(super) fn ui(&mut self, ui: &mut Ui, days: DateRange) -> Option<(NaiveDate, String, u32)> {
        let mut changed = None;
        ScrollArea::horizontal().id_salt("week").show(ui, |ui| {
            Grid::new("hours of the week")
                .num_columns(9)
                .spacing([space::SMALL, space::SMALL])
                .show(ui, |ui| {
                    soft(ui, "Activity");
                    for day in days_of(days) {
                        soft(ui, &day.format("%a %-d").to_string());
                    }
                    soft(ui, "Week");
                    ui.end_row();
                    for idx in 0..self.rows.len() {
                        changed = changed.take().or(self.row_ui(ui, idx, days));
                        ui.end_row();
                    }
                });
        });
        if let Some((name, day, words)) = &self.wrong {
            problem(ui, &format!("{name} on {}: {words}", show_day(*day)));
        }
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("An activity of your own").width(190.0);
            let field = field.hint("type it, then Enter");
            let response = text_field(ui, field, &mut self.own);
            let is_given = response.lost_focus() && !self.own.trim().is_empty();
            if is_given {
                let name = std::mem::take(&mut self.own).trim().to_owned();
                if !self.rows.iter().any(|(of, _cells)| *of == name) {
                    let cells = days_of(days).map(|_day| String::new()).collect();
                    self.rows.push((name, cells));
                }
            }
        });
        changed
    }

    fn row_ui(
        &mut self,
        ui: &mut Ui,
        idx: usize,
        days: DateRange,
    ) -> Option<(NaiveDate, String, u32)> {
        let mut changed = None;
        let (name, cells) = self.rows.get_mut(idx)?;
        ui.label(name.as_str());
        let mut sum = 0;
        for (day, text) in days_of(days).zip(cells.iter_mut()) {
            let before = self.kept.get(&(name.clone(), day)).copied().unwrap_or(0);
            sum += before;
            let id = ui.scope_id().with(("hours", name.as_str(), day));
            let edit = TextEdit::singleline(text)
                .id(id)
                .desired_width(CELL)
                .min_size(egui::vec2(CELL, 0.0))
                .margin(egui::Margin::symmetric(6, 4))
                .align(egui::Align2::RIGHT_CENTER);
            let response = ui.add(edit);
            let label = format!("{name}, {}", show_day(day));
            ui.ctx()
                .accesskit_node_builder(response.id, |node| node.set_label(label));
            follow(ui, &response);
            if !response.lost_focus() {
                continue;
            }
            let read = match text.trim() {
                "" => Ok(0),
                text => read_minutes(text),
            };
            match read {
                Ok(minutes) => {
                    let is_mended =
                        |(of, on, _words): &(String, NaiveDate, String)| of == name && *on == day;
                    if self.wrong.as_ref().is_some_and(is_mended) {
                        self.wrong = None;
                    }
                    *text = shown(minutes);
                    if minutes != before {
                        changed = Some((day, name.clone(), minutes));
                    }
                }
                Err(error) => self.wrong = Some((name.clone(), day, error.to_string())),
            }
        }
        ui.label(shown(sum));
        changed
    }
}
