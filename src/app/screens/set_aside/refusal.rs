//! Why there is no sheet, said where it would stand, with what to do about it.
//! The reasons are `set_aside`'s; here they get plain words and a button.

use egui::Ui;

use super::model::SetAsideModel;
use super::{Part, Pressed};
use crate::app::theme::space;
use crate::app::widgets::{card, card_heading, primary_button, quiet_button, second_line};
use crate::set_aside::SetAsideError;

/// Says why, and offers what helps.
pub(super) fn refusal_ui(ui: &mut Ui, model: &SetAsideModel) -> Option<Pressed> {
    let why = model.refusal.as_ref()?;
    let mut pressed = None;
    card(ui, |ui| {
        let (title, words) = in_words(why, model);
        card_heading(ui, &title);
        second_line(ui, &words);
        second_line(
            ui,
            "Until then the figures below are a plain share of profit.",
        );
        ui.add_space(space::MEDIUM);
        ui.horizontal_wrapped(|ui| {
            pressed = help_ui(ui, why, model);
        });
    });
    ui.add_space(space::LARGE);
    pressed
}

fn help_ui(ui: &mut Ui, why: &SetAsideError, model: &SetAsideModel) -> Option<Pressed> {
    let take =
        |method: &str| Pressed::Keep(vec![("set_aside.method".to_owned(), method.to_owned())]);
    let mut pressed = None;
    match why {
        SetAsideError::Missing { .. } | SetAsideError::Answer { .. } => {
            if primary_button(ui, "Answer it now", "").clicked() {
                pressed = Some(Pressed::Show(Part::Answers));
            }
        }
        SetAsideError::NoRatesForYear { nearest, .. }
        | SetAsideError::NoRatesFile { nearest, .. }
            if nearest != "percent" =>
        {
            let words = format!("Take {} as an assumption", model.title_of(nearest));
            if primary_button(ui, &words, "").clicked() {
                pressed = Some(take(nearest));
            }
        }
        _ => {
            if primary_button(ui, "Choose another way", "").clicked() {
                pressed = Some(Pressed::Show(Part::Answers));
            }
        }
    }
    if quiet_button(ui, "Keep a plain share of profit").clicked() {
        pressed = Some(take("percent"));
    }
    pressed
}

fn in_words(why: &SetAsideError, model: &SetAsideModel) -> (String, String) {
    match why {
        SetAsideError::Missing { label, .. } => (
            "One answer is missing".to_owned(),
            format!(
                "The sheet of {} cannot be worked without it: \u{201c}{label}\u{201d}.",
                model.title_of(&model.method)
            ),
        ),
        SetAsideError::Answer { why, .. } => (
            "One answer cannot be".to_owned(),
            format!("{why}. Put it right and the sheet is worked again."),
        ),
        SetAsideError::NoRatesForYear { year, nearest, .. } => (
            format!("No rates for {year} yet"),
            format!(
                "Nobody's published rates of that year are here. The nearest are {}: taken in their place they are an \
                 assumption, and every sheet says so. A file of your own in the folder \u{201c}rates\u{201d} beside the \
                 book is taken as soon as it is there.",
                model.title_of(nearest)
            ),
        ),
        SetAsideError::NoRatesFile { wanted, .. } => (
            "That way of working is not here".to_owned(),
            format!(
                "The book asks for \u{201c}{wanted}\u{201d}, and there is no file of that name. If it was your own, put it \
                 back into the folder \u{201c}rates\u{201d} beside the book."
            ),
        ),
        SetAsideError::File(fault) => (
            "A file of rates cannot be used".to_owned(),
            format!(
                "{fault}. Nothing else is changed by it. Put the line right in the folder \u{201c}rates\u{201d} beside the \
                 book, or take the file out, and come back to this room."
            ),
        ),
        SetAsideError::NotBegun { .. } | SetAsideError::TaxYearNotBegun { .. } => (
            "The year has not begun".to_owned(),
            format!(
                "{}: there is nothing to work from yet.",
                crate::app::sentence(&why.to_string())
            ),
        ),
        other => (
            "The sheet cannot be worked".to_owned(),
            format!("{}.", crate::app::sentence(&other.to_string())),
        ),
    }
}
