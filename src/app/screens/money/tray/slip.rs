//! The current line, opened: what the bank wrote, what it looks like and why, and each deed with its key.
//! What is asked further is `other`'s and `found`'s.

use egui::{RichText, Ui};

use super::{Deed, Doing, found, other, words};
use crate::app::action::SortingWrite;
use crate::app::screen::ViewContext;
use crate::app::theme::{self, palette, space};
use crate::app::widgets::{
    Field, card, primary_button, primary_button_enabled, problem, quiet_button, secondary_button,
    soft, text_field,
};
use crate::dates::show_day;
use crate::reports::{Tray, TrayRow};
use crate::sorting::{BankLine, Suggested};

/// What was pressed on the slip.
pub(super) enum Answer {
    /// One of the deeds.
    Deed(Deed),
    /// What was asked further is answered.
    Write(Box<SortingWrite>),
    /// What is asked further is put away.
    Close,
}

/// Draws the current line.
pub(super) fn slip_ui(
    ui: &mut Ui,
    row: &TrayRow,
    tray: &Tray,
    doing: &mut Doing,
    refused: Option<&str>,
    cx: &ViewContext<'_>,
) -> Option<Answer> {
    card(ui, |ui| {
        head_ui(ui, &row.line, cx);
        let mut answer = match doing {
            Doing::Nothing => deeds_ui(ui, row, tray, cx),
            Doing::Other(draft) => other::other_ui(ui, draft, &row.line, tray, cx),
            Doing::Found(draft) => found::found_ui(ui, draft, cx),
            Doing::LeavingOut(why) => leave_out_ui(ui, why, &row.line),
        };
        if let Some(words) = refused {
            problem(ui, words);
        }
        answer.take()
    })
}

fn head_ui(ui: &mut Ui, line: &BankLine, cx: &ViewContext<'_>) {
    let colours = palette(ui);
    egui::Sides::new().shrink_left().wrap().show(
        ui,
        |ui| {
            let payee = ui.label(
                RichText::new(words::payee(line))
                    .font(theme::card_heading())
                    .color(colours.ink),
            );
            ui.ctx().accesskit_node_builder(payee.id, |node| {
                node.set_role(egui::accesskit::Role::Heading);
                node.set_label(words::payee(line));
            });
        },
        |ui| {
            let amount = RichText::new(cx.show(line.amount)).font(theme::card_heading());
            ui.label(amount.color(colours.ink));
        },
    );
    let way = if line.is_in() { "came in" } else { "went out" };
    soft(
        ui,
        &format!(
            "{way} on {}. The bank wrote: {}",
            show_day(line.date),
            line.text.trim()
        ),
    );
    ui.add_space(space::MEDIUM);
}

fn deeds_ui(ui: &mut Ui, row: &TrayRow, tray: &Tray, cx: &ViewContext<'_>) -> Option<Answer> {
    let said = words::suggestion(row, tray, cx);
    match &said {
        Some((what, why)) => {
            ui.label(RichText::new(format!("Looks like: {what}")).font(theme::bold()));
            soft(ui, why);
        }
        None => {
            soft(
                ui,
                "Nothing to go by yet. Say once what it was, and lines of the same payee are proposed so.",
            );
        }
    }
    ui.add_space(space::MEDIUM);
    let mut pressed = None;
    ui.horizontal_wrapped(|ui| {
        let is_entry = row
            .suggestion
            .as_ref()
            .is_some_and(|suggestion| matches!(suggestion.what, Suggested::Entry(_)));
        let first = match (&said, is_entry) {
            (None, _) => ("Say what it was", "Enter"),
            (Some(_), true) => ("Yes, the same", "Enter"),
            (Some(_), false) => ("Yes, write it down", "Enter"),
        };
        if primary_button(ui, first.0, first.1).clicked() {
            pressed = Some(Deed::Accept);
        }
        for (deed, label, key, term) in deeds(&row.line) {
            if said.is_none() && deed == Deed::Other {
                continue;
            }
            if secondary_button(ui, label, key)
                .on_hover_text(term)
                .clicked()
            {
                pressed = Some(deed);
            }
        }
    });
    pressed.map(Answer::Deed)
}

/// The deeds beside accepting, with their keys and what they mean to the trade.
fn deeds(line: &BankLine) -> Vec<(Deed, &'static str, &'static str, &'static str)> {
    let mut list = Vec::new();
    if line.is_in() {
        list.push((
            Deed::Private,
            "My own money",
            "P",
            "Owner's money in, a contribution of capital",
        ));
    } else {
        list.push((
            Deed::Private,
            "Private",
            "P",
            "A private thing the business paid: a drawing",
        ));
        list.push((
            Deed::Split,
            "Several things",
            "S",
            "One payment, several kinds of cost: the form for something bought",
        ));
    }
    list.push((
        Deed::Other,
        "Something else",
        "O",
        "Say what it was, and make a rule of it",
    ));
    list.push((
        Deed::Found,
        "It is in the book",
        "M",
        "Match it with what is written down already",
    ));
    list.push((
        Deed::LeaveOut,
        "Leave it out",
        "L",
        "It stays out of the books, with your reason",
    ));
    list
}

fn leave_out_ui(ui: &mut Ui, why: &mut String, line: &BankLine) -> Option<Answer> {
    let field = Field::new("Why does it stay out of the books?")
        .hint("such as: on the statement twice")
        .take_focus(why.is_empty() && ui.memory(|memory| memory.focused().is_none()));
    let response = text_field(ui, field, why);
    let by_key = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    ui.add_space(space::SMALL);
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        let is_said = !why.trim().is_empty();
        let pressed = primary_button_enabled(ui, is_said, "Leave it out", "Enter").clicked();
        if is_said && (pressed || by_key) {
            let write = SortingWrite::LeaveOut(line.id, why.trim().to_owned());
            answer = Some(Answer::Write(Box::new(write)));
        }
        if quiet_button(ui, "Not now").on_hover_text("Esc").clicked() {
            answer = Some(Answer::Close);
        }
    });
    answer
}
