//! Free to spend: the figure with every term that opens, what would help when more is promised than is there, "can I buy
//! this?", the owner's own split, and what she chose about it.
//! `buying` tries a purchase, `split` shares out what is free, `choices` are the reserve and the days looked ahead.

mod buying;
mod choices;
mod split;

use buying::BuyingDraft;
use choices::ChoicesDraft;
use egui::Ui;
use split::SplitDraft;

use super::explain::{self, Explanation, Pressed, Source, explanation_ui, free_explanation};
use crate::app::action::{Action, Form, FormWish};
use crate::app::navigation::Room;
use crate::app::screen::{Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{card, card_heading, quiet_button};
use crate::book::{Book, BookError};
use crate::free_to_spend::Help;
use crate::reports::{self, FreeReport};

/// Opens what is free to spend.
#[must_use]
pub fn open_free() -> Action {
    Action::Open(Box::new(FreeScreen::default()))
}

/// What is free to spend, and what can be asked of it.
#[derive(Default)]
pub struct FreeScreen {
    report: Option<FreeReport>,
    answer: Explanation,
    buying: BuyingDraft,
    split: SplitDraft,
    choices: ChoicesDraft,
}

impl Screen for FreeScreen {
    fn title(&self) -> String {
        "Free to spend".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let report = reports::free(book, cx.today)?;
        self.answer = free_explanation(&report);
        self.buying.try_out(book, &report)?;
        self.split.read(cx.settings);
        self.choices.read(cx.settings);
        self.report = Some(report);
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.buying.is_stale()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let report = self.report.as_ref()?;
        let pressed = explanation_ui(ui, &self.answer, cx.currency);
        let mut action = pressed.map(|pressed| match pressed {
            Pressed::Term(source) => explain::open(source),
            Pressed::Entry(number) => super::entry::open(number),
        });
        if !report.help.is_empty() {
            let helped = card(ui, |ui| help_ui(ui, report, cx));
            action = action.or(helped);
            ui.add_space(space::LARGE);
        }
        let tried = card(ui, |ui| self.buying.ui(ui, cx));
        action = action.or(tried);
        ui.add_space(space::LARGE);
        let shared = card(ui, |ui| self.split.ui(ui, report, &mut self.buying, cx));
        action = action.or(shared);
        ui.add_space(space::LARGE);
        let chosen = card(ui, |ui| self.choices.ui(ui, cx));
        ui.add_space(space::LARGE);
        action.or(chosen)
    }

    fn has_draft(&self) -> bool {
        self.split.is_changed() || self.choices.is_changed()
    }
}

fn help_ui(ui: &mut Ui, report: &FreeReport, cx: &ViewContext<'_>) -> Option<Action> {
    card_heading(ui, "What would help");
    let mut action = None;
    for (idx, help) in report.help.iter().enumerate() {
        ui.push_id(idx, |ui| {
            ui.label(help.sentence(cx.currency));
            match help {
                Help::Payout { channel, name, .. } => ui.horizontal_wrapped(|ui| {
                    if named(ui, "Show", name) {
                        action = Some(explain::open(Source::Channel(*channel)));
                    }
                    if named(ui, "Write payout", name) {
                        action = Some(Action::Start(FormWish::about(Form::Payout, *channel)));
                    }
                }),
                Help::CanWait { name, .. } => ui.horizontal(|ui| {
                    if named(ui, "Open what recurs", name) {
                        action = Some(Action::Go(Room::Buy));
                    }
                }),
                Help::Largest { .. } | Help::Reserve { .. } => return,
            };
        });
    }
    let words =
        "Some of your own money put in would help too; it stays yours, as owner's money in.";
    ui.label(words);
    if quiet_button(ui, "Money in").clicked() {
        action = Some(Action::Start(FormWish {
            account: cx.chart.role(crate::ledger::Role::BusinessBank).ok(),
            ..FormWish::new(Form::OwnerIn)
        }));
    }
    action
}

/// A button whose name for a screen reader says what it is about.
fn named(ui: &mut Ui, words: &str, about: &str) -> bool {
    let response = quiet_button(ui, words);
    let name = format!("{words}: {about}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
    response.clicked()
}
