//! The movements that may stand on the statement, each with a tick; only those in sight are drawn.
//! What the ticks come to is `view`'s.

use std::collections::HashSet;

use egui::{Align, Layout, Rect, RichText, ScrollArea, Stroke, Ui, UiBuilder, pos2, vec2};

use crate::app::screen::ViewContext;
use crate::app::screens::explain::what_was_it;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{card_heading, link, soft};
use crate::dates::show_day;
use crate::ledger::EntryNumber;
use crate::reports::SheetReport;
use crate::sorting::LedgerMovement;

const ROW: f32 = 36.0;
/// So many rows are shown before the list scrolls by itself.
const ROWS_SHOWN: usize = 14;

/// What was asked of a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asked {
    /// Tick it, or take the tick away.
    Tick(EntryNumber),
    /// Its page.
    Open(EntryNumber),
}

/// Which movement the keyboard is on.
#[derive(Clone, Debug, Default)]
pub(super) struct TickList {
    entries: Vec<EntryNumber>,
    current: usize,
    is_moved: bool,
}

impl TickList {
    /// The movements in their order; the current one stays where it was.
    pub(super) fn arrange(&mut self, movements: &[LedgerMovement]) {
        self.entries = movements.iter().map(|one| one.entry).collect();
        self.current = self.current.min(self.entries.len().saturating_sub(1));
    }

    /// Goes to the next or the one before.
    pub(super) fn step(&mut self, down: bool) {
        let last = self.entries.len().saturating_sub(1);
        self.current = if down {
            (self.current + 1).min(last)
        } else {
            self.current.saturating_sub(1)
        };
        self.is_moved = true;
    }

    /// The one the keyboard is on.
    pub(super) fn current(&self) -> Option<EntryNumber> {
        self.entries.get(self.current).copied()
    }

    /// Draws them.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        report: &SheetReport,
        ticked: &HashSet<EntryNumber>,
        by_line: &HashSet<EntryNumber>,
        cx: &ViewContext<'_>,
    ) -> Option<Asked> {
        card_heading(ui, "What is on the statement?")
            .on_hover_text("Movements that no earlier sheet has");
        if report.movements.is_empty() {
            soft(
                ui,
                "Nothing moved here up to that day that an earlier sheet does not have.",
            );
            return None;
        }
        soft(
            ui,
            "Up and down choose, the space bar ticks. What a line of the statement confirms is ticked already.",
        );
        ui.add_space(space::SMALL);
        let n_rows = report.movements.len();
        let height = ROW * n_rows.min(ROWS_SHOWN) as f32;
        let mut asked = None;
        ScrollArea::vertical()
            .id_salt("movements to tick")
            .auto_shrink([false, false])
            .max_height(height)
            .min_scrolled_height(height)
            .show_viewport(ui, |ui, viewport| {
                let width = ui.available_width() - space::MEDIUM;
                let start = ui.max_rect().min;
                ui.set_height(ROW * n_rows as f32);
                let place = |row: usize| {
                    Rect::from_min_size(pos2(start.x, start.y + ROW * row as f32), vec2(width, ROW))
                };
                if std::mem::take(&mut self.is_moved) {
                    ui.scroll_to_rect(place(self.current), None);
                }
                let first = (viewport.min.y / ROW).floor().max(0.0) as usize;
                let last = ((viewport.max.y / ROW).ceil().max(0.0) as usize).min(n_rows);
                for row in first..last {
                    let Some(one) = report.movements.get(row) else {
                        continue;
                    };
                    let state = RowState {
                        is_current: row == self.current,
                        is_ticked: ticked.contains(&one.entry),
                        is_by_line: by_line.contains(&one.entry),
                    };
                    if let Some(found) = row_ui(ui, place(row), one, state, cx) {
                        self.current = row;
                        asked = Some(found);
                    }
                }
            });
        asked
    }
}

#[derive(Clone, Copy, Debug)]
struct RowState {
    is_current: bool,
    is_ticked: bool,
    is_by_line: bool,
}

fn row_ui(
    ui: &mut Ui,
    rect: Rect,
    one: &LedgerMovement,
    state: RowState,
    cx: &ViewContext<'_>,
) -> Option<Asked> {
    let colours = palette(ui);
    if state.is_current {
        ui.painter()
            .rect_filled(rect.shrink2(vec2(0.0, 2.0)), 4.0, colours.accent_ground);
    }
    let mut asked = None;
    let (amount, day) = (cx.show(one.amount), show_day(one.date));
    let what = what_was_it(&one.party, &one.memo, one.kind.plain());
    let builder = UiBuilder::new()
        .id_salt(("tick", one.entry))
        .max_rect(rect.shrink2(vec2(8.0, 0.0)))
        .layout(Layout::right_to_left(Align::Center));
    let mut part = ui.new_child(builder);
    part.set_clip_rect(rect.intersect(ui.clip_rect()));
    part.allocate_ui_with_layout(
        vec2(104.0, rect.height()),
        Layout::right_to_left(Align::Center),
        |ui| ui.label(RichText::new(&amount).color(colours.ink)),
    );
    part.with_layout(Layout::left_to_right(Align::Center), |ui| {
        let mut is_ticked = state.is_ticked;
        let tick = ui.checkbox(&mut is_ticked, "");
        let name = format!("{what}, {day}, {amount}");
        tick.widget_info(|| {
            egui::WidgetInfo::selected(egui::Role::CheckBox, true, state.is_ticked, &name)
        });
        if tick.clicked() {
            asked = Some(Asked::Tick(one.entry));
        }
        ui.allocate_ui_with_layout(
            vec2(92.0, rect.height()),
            Layout::left_to_right(Align::Center),
            |ui| {
                ui.set_min_width(92.0);
                ui.label(
                    RichText::new(&day)
                        .font(theme::small())
                        .color(colours.soft_ink),
                );
            },
        );
        let number = link(ui, &format!("entry {}", one.entry));
        if number.clicked() {
            asked = Some(Asked::Open(one.entry));
        }
        ui.add(egui::Label::new(RichText::new(&what).color(colours.ink)).truncate());
        if state.is_by_line {
            let words = RichText::new("by the bank's line").font(theme::small());
            ui.add(egui::Label::new(words.color(colours.soft_ink)).truncate());
        }
    });
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(1.0, colours.rule),
    );
    asked
}
