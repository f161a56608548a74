//! What the owner chose about what is free: her reserve, and how many days ahead recurring purchases are looked at.
//! Both are settings of the book.

use egui::Ui;

use crate::app::action::{Action, Write};
use crate::app::screen::ViewContext;
use crate::app::screens::settings::plain;
use crate::app::theme::space;
use crate::app::widgets::{Field, card_heading, money_field, primary_button_enabled, text_field};
use crate::book::Settings;

/// The choices as they are typed.
#[derive(Debug, Default)]
pub(super) struct ChoicesDraft {
    typed: Choices,
    read: Choices,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Choices {
    reserve: String,
    days: String,
}

impl ChoicesDraft {
    pub(super) fn read(&mut self, settings: &Settings) {
        let reserve = settings.amount("reserve");
        let read = Choices {
            reserve: reserve.map_or(String::new(), |amount| settings.currency().show(amount)),
            days: settings.free_days().to_string(),
        };
        if !self.is_changed() {
            self.typed = read.clone();
        }
        self.read = read;
    }

    pub(super) fn is_changed(&self) -> bool {
        self.typed != self.read
    }

    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        card_heading(ui, "What you always keep, and how far to look ahead");
        let days = self.typed.days.trim().parse::<u16>();
        let is_wrong = !days.is_ok_and(|days| days <= 366);
        let wrong = is_wrong.then_some("a number of days from 0 to 366");
        ui.horizontal_wrapped(|ui| {
            let field = Field::new("Your own reserve").width(150.0).hint("0.00");
            money_field(ui, field, &mut self.typed.reserve, cx.currency);
            let field = Field::new("Look so many days ahead")
                .width(200.0)
                .problem(wrong);
            text_field(ui, field, &mut self.typed.days);
        });
        ui.add_space(space::SMALL);
        let reserve = plain(&self.typed.reserve, cx.currency);
        let is_ready = self.is_changed() && !is_wrong && reserve.is_ok();
        let is_pressed = primary_button_enabled(ui, is_ready, "Keep these", "").clicked();
        let reserve = reserve.ok().filter(|_| is_pressed)?;
        let mut changes = Vec::new();
        if self.typed.reserve != self.read.reserve {
            changes.push(("reserve".to_owned(), reserve));
        }
        if self.typed.days != self.read.days {
            changes.push(("free_days".to_owned(), self.typed.days.trim().to_owned()));
        }
        Some(Action::write(Write::SetSettings(changes)))
    }
}
