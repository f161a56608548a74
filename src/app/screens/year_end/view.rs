//! Year end as it is drawn: the checklist, the statements, the folder, closing and reopening.
//! What it says is worked out in `checklist` and `statements`.

use egui::{RichText, ScrollArea, Ui};

use super::checklist::{Check, Mend};
use super::statements::{BASES, Cut, Paper, Statement};
use super::words::{Word, words_on};
use crate::app::screens::explain::Source;
use crate::app::theme::{palette, space};
use crate::app::widgets::{
    card, card_heading, caution, choice_chips, count_badge, figures_width, secondary_button, soft,
    statement_table,
};
use crate::dates::show_day;
use crate::keeping::{KEEPING_CAUTION, KeepRule};
use crate::reports::KeptYear;
use crate::statements::Basis;

/// The caution of the pack.
pub const CAUTION: &str = "The pack sorts and explains; it is no tax return. Tax treatment, thresholds, depreciation \
     for tax and sales tax depend on where the business is: confirm with local rules and a licensed professional.";

/// The room that the words before the figures of a statement have, and the least that they can do with before the
/// statement is scrolled sideways.
const WORDS: f32 = 200.0;
const FEWEST_WORDS: f32 = 140.0;

/// The checklist; answers where an open point is to be mended.
#[must_use]
pub fn checklist_ui(ui: &mut Ui, checks: &[Check], n_open: usize) -> Option<Mend> {
    let mut asked = None;
    card(ui, |ui| {
        ui.horizontal(|ui| {
            card_heading(ui, "Before handing over");
            count_badge(ui, n_open);
        });
        if n_open == 0 {
            soft(ui, "Nothing is open. The year is ready.");
        }
        for (idx, check) in checks.iter().enumerate() {
            ui.push_id(idx, |ui| {
                if let Some(mend) = check_ui(ui, check) {
                    asked = Some(mend);
                }
            });
        }
    });
    asked
}

fn check_ui(ui: &mut Ui, check: &Check) -> Option<Mend> {
    let mut asked = None;
    let colours = palette(ui);
    ui.add_space(space::SMALL);
    egui::Sides::new().shrink_left().wrap().show(
        ui,
        |ui| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                let (word, colour) = if check.is_done {
                    ("Done", colours.soft_ink)
                } else {
                    ("Open", colours.ink)
                };
                ui.label(RichText::new(format!("{word}: {}", check.what)).color(colour));
                if !check.note.is_empty() {
                    soft(ui, &check.note);
                }
            });
        },
        |ui| {
            if let Some((word, mend)) = &check.mend {
                let button = secondary_button(ui, word, "");
                let name = format!("{word}: {}", check.what);
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
                if button.clicked() {
                    asked = Some(mend.clone());
                }
            }
        },
    );
    asked
}

/// The statement chosen, as on paper; answers the figure that was pressed.
#[must_use]
pub fn statement_ui(
    ui: &mut Ui,
    which: &mut Statement,
    cut: &mut Cut,
    basis: &mut Basis,
    paper: &Paper,
) -> Option<Source> {
    let mut asked = None;
    card(ui, |ui| {
        choice_chips(ui, "Statement", which, Statement::CHOICES);
        if which.has_basis() {
            choice_chips(ui, "Basis", basis, BASES);
        }
        if *which == Statement::Profit {
            choice_chips(
                ui,
                "Beside it",
                cut,
                &[
                    (Cut::LastYear, "Last year"),
                    (Cut::Quarter, "Quarters"),
                    (Cut::Month, "Months"),
                ],
            );
        }
        ui.add_space(space::MEDIUM);
        card_heading(ui, &paper.title);
        soft(ui, &paper.about);
        words_ui(ui, &words_on(*which, paper));
        ui.add_space(space::SMALL);
        asked = paper_ui(ui, paper);
    });
    asked
}

/// What the trade's words on a statement mean, for whoever opens it.
fn words_ui(ui: &mut Ui, words: &[Word]) {
    if words.is_empty() {
        return;
    }
    ui.add_space(space::SMALL);
    egui::CollapsingHeader::new("What the words mean").show(ui, |ui| {
        for word in words {
            soft(ui, &word.told());
        }
    });
}

/// A statement as on paper, scrolled sideways when it has many columns.
#[must_use]
pub fn paper_ui(ui: &mut Ui, paper: &Paper) -> Option<Source> {
    if paper.rows.is_empty() {
        soft(ui, "Nothing to show for this year yet.");
        return None;
    }
    let columns: Vec<&str> = paper.columns.iter().map(String::as_str).collect();
    let figures = figures_width(ui, &columns, &paper.rows);
    let wide = WORDS + figures;
    let room = ui.available_width();
    let opens = &|row, column| paper.source(row, column).is_some();
    let pressed = if FEWEST_WORDS + figures > room {
        ScrollArea::horizontal()
            .id_salt("wide statement")
            .show(ui, |ui| {
                ui.set_width(wide);
                statement_table(ui, &columns, &paper.rows, opens)
            })
            .inner
    } else {
        ui.scope(|ui| {
            // Figures far from their words are hard to follow across a wide sheet.
            ui.set_max_width(room.min(wide.max(640.0)));
            statement_table(ui, &columns, &paper.rows, opens)
        })
        .inner
    };
    let (row, column) = pressed?;
    paper.source(row, column).cloned()
}

/// How long the year's records are kept.
pub fn kept_ui(ui: &mut Ui, rule: &KeepRule, kept: &KeptYear) {
    card_heading(ui, "Keep the records").on_hover_text("Record retention");
    ui.label(format!(
        "Everything of the year to {}: until {} at least. That is {} years from {}; the return is due on {}.",
        show_day(kept.range.to),
        show_day(kept.until),
        rule.years,
        rule.counted_from,
        show_day(kept.return_due)
    ));
    soft(ui, &format!("Longer: {}.", rule.longer.join("; ")));
    soft(ui, &rule.property);
    soft(
        ui,
        &format!(
            "{}. From: {}; checked {}.",
            rule.title, rule.source, rule.checked
        ),
    );
    ui.add_space(space::SMALL);
    caution(ui, KEEPING_CAUTION);
}

/// The caution beside the pack.
pub fn caution_ui(ui: &mut Ui) {
    caution(ui, CAUTION);
}
