//! An order being typed: from whom, what, on which terms, when.
//! How it is drawn is `order_view`, its lines are `line`.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::line::OrderLineDraft;
use super::{pieces, refused};
use crate::app::action::OrderingWrite;
use crate::app::forms::FormWish;
use crate::app::forms::facts::Facts;
use crate::app::forms::input::{Problem, Reader};
use crate::app::forms::outcome::Outcome;
use crate::app::widgets::parse_day;
use crate::dates::show_day;
use crate::money::{Money, Percent};
use crate::ordering::{Billing, Deal, DealOn, Off, SupplierOrder};

/// A deal being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct DealDraft {
    /// `10 %` or `5.00`.
    pub off: String,
    /// From what.
    pub on: DealOn,
}

impl DealDraft {
    /// Nothing off the pieces.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            off: String::new(),
            on: DealOn::Pieces,
        }
    }
}

/// An order being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OrderDraft {
    /// The one being changed, 0 for a new one.
    pub id: i64,
    /// Its key.
    pub key: String,
    /// From whom.
    pub supplier: String,
    /// When.
    pub date: String,
    /// What.
    pub lines: Vec<OrderLineDraft>,
    /// What is taken off.
    pub deals: Vec<DealDraft>,
    /// Carriage.
    pub carriage: String,
    /// Days until it is here.
    pub lead_days: String,
    /// When it is wanted.
    pub wanted: String,
    /// How many more may come, in per cent.
    pub over: String,
    /// How many fewer may come, in per cent.
    pub under: String,
    /// Whether no fewer may come.
    pub no_unders: bool,
    /// Whether there is one bill for all of it.
    pub is_one_bill: bool,
    /// The supplier's number.
    pub reference: String,
    /// The owner's note.
    pub note: String,
    /// When it was closed.
    pub closed_on: Option<NaiveDate>,
    /// Whether the further terms are shown.
    pub is_more: bool,
}

impl OrderDraft {
    /// The order that is changed, or a new one with what is known of it.
    #[must_use]
    pub fn new(wish: &FormWish, facts: &Facts) -> Self {
        if let Some(order) = wish.order.and_then(|id| facts.orders.order(id)) {
            return Self::of(order, facts);
        }
        let what = facts
            .stock
            .item(&wish.item)
            .map_or_else(String::new, |item| facts.stock.label(item));
        Self {
            id: 0,
            key: facts.orders.next_order.clone(),
            supplier: wish.party.clone(),
            date: show_day(facts.today),
            lines: vec![OrderLineDraft::new(what)],
            deals: vec![DealDraft::new()],
            carriage: String::new(),
            lead_days: String::new(),
            wanted: String::new(),
            over: String::new(),
            under: String::new(),
            no_unders: false,
            is_one_bill: false,
            reference: String::new(),
            note: String::new(),
            closed_on: None,
            is_more: false,
        }
    }

