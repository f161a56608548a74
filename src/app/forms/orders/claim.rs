//! A claim being made, and what the supplier gives for it.
//! The credit is an ordinary refund from the supplier, made by `crate::ordering`.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::{gone, pieces, refused};
use crate::app::action::OrderingWrite;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::outcome::Outcome;
use crate::app::forms::parts::{cells, select, widths};
use crate::app::forms::stock::Offered;
use crate::app::theme::space;
use crate::app::widgets::{
    Field, card, choice_chips, date_field, money_field, problem, soft, text_field,
};
use crate::dates::show_day;
use crate::ledger::AccountId;
use crate::ordering::{Claim, ClaimWhat, Credit, credit_of, open_words};

/// A claim being made.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ClaimDraft {
    /// The arrival.
    pub arrival: i64,
    /// The item's code; empty when it is about the bill as a whole.
    pub item: String,
    /// What is claimed.
    pub what: ClaimWhat,
    /// How many pieces.
    pub pieces: Offered,
    /// How much is asked for.
    pub amount: Offered,
    /// When.
    pub date: String,
    /// A note.
    pub note: String,
}

impl ClaimDraft {
    /// A claim of the spoiled pieces of an item that are not claimed yet.
    #[must_use]
    pub fn new(arrival: i64, item: &str, facts: &Facts) -> Self {
        let mut draft = Self {
            arrival,
            item: item.to_owned(),
            what: ClaimWhat::Spoiled,
            pieces: Offered::default(),
            amount: Offered::default(),
            date: show_day(facts.today),
            note: String::new(),
        };
        if let Some((_order, arrival)) = facts.orders.arrival(arrival) {
            let left = facts.orders.unclaimed(arrival, item);
            draft.pieces.offer(left.to_string());
        }
        draft.offer(facts);
        draft
    }

