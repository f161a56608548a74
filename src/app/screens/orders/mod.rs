//! Orders to suppliers: the list in the room Buy, and the page of one order with what came, what it cost and what is claimed.
//! `list` and `view` draw them; the forms are `forms::orders`.

mod list;
mod view;

pub use list::{CardPressed, OrderList, OrderRow, orders_card};

use super::entry;
use super::explain::{self, Source};
use crate::app::action::{Action, Form, FormWish, OrderingWrite, Write};
use crate::app::screen::{After, Screen, ViewContext};
use crate::book::{Book, BookError};
use crate::ledger::EntryNumber;
use crate::ordering::ClaimState;
use crate::reports::{self, OrderReport};

use std::collections::BTreeMap;

/// Opens the page of an order.
#[must_use]
pub fn open_order(id: i64) -> Action {
    Action::Open(Box::new(OrderScreen::new(id)))
}

/// What was pressed on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Pressed {
    /// A form about the order, an arrival or a claim.
    Form(Form, i64),
    /// The form that claims an item of an arrival.
    Claim(i64, String),
    /// Close it short, or open it again.
    Close(bool),
    /// Take it out.
    Remove,
    /// The supplier refuses a claim.
    Refuse(i64),
    /// A claim was a mistake.
    RemoveClaim(i64),
    /// The page of an entry.
    Entry(EntryNumber),
    /// Where a figure comes from.
    Explain(Source),
}

/// The page of one order.
pub struct OrderScreen {
    id: i64,
    report: Option<OrderReport>,
    names: BTreeMap<String, String>,
    is_gone: bool,
}

impl OrderScreen {
    /// The page of the order of this number.
    #[must_use]
    pub const fn new(id: i64) -> Self {
        Self {
            id,
            report: None,
            names: BTreeMap::new(),
            is_gone: false,
        }
    }

    fn answer(&mut self, pressed: Pressed, cx: &ViewContext<'_>) -> Option<Action> {
        let ordering = |write| Action::write(Write::Ordering(Box::new(write)));
        Some(match pressed {
            Pressed::Form(form, id) => Action::Start(FormWish::of_order(form, id)),
            Pressed::Claim(arrival, item) => Action::Start(FormWish {
                item,
                ..FormWish::of_order(Form::Claim, arrival)
            }),
            Pressed::Close(is_closed) => {
                ordering(OrderingWrite::Close(self.id, is_closed.then_some(cx.today)))
            }
            Pressed::Remove => {
                self.is_gone = true;
                ordering(OrderingWrite::Remove(self.id))
            }
            Pressed::Refuse(id) => {
                let found = self.report.as_ref()?.claims.iter();
                let mut claim = found
                    .map(|one| &one.claim)
                    .find(|claim| claim.id == id)?
                    .clone();
                claim.state = ClaimState::Refused;
                claim.settled_on = Some(cx.today.max(claim.opened_on));
                ordering(OrderingWrite::Claim(claim))
            }
            Pressed::RemoveClaim(id) => ordering(OrderingWrite::RemoveClaim(id)),
            Pressed::Entry(number) => entry::open(number),
            Pressed::Explain(source) => explain::open(source),
        })
    }
}

impl Screen for OrderScreen {
    fn title(&self) -> String {
        self.report.as_ref().map_or_else(
            || "Order".to_owned(),
            |report| format!("Order {}", report.order.key),
        )
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.report = reports::order_of_number(book, self.id, cx.today)?;
        self.names = reports::item_names(book)?;
        Ok(())
    }

    fn ui(&mut self, ui: &mut egui::Ui, cx: &ViewContext<'_>) -> Option<Action> {
        let Some(report) = &self.report else {
            ui.label("This order is no longer kept.");
            return None;
        };
        let pressed = view::order_ui(ui, report, &self.names, cx)?;
        self.answer(pressed, cx)
    }

    fn written(&mut self, _numbers: &[EntryNumber]) -> After {
        if std::mem::take(&mut self.is_gone) {
            After::Close
        } else {
            After::Stay
        }
    }

    fn refused(&mut self, _message: &str) {
        self.is_gone = false;
    }
}
