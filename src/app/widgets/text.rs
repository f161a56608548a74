//! Headings, second lines, cards and the words of a problem.
//! Nothing here can be pressed.

use egui::{CornerRadius, Frame, Margin, Response, RichText, Stroke, Ui};

use crate::app::theme::{self, palette, space};

/// The heading of a screen with its second line.
pub fn page_heading(ui: &mut Ui, title: &str, second: &str) {
    let heading = ui.label(RichText::new(title).font(theme::heading()));
    ui.ctx().accesskit_node_builder(heading.id, |node| {
        node.set_role(egui::accesskit::Role::Heading);
        node.set_label(title);
    });
    if !second.is_empty() {
        second_line(ui, second);
    }
    ui.add_space(space::LARGE);
}

/// The line beneath a screen's heading, which explains it.
pub fn second_line(ui: &mut Ui, words: &str) -> Response {
    let colour = palette(ui).soft_ink;
    ui.label(RichText::new(words).color(colour))
}

/// The heading of a card.
pub fn card_heading(ui: &mut Ui, title: &str) -> Response {
    let heading = ui.label(RichText::new(title).font(theme::card_heading()));
    ui.ctx().accesskit_node_builder(heading.id, |node| {
        node.set_role(egui::accesskit::Role::Heading);
        node.set_label(title);
    });
    heading
}

/// A small second line in soft ink.
pub fn soft(ui: &mut Ui, words: &str) -> Response {
    let colour = palette(ui).soft_ink;
    ui.label(RichText::new(words).font(theme::small()).color(colour))
}

/// What is wrong with a field, beneath it: a word, not only a colour.
pub fn problem(ui: &mut Ui, words: &str) -> Response {
    let colour = palette(ui).caution_edge;
    let response = ui.label(
        RichText::new(format!("\u{2192} {words}"))
            .font(theme::small())
            .color(colour),
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_live(egui::accesskit::Live::Polite);
    });
    response
}

/// A raised sheet around what belongs together, as wide as what it is in.
pub fn card<R>(ui: &mut Ui, content: impl FnOnce(&mut Ui) -> R) -> R {
    let colours = palette(ui);
    Frame::new()
        .fill(colours.sheet)
        .stroke(Stroke::new(1.0, colours.rule))
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin::symmetric(20, 16))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            // Columns hand down a justified layout, which would stretch the words of a line apart.
            ui.vertical(content).inner
        })
        .inner
}

/// A count in a quiet badge, beside a heading.
pub fn count_badge(ui: &mut Ui, count: usize) {
    let colours = palette(ui);
    Frame::new()
        .fill(colours.accent_ground)
        .corner_radius(CornerRadius::same(3))
        .inner_margin(Margin::symmetric(6, 1))
        .show(ui, |ui| {
            ui.label(RichText::new(count.to_string()).font(theme::small()))
        });
}

/// Columns side by side, as wide as their weights say; unlike those of the toolkit they leave words and buttons at
/// their own width.
pub fn columns<R>(ui: &mut Ui, weights: &[f32], content: impl FnOnce(&mut [Ui]) -> R) -> R {
    let gap = space::LARGE;
    let whole = ui.available_rect_before_wrap();
    let count = weights.len().max(1);
    let room = whole.width() - gap * (count - 1) as f32;
    let total: f32 = weights.iter().sum::<f32>().max(0.01);
    let mut left = whole.left();
    let mut parts: Vec<Ui> = weights
        .iter()
        .enumerate()
        .map(|(idx, weight)| {
            let width = room * weight / total;
            let min = egui::pos2(left, whole.top());
            let rect = egui::Rect::from_min_size(min, egui::vec2(width, whole.height()));
            left += width + gap;
            let layout = egui::Layout::top_down(egui::Align::LEFT);
            let builder = egui::UiBuilder::new().id_salt(("column", idx));
            let mut part = ui.new_child(builder.max_rect(rect).layout(layout));
            part.set_width(width);
            part
        })
        .collect();
    let result = content(&mut parts);
    let height = parts
        .iter()
        .map(|part| part.min_size().y)
        .fold(0.0, f32::max);
    ui.advance_cursor_after_rect(egui::Rect::from_min_size(
        whole.min,
        egui::vec2(whole.width(), height),
    ));
    result
}
