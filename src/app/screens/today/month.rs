//! The card of a month on Today: its four points, each with where it is mended, and whether it is finished.
//! What the points say is `reports`'.

use egui::{RichText, Ui};

use super::model::Step;
use super::view::name_button;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    card, card_heading, primary_button, quiet_button, secondary_button, soft,
};
use crate::reports::{MonthCard, MonthMend, MonthOpen};

/// Shows a month.
pub(super) fn month_ui(ui: &mut Ui, month: &MonthCard) -> Option<Step> {
    let mut asked = None;
    card(ui, |ui| {
        egui::Sides::new().show(
            ui,
            |ui| card_heading(ui, &month.month.to_string()),
            |ui| asked = choose_ui(ui, month),
        );
        ui.label(month.in_words());
        for point in &month.points {
            ui.add_space(space::SMALL);
            let (word, colour) = if point.is_done() {
                ("done", palette(ui).soft_ink)
            } else {
                ("open", palette(ui).ink)
            };
            let title = RichText::new(format!("{}: {word}", point.title));
            ui.label(title.font(theme::bold()).color(colour));
            if point.is_done() {
                soft(ui, &point.done);
            }
            for open in &point.open {
                if let Some(step) = ui.push_id(&open.what, |ui| open_ui(ui, open)).inner {
                    asked = Some(step);
                }
            }
        }
        ui.add_space(space::MEDIUM);
        asked = asked.take().or(finish_ui(ui, month));
    });
    asked
}

/// The months before and after.
fn choose_ui(ui: &mut Ui, month: &MonthCard) -> Option<Step> {
    let mut asked = None;
    let (first, last) = month.choice;
    // Set from the right: the later month stands at the outer edge.
    for (is_there, step, words) in [
        (month.month < last, 1, "Later"),
        (month.month > first, -1, "Earlier"),
    ] {
        if is_there {
            let to = month.month.plus(step);
            let button = quiet_button(ui, words);
            name_button(&button, words, &to.to_string());
            if button.clicked() {
                asked = Some(Step::SeeMonth(to));
            }
        }
    }
    asked
}

fn open_ui(ui: &mut Ui, open: &MonthOpen) -> Option<Step> {
    let mut asked = None;
    egui::Sides::new().shrink_left().wrap().show(
        ui,
        |ui| ui.label(&open.what),
        |ui| {
            let words = button_of(&open.mend);
            let button = secondary_button(ui, words, "");
            name_button(&button, words, &open.what);
            if button.clicked() {
                asked = Some(Step::Mend(open.mend.clone()));
            }
        },
    );
    asked
}

const fn button_of(mend: &MonthMend) -> &'static str {
    match mend {
        MonthMend::SortLines => "Sort",
        MonthMend::BringStatement => "Bring it in",
        MonthMend::HoldAgainst(_) => "Begin",
        MonthMend::HoldSeveral => "Open",
        MonthMend::Receipts => "Show",
        MonthMend::Purpose(_) => "Open",
        MonthMend::Wear(_) | MonthMend::Recurring(_) | MonthMend::PaidAhead => "Write down",
        MonthMend::SetAside(_) => "Move",
    }
}

fn finish_ui(ui: &mut Ui, month: &MonthCard) -> Option<Step> {
    let name = month.month.name();
    if month.is_finished {
        soft(
            ui,
            "It rests: writing something in it asks once, and the history says so. Nothing is locked.",
        );
        let words = format!("Open {name} again");
        return quiet_button(ui, &words)
            .clicked()
            .then_some(Step::OpenMonthAgain(month.month));
    }
    let words = format!("{name} is finished");
    let button = if month.n_done() == month.points.len() {
        primary_button(ui, &words, "")
    } else {
        soft(
            ui,
            "You can call it finished all the same; what is open stays in sight.",
        );
        secondary_button(ui, &words, "")
    };
    button.clicked().then_some(Step::FinishMonth(month.month))
}
