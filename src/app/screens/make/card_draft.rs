//! What is typed on a cost card, read as what is asked of it; it begins with what the book can answer.
//! How it is drawn is `card`.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::pieces::{read_count, read_minutes, read_money, read_percent, read_unit};
use crate::deciding::{CostBasis, FeeBase, UnitCost};
use crate::money::{Currency, Money};
use crate::reports::{CardAsk, CardKnown, CardTold};

/// The fields of a card as they are typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CardDraft {
    pub price: String,
    pub pieces: String,
    pub packaging: String,
    pub postage: String,
    pub label: String,
    /// Which of the shops that the book knows, by its place.
    pub channel: Option<usize>,
    pub fee_percent: String,
    pub fee_fixed: String,
    pub base: FeeBase,
    pub wear: String,
    pub minutes: String,
    pub rate: String,
    pub margin: String,
    pub design: String,
    pub run: String,
    pub run_pieces: String,
    pub planned: String,
    pub fixed: String,
    pub offer: String,
    pub wholesale: String,
    /// Code, name with its unit, and what it will cost.
    pub next: Vec<(String, String, String)>,
    pub basis: CostBasis,
}

/// A cost of one as it is typed: plain, to four decimals, with at least the currency's own.
pub(super) fn typed_unit(cost: UnitCost, currency: &Currency) -> String {
    let mut major = cost.major(currency).round_dp(4).normalize();
    if major.scale() < currency.decimals() {
        major.rescale(currency.decimals());
    }
    major.to_string()
}

fn typed_number(value: Decimal) -> String {
    value.normalize().to_string()
}

impl CardDraft {
    /// A card filled up from what the book can answer.
    pub fn new(known: &CardKnown, currency: &Currency) -> Self {
        let ask = CardAsk::of_book(known);
        let money =
            |amount: Option<Money>| amount.map_or_else(String::new, |amount| currency.show(amount));
        Self {
            price: money(ask.price),
            pieces: ask.pieces.to_string(),
            packaging: String::new(),
            postage: String::new(),
            label: String::new(),
            channel: (!known.channels.is_empty()).then_some(0),
            fee_percent: ask
                .fee_percent
                .map_or_else(String::new, |share| typed_number(share.percent())),
            fee_fixed: String::new(),
            base: ask.fee_base,
            wear: ask
                .wear
                .map_or_else(String::new, |wear| typed_unit(wear, currency)),
            minutes: ask.minutes.map_or_else(String::new, typed_number),
            rate: money(ask.own_rate),
            margin: ask
                .margin
                .map_or_else(String::new, |share| typed_number(share.percent())),
            design: String::new(),
            run: String::new(),
            run_pieces: ask.run_pieces.to_string(),
            planned: String::new(),
            fixed: money(ask.fixed_a_month),
            offer: String::new(),
            wholesale: String::new(),
            next: known
                .making
                .inputs
                .iter()
                .map(|input| {
                    let words = format!("{}, for one {}", input.name, input.unit);
                    (input.code.clone(), words, String::new())
                })
                .collect(),
            basis: ask.basis,
        }
    }

    /// What is asked; an empty field leaves its question open, a nought says that there is nothing of it.
    fn ask(&self, currency: &Currency) -> Result<CardAsk, String> {
        let money = |text: &str, what: &str| read_money(text, what, currency);
        let minutes = if self.minutes.trim().is_empty() {
            None
        } else {
            Some(read_minutes(&self.minutes, "your minutes")?)
        };
        let mut next_order = BTreeMap::new();
        for (code, words, text) in &self.next {
            if let Some(cost) = read_unit(text, words, currency)? {
                next_order.insert(code.clone(), cost);
            }
        }
        Ok(CardAsk {
            price: money(&self.price, "the price")?,
            pieces: u32::try_from(read_count(&self.pieces, "pieces in an order")?)
                .unwrap_or(u32::MAX),
            packaging: money(&self.packaging, "packaging")?,
            postage: money(&self.postage, "postage charged")?,
            label: money(&self.label, "the label")?,
            fee_percent: read_percent(&self.fee_percent, "the fee")?,
            fee_fixed: money(&self.fee_fixed, "the fixed fee")?,
            fee_base: self.base,
            wear: read_unit(&self.wear, "wear", currency)?,
            minutes,
            own_rate: money(&self.rate, "your hour")?,
            next_order,
            once_per_design: money(&self.design, "once for the design")?.unwrap_or_default(),
            once_per_run: money(&self.run, "at every run")?.unwrap_or_default(),
            run_pieces: read_count(&self.run_pieces, "pieces of a run")?,
            planned_pieces: match self.planned.trim() {
                "" => None,
                text => Some(read_count(text, "pieces planned in all")?),
            },
            margin: read_percent(&self.margin, "the margin")?,
            fixed_a_month: money(&self.fixed, "paid every month")?,
            offer: read_percent(&self.offer, "the offer")?,
            wholesale: money(&self.wholesale, "what a shop would pay")?,
            basis: self.basis,
        })
    }

    /// What the card tells.
    pub fn tell(&self, known: &CardKnown, currency: &Currency) -> Result<CardTold, String> {
        self.ask(currency)?
            .tell(known, currency)
            .map_err(|error| error.to_string())
    }
}
