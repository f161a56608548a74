//! What came of an order, being written down: good and spoiled pieces, what is billed for them, how it is paid; or a bill
//! for pieces that are still to come.
//! What it writes is an ordinary purchase, made by `crate::ordering`.

use egui::Ui;
use serde::{Deserialize, Serialize};

use super::{gone, pieces, refused};
use crate::app::action::OrderingWrite;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Problems, Reader, told};
use crate::app::forms::outcome::Outcome;
use crate::app::forms::paid;
use crate::app::forms::parts::{self, cells, select, total_line, widths};
use crate::app::forms::receipt::ReceiptDraft;
use crate::app::forms::stock::Offered;
use crate::app::theme::space;
use crate::app::widgets::{Field, card, date_field, money_field, problem, soft, text_field};
use crate::dates::show_day;
use crate::happenings::{Payment, ProofState};
use crate::ledger::Role;
use crate::money::Money;
use crate::ordering::{
    Arrival, ArrivalBill, ArrivalLine, SupplierOrder, expected_arrival, expected_bill, purchase_of,
    standing,
};

/// What came of one item.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ArriveLineDraft {
    /// The item's code.
    pub item: String,
    /// Good pieces.
    pub good: Offered,
    /// Spoiled ones.
    pub spoiled: String,
    /// What is billed.
    pub billed: Offered,
}

/// An arrival being written down.
#[derive(Debug, Serialize, Deserialize)]
pub struct ArriveDraft {
    /// Its order.
    pub order: Option<i64>,
    /// Whether it is a bill with which nothing came.
    pub is_ahead: bool,
    /// When.
    pub date: String,
    /// What came.
    pub lines: Vec<ArriveLineDraft>,
    /// What is billed ahead.
    pub ahead: Offered,
    /// Carriage.
    pub carriage: Offered,
    /// Tax that is not got back.
    pub tax: String,
    /// How it is paid.
    pub paid_from: Payment,
    /// The number on the paper.
    pub reference: String,
    /// The receipt.
    pub receipt: ReceiptDraft,
}

impl ArriveDraft {
    /// What came of this order, or of the one that has waited longest.
    #[must_use]
    pub fn new(order: Option<i64>, is_ahead: bool, facts: &Facts) -> Self {
        let order = order.or_else(|| facts.orders.waiting(facts.today).first().map(|one| one.id));
        let mut draft = Self {
            order: None,
            is_ahead,
            date: show_day(facts.today),
            lines: Vec::new(),
            ahead: Offered::default(),
            carriage: Offered::default(),
            tax: String::new(),
            paid_from: paid::usual(facts),
            reference: String::new(),
            receipt: ReceiptDraft::default(),
        };
        draft.take_order(order, facts);
        draft
    }

    /// Begins again with what is still to come of an order.
    fn take_order(&mut self, order: Option<i64>, facts: &Facts) {
        self.order = order;
        self.lines.clear();
        let Some(order) = order.and_then(|id| facts.orders.order(id)) else {
            return;
        };
        let before = facts.orders.arrivals_of(order.id);
        let is_paid = before
            .iter()
            .any(|arrival| !arrival.is_void && arrival.lines.is_empty());
        if let (true, false, Some(advance)) =
            (is_paid, self.is_ahead, facts.role(Role::PaidInAdvance))
        {
            self.paid_from = Payment::Account(advance);
        }
        if self.is_ahead {
            let bill = expected_bill(order, |code| code.to_owned(), &facts.currency);
            self.ahead.offer(facts.show(bill.total));
            return;
        }
        for item in standing(order, before, facts.today).items {
            let mut line = ArriveLineDraft {
                item: item.item.clone(),
                good: Offered::default(),
                spoiled: String::new(),
                billed: Offered::default(),
            };
            let to_come = item.to_come();
            line.good.offer(if to_come > 0 {
                to_come.to_string()
            } else {
                String::new()
            });
            self.lines.push(line);
        }
        self.offer(order, facts);
    }

