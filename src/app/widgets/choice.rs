//! Choosing one of a few: chips side by side.
//! Long lists belong in `suggest` and `picker`.

use egui::{Button, Color32, Response, RichText, Stroke, Ui, Vec2, vec2};

use super::buttons::{mark_focus, whole_or_broken};
use super::fields::label_above;
use crate::app::theme::{self, palette};

/// Chips of which one is chosen, under a label; answers true when the choice changed. The chosen one is bold,
/// underlined and marked for screen readers, not only coloured.
pub fn choice_chips<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: &str,
    chosen: &mut T,
    choices: &[(T, &str)],
) -> bool {
    let before = *chosen;
    label_above(ui, label, |ui, _label| {
        ui.horizontal_wrapped(|ui| {
            for (value, words) in choices {
                // Its name is its own words; what is asked comes with it as the description.
                let response = one(ui, *chosen == *value, words);
                ui.ctx().accesskit_node_builder(response.id, |node| {
                    node.set_description(label);
                });
                if response.clicked() {
                    *chosen = *value;
                }
            }
        });
    });
    *chosen != before
}

fn one(ui: &mut Ui, is_chosen: bool, words: &str) -> Response {
    let colours = palette(ui);
    let text = if is_chosen {
        RichText::new(words)
            .font(theme::bold())
            .color(colours.accent)
    } else {
        RichText::new(words).color(colours.ink)
    };
    let stroke = if is_chosen {
        Stroke::new(2.0, colours.accent)
    } else {
        Stroke::new(1.0, colours.edge)
    };
    let fill = if is_chosen {
        colours.accent_ground
    } else {
        colours.sheet
    };
    let whole = whole_or_broken(ui, words, theme::bold(), "");
    let size = room_when_chosen(ui, words);
    let response = ui
        .scope(|ui| {
            let widgets = &mut ui.visuals_mut().widgets;
            for state in [
                &mut widgets.inactive,
                &mut widgets.hovered,
                &mut widgets.active,
            ] {
                // An edge of the state's own takes its room from the margin, so that a thick one is no wider.
                state.bg_stroke = stroke;
                state.weak_bg_fill = fill;
            }
            ui.add(Button::new(text).wrap_mode(whole).min_size(size))
        })
        .inner;
    response.widget_info(|| {
        egui::WidgetInfo::selected(egui::Role::RadioButton, true, is_chosen, words)
    });
    mark_focus(ui, response)
}

/// The room a chip takes when it is chosen and bold: it has it from the beginning, so that none moves when another is
/// chosen.
fn room_when_chosen(ui: &Ui, words: &str) -> Vec2 {
    let text = ui
        .painter()
        .layout_no_wrap(words.to_owned(), theme::bold(), Color32::BLACK);
    let room = text.size() + 2.0 * ui.spacing().button_padding;
    let whole = ui.max_rect().width();
    vec2(room.x.ceil().min(whole), room.y.ceil())
}

/// A quiet word that says what kind something is; pressing it may change that.
pub fn chip(ui: &mut Ui, words: &str) -> Response {
    let colours = palette(ui);
    let text = RichText::new(words).font(theme::small()).color(colours.ink);
    let response = ui.add(
        Button::new(text)
            .fill(colours.accent_ground)
            .stroke(Stroke::NONE)
            .small(),
    );
    mark_focus(ui, response)
}
