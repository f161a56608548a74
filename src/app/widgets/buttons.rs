//! Buttons: the one primary action of a screen, the others, and links.
//! What they do is up to whoever asks whether they were pressed.

use egui::{Atom, Button, Color32, FontId, Response, RichText, Stroke, TextWrapMode, Ui, Vec2};

use crate::app::theme::{self, palette, space};

/// The one primary action of a screen; `keys` as `Ctrl Enter`, or empty.
pub fn primary_button(ui: &mut Ui, words: &str, keys: &str) -> Response {
    primary_button_enabled(ui, true, words, keys)
}

/// As [`primary_button`], not to be pressed while `enabled` is false.
pub fn primary_button_enabled(ui: &mut Ui, enabled: bool, words: &str, keys: &str) -> Response {
    let colours = palette(ui);
    let whole = whole_or_broken(ui, words, theme::bold(), keys);
    ui.scope(|ui| {
        let widgets = &mut ui.visuals_mut().widgets;
        for (state, fill) in [
            (&mut widgets.inactive, colours.accent),
            (&mut widgets.hovered, colours.accent_hover),
            (&mut widgets.active, colours.accent_hover),
        ] {
            state.weak_bg_fill = fill;
            state.bg_fill = fill;
            state.bg_stroke = Stroke::new(1.0, fill);
        }
        let text = RichText::new(words)
            .font(theme::bold())
            .color(colours.on_accent);
        add(ui, enabled, text, keys, colours.on_accent, whole)
    })
    .inner
}

/// Any other action.
pub fn secondary_button(ui: &mut Ui, words: &str, keys: &str) -> Response {
    let colours = palette(ui);
    let whole = whole_or_broken(ui, words, theme::bold(), keys);
    ui.scope(|ui| {
        let inactive = &mut ui.visuals_mut().widgets.inactive;
        inactive.weak_bg_fill = Color32::TRANSPARENT;
        inactive.bg_stroke = Stroke::new(1.0, colours.accent);
        let text = RichText::new(words)
            .font(theme::bold())
            .color(colours.accent);
        add(ui, true, text, keys, colours.accent, whole)
    })
    .inner
}

/// A lesser action, in the ink of the text.
pub fn quiet_button(ui: &mut Ui, words: &str) -> Response {
    let whole = whole_or_broken(ui, words, theme::body(), "");
    let button = Button::new(words)
        .wrap_mode(whole)
        .min_size(Vec2::new(0.0, space::FIELD));
    let response = ui.add(button);
    mark_focus(ui, response)
}

/// In a row that wraps, a button that does not fit any more begins the next line; only one that is wider than the
/// whole line is broken.
pub(super) fn whole_or_broken(ui: &mut Ui, words: &str, font: FontId, keys: &str) -> TextWrapMode {
    let width = |words: &str, font: FontId| {
        ui.painter()
            .layout_no_wrap(words.to_owned(), font, Color32::BLACK)
            .size()
            .x
    };
    let mut needed = width(words, font) + 2.0 * ui.spacing().button_padding.x;
    if !keys.is_empty() {
        needed += width(keys, theme::small()) + ui.spacing().icon_spacing;
    }
    let (line, at) = (ui.max_rect(), ui.cursor().left());
    let is_first = at <= line.left() + 1.0;
    if ui.layout().main_wrap() && !is_first && at + needed > line.right() {
        ui.end_row();
    }
    if needed <= line.width() {
        TextWrapMode::Extend
    } else {
        TextWrapMode::Wrap
    }
}

fn add(
    ui: &mut Ui,
    enabled: bool,
    text: RichText,
    keys: &str,
    colour: Color32,
    whole: TextWrapMode,
) -> Response {
    let words = text.text().to_owned();
    let button = if keys.is_empty() {
        Button::new(text)
    } else {
        let hint = RichText::new(keys).font(theme::small()).color(colour);
        Button::new((text, Atom::from(hint)))
    };
    let button = button
        .wrap_mode(whole)
        .min_size(Vec2::new(0.0, space::FIELD));
    let response = ui.add_enabled(enabled, button);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, enabled, &words));
    if !keys.is_empty() {
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_keyboard_shortcut(keys);
        });
    }
    mark_focus(ui, response)
}

/// Draws a second line around what the keyboard is on, since a fill alone could be missed.
pub(super) fn mark_focus(ui: &Ui, response: Response) -> Response {
    super::keyboard::follow(ui, &response);
    if response.has_focus() {
        let stroke = Stroke::new(2.0, palette(ui).accent);
        ui.painter().rect_stroke(
            response.rect.expand(3.0),
            5.0,
            stroke,
            egui::StrokeKind::Outside,
        );
    }
    response
}

/// Words that open something, underlined under the pointer.
pub fn link(ui: &mut Ui, words: &str) -> Response {
    let response = ui.link(RichText::new(words).color(palette(ui).accent));
    mark_focus(ui, response)
}

/// A key combination in soft ink, beside what it does.
pub fn key_hint(ui: &mut Ui, keys: &str) -> Response {
    let colours = palette(ui);
    egui::Frame::new()
        .stroke(Stroke::new(1.0, colours.rule))
        .corner_radius(3)
        .inner_margin(egui::Margin::symmetric(6, 1))
        .show(ui, |ui| {
            ui.label(
                RichText::new(keys)
                    .font(theme::small())
                    .color(colours.soft_ink),
            )
        })
        .inner
}