    fn of(order: &SupplierOrder, facts: &Facts) -> Self {
        let amount = |amount: Money| {
            if amount.is_zero() {
                String::new()
            } else {
                facts.show(amount)
            }
        };
        let share = |share: Percent| {
            if share == Percent::ZERO {
                String::new()
            } else {
                share.to_string()
            }
        };
        let mut deals: Vec<DealDraft> = order
            .deals
            .iter()
            .map(|deal| DealDraft {
                off: match deal.off {
                    Off::Share(share) => format!("{share} %"),
                    Off::Amount(money) => facts.show(money),
                },
                on: deal.on,
            })
            .collect();
        if deals.is_empty() {
            deals.push(DealDraft::new());
        }
        Self {
            id: order.id,
            key: order.key.clone(),
            supplier: order.supplier.clone(),
            date: show_day(order.ordered_on),
            lines: order
                .lines
                .iter()
                .map(|line| OrderLineDraft::of(line, facts))
                .collect(),
            deals,
            carriage: amount(order.carriage),
            lead_days: order
                .lead_days
                .map(|days| days.to_string())
                .unwrap_or_default(),
            wanted: order.wanted_on.map(show_day).unwrap_or_default(),
            over: share(order.over),
            under: share(order.under),
            no_unders: order.no_unders,
            is_one_bill: order.billing == Billing::OneBill,
            reference: order.reference.clone(),
            note: order.note.clone(),
            closed_on: order.closed_on,
            is_more: true,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.supplier.trim().is_empty() && self.lines.iter().all(OrderLineDraft::is_empty)
    }

    /// Adds a line.
    pub fn add_line(&mut self) {
        self.lines.push(OrderLineDraft::new(""));
    }

    /// The order as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn order(&self, facts: &Facts) -> Result<SupplierOrder, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let supplier = read.text("supplier", &self.supplier, "say from whom it is ordered");
        let date = read.day("date", &self.date);
        let key = read.text("order", &self.key, "give the order a short name");
        let mut lines = Vec::new();
        for (idx, line) in self.lines.iter().enumerate() {
            if line.is_empty() && self.lines.len() > 1 {
                continue;
            }
            read.line(Some(idx));
            lines.extend(line.read(&mut read, facts));
        }
        read.line(None);
        let mut order = SupplierOrder::new(key, supplier, date, lines);
        order.id = self.id;
        for deal in self.deals.iter().filter(|deal| !deal.off.trim().is_empty()) {
            order.deals.extend(self.deal(deal, &mut read));
        }
        order.carriage = read.amount_or_none("carriage", &self.carriage);
        if !self.lead_days.trim().is_empty() {
            let days = pieces(&mut read, "lead_days", &self.lead_days);
            order.lead_days = Some(u32::try_from(days).unwrap_or(u32::MAX));
        }
        if !self.wanted.trim().is_empty() {
            order.wanted_on = parse_day(&self.wanted, facts.today);
            if order.wanted_on.is_none() {
                read.note(Problem::wrong(
                    "wanted_on",
                    "not a day; write 28 Sep or 2026-09-28",
                ));
            }
        }
        let mut share = |field, text: &str| {
            if text.trim().is_empty() {
                Percent::ZERO
            } else {
                read.share(field, text)
            }
        };
        order.over = share("over_percent", &self.over);
        order.under = share("under_percent", &self.under);
        order.no_unders = self.no_unders;
        if self.is_one_bill {
            order.billing = Billing::OneBill;
        }
        self.reference.trim().clone_into(&mut order.reference);
        self.note.trim().clone_into(&mut order.note);
        order.closed_on = self.closed_on;
        let order = read.finish(order)?;
        order.check().map_err(refused)?;
        let is_taken =
            facts.orders.orders.iter().any(|other| {
                other.id != order.id && other.key.eq_ignore_ascii_case(order.key.trim())
            });
        if is_taken {
            return Err(vec![Problem::wrong(
                "order",
                "another order has this name already",
            )]);
        }
        Ok(order)
    }

    fn deal(&self, deal: &DealDraft, read: &mut Reader<'_>) -> Option<Deal> {
        let off = match deal.off.trim().strip_suffix('%') {
            Some(share) => match share.trim().parse() {
                Ok(share) => Off::Share(share),
                Err(_not_a_share) => {
                    read.note(Problem::wrong("deals", "write a share as 10 %"));
                    return None;
                }
            },
            None => {
                let before = read.problems.len();
                let amount = read.amount_or_none("deals", &deal.off);
                if read.problems.len() > before {
                    return None;
                }
                Off::Amount(amount)
            }
        };
        Some(Deal { off, on: deal.on })
    }

    /// What it would do.
    ///
    /// # Errors
    /// As [`Self::order`].
    pub fn outcome(&self, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
        self.order(facts)
            .map(|order| Outcome::Ordering(Box::new(OrderingWrite::Keep(order))))
    }
}
