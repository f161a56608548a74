//! Today: what is, what wants doing, how the months went, where the money went.
//! `model` says it from the facts of the book, `view` draws it; this file answers what was pressed.

mod model;
mod view;

use std::collections::BTreeMap;

pub use model::{Card, MonthBar, Step, Stretch, ToDo, TodayModel};
pub use view::today_ui;

use super::facts::Facts;
use super::{desk, entry, explain, ledger, money, moves, orders};
use crate::app::action::{Action, Kept, Write};
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::EntryNumber;
use crate::needs::NeedKind;
use crate::reports;

/// The room.
#[derive(Default)]
pub struct TodayRoom {
    facts: Option<Facts>,
    model: Option<TodayModel>,
    due: BTreeMap<i64, Result<Recording, String>>,
    used_up: Vec<Recording>,
    without_purpose: Option<EntryNumber>,
}

impl Screen for TodayRoom {
    fn title(&self) -> String {
        "Today".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let facts = Facts::read(book, cx.period, cx.today)?;
        self.due.clear();
        self.used_up = reports::paid_ahead_recordings(book, cx.today)?;
        self.without_purpose = match book.settings().purpose_above() {
            Some(above) => book.entries_without_purpose(above)?.first().copied(),
            None => None,
        };
        for need in &facts.needs {
            if let NeedKind::RecurringDue(id) = need.kind {
                self.due.insert(id, moves::confirm_recurring(book, id)?);
            }
        }
        self.model = Some(TodayModel::new(&facts));
        self.facts = Some(facts);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        if let Some(dropped) = money::dropped_statements(ui) {
            return Some(dropped);
        }
        let step = today_ui(ui, model, cx.currency)?;
        Some(self.answer(step, cx))
    }
}

impl TodayRoom {
    fn answer(&self, step: Step, cx: &ViewContext<'_>) -> Action {
        match step {
            Step::Start(wish) => Action::Start(wish),
            Step::Go(room) => Action::Go(room),
            Step::Explain(source) => explain::open(source),
            Step::OpenOrder(id) => orders::open_order(id),
            Step::OpenDesk(page) => desk::open(page),
            Step::SortLines => money::open_tray(),
            Step::OpenAgreement(id) => money::open_sheet(id),
            Step::OpenWithoutPurpose => match self.without_purpose {
                Some(number) => entry::open(number),
                None => Action::Say("Every purchase says what it was for".to_owned()),
            },
            Step::ShowMissing => ledger::open_missing_receipts(),
            Step::TakeUp(id) => Action::TakeUp(id),
            Step::ThrowAway(id) => Action::write(Write::ThrowAway(Kept::of(id))),
            Step::SkipRecurring(id) => Action::write(Write::SkipRecurring(id)),
            Step::ConfirmRecurring(id) => match self.due.get(&id) {
                Some(Ok(recording)) => {
                    Action::write(Write::ConfirmRecurring(id, Box::new(recording.clone())))
                }
                Some(Err(words)) => Action::Trouble(words.clone()),
                None => Action::Trouble("It is no longer due".to_owned()),
            },
            Step::ReleasePaidAhead => Action::write(Write::Record {
                recordings: self.used_up.clone(),
                receipts: Vec::new(),
                done: "What was paid ahead and is used up is written down as a cost".to_owned(),
            }),
            Step::WriteWear => self.with_facts(moves::write_wear),
            Step::SetAside(amount) => {
                self.with_facts(|facts| moves::move_to_set_aside(facts, amount, cx.today))
            }
        }
    }

    fn with_facts(&self, make: impl FnOnce(&Facts) -> Action) -> Action {
        self.facts.as_ref().map_or_else(
            || Action::Trouble("The book is not read yet".to_owned()),
            make,
        )
    }
}
