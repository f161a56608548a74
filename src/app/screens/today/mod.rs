//! Today: what is, what wants doing, how the months went, where the money went.
//! `model` says it from the facts of the book, `went` how the months went, `done` counts what was done, `view` draws it;
//! this file answers what was pressed.

mod done;
mod model;
mod month;
mod view;
mod went;

use std::collections::BTreeMap;

use done::Sitting;
pub use model::{Card, MonthBar, Step, Stretch, ToDo, ToDoGroup, TodayModel};
pub use view::today_ui;

use super::facts::Facts;
use super::{catching_up, desk, entry, explain, ledger, money, moves, orders};
use crate::app::action::{Action, Kept, Write};
use crate::app::navigation::Room;
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::dates::Month;
use crate::depreciation::DepreciationProposal;
use crate::happenings::Recording;
use crate::ledger::EntryNumber;
use crate::needs::NeedKind;
use crate::reports::{self, MonthMend};

/// The room.
#[derive(Default)]
pub struct TodayRoom {
    facts: Option<Facts>,
    model: Option<TodayModel>,
    due: BTreeMap<i64, Result<Recording, String>>,
    used_up: Vec<Recording>,
    without_purpose: Option<EntryNumber>,
    sitting: Sitting,
    /// The month to be looked at, when it is not the last one that is over.
    month: Option<Month>,
    wear_of_month: Option<DepreciationProposal>,
    is_stale: bool,
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
        self.sitting.look(&facts.needs);
        let done = self.sitting.in_words(&facts.needs);
        let month = reports::month_card(book, self.month, cx.today)?;
        self.wear_of_month = match &month {
            Some(card) => Some(reports::wear_proposal(book, card.month.last_day())?),
            None => None,
        };
        self.is_stale = false;
        self.model = Some(TodayModel::new(&facts, done, month));
        self.facts = Some(facts);
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        if let Some(dropped) = money::dropped_statements(ui) {
            return Some(dropped);
        }
        match today_ui(ui, model, cx.currency)? {
            Step::SeeMonth(month) => {
                self.month = Some(month);
                self.is_stale = true;
                None
            }
            step => Some(self.answer(step, cx)),
        }
    }

    fn is_stale(&self) -> bool {
        self.is_stale
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
            Step::Drove => desk::drove(),
            Step::DroveNowhere => Action::write(Write::SetSettings(vec![(
                "mileage.none_through".to_owned(),
                cx.today.to_string(),
            )])),
            Step::CatchUp => catching_up::open_catching_up(),
            Step::OpenGoingOn(kind) => super::going_on::open_kind(kind),
            Step::SortLines => money::open_tray(),
            Step::OpenAgreement(id) => money::open_sheet(id),
            Step::HoldAgainst(account) => money::open_agreement(account),
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
            // Answered where it is pressed.
            Step::SeeMonth(month) => Action::Say(month.to_string()),
            Step::FinishMonth(month) => Action::write(Write::FinishMonth(month)),
            Step::OpenMonthAgain(month) => Action::write(Write::OpenMonthAgain(month)),
            Step::Mend(mend) => self.mend(mend, cx),
            Step::SetAside(amount) => {
                self.with_facts(|facts| moves::move_to_set_aside(facts, amount, cx.today))
            }
        }
    }

    fn mend(&self, mend: MonthMend, cx: &ViewContext<'_>) -> Action {
        match mend {
            MonthMend::SortLines => money::open_tray(),
            MonthMend::BringStatement => money::open_statement_file(),
            MonthMend::HoldAgainst(account) => money::open_agreement(account),
            MonthMend::HoldSeveral => Action::Go(Room::Money),
            MonthMend::Receipts => ledger::open_missing_receipts(),
            MonthMend::Purpose(number) => entry::open(number),
            MonthMend::Recurring(id) => self.answer(Step::ConfirmRecurring(id), cx),
            MonthMend::PaidAhead => self.answer(Step::ReleasePaidAhead, cx),
            MonthMend::SetAside(amount) => self.answer(Step::SetAside(amount), cx),
            MonthMend::Wear(_through) => self.with_facts(|facts| {
                self.wear_of_month.as_ref().map_or_else(
                    || Action::Say("No wear is left to write down".to_owned()),
                    |proposal| moves::write_proposal(facts, proposal),
                )
            }),
        }
    }

    fn with_facts(&self, make: impl FnOnce(&Facts) -> Action) -> Action {
        self.facts.as_ref().map_or_else(
            || Action::Trouble("The book is not read yet".to_owned()),
            make,
        )
    }
}
