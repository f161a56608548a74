//! Set aside as it is drawn: the sentence, the caution, what to do, then one part of the room at a time.
//! Each part is drawn in a file of its own.

use chrono::NaiveDate;
use egui::{RichText, Ui};

use super::answers::{self, AnswersDraft};
use super::dates::{self, CalendarDraft};
use super::model::{SetAsideModel, headline};
use super::what_if::{self, WhatIf};
use super::{Part, Pressed, put_by, refusal, sheet};
use crate::app::screen::ViewContext;
use crate::app::theme::{self, space};
use crate::app::widgets::{caution, choice_chips, primary_button, second_line, secondary_button};
use crate::dates::{DateRange, show_day};

/// What is being typed and chosen in the room.
pub(super) struct Drafts<'a> {
    pub part: &'a mut Part,
    pub answers: &'a mut AnswersDraft,
    pub what_if: &'a mut WhatIf,
    pub calendar: &'a mut CalendarDraft,
    pub is_stale: &'a mut bool,
}

/// Shows the room.
pub(super) fn set_aside_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    drafts: Drafts<'_>,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let estimate = &model.facts.estimate;
    ui.label(RichText::new(headline(estimate, cx.today, cx.currency)).font(theme::heading()));
    second_line(
        ui,
        &format!(
            "An estimate from your books up to {}: {}.",
            show_day(estimate.as_of),
            estimate.title
        ),
    );
    ui.add_space(space::SMALL);
    caution(ui, estimate.caution);
    for warning in &estimate.warnings {
        ui.add_space(space::SMALL);
        caution(ui, &format!("Take care. {warning}"));
    }
    ui.add_space(space::MEDIUM);
    if let Some(words) = clock_words(cx.today, model.facts.covered) {
        caution(ui, &words);
        ui.add_space(space::MEDIUM);
    }
    let mut pressed = refusal::refusal_ui(ui, model);
    let deed = deeds_ui(ui, model, drafts.calendar, drafts.is_stale, cx);
    pressed = pressed.or(deed);
    ui.add_space(space::SMALL);
    let choices = [
        (Part::Sheet, "The sheet"),
        (Part::Answers, "Your answers"),
        (Part::WhatIf, "What if"),
        (Part::PutBy, "Put by"),
    ];
    if choice_chips(ui, "Show", drafts.part, &choices) {
        *drafts.is_stale = true;
    }
    ui.add_space(space::MEDIUM);
    let of_part = match *drafts.part {
        Part::Sheet => sheet::sheet_ui(ui, model, cx),
        Part::Answers => {
            let (stale, kept) = answers::answers_ui(ui, model, drafts.answers, cx);
            *drafts.is_stale |= stale;
            kept
        }
        Part::WhatIf => {
            *drafts.is_stale |= what_if::what_if_ui(ui, model, drafts.what_if, cx);
            None
        }
        Part::PutBy => put_by::put_by_ui(ui, model, cx),
    };
    pressed.or(of_part)
}

fn deeds_ui(
    ui: &mut Ui,
    model: &SetAsideModel,
    calendar: &mut CalendarDraft,
    is_stale: &mut bool,
    cx: &ViewContext<'_>,
) -> Option<Pressed> {
    let mut pressed = None;
    let to_move = model.facts.estimate.to_move;
    ui.horizontal_wrapped(|ui| {
        if to_move.is_positive() && model.has_savings() {
            let words = format!("Move {} to savings\u{2026}", cx.currency.show(to_move));
            let button = primary_button(ui, &words, "");
            if button
                .on_hover_text("From the business account to the set-aside savings: a transfer")
                .clicked()
            {
                pressed = Some(Pressed::Move(to_move));
            }
        }
        if secondary_button(ui, "I paid tax\u{2026}", "")
            .on_hover_text("An instalment of your own tax: a drawing, not a cost of the business")
            .clicked()
        {
            pressed = Some(Pressed::PaidTax);
        }
        if secondary_button(ui, "Keep the dates as a calendar file\u{2026}", "").clicked() {
            *is_stale |= calendar.open(model);
        }
    });
    if dates::calendar_ui(ui, calendar, is_stale) {
        pressed = Some(Pressed::Calendar);
    }
    pressed
}

/// What is said when the computer's day lies well before what is written down already: dates and the part of the year
/// that is over rest on it.
fn clock_words(today: NaiveDate, covered: Option<DateRange>) -> Option<String> {
    let newest = covered?.to;
    (newest - today > chrono::TimeDelta::days(31)).then(|| {
        format!(
            "Take care. This computer says that today is {}, and the books reach to {}. If its clock is wrong, so are the \
             days and the sheet; nothing in the books is changed by it.",
            show_day(today),
            show_day(newest)
        )
    })
}
