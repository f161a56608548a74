//! The forms of orders to suppliers: the order, "it arrived", a claim, its credit, a bill that came later.
//! Each file holds its draft and how it is drawn; what an order comes to and refuses is `crate::ordering`'s.

mod arrive;
mod claim;
mod known;
mod late;
mod line;
mod order;
mod order_view;

pub use known::KnownOrders;
pub use order_view::bill_table;

use egui::Ui;
use serde::{Deserialize, Serialize};

use self::arrive::ArriveDraft;
use self::claim::{ClaimDraft, CreditDraft};
use self::late::LateDraft;
use self::order::OrderDraft;
use super::facts::{Facts, Question};
use super::input::{Problem, Problems, Reader};
use super::outcome::Outcome;
use super::receipt::ReceiptDraft;
use super::{Form, FormWish};
use crate::ordering::OrderError;

/// A form of orders while it is typed.
#[derive(Debug, Serialize, Deserialize)]
pub enum OrderingDraft {
    /// An order.
    Order(OrderDraft),
    /// What came of one.
    Arrive(Box<ArriveDraft>),
    /// A claim.
    Claim(ClaimDraft),
    /// What the supplier gives for a claim.
    Credit(CreditDraft),
    /// A bill that came later.
    Late(LateDraft),
}

impl OrderingDraft {
    /// The draft that is wished for.
    #[must_use]
    pub fn new(wish: &FormWish, facts: &Facts) -> Self {
        match wish.form {
            Form::Arrival | Form::BilledAhead => {
                let is_ahead = wish.form == Form::BilledAhead;
                Self::Arrive(Box::new(ArriveDraft::new(wish.order, is_ahead, facts)))
            }
            Form::Claim => Self::Claim(ClaimDraft::new(
                wish.order.unwrap_or_default(),
                &wish.item,
                facts,
            )),
            Form::ClaimCredit => {
                Self::Credit(CreditDraft::new(wish.order.unwrap_or_default(), facts))
            }
            Form::LateBill => Self::Late(LateDraft::new(wish.order.unwrap_or_default(), facts)),
            _ => Self::Order(OrderDraft::new(wish, facts)),
        }
    }

    /// The form it is.
    #[must_use]
    pub const fn form(&self) -> Form {
        match self {
            Self::Order(_) => Form::Order,
            Self::Arrive(draft) if draft.is_ahead => Form::BilledAhead,
            Self::Arrive(_) => Form::Arrival,
            Self::Claim(_) => Form::Claim,
            Self::Credit(_) => Form::ClaimCredit,
            Self::Late(_) => Form::LateBill,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        match self {
            Self::Order(draft) => draft.is_untouched(),
            Self::Arrive(draft) => draft.is_untouched(),
            Self::Claim(draft) => draft.is_untouched(),
            Self::Credit(draft) => draft.is_untouched(),
            Self::Late(draft) => draft.is_untouched(),
        }
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self, facts: &Facts) -> Question {
        let arrival = match self {
            Self::Credit(draft) => facts.orders.claim(draft.claim).map(|claim| claim.arrival),
            _ => None,
        };
        let found = arrival.and_then(|id| facts.orders.arrival(id));
        Question {
            picked: found.and_then(|(_order, arrival)| arrival.entry),
            ..Question::default()
        }
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        match self {
            Self::Order(draft) => draft.outcome(facts),
            Self::Arrive(draft) => draft.outcome(facts),
            Self::Claim(draft) => draft.outcome(facts),
            Self::Credit(draft) => draft.outcome(facts),
            Self::Late(draft) => draft.outcome(facts),
        }
    }

    /// The receipt that goes with it.
    pub fn receipt(&mut self) -> Option<&mut ReceiptDraft> {
        match self {
            Self::Arrive(draft) => Some(&mut draft.receipt),
            _ => None,
        }
    }

    /// Adds a line, where it has lines.
    pub fn add_line(&mut self) {
        if let Self::Order(draft) = self {
            draft.add_line();
        }
    }

    /// The question at its head.
    #[must_use]
    pub fn title(&self) -> &'static str {
        match self {
            Self::Order(draft) if draft.id == 0 => "What did you order?",
            Self::Order(_) => "Change the order",
            Self::Arrive(draft) if draft.is_ahead => "What was billed ahead?",
            Self::Arrive(_) => "What arrived?",
            Self::Claim(_) => "What do you claim?",
            Self::Credit(_) => "What did they give for it?",
            Self::Late(_) => "A bill that came later",
        }
    }

    /// What it is about as far as that is typed.
    #[must_use]
    pub fn about(&self) -> &str {
        match self {
            Self::Order(draft) => &draft.supplier,
            Self::Late(draft) => &draft.supplier,
            Self::Claim(draft) => &draft.item,
            Self::Arrive(_) | Self::Credit(_) => "",
        }
    }

    /// The line under the question.
    #[must_use]
    pub const fn second_line(&self) -> &'static str {
        match self {
            Self::Order(_) => {
                "From a print house or any supplier (purchase order): what it should come to is worked out as you type."
            }
            Self::Arrive(draft) if draft.is_ahead => {
                "What is paid for pieces still to come waits as paid in advance (prepayment) until they are here."
            }
            Self::Arrive(_) => {
                "Good pieces join the stock at what is billed for all that came (landed cost); spoiled ones make them dearer."
            }
            Self::Claim(_) => {
                "What is claimed stays open until the supplier credits or refuses it (supplier claim)."
            }
            Self::Credit(_) => {
                "It lowers what these pieces cost (credit note): those that are left, and those that were sold."
            }
            Self::Late(_) => {
                "Freight, duty (landed cost): it makes these pieces dearer, those that are left and those that were sold."
            }
        }
    }

    /// What its button says.
    #[must_use]
    pub const fn primary_words(&self) -> &'static str {
        match self {
            Self::Order(_) => "Keep the order",
            Self::Claim(_) => "Keep the claim",
            _ => "Write it down",
        }
    }

    /// Draws what goes beside its card, besides the books.
    pub fn beside_ui(&self, ui: &mut Ui, facts: &Facts) {
        if let Self::Order(draft) = self {
            order_view::expected_ui(ui, draft, facts);
            ui.add_space(crate::app::theme::space::LARGE);
        }
    }

    /// Draws its card.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts, problems: &Problems, take_focus: bool) {
        match self {
            Self::Order(draft) => order_view::order_ui(ui, draft, facts, problems, take_focus),
            Self::Arrive(draft) => arrive::arrive_ui(ui, draft, facts, problems, take_focus),
            Self::Claim(draft) => claim::claim_ui(ui, draft, facts, problems, take_focus),
            Self::Credit(draft) => claim::credit_ui(ui, draft, facts, problems, take_focus),
            Self::Late(draft) => late::late_ui(ui, draft, facts, problems, take_focus),
        }
    }
}

/// What an order refuses, beside its field.
fn refused(error: OrderError) -> Vec<Problem> {
    vec![Problem {
        line: error.line,
        ..Problem::wrong(error.field, error.message)
    }]
}

/// Whole pieces that may be left empty, which is none.
fn pieces(read: &mut Reader<'_>, field: &'static str, text: &str) -> u64 {
    let text = text.trim();
    if text.is_empty() {
        return 0;
    }
    text.parse().unwrap_or_else(|_not_whole| {
        read.note(Problem::wrong(field, "write how many as a whole number"));
        0
    })
}

/// A problem of a form whose order is gone.
fn gone(field: &'static str) -> Vec<Problem> {
    vec![Problem::missing(field, "say which order it is about")]
}
