//! The list of the lines to be sorted: grouped by account, only the rows in sight are drawn, the current one opens.
//! What stands in the opened one is `slip`'s.

use std::collections::HashMap;

use egui::{
    Align, Color32, FontId, Pos2, Rect, RichText, ScrollArea, Sense, Stroke, Ui, UiBuilder, Vec2,
    pos2, vec2,
};

use super::words;
use crate::app::screen::ViewContext;
use crate::app::theme::{self, palette, space};
use crate::dates::show_day;
use crate::ledger::{AccountId, Chart};
use crate::reports::{Tray, TrayRow};
use crate::sorting::LineId;

/// Which line comes first within an account.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Order {
    /// The largest amount, whichever way it went.
    #[default]
    Largest,
    /// The newest.
    Newest,
    /// The oldest.
    Oldest,
}

impl Order {
    pub(super) const ALL: [Self; 3] = [Self::Largest, Self::Newest, Self::Oldest];

    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Largest => "Largest",
            Self::Newest => "Newest",
            Self::Oldest => "Oldest",
        }
    }
}

#[derive(Clone, Copy, Debug)]
enum ListRow {
    /// The name of an account over so many lines.
    Account(AccountId, usize),
    /// A line by its place in the tray.
    Line(usize, LineId),
}

/// Below this width a row says what is suggested beneath what the bank wrote.
const NARROW: f32 = 620.0;
const ROW: f32 = 52.0;
const NARROW_ROW: f32 = 74.0;
const ACCOUNT: f32 = 38.0;
/// The list is at least this high; a smaller page scrolls around it.
const LEAST_HIGH: f32 = 280.0;

/// The rows in their order.
#[derive(Default)]
pub(super) struct TrayList {
    rows: Vec<ListRow>,
    lines: Vec<LineId>,
    /// Of each line its place among the lines, among the rows and in the tray.
    places: HashMap<LineId, (usize, usize, usize)>,
    /// How high the opened row was drawn last.
    slip_height: f32,
}

impl TrayList {
    /// How many lines there are.
    pub(super) fn n_lines(&self) -> usize {
        self.lines.len()
    }

    /// A line's place among the lines.
    pub(super) fn place(&self, line: LineId) -> Option<usize> {
        self.places.get(&line).map(|(place, ..)| *place)
    }

    /// The line at a place, or the last before it.
    pub(super) fn line_at(&self, place: usize) -> Option<LineId> {
        self.lines.get(place).or_else(|| self.lines.last()).copied()
    }

    /// A line with its suggestion.
    pub(super) fn row<'t>(&self, tray: &'t Tray, line: LineId) -> Option<&'t TrayRow> {
        let (_place, _row, idx) = self.places.get(&line)?;
        tray.rows.get(*idx)
    }

    /// Puts the lines of a tray in order.
    pub(super) fn arrange(&mut self, tray: &Tray, order: Order, chart: &Chart) {
        let mut by_account: HashMap<AccountId, Vec<usize>> = HashMap::new();
        for (idx, row) in tray.rows.iter().enumerate() {
            by_account.entry(row.line.account).or_default().push(idx);
        }
        self.rows.clear();
        for account in chart.accounts() {
            let Some(mut of_it) = by_account.remove(&account.id) else {
                continue;
            };
            // The tray has the oldest first.
            match order {
                Order::Oldest => {}
                Order::Newest => of_it.reverse(),
                Order::Largest => of_it.sort_by_key(|idx| {
                    let amount = tray.rows.get(*idx).map(|row| row.line.amount.abs());
                    std::cmp::Reverse(amount)
                }),
            }
            self.rows.push(ListRow::Account(account.id, of_it.len()));
            self.rows.extend(of_it.into_iter().filter_map(|idx| {
                let row = tray.rows.get(idx)?;
                Some(ListRow::Line(idx, row.line.id))
            }));
        }
        self.find_places();
    }

    /// Takes a line out that was sorted a moment ago.
    pub(super) fn take_out(&mut self, line: LineId) {
        let Some((_place, row, _idx)) = self.places.get(&line).copied() else {
            return;
        };
        self.rows.remove(row);
        let heading = self
            .rows
            .iter_mut()
            .take(row)
            .rev()
            .find_map(|row| match row {
                ListRow::Account(_account, count) => Some(count),
                ListRow::Line(..) => None,
            });
        if let Some(count) = heading {
            *count -= 1;
        }
        self.find_places();
    }

    fn find_places(&mut self) {
        self.lines.clear();
        self.places.clear();
        for (at, row) in self.rows.iter().enumerate() {
            if let ListRow::Line(idx, line) = row {
                self.places.insert(*line, (self.lines.len(), at, *idx));
                self.lines.push(*line);
            }
        }
    }

    /// Draws the rows in sight; `slip` draws what the current one opens to. Answers the line that was pressed.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        tray: &Tray,
        current: Option<LineId>,
        is_moved: bool,
        cx: &ViewContext<'_>,
        slip: impl FnOnce(&mut Ui, &TrayRow),
    ) -> Option<LineId> {
        let mut pressed = None;
        let is_narrow = ui.available_width() < NARROW;
        let line_height = if is_narrow { NARROW_ROW } else { ROW };
        let opened = current.and_then(|line| self.places.get(&line).copied());
        let slip_height = self.slip_height.max(line_height);
        let tops = Tops::new(
            &self.rows,
            line_height,
            opened.map(|(_place, row, _idx)| (row, slip_height)),
        );
        let height = ui.available_height().max(LEAST_HIGH);
        ScrollArea::vertical()
            .id_salt("lines to sort")
            .auto_shrink([false, false])
            .max_height(height)
            .min_scrolled_height(height)
            .show_viewport(ui, |ui, viewport| {
                let width = ui.available_width() - space::MEDIUM;
                let start = ui.max_rect().min;
                ui.set_height(tops.whole());
                let place = |row: usize| {
                    let top = start.y + tops.of(row);
                    Rect::from_min_size(pos2(start.x, top), vec2(width, tops.height(row)))
                };
                if let Some((_place, row, idx)) = opened
                    && let Some(shown) = tray.rows.get(idx)
                {
                    let rect = place(row);
                    if is_moved {
                        ui.scroll_to_rect(rect, None);
                    }
                    self.slip_height = opened_ui(ui, rect, shown, slip);
                }
                for row in tops.in_sight(viewport.min.y, viewport.max.y) {
                    let is_opened = opened.is_some_and(|(_place, opened, _idx)| opened == row);
                    match self.rows.get(row) {
                        Some(ListRow::Account(account, count)) => {
                            account_ui(ui, place(row), &cx.chart.title(*account), *count);
                        }
                        Some(ListRow::Line(idx, line)) if !is_opened => {
                            if let Some(shown) = tray.rows.get(*idx)
                                && line_ui(ui, place(row), shown, tray, is_narrow, cx)
                            {
                                pressed = Some(*line);
                            }
                        }
                        _ => {}
                    }
                }
            });
        pressed
    }
}

