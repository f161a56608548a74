//! How a form is laid out: two columns, fields in a row, a list to choose from, hints and the row of buttons.
//! The fields themselves are `widgets`.

use egui::{ComboBox, Rect, Response, RichText, Ui, UiBuilder, Vec2, pos2};

use crate::app::theme::{self, palette, space};
use crate::app::widgets::{label_above, problem};

/// Below this width the second column goes beneath the first.
const TWO_COLUMNS_FROM: f32 = 800.0;
const SECOND_COLUMN: f32 = 350.0;

/// The form at the left, what goes with it at the right; beneath each other in a narrow window.
pub fn two_columns<S>(
    ui: &mut Ui,
    state: &mut S,
    left: impl FnOnce(&mut Ui, &mut S),
    right: impl FnOnce(&mut Ui, &mut S),
) {
    let width = ui.available_width();
    if width < TWO_COLUMNS_FROM {
        left(ui, state);
        ui.add_space(space::LARGE);
        right(ui, state);
        return;
    }
    let second = SECOND_COLUMN.min(width * 0.4);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::LARGE;
        let first = width - second - space::LARGE;
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.x = space::MEDIUM;
            ui.set_width(first);
            left(ui, state);
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.x = space::MEDIUM;
            ui.set_width(second);
            right(ui, state);
        });
    });
}

/// Cells side by side that the keyboard walks in another order than they stand in: `order` names the cells one after
/// the other, each drawn with its index and width.
pub fn cells(
    ui: &mut Ui,
    widths: &[f32],
    order: &[usize],
    mut draw: impl FnMut(&mut Ui, usize, f32),
) {
    let start = ui.cursor().min;
    let gap = space::MEDIUM;
    let mut bottom = start.y;
    let mut right = start.x;
    for &idx in order {
        let before: f32 = widths.iter().take(idx).map(|width| width + gap).sum();
        let Some(width) = widths.get(idx).copied() else {
            continue;
        };
        let rect = Rect::from_min_size(
            pos2(start.x + before, start.y),
            Vec2::new(width, ui.available_height()),
        );
        let builder = UiBuilder::new()
            .id_salt(("cell", idx))
            .max_rect(rect)
            .layout(egui::Layout::top_down(egui::Align::Min));
        let mut child = ui.new_child(builder);
        draw(&mut child, idx, width);
        bottom = bottom.max(child.min_rect().bottom());
        right = right.max(rect.right());
    }
    ui.advance_cursor_after_rect(Rect::from_min_max(start, pos2(right, bottom)));
}

/// Widths for cells in a row as wide as there is room for: fixed ones as given, the others share the rest.
#[must_use]
pub fn widths(available: f32, cells: &[f32]) -> Vec<f32> {
    let gaps = space::MEDIUM * (cells.len().max(1) - 1) as f32;
    let fixed: f32 = cells.iter().sum();
    let n_open = cells.iter().filter(|width| **width <= 0.0).count().max(1);
    let rest = ((available - gaps - fixed) / n_open as f32).max(90.0);
    cells
        .iter()
        .map(|width| if *width > 0.0 { *width } else { rest })
        .collect()
}

/// One of a list, under a label; answers true when the choice changed.
pub fn select<T: Clone + PartialEq>(
    ui: &mut Ui,
    label: &str,
    width: f32,
    chosen: &mut T,
    choices: &[(T, String)],
    wrong: Option<&str>,
) -> bool {
    let before = chosen.clone();
    label_above(ui, label, |ui, label_response| {
        let words = choices
            .iter()
            .find(|(value, _)| value == chosen)
            .map_or("choose\u{2026}", |(_, words)| words.as_str());
        let width = if width > 0.0 {
            width
        } else {
            ui.available_width()
        };
        ui.spacing_mut().interact_size.y = space::FIELD;
        let shown = ComboBox::from_id_salt(("select", label))
            .selected_text(words)
            .width(width)
            .truncate()
            .show_ui(ui, |ui| {
                for (value, words) in choices {
                    ui.selectable_value(chosen, value.clone(), words);
                }
            });
        let response = shown.response.labelled_by(label_response.id);
        crate::app::widgets::follow(ui, &response);
        ring(ui, &response);
        if let Some(words) = wrong {
            ui.scope(|ui| {
                ui.set_max_width(width);
                problem(ui, words);
            });
        }
    });
    *chosen != before
}

fn ring(ui: &Ui, response: &Response) {
    if response.has_focus() {
        let stroke = egui::Stroke::new(2.0, palette(ui).accent);
        ui.painter()
            .rect_stroke(response.rect, 4.0, stroke, egui::StrokeKind::Outside);
    }
}

/// Something worth a second look, in a soft sentence with a mark that is no colour alone.
pub fn hint(ui: &mut Ui, words: &str) {
    crate::app::widgets::caution(ui, words);
    ui.add_space(space::SMALL);
}

/// The sum at the foot of a form: under a single rule, over a double one, as on paper.
pub fn total_line(ui: &mut Ui, words: &str, figure: &str) {
    let colours = palette(ui);
    let width = ui.available_width();
    let rule = |ui: &mut Ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(width, 1.0), egui::Sense::hover());
        ui.painter().hline(
            rect.x_range(),
            rect.center().y,
            egui::Stroke::new(1.0, colours.ink),
        );
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    rule(ui);
    egui::Sides::new().show(
        ui,
        |ui| ui.label(RichText::new(words).font(theme::bold())),
        |ui| ui.label(RichText::new(figure).font(theme::bold())),
    );
    rule(ui);
    rule(ui);
    ui.add_space(space::SMALL);
}

/// A quiet rule between groups.
pub fn rule(ui: &mut Ui) {
    ui.add_space(space::SMALL);
    let colour = palette(ui).rule;
    let (rect, _) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), 1.0), egui::Sense::hover());
    ui.painter().hline(
        rect.x_range(),
        rect.center().y,
        egui::Stroke::new(1.0, colour),
    );
    ui.add_space(space::SMALL);
}
