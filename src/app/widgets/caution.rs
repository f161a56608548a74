//! Cautions, notices, and what an empty room says.
//! What is said is up to whoever shows them.

use egui::{CornerRadius, Frame, Margin, RichText, Ui};

use super::buttons::{primary_button, quiet_button, secondary_button};
use super::text::{card, card_heading};
use crate::app::theme::{self, palette, space};

/// A caution: its own ground, an edge at the left, and words.
pub fn caution(ui: &mut Ui, words: &str) {
    let colours = palette(ui);
    let frame = Frame::new()
        .fill(colours.caution)
        .corner_radius(CornerRadius::same(2))
        .inner_margin(Margin {
            left: 18,
            right: 14,
            top: 10,
            bottom: 10,
        })
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new(words).font(theme::small()).color(colours.ink));
        });
    let mut bar = frame.response.rect;
    bar.set_width(4.0);
    ui.painter()
        .rect_filled(bar, CornerRadius::same(1), colours.caution_edge);
}

/// What a room says while it is empty: what it is for and the steps to begin with, the first of them the usual one.
/// Answers which step was pressed.
pub fn empty_state(ui: &mut Ui, title: &str, words: &str, steps: &[&str]) -> Option<usize> {
    card(ui, |ui| {
        card_heading(ui, title);
        ui.add_space(space::SMALL);
        ui.label(RichText::new(words).color(palette(ui).soft_ink));
        ui.add_space(space::MEDIUM);
        let mut pressed = None;
        ui.horizontal_wrapped(|ui| {
            for (idx, step) in steps.iter().enumerate() {
                let button = if idx == 0 {
                    primary_button(ui, step, "")
                } else {
                    secondary_button(ui, step, "")
                };
                if button.clicked() {
                    pressed = Some(idx);
                }
            }
        });
        pressed
    })
}

/// What the owner pressed in a notice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The offered action, such as Undo.
    Act,
    /// To put it away.
    Dismiss,
}

/// A bar that says what was done or what went wrong, with what can be done about it. A problem begins with a word.
pub fn notice_bar(
    ui: &mut Ui,
    words: &str,
    is_problem: bool,
    offer: Option<(&str, &str)>,
) -> Option<Notice> {
    let colours = palette(ui);
    let fill = if is_problem {
        colours.caution
    } else {
        colours.accent_ground
    };
    let mut pressed = None;
    Frame::new()
        .fill(fill)
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin::symmetric(14, 6))
        .show(ui, |ui| {
            egui::Sides::new().shrink_left().wrap().show(
                ui,
                |ui| {
                    let said = ui.label(RichText::new(words).color(colours.ink));
                    ui.ctx().accesskit_node_builder(said.id, |node| {
                        node.set_live(egui::accesskit::Live::Polite);
                    });
                },
                |ui| {
                    if quiet_button(ui, "Put away").clicked() {
                        pressed = Some(Notice::Dismiss);
                    }
                    if let Some((offer, keys)) = offer
                        && secondary_button(ui, offer, keys).clicked()
                    {
                        pressed = Some(Notice::Act);
                    }
                },
            );
        });
    pressed
}