/// Where each row begins. Accounts are few, so the rows between them are counted, not added up.
struct Tops {
    /// The places of the accounts among the rows.
    accounts: Vec<usize>,
    n_rows: usize,
    line: f32,
    opened: Option<(usize, f32)>,
}

impl Tops {
    fn new(rows: &[ListRow], line: f32, opened: Option<(usize, f32)>) -> Self {
        let mut accounts = Vec::new();
        let mut at = 0;
        // From one account to the next by its count.
        while let Some(ListRow::Account(_account, count)) = rows.get(at) {
            accounts.push(at);
            at += count + 1;
        }
        Self {
            accounts,
            n_rows: rows.len(),
            line,
            opened,
        }
    }

    fn of(&self, row: usize) -> f32 {
        let n_accounts = self.accounts.partition_point(|at| *at < row);
        let n_lines = row - n_accounts;
        let more = match self.opened {
            Some((opened, height)) if opened < row => height - self.line,
            _ => 0.0,
        };
        n_accounts as f32 * ACCOUNT + n_lines as f32 * self.line + more
    }

    fn height(&self, row: usize) -> f32 {
        match self.opened {
            Some((opened, height)) if opened == row => height,
            _ if self.accounts.binary_search(&row).is_ok() => ACCOUNT,
            _ => self.line,
        }
    }

    fn whole(&self) -> f32 {
        self.of(self.n_rows)
    }

