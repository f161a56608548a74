//! Every colour, size and typeface of the window: paper and ink, and their dark twin.
//! What is drawn with them lives in `widgets` and the screens.

use std::sync::Arc;

use egui::{Color32, CornerRadius, FontFamily, FontId, Margin, Stroke, TextStyle, Theme, Vec2};

/// The colours of one theme. Ask [`palette`] for the one in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// The ground of the window, and of fields.
    pub paper: Color32,
    /// The raised ground of cards.
    pub sheet: Color32,
    /// Text.
    pub ink: Color32,
    /// Second lines and labels.
    pub soft_ink: Color32,
    /// Quiet rules between parts; carries no meaning alone.
    pub rule: Color32,
    /// The edge of what can be typed into or pressed.
    pub edge: Color32,
    /// The one accent: what can be done, and the main series of a chart.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// The accent under the pointer.
    pub accent_hover: Color32,
    /// The quiet ground of chips and of the row under the keyboard.
    pub accent_ground: Color32,
    /// The ground of a caution.
    pub caution: Color32,
    /// The edge of a caution, and the words of a problem beside a field.
    pub caution_edge: Color32,
    /// Further series of a chart, in order.
    pub series: [Color32; 4],
}

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

/// Ink on warm paper.
pub const LIGHT: Palette = Palette {
    paper: rgb(0x00F5_F0E6),
    sheet: rgb(0x00FC_FAF4),
    ink: rgb(0x0023_211D),
    soft_ink: rgb(0x0064_5E52),
    rule: rgb(0x00D8_CFBD),
    edge: rgb(0x008C_8270),
    accent: rgb(0x002F_4272),
    on_accent: rgb(0x00FF_FFFF),
    accent_hover: rgb(0x003D_5290),
    accent_ground: rgb(0x00E1_E4EC),
    caution: rgb(0x00F6_EBCF),
    caution_edge: rgb(0x0085_5A0D),
    series: [
        rgb(0x006F_7F60),
        rgb(0x00A2_6247),
        rgb(0x009A_6A12),
        rgb(0x0075_6A86),
    ],
};

/// Chalk on a dark board.
pub const DARK: Palette = Palette {
    paper: rgb(0x001F_1D1A),
    sheet: rgb(0x0029_2622),
    ink: rgb(0x00ED_E7DB),
    soft_ink: rgb(0x00AE_A696),
    rule: rgb(0x0045_4037),
    edge: rgb(0x0080_7868),
    accent: rgb(0x00A9_B8E6),
    on_accent: rgb(0x001B_1E28),
    accent_hover: rgb(0x00C0_CCF0),
    accent_ground: rgb(0x0038_3C4A),
    caution: rgb(0x003B_321F),
    caution_edge: rgb(0x00E0_B25A),
    series: [
        rgb(0x00A9_BA97),
        rgb(0x00D7_9A80),
        rgb(0x00E0_B25A),
        rgb(0x00BF_B0D4),
    ],
};

/// The colours in use where this is drawn.
#[must_use]
pub fn palette(ui: &egui::Ui) -> &'static Palette {
    of(ui.visuals().dark_mode)
}

/// The dark or the light colours.
#[must_use]
pub const fn of(dark: bool) -> &'static Palette {
    if dark { &DARK } else { &LIGHT }
}

/// Distances, in points.
pub mod space {
    /// Between parts of one thing.
    pub const SMALL: f32 = 4.0;
    /// Between things.
    pub const MEDIUM: f32 = 8.0;
    /// Between groups and cards.
    pub const LARGE: f32 = 16.0;
    /// The margin of the main area and inside cards.
    pub const PAGE: f32 = 20.0;
    /// The height of fields and buttons.
    pub const FIELD: f32 = 34.0;
    /// The height of a row in a table.
    pub const ROW: f32 = 30.0;
}

const BOLD: &str = "bold";
const BOOK: &str = "book";

