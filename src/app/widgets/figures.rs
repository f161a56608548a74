//! Figures that can be opened: the big one of a card, and those inside text and tables.
//! What opens is up to whoever shows them.

use egui::{Response, RichText, Sense, Ui, UiBuilder};

use super::buttons::mark_focus;
use super::text::{card, soft};
use crate::app::theme::{self, palette};

/// A card with a label, a big figure, and a second line that explains it.
#[derive(Clone, Copy, Debug)]
pub struct FigureCard<'a> {
    /// What the figure is.
    pub label: &'a str,
    /// The figure, as it is shown.
    pub figure: &'a str,
    /// What explains it.
    pub second: &'a str,
}

/// Shows a figure card as a whole that can be pressed, to open where the figure comes from; `term` is the trade's
/// word for it, said under the pointer.
pub fn figure_card(ui: &mut Ui, figure: FigureCard<'_>, term: &str) -> Response {
    let inner = ui.scope_builder(UiBuilder::new().sense(Sense::click()), |ui| {
        let response = ui.response();
        let colours = palette(ui);
        card(ui, |ui| {
            ui.set_min_height(92.0);
            soft(ui, figure.label);
            let colour = if response.hovered() {
                colours.accent
            } else {
                colours.ink
            };
            ui.label(
                RichText::new(figure.figure)
                    .font(theme::figure())
                    .color(colour),
            );
            soft(ui, figure.second);
        });
    });
    let response = inner.response;
    let name = format!("{}: {}, {}", figure.label, figure.figure, figure.second);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    let hint = if term.is_empty() {
        "Where this comes from".to_owned()
    } else {
        format!("Where this comes from ({term})")
    };
    let response = response.on_hover_text(hint);
    mark_focus(ui, response)
}

/// A figure that opens where it comes from; `what` names it for screen readers.
pub fn figure_link(ui: &mut Ui, shown: &str, what: &str, is_bold: bool) -> Response {
    let font = is_bold.then(theme::bold);
    figure_in(ui, shown, what, font)
}

/// A figure behind which nothing more stands; `what` names it for screen readers.
pub(super) fn plain_figure(ui: &mut Ui, shown: &str, what: &str, is_bold: bool) {
    let mut text = RichText::new(shown).color(palette(ui).ink);
    if is_bold {
        text = text.font(theme::bold());
    }
    let response = ui.label(text);
    let name = format!("{what}: {shown}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &name));
}

/// A sentence at the head of a page whose figures open: each part is words, or a figure with its name. Answers which
/// part was opened.
pub fn heading_with_figures(ui: &mut Ui, parts: &[(&str, Option<&str>)]) -> Option<usize> {
    let mut opened = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (idx, (words, what)) in parts.iter().enumerate() {
            match what {
                Some(what) => {
                    if figure_in(ui, words, what, Some(theme::heading())).clicked() {
                        opened = Some(idx);
                    }
                }
                None => {
                    ui.label(RichText::new(*words).font(theme::heading()));
                }
            }
        }
    });
    opened
}

fn figure_in(ui: &mut Ui, shown: &str, what: &str, font: Option<egui::FontId>) -> Response {
    let colours = palette(ui);
    let mut text = RichText::new(shown).color(colours.ink);
    if let Some(font) = font {
        text = text.font(font);
    }
    let response = ui.add(egui::Label::new(text).sense(Sense::click()));
    if response.hovered() || response.has_focus() {
        let rect = response.rect;
        ui.painter().hline(
            rect.x_range(),
            rect.bottom() - 1.0,
            egui::Stroke::new(1.5, colours.accent),
        );
    }
    let name = format!("{what}: {shown}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    response.on_hover_text("Where this comes from")
}