    /// Offers what should be billed for what is typed.
    fn offer(&mut self, order: &SupplierOrder, facts: &Facts) {
        let count = |text: &str| text.trim().parse().unwrap_or(0);
        let lines: Vec<ArrivalLine> = self
            .lines
            .iter()
            .map(|line| ArrivalLine {
                item: line.item.clone(),
                good: count(&line.good.text),
                spoiled: count(&line.spoiled),
                movement: None,
            })
            .collect();
        let came: Vec<ArrivalLine> = lines
            .iter()
            .filter(|line| line.came() > 0)
            .cloned()
            .collect();
        let before = facts.orders.arrivals_of(order.id);
        let (goods, carriage) = expected_arrival(order, before, &came);
        let show = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                facts.show(amount)
            }
        };
        self.carriage.offer(show(carriage));
        let mut goods = goods.into_iter();
        for (draft, line) in self.lines.iter_mut().zip(&lines) {
            let billed = if line.came() > 0 {
                goods.next().unwrap_or_default()
            } else {
                Money::ZERO
            };
            draft.billed.offer(show(billed));
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        let is_own = |line: &ArriveLineDraft| {
            line.good.is_own() || line.billed.is_own() || !line.spoiled.trim().is_empty()
        };
        !self.lines.iter().any(is_own)
            && !self.ahead.is_own()
            && self.reference.trim().is_empty()
            && self.receipt.file.is_none()
    }

    /// The order, what came and what is billed, as typed.
    fn read(&self, facts: &Facts) -> Result<(SupplierOrder, Arrival, ArrivalBill), Vec<Problem>> {
        let Some(order) = self.order.and_then(|id| facts.orders.order(id)) else {
            return Err(gone("order"));
        };
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let mut lines = Vec::new();
        let mut bill = ArrivalBill::nothing(0, self.paid_from);
        for (idx, draft) in self.lines.iter().enumerate() {
            read.line(Some(idx));
            let line = ArrivalLine {
                item: draft.item.clone(),
                good: pieces(&mut read, "good", &draft.good.text),
                spoiled: pieces(&mut read, "spoiled", &draft.spoiled),
                movement: None,
            };
            let billed = read.amount_or_none("billed", &draft.billed.text);
            if line.came() > 0 {
                lines.push(line);
                bill.billed.push(billed);
            }
        }
        read.line(None);
        if self.is_ahead {
            bill.ahead = read.amount("ahead", &self.ahead.text, "say how much was billed");
        } else {
            bill.carriage = read.amount_or_none("carriage", &self.carriage.text);
            bill.tax = read.amount_or_none("tax", &self.tax);
            if lines.is_empty() {
                read.note(Problem::missing("good", "say how many came"));
            }
        }
        self.reference.trim().clone_into(&mut bill.reference);
        let before = facts.orders.arrivals_of(order.id);
        let arrival = Arrival {
            id: 0,
            key: free_key(before),
            date,
            entry: None,
            is_void: false,
            lines,
        };
        let read = read.finish((order.clone(), arrival, bill))?;
        read.1.check(&read.0).map_err(refused)?;
        Ok(read)
    }

    /// What it would do.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        let (order, arrival, bill) = self.read(facts)?;
        let recording = purchase_of(
            &order,
            facts.orders.arrivals_of(order.id),
            &arrival,
            &bill,
            &facts.stock.items,
            &facts.chart,
            &facts.currency,
        );
        let mut recording = told(recording, &facts.currency)?;
        if let (Some(recording), true) = (&mut recording, self.receipt.file.is_some()) {
            recording.proof.state = ProofState::Complete;
        }
        Ok(Outcome::Ordering(Box::new(OrderingWrite::Arrive {
            order: order.id,
            arrival,
            recording,
            receipts: self.receipt.file.clone().into_iter().collect(),
        })))
    }
}

/// The next number that no arrival of the order has as its key.
fn free_key(before: &[Arrival]) -> String {
    let is_free = |number: &usize| {
        let key = number.to_string();
        !before.iter().any(|arrival| arrival.key == key)
    };
    (before.len() + 1..)
        .find(is_free)
        .unwrap_or_default()
        .to_string()
}

/// Draws the card.
pub fn arrive_ui(
    ui: &mut Ui,
    draft: &mut ArriveDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    card(ui, |ui| {
        let columns = widths(ui.available_width(), &[0.0, 130.0]);
        cells(ui, &columns, &[0, 1], |ui, cell, width| {
            if cell == 1 {
                let field = Field::new("When").width(width).problem(problems.of("date"));
                date_field(ui, field, &mut draft.date, facts.today);
                return;
            }
            let choices: Vec<(Option<i64>, String)> = facts
                .orders
                .orders
                .iter()
                .rev()
                .map(|order| {
                    (
                        Some(order.id),
                        format!("{}, order {}", order.supplier, order.key),
                    )
                })
                .collect();
            let mut order = draft.order;
            let wrong = problems.of("order");
            if select(ui, "Which order", width, &mut order, &choices, wrong) {
                draft.take_order(order, facts);
            }
        });
        ui.add_space(space::SMALL);
        let Some(order) = draft.order.and_then(|id| facts.orders.order(id)) else {
            soft(ui, "Nothing is on order. Write the order down first.");
            return;
        };
        if draft.is_ahead {
            let field = Field::new("Billed ahead").problem(problems.of("ahead"));
            money_field(ui, field, &mut draft.ahead.text, &facts.currency);
        } else {
            lines_ui(ui, draft, facts, problems, take_focus);
            draft.offer(order, facts);
            if let Some(words) = problems.of("good") {
                problem(ui, words);
            }
            let columns = widths(ui.available_width(), &[0.0, 0.0]);
            cells(ui, &columns, &[0, 1], |ui, cell, width| {
                let (words, wrong, text) = if cell == 0 {
                    (
                        "Carriage",
                        problems.of("carriage"),
                        &mut draft.carriage.text,
                    )
                } else {
                    ("Tax on the bill", problems.of("tax"), &mut draft.tax)
                };
                let field = Field::new(words).width(width).problem(wrong);
                money_field(ui, field, text, &facts.currency);
            });
        }
        paid_ui(ui, draft, facts, problems);
        sum_ui(ui, draft, facts);
    });
}

