//! The band over a practice copy: a word, a sentence and stripes, so that nobody takes it for the real book.
//! What its buttons do is the window's.

use egui::{Rect, RichText, Stroke, Ui, pos2};

use super::buttons::link;
use crate::app::theme::{self, palette, space};

/// What the owner asked for in the band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PracticeAsked {
    /// To go back to the real book.
    RealBook,
    /// To have the practice copy made afresh.
    Afresh,
}

/// The band; where there is little room it says less. Without `can_leave`, as while the book is away, it has no buttons.
pub fn practice_band(ui: &mut Ui, can_leave: bool) -> Option<PracticeAsked> {
    let whole = ui.max_rect();
    let is_wide = ui.available_width() > 640.0;
    let mut asked = None;
    let shown = ui
        .horizontal(|ui| {
            ui.add_space(STRIPES + space::MEDIUM);
            ui.label(RichText::new("Practice copy").font(theme::bold()));
            if is_wide {
                ui.label(RichText::new("Nothing here is in your real book.").font(theme::small()));
            }
            if can_leave {
                ui.add_space(space::MEDIUM);
                if link(ui, "Back to the real book").clicked() {
                    asked = Some(PracticeAsked::RealBook);
                }
                if is_wide {
                    ui.add_space(space::MEDIUM);
                    if link(ui, "Make the copy afresh").clicked() {
                        asked = Some(PracticeAsked::Afresh);
                    }
                }
            }
        })
        .response
        .rect;
    let rows = shown.y_range();
    let left = Rect::from_x_y_ranges(whole.left()..=whole.left() + STRIPES, rows);
    stripes(ui, left);
    let right = Rect::from_x_y_ranges(
        (shown.right() + space::LARGE).min(whole.right())..=whole.right(),
        rows,
    );
    stripes(ui, right);
    asked
}

/// The width of the stripes at the left.
const STRIPES: f32 = 34.0;

/// Slanting stripes over a rectangle.
fn stripes(ui: &Ui, rect: Rect) {
    if rect.width() <= 0.0 {
        return;
    }
    let stroke = Stroke::new(4.0, palette(ui).caution_edge);
    let painter = ui.painter().with_clip_rect(rect);
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let from = pos2(x, rect.bottom());
        let to = pos2(x + rect.height(), rect.top());
        painter.line_segment([from, to], stroke);
        x += 12.0;
    }
}