/// The typeface of totals and of what is chosen.
#[must_use]
pub fn bold_family() -> FontFamily {
    FontFamily::Name(BOLD.into())
}

/// The book face, for headings.
#[must_use]
pub fn book_family() -> FontFamily {
    FontFamily::Name(BOOK.into())
}

/// Bold, at the size of the body.
#[must_use]
pub fn bold() -> FontId {
    FontId::new(15.0, bold_family())
}

/// The heading of a screen.
#[must_use]
pub fn heading() -> FontId {
    FontId::new(25.0, book_family())
}

/// The heading of a card, a room in the list, the name of the business.
#[must_use]
pub fn card_heading() -> FontId {
    FontId::new(18.0, book_family())
}

/// The big figure of a card.
#[must_use]
pub fn figure() -> FontId {
    FontId::new(25.0, book_family())
}

/// The body.
#[must_use]
pub fn body() -> FontId {
    FontId::new(15.0, FontFamily::Proportional)
}

/// Labels and second lines.
#[must_use]
pub fn small() -> FontId {
    FontId::new(13.0, FontFamily::Proportional)
}

/// Gives a context the typefaces, sizes and both sets of colours.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| {
            fill_sizes(style);
            fill_colours(&mut style.visuals, of(theme == Theme::Dark), theme);
        });
    }
}