fn lines_ui(
    ui: &mut Ui,
    draft: &mut ArriveDraft,
    facts: &Facts,
    problems: &Problems,
    take_focus: bool,
) {
    for (idx, line) in draft.lines.iter_mut().enumerate() {
        let name = facts.stock.name(&line.item);
        ui.label(&name);
        let named = |words: &str| match idx {
            0 => words.to_owned(),
            idx => format!("{words}, {}", idx + 1),
        };
        let columns = widths(ui.available_width(), &[0.0, 0.0, 0.0]);
        cells(ui, &columns, &[0, 1, 2], |ui, cell, width| {
            let (words, field) = match cell {
                0 => ("Good pieces", "good"),
                1 => ("Spoiled pieces", "spoiled"),
                _ => ("Billed for all that came", "billed"),
            };
            let label = named(words);
            let mut shown = Field::new(&label)
                .width(width)
                .problem(problems.on(field, idx))
                .take_focus(take_focus && idx == 0 && cell == 0);
            shown.right = true;
            match cell {
                0 => {
                    text_field(ui, shown, &mut line.good.text);
                }
                1 => {
                    text_field(ui, shown.hint("0"), &mut line.spoiled);
                }
                _ => {
                    money_field(ui, shown, &mut line.billed.text, &facts.currency);
                }
            }
        });
        ui.add_space(space::SMALL);
    }
}

fn paid_ui(ui: &mut Ui, draft: &mut ArriveDraft, facts: &Facts, problems: &Problems) {
    let mut ways = paid::ways(facts);
    if let Some(advance) = facts.role(Role::PaidInAdvance)
        && !draft.is_ahead
        && (facts.balance(advance).is_positive() || draft.paid_from == Payment::Account(advance))
    {
        let words = "From what was paid ahead".to_owned();
        ways.push((Payment::Account(advance), words));
    }
    let columns = widths(ui.available_width(), &[0.0, 150.0]);
    cells(ui, &columns, &[0, 1], |ui, cell, width| {
        if cell == 0 {
            let wrong = problems.of("paid_from");
            select(ui, "Paid from", width, &mut draft.paid_from, &ways, wrong);
        } else {
            let field = Field::new("Number on the bill").width(width);
            text_field(ui, field, &mut draft.reference);
        }
    });
    ui.add_space(space::SMALL);
}

/// The sum of the bill, and what one good piece costs by it.
fn sum_ui(ui: &mut Ui, draft: &ArriveDraft, facts: &Facts) {
    let Ok((order, arrival, bill)) = draft.read(facts) else {
        return;
    };
    total_line(ui, "The bill", &facts.show(bill.total()));
    if bill.total().is_zero() && !arrival.lines.is_empty() {
        parts::hint(
            ui,
            "Nothing is billed: these pieces were sent for nothing and make the others cheaper.",
        );
        return;
    }
    let shares = bill.shares();
    for (line, cost) in arrival.lines.iter().zip(shares) {
        let name = facts.stock.name(&line.item);
        let words = match crate::money::Quantity::new(line.good.into())
            .ok()
            .and_then(|good| crate::money::unit_cost(cost, good, &facts.currency))
        {
            Some(each) => format!(
                "{name}: {} for {} good ones, {} each.",
                facts.show(cost),
                line.good,
                each.normalize()
            ),
            None => format!(
                "{name}: none is good, so {} is waste until it is credited.",
                facts.show(cost)
            ),
        };
        soft(ui, &words);
    }
    if arrival.lines.iter().any(|line| line.spoiled > 0) {
        soft(
            ui,
            "The spoiled ones can be claimed on the page of the order once this is written down.",
        );
    }
    if order
        .lines
        .iter()
        .any(|line| line.is_first_run && line.once_per_design.is_positive())
    {
        soft(
            ui,
            "What is paid once for the design is carried by the pieces of this first run.",
        );
    }
}
