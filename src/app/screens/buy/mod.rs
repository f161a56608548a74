//! Buy: what was bought, what recurs, which receipts are missing, the small things that last, and which kind is which.
//! `model` reads it, `view` draws it, `kinds` moves a whole kind to another account.

mod kinds;
mod model;
mod view;

pub use kinds::{KindsDraft, KindsModel};
pub use model::{BuyModel, BuyRow, DueNow, RecurringRow};

use std::collections::BTreeMap;

use super::by_month::ByMonth;
use super::{entry, explain, moves, orders};
use crate::app::action::{Action, Form, FormWish, Write};
use crate::app::screen::{Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::reports;

/// What was pressed in the room.
#[derive(Clone, Debug)]
enum Pressed {
    Entry(EntryNumber),
    Explain(explain::Source),
    Buy,
    NewRecurring,
    NewOrder,
    ChangeRecurring(i64),
    Confirm(i64),
    Skip(i64),
    ReleasePaidAhead,
    MoveKind(Box<Write>),
    Orders(orders::CardPressed),
}

/// The room.
#[derive(Default)]
pub struct BuyRoom {
    model: Option<BuyModel>,
    parts: ByMonth<(usize, Money)>,
    due: BTreeMap<i64, Result<Recording, String>>,
    used_up: Vec<Recording>,
    kinds: KindsDraft,
}

impl Screen for BuyRoom {
    fn title(&self) -> String {
        "Buy".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let model = BuyModel::read(book, cx.period, cx.today, &mut self.parts)?;
        self.due.clear();
        for due in &model.due {
            self.due
                .insert(due.id, moves::confirm_recurring(book, due.id)?);
        }
        self.used_up = reports::paid_ahead_recordings(book, cx.today)?;
        self.model = Some(model);
        Ok(())
    }

    fn is_stale(&self) -> bool {
        self.model.is_some() && !self.parts.is_whole()
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let model = self.model.as_ref()?;
        let pressed = view::buy_ui(ui, model, &mut self.kinds, cx)?;
        self.answer(pressed)
    }
}

impl BuyRoom {
    fn answer(&mut self, pressed: Pressed) -> Option<Action> {
        Some(match pressed {
            Pressed::Entry(number) => entry::open(number),
            Pressed::Explain(source) => explain::open(source),
            Pressed::Buy => Action::Start(FormWish::new(Form::Purchase)),
            Pressed::NewOrder => Action::Start(FormWish::new(Form::Order)),
            Pressed::NewRecurring => Action::Start(FormWish::new(Form::Recurring)),
            Pressed::ChangeRecurring(id) => {
                let found = self.model.as_ref()?.recurring_by_id(id)?;
                Action::Start(FormWish::of_recurring(found))
            }
            Pressed::Skip(id) => Action::write(Write::SkipRecurring(id)),
            Pressed::Confirm(id) => match self.due.get(&id)? {
                Ok(recording) => {
                    Action::write(Write::ConfirmRecurring(id, Box::new(recording.clone())))
                }
                Err(words) => Action::Trouble(words.clone()),
            },
            Pressed::ReleasePaidAhead => Action::write(Write::Record {
                recordings: self.used_up.clone(),
                receipts: Vec::new(),
                done: "What was paid ahead and is used up is written down as a cost".to_owned(),
            }),
            Pressed::Orders(orders::CardPressed::Open(id)) => orders::open_order(id),
            Pressed::Orders(orders::CardPressed::Order) => {
                Action::Start(FormWish::new(Form::Order))
            }
            Pressed::Orders(orders::CardPressed::Arrived) => {
                Action::Start(FormWish::new(Form::Arrival))
            }
            Pressed::MoveKind(write) => {
                self.kinds = KindsDraft::default();
                Action::Write(write)
            }
        })
    }
}
