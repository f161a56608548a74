//! A list of bars: a name, a bar as long as its figure, the figure in words; below nothing a bar is hollow. And how far
//! work is, on a track that shows what is still to come.
//! The only binary floats are lengths on the screen.

use egui::{Color32, Response, Sense, Stroke, Ui, Vec2, vec2};

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

/// How far something is: what is done is filled, what is still to come stands empty inside an edge, so that both can be
/// seen on any ground. `words` say it to those who do not see it, as `3 of 12`.
pub fn progress_bar(ui: &mut Ui, size: Vec2, done: usize, whole: usize, words: &str) -> Response {
    let part = match whole {
        0 => 0.0,
        whole => (done as f32 / whole as f32).clamp(0.0, 1.0),
    };
    let colours = palette(ui);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let round = rect.height() / 2.0;
    let painter = ui.painter();
    painter.rect_filled(rect, round, colours.sheet);
    let mut filled = rect;
    filled.set_width(rect.width() * part);
    if part > 0.0 {
        // The clipped whole keeps its rounded end, however little is done.
        painter
            .with_clip_rect(filled.intersect(painter.clip_rect()))
            .rect_filled(rect, round, colours.accent);
    }
    let edge = Stroke::new(1.0, colours.edge);
    painter.rect_stroke(rect, round, edge, egui::StrokeKind::Inside);
    response.widget_info(|| {
        let mut info = egui::WidgetInfo::labeled(egui::Role::ProgressIndicator, true, words);
        info.value = Some(f64::from(part * 100.0).floor());
        info
    });
    response
}