fn fonts() -> egui::FontDefinitions {
    let mut fonts = egui::FontDefinitions::default();
    let files: [(&str, &'static [u8]); 3] = [
        ("body", include_bytes!("../../assets/fonts/Lato-Medium.ttf")),
        (BOLD, include_bytes!("../../assets/fonts/Lato-Bold.ttf")),
        (
            BOOK,
            include_bytes!("../../assets/fonts/DeckleBook-SemiBold.ttf"),
        ),
    ];
    for (name, bytes) in files {
        let mut data = egui::FontData::from_static(bytes);
        if name != BOOK {
            // Lato's letters stand high in their line; this centres them in fields and buttons.
            data.tweak.y_offset_factor = 0.07;
        }
        fonts.font_data.insert(name.to_owned(), Arc::new(data));
    }
    let body = fonts.families.entry(FontFamily::Proportional).or_default();
    body.insert(0, "body".to_owned());
    // Lato has no arrows and triangles; the monospace face shipped with egui does.
    body.push("Hack".to_owned());
    let fallback = body.clone();
    for name in [BOLD, BOOK] {
        let faces = std::iter::once(name.to_owned()).chain(fallback.iter().cloned());
        fonts
            .families
            .insert(FontFamily::Name(name.into()), faces.collect());
    }
    fonts
}

fn fill_sizes(style: &mut egui::Style) {
    style.text_styles = [
        (TextStyle::Small, small()),
        (TextStyle::Body, body()),
        (TextStyle::Button, body()),
        (TextStyle::Heading, heading()),
        (
            TextStyle::Monospace,
            FontId::new(14.0, FontFamily::Monospace),
        ),
    ]
    .into();
    style.spacing.item_spacing = Vec2::new(space::MEDIUM, space::SMALL);
    style.spacing.button_padding = Vec2::new(12.0, 6.0);
    style.spacing.interact_size = Vec2::new(40.0, 30.0);
    style.spacing.menu_margin = Margin::same(6);
    style.spacing.tooltip_width = 360.0;
    style.spacing.combo_height = 320.0;
    style.spacing.scroll = egui::style::ScrollStyle::solid();
    style.spacing.scroll.bar_width = 8.0;
    style.spacing.scroll.floating_allocated_width = 8.0;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    style.visuals.text_cursor.blink = false;
    style.animation_time = 0.0;
}

fn fill_colours(visuals: &mut egui::Visuals, colours: &Palette, theme: Theme) {
    *visuals = match theme {
        Theme::Dark => egui::Visuals::dark(),
        Theme::Light => egui::Visuals::light(),
    };
    let corner = CornerRadius::same(4);
    visuals.panel_fill = colours.paper;
    visuals.window_fill = colours.sheet;
    visuals.window_stroke = Stroke::new(1.0, colours.rule);
    visuals.window_corner_radius = corner;
    visuals.menu_corner_radius = corner;
    visuals.extreme_bg_color = colours.paper;
    visuals.text_edit_bg_color = Some(colours.paper);
    visuals.faint_bg_color = colours.paper;
    visuals.code_bg_color = colours.accent_ground;
    visuals.hyperlink_color = colours.accent;
    visuals.warn_fg_color = colours.caution_edge;
    visuals.error_fg_color = colours.caution_edge;
    visuals.weak_text_color = Some(colours.soft_ink);
    visuals.selection.bg_fill = colours.accent_ground;
    visuals.selection.stroke = Stroke::new(2.0, colours.accent);
    visuals.text_cursor.stroke = Stroke::new(2.0, colours.accent);
    // A blinking cursor would repaint an idle window twice a second.
    visuals.text_cursor.blink = false;
    visuals.popup_shadow = egui::Shadow::NONE;
    visuals.window_shadow = egui::Shadow::NONE;
    let ink = Stroke::new(1.0, colours.ink);
    let edge = Stroke::new(1.0, colours.edge);
    let accent = Stroke::new(1.5, colours.accent);
    let widgets = &mut visuals.widgets;
    let states = [
        (
            &mut widgets.noninteractive,
            colours.sheet,
            Stroke::new(1.0, colours.rule),
        ),
        (&mut widgets.inactive, colours.paper, edge),
        (&mut widgets.hovered, colours.accent_ground, accent),
        (&mut widgets.active, colours.accent_ground, accent),
        (&mut widgets.open, colours.accent_ground, accent),
    ];
    for (state, fill, stroke) in states {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = stroke;
        state.fg_stroke = ink;
        state.corner_radius = corner;
        state.expansion = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn luminance(colour: Color32) -> f64 {
        let [red, green, blue, _] = colour.to_array().map(|channel| {
            let part = f64::from(channel) / 255.0;
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// WCAG 2.2, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (edges of controls and parts of charts, 3 to 1).
    #[test]
    fn every_pair_of_colours_can_be_read() {
        for (name, p) in [("light", LIGHT), ("dark", DARK)] {
            let text = [
                ("ink on paper", p.ink, p.paper),
                ("ink on sheet", p.ink, p.sheet),
                ("ink on a chip", p.ink, p.accent_ground),
                ("ink on a caution", p.ink, p.caution),
                ("soft ink on paper", p.soft_ink, p.paper),
                ("soft ink on sheet", p.soft_ink, p.sheet),
                ("soft ink on a chip", p.soft_ink, p.accent_ground),
                ("soft ink on a caution", p.soft_ink, p.caution),
                ("accent on paper", p.accent, p.paper),
                ("accent on sheet", p.accent, p.sheet),
                ("accent on a chip", p.accent, p.accent_ground),
                ("on accent", p.on_accent, p.accent),
                ("on accent under the pointer", p.on_accent, p.accent_hover),
                ("a problem on paper", p.caution_edge, p.paper),
                ("a problem on sheet", p.caution_edge, p.sheet),
            ];
            for (pair, front, ground) in text {
                let ratio = contrast(front, ground);
                assert!(ratio >= 4.5, "{name}: {pair} is {ratio:.2}");
            }
            let mut edges = vec![
                ("edge on paper", p.edge, p.paper),
                ("edge on sheet", p.edge, p.sheet),
                ("caution's edge", p.caution_edge, p.caution),
            ];
            edges.extend(p.series.map(|series| ("a series", series, p.sheet)));
            for (pair, front, ground) in edges {
                let ratio = contrast(front, ground);
                assert!(ratio >= 3.0, "{name}: {pair} is {ratio:.2}");
            }
        }
    }
}