    fn in_sight(&self, from: f32, to: f32) -> std::ops::Range<usize> {
        let (mut low, mut high) = (0, self.n_rows);
        while low < high {
            let middle = (low + high) / 2;
            if self.of(middle) + self.height(middle) < from {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        let mut last = low;
        while last < self.n_rows && self.of(last) <= to {
            last += 1;
        }
        low..last
    }
}

fn opened_ui(ui: &mut Ui, rect: Rect, row: &TrayRow, slip: impl FnOnce(&mut Ui, &TrayRow)) -> f32 {
    let room = Rect::from_min_size(rect.min, vec2(rect.width(), f32::INFINITY));
    let builder = UiBuilder::new()
        .id_salt(("slip", row.line.id))
        .max_rect(room)
        .layout(egui::Layout::top_down(Align::Min));
    let mut part = ui.new_child(builder);
    part.add_space(space::SMALL);
    slip(&mut part, row);
    let height = part.min_rect().height() + space::MEDIUM;
    if (height - rect.height()).abs() > 0.5 {
        ui.ctx().request_repaint();
    }
    height
}

fn account_ui(ui: &mut Ui, rect: Rect, title: &str, count: usize) {
    let colours = palette(ui);
    let builder = UiBuilder::new()
        .max_rect(rect)
        .layout(egui::Layout::left_to_right(Align::Max));
    ui.new_child(builder).horizontal(|ui| {
        ui.label(
            RichText::new(title)
                .font(theme::card_heading())
                .color(colours.ink),
        );
        ui.label(
            RichText::new(words::counter(count))
                .font(theme::small())
                .color(colours.soft_ink),
        );
    });
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 3.0,
        Stroke::new(1.0, colours.rule),
    );
}

/// A row that is not the current one. Answers whether it was pressed.
fn line_ui(
    ui: &Ui,
    rect: Rect,
    row: &TrayRow,
    tray: &Tray,
    is_narrow: bool,
    cx: &ViewContext<'_>,
) -> bool {
    let colours = palette(ui);
    let line = &row.line;
    let (day, payee, amount) = (
        show_day(line.date),
        words::payee(line),
        cx.show(line.amount),
    );
    let (what, why) = words::suggestion(row, tray, cx)
        .unwrap_or_else(|| ("Nothing to go by yet".to_owned(), String::new()));
    let id = ui.make_persistent_id(("line", line.id));
    let response = ui.interact(rect, id, Sense::click());
    response.widget_info(|| {
        let name = format!("{payee}, {day}, {amount}. {what}");
        egui::WidgetInfo::labeled(egui::Role::Button, true, name)
    });
    if response.hovered() || response.has_focus() {
        ui.painter()
            .rect_filled(rect.shrink2(vec2(0.0, 1.0)), 4.0, colours.accent_ground);
    }
    let (left, right, top) = (rect.left() + 10.0, rect.right() - 10.0, rect.top() + 6.0);
    let money_width = 112.0;
    let (ink, soft) = (colours.ink, colours.soft_ink);
    let text = line.text.trim();
    paint_right(ui, pos2(right, top), &amount, theme::body(), ink);
    if is_narrow {
        let width = right - left;
        paint(
            ui,
            pos2(left, top),
            &payee,
            theme::bold(),
            ink,
            width - money_width,
        );
        let second = format!("{day}  {text}");
        paint(
            ui,
            pos2(left, top + 22.0),
            &second,
            theme::small(),
            soft,
            width,
        );
        paint(
            ui,
            pos2(left, top + 42.0),
            &what,
            theme::small(),
            ink,
            width,
        );
    } else {
        let from = left + 92.0;
        let middle = from + (right - money_width - from) * 0.46;
        paint(ui, pos2(left, top + 2.0), &day, theme::small(), soft, 86.0);
        paint(
            ui,
            pos2(from, top),
            &payee,
            theme::bold(),
            ink,
            middle - from - 14.0,
        );
        paint(
            ui,
            pos2(from, top + 22.0),
            text,
            theme::small(),
            soft,
            middle - from - 14.0,
        );
        let width = right - money_width - middle;
        let colour = if why.is_empty() { soft } else { ink };
        paint(ui, pos2(middle, top), &what, theme::body(), colour, width);
        paint(
            ui,
            pos2(middle, top + 22.0),
            &why,
            theme::small(),
            soft,
            width,
        );
    }
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(1.0, colours.rule),
    );
    if response.has_focus() {
        let ring = Stroke::new(1.5, colours.accent);
        ui.painter()
            .rect_stroke(rect.shrink(1.0), 4.0, ring, egui::StrokeKind::Inside);
    }
    response.clicked()
}

/// Paints one line of text, cut off with dots where it is longer than its room.
fn paint(ui: &Ui, at: Pos2, text: &str, font: FontId, colour: Color32, width: f32) {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width.max(20.0));
    let galley = ui.painter().layout_job(job);
    ui.painter().galley(at, galley, colour);
}

fn paint_right(ui: &Ui, at: Pos2, text: &str, font: FontId, colour: Color32) {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), font, colour);
    let left = at - Vec2::new(galley.size().x, 0.0);
    ui.painter().galley(left, galley, colour);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_begin_where_the_ones_before_end() {
        let line = |id: i64| ListRow::Line(0, LineId(id));
        let account = |count| ListRow::Account(AccountId(1), count);
        let rows = [account(2), line(1), line(2), account(1), line(3)];
        // Heights by hand: 38, 52, 120 (opened), 38, 52.
        let tops = Tops::new(&rows, 52.0, Some((2, 120.0)));
        let begin: Vec<f32> = (0..=5).map(|row| tops.of(row)).collect();
        assert_eq!(begin, [0.0, 38.0, 90.0, 210.0, 248.0, 300.0]);
        assert_eq!(tops.in_sight(100.0, 215.0), 2..4);
        assert_eq!(tops.in_sight(0.0, 30.0), 0..1);
        assert_eq!(tops.in_sight(0.0, 1000.0), 0..5);
    }
}