    /// Offers what the pieces were ordered at.
    fn offer(&mut self, facts: &Facts) {
        let Some((order, _arrival)) = facts.orders.arrival(self.arrival) else {
            return;
        };
        let count: u64 = self.pieces.text.trim().parse().unwrap_or(0);
        if let Some(line) = order.line(&self.item) {
            self.amount.offer(facts.show(line.each().for_pieces(count)));
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        !self.pieces.is_own() && !self.amount.is_own() && self.note.trim().is_empty()
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        let Some((_order, arrival)) = facts.orders.arrival(self.arrival) else {
            return Err(gone("amount"));
        };
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("opened_on", &self.date);
        let count = pieces(&mut read, "pieces", &self.pieces.text);
        let amount = read.amount("amount", &self.amount.text, "say how much is claimed");
        let item = Some(self.item.clone()).filter(|item| !item.is_empty());
        let key = facts.orders.next_claim.clone();
        let mut claim = Claim::new(key, arrival.id, item, date, count, amount);
        claim.what = self.what;
        self.note.trim().clone_into(&mut claim.note);
        let claim = read.finish(claim)?;
        claim
            .check(arrival, &facts.orders.claims)
            .map_err(refused)?;
        Ok(Outcome::Ordering(Box::new(OrderingWrite::Claim(claim))))
    }
}

/// Draws the card.
pub fn claim_ui(
    ui: &mut Ui,
    draft: &mut ClaimDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        if let Some((order, arrival)) = facts.orders.arrival(draft.arrival) {
            let what = if draft.item.is_empty() {
                "the bill".to_owned()
            } else {
                facts.stock.name(&draft.item)
            };
            ui.label(format!(
                "{what}, arrived on {} from {}.",
                show_day(arrival.date),
                order.supplier
            ));
        }
        let choices: Vec<(ClaimWhat, &str)> = ClaimWhat::ALL
            .iter()
            .map(|what| (*what, what.plain()))
            .collect();
        choice_chips(ui, "What is claimed", &mut draft.what, &choices);
        let columns = widths(ui.available_width(), &[0.0, 0.0, 130.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| match cell {
            0 => {
                let mut field = Field::new("How many pieces")
                    .width(width)
                    .problem(problems.of("pieces"))
                    .take_focus(take_focus);
                field.right = true;
                text_field(ui, field, &mut draft.pieces.text);
            }
            1 => {
                let field = Field::new("Asked for")
                    .width(width)
                    .problem(problems.of("amount"));
                money_field(ui, field, &mut draft.amount.text, &facts.currency);
            }
            _ => {
                let field = Field::new("When")
                    .width(width)
                    .problem(problems.of("opened_on"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        draft.offer(facts);
        let field = Field::new("Note").hint("photo sent, whom I wrote to");
        text_field(ui, field, &mut draft.note);
        ui.add_space(space::SMALL);
        soft(
            ui,
            "Nothing is written in the books until the supplier gives something for it; it stays on Today with its age.",
        );
    });
}

/// A credit being written down.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CreditDraft {
    /// The claim.
    pub claim: i64,
    /// How much came.
    pub amount: Offered,
    /// When.
    pub date: String,
    /// Where it went.
    pub into: Option<AccountId>,
    /// The number on the paper.
    pub reference: String,
}

impl CreditDraft {
    /// What is given for this claim.
    #[must_use]
    pub fn new(claim: i64, facts: &Facts) -> Self {
        let mut amount = Offered::default();
        if let Some(claim) = facts.orders.claim(claim) {
            amount.offer(facts.show(claim.amount));
        }
        Self {
            claim,
            amount,
            date: show_day(facts.today),
            into: facts.role(crate::ledger::Role::BusinessBank),
            reference: String::new(),
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        !self.amount.is_own() && self.reference.trim().is_empty()
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        let found = facts
            .orders
            .claim(self.claim)
            .and_then(|claim| Some((claim, facts.orders.arrival(claim.arrival)?)));
        let Some((claim, (order, arrival))) = found else {
            return Err(gone("amount"));
        };
        let mut read = Reader::new(&facts.currency, facts.today);
        let credit = Credit {
            date: read.day("date", &self.date),
            amount: read.amount("amount", &self.amount.text, "say how much came"),
            into: read.account("paid_into", self.into, "say where it went"),
            reference: self.reference.trim().to_owned(),
        };
        let credit = read.finish(credit)?;
        let Some(purchase) = &facts.asked.purchase else {
            return Err(vec![Problem::missing(
                "amount",
                "nothing was billed with that arrival",
            )]);
        };
        let recording = credit_of(
            order,
            arrival,
            claim,
            &credit,
            purchase.clone(),
            &facts.chart,
        );
        let recording = told(recording, &facts.currency)?;
        Ok(Outcome::Ordering(Box::new(OrderingWrite::Credit {
            claim: claim.id,
            recording,
        })))
    }
}

/// Draws the card.
pub fn credit_ui(
    ui: &mut Ui,
    draft: &mut CreditDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        if let Some(claim) = facts.orders.claim(draft.claim) {
            ui.label(format!(
                "{} was claimed on {}, {}.",
                facts.show(claim.amount),
                show_day(claim.opened_on),
                open_words(claim.age_days(facts.today))
            ));
        }
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let field = Field::new("They gave")
                    .width(width)
                    .problem(problems.of("amount"))
                    .take_focus(take_focus);
                money_field(ui, field, &mut draft.amount.text, &facts.currency);
            } else {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
            }
        });
        let into: Vec<(Option<AccountId>, String)> = facts
            .money()
            .into_iter()
            .chain(facts.cards_and_bills())
            .map(|account| (Some(account.id), account.name.clone()))
            .collect();
        let columns = widths(ui.available_width(), &[0.0, 150.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 0 {
                let wrong = problems.of("paid_into");
                select(ui, "Where it went", width, &mut draft.into, &into, wrong);
            } else {
                let field = Field::new("Number on the paper").width(width);
                text_field(ui, field, &mut draft.reference);
            }
        });
        if let Some(words) = problems.elsewhere(&["amount", "date", "paid_into"]) {
            problem(ui, words);
        }
        ui.add_space(space::SMALL);
    });
}
