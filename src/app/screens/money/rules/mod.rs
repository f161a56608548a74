//! Rules: what lines of the statements always become, asked from the top, and beneath it what was learned by payee.
//! `form` is a rule while it is typed, `view` draws the lists.

mod form;
mod view;

use egui::Ui;

use self::form::RuleDraft;
use self::view::Pressed;
use super::tray::reading::TrayReader;
use crate::app::action::{Action, SortingWrite, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::app::theme::space;
use crate::app::widgets::{page_heading, primary_button};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;
use crate::sorting::{Choice, Rule};

/// Opens the rules.
#[must_use]
pub fn open_rules() -> Action {
    Action::Open(Box::new(RulesScreen::default()))
}

/// The rules and what was learned.
#[derive(Default)]
pub struct RulesScreen {
    rules: Vec<Rule>,
    /// How many of the lines to sort each rule fits.
    fitting: Vec<usize>,
    choices: Vec<Choice>,
    reader: TrayReader,
    draft: Option<Box<RuleDraft>>,
    search: String,
    revision: Option<u64>,
    is_keeping: bool,
}

impl RulesScreen {
    fn answer(&mut self, pressed: Pressed, cx: &ViewContext<'_>) -> Option<Action> {
        let sorting = |write| Some(Action::write(Write::Sorting(write)));
        match pressed {
            Pressed::Change(idx) => {
                let rule = self.rules.get(idx)?;
                self.draft = Some(Box::new(RuleDraft::of(rule, cx)));
                None
            }
            Pressed::Switch(idx) => {
                let mut rule = self.rules.get(idx)?.clone();
                rule.is_active = !rule.is_active;
                sorting(SortingWrite::KeepRule(Box::new(rule)))
            }
            Pressed::Move(idx, is_up) => {
                let other = if is_up { idx.checked_sub(1)? } else { idx + 1 };
                let mut ids: Vec<i64> = self.rules.iter().map(|rule| rule.id).collect();
                if other >= ids.len() {
                    return None;
                }
                ids.swap(idx, other);
                sorting(SortingWrite::OrderRules(ids))
            }
            Pressed::TakeOut(idx) => sorting(SortingWrite::RemoveRule(self.rules.get(idx)?.id)),
            Pressed::Forget(idx) => {
                let payee = self.choices.get(idx)?.payee.clone();
                sorting(SortingWrite::Forget(payee))
            }
        }
    }
}

impl Screen for RulesScreen {
    fn title(&self) -> String {
        "Rules".to_owned()
    }

    fn refresh(&mut self, book: &Book, _cx: &ViewContext<'_>) -> Result<(), BookError> {
        let is_new = self.reader.read(book)?;
        if self.revision != Some(book.revision()) || is_new {
            self.revision = Some(book.revision());
            self.rules = book.sorting_rules()?;
            self.choices = book.sorted_choices()?;
            let lines = &self.reader.tray().rows;
            self.fitting = self
                .rules
                .iter()
                .map(|rule| {
                    let asked = Rule {
                        is_active: true,
                        ..rule.clone()
                    };
                    lines.iter().filter(|row| asked.fits(&row.line)).count()
                })
                .collect();
        }
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.reader.is_reading()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        page_heading(
            ui,
            "Rules",
            "What lines of your statements always become. Asked from the top; the first that fits a line decides.",
        );
        let rows = &self.reader.tray().rows;
        let suppliers = &self.reader.tray().suppliers;
        let mut asked = None;
        if let Some(draft) = &mut self.draft {
            match form::rule_ui(ui, draft, rows, suppliers, cx) {
                Some(form::Answer::Keep(rule)) => {
                    self.is_keeping = true;
                    asked = Some(Action::write(Write::Sorting(SortingWrite::KeepRule(rule))));
                }
                Some(form::Answer::Close) => self.draft = None,
                None => {}
            }
        } else if primary_button(ui, "A new rule", "").clicked() {
            self.draft = Some(Box::new(RuleDraft::new(cx)));
        }
        ui.add_space(space::LARGE);
        let mut pressed = view::rules_ui(ui, &self.rules, &self.fitting, rows.len(), cx);
        ui.add_space(space::LARGE);
        pressed = pressed.or(view::learned_ui(ui, &self.choices, &mut self.search, cx));
        asked.or_else(|| pressed.and_then(|pressed| self.answer(pressed, cx)))
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_keeping) {
            self.draft = None;
        }
        After::Stay
    }

    fn refused(&mut self, message: &str) {
        self.is_keeping = false;
        if let Some(draft) = &mut self.draft {
            draft.refused = Some(message.to_owned());
        }
    }
}
