//! What stands over the window for a moment: a question to confirm, the list of keys.
//! What is done after is up to whoever asked.

use egui::{Context, Id, Key, Modal, Modifiers, RichText, Ui};

use super::buttons::{key_hint, primary_button, secondary_button};
use super::text::card_heading;
use crate::app::theme::{palette, space};

/// What stands over the window, with the margins of a card.
#[must_use]
pub fn over(ctx: &Context, modal: Modal) -> Modal {
    modal
        .frame(egui::Frame::popup(&ctx.global_style()).inner_margin(space::PAGE))
        .backdrop_color(egui::Color32::from_black_alpha(80))
}

/// The answer to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Go ahead.
    Yes,
    /// Leave things as they are.
    No,
}

/// Asks before something that is hard to take back; Escape means no. The buttons say what happens.
pub fn confirm(ctx: &Context, title: &str, words: &str, yes: &str, no: &str) -> Option<Answer> {
    let mut answer = None;
    let modal = over(ctx, Modal::new(Id::unique(("confirm", title)))).show(ctx, |ui| {
        ui.set_width(440.0);
        card_heading(ui, title);
        ui.add_space(space::SMALL);
        ui.label(words);
        ui.add_space(space::LARGE);
        ui.horizontal(|ui| {
            if primary_button(ui, yes, "Enter").clicked()
                || ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter))
            {
                answer = Some(Answer::Yes);
            }
            if secondary_button(ui, no, "Esc").clicked() {
                answer = Some(Answer::No);
            }
        });
    });
    if answer.is_none() && modal.should_close() {
        answer = Some(Answer::No);
    }
    answer
}

/// The list of keys, in groups; answers true when it was put away.
pub fn key_list(ctx: &Context, groups: &[(&str, &[(&str, &str)])]) -> bool {
    let mut is_done = false;
    let modal = over(ctx, Modal::new(Id::unique("keys"))).show(ctx, |ui| {
        ui.set_width(560.0);
        card_heading(ui, "Keys");
        egui::ScrollArea::vertical()
            .max_height(ui.ctx().content_rect().height() - 180.0)
            .show(ui, |ui| {
                for (title, keys) in groups {
                    group(ui, title, keys);
                }
            });
        ui.add_space(space::MEDIUM);
        is_done = primary_button(ui, "Close", "Esc").clicked();
    });
    is_done || modal.should_close()
}

fn group(ui: &mut Ui, title: &str, keys: &[(&str, &str)]) {
    ui.add_space(space::MEDIUM);
    let colour = palette(ui).soft_ink;
    ui.label(RichText::new(title).color(colour));
    egui::Grid::new(("keys", title))
        .num_columns(2)
        .spacing([24.0, 6.0])
        .show(ui, |ui| {
            for (key, what) in keys {
                key_hint(ui, key);
                ui.label(*what);
                ui.end_row();
            }
        });
}
