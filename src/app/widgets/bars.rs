//! A list of bars: a name, a bar as long as its figure, the figure in words. Below nothing a bar is hollow.
//! The only binary floats are lengths on the screen.

use egui::{Color32, Sense, Stroke, Ui, vec2};

use super::text::soft;
use crate::app::theme::{self, palette};

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct ListBar {
    /// What it is of.
    pub label: String,
    /// Its figure in words, which also stands beside it.
    pub words: String,
    /// How much it is, against the others; below nothing it is drawn hollow.
    pub height: f32,
}

/// Shows the bars beneath each other; `name` says what they are of to those who do not see them.
pub fn bar_list(ui: &mut Ui, name: &str, bars: &[ListBar]) {
    let tallest = bars
        .iter()
        .map(|bar| bar.height.abs())
        .fold(f32::EPSILON, f32::max);
    let width = ui.available_width();
    let room = (width * 0.5).max(40.0);
    for bar in bars {
        let colours = palette(ui);
        ui.horizontal(|ui| {
            let length = (bar.height.abs() / tallest * room).max(2.0);
            let (rect, response) = ui.allocate_exact_size(vec2(length, 14.0), Sense::hover());
            let fill = if bar.height < 0.0 {
                Color32::TRANSPARENT
            } else {
                colours.accent
            };
            let stroke = Stroke::new(1.5, colours.accent);
            ui.painter()
                .rect(rect, 2.0, fill, stroke, egui::StrokeKind::Inside);
            ui.ctx().accesskit_node_builder(response.id, |node| {
                node.set_role(egui::accesskit::Role::Image);
                node.set_label(format!("{name}: {}, {}", bar.label, bar.words));
            });
            ui.label(egui::RichText::new(&bar.words).font(theme::small()));
        });
        soft(ui, &bar.label);
    }
}
