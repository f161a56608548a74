//! The figures of a product at a price, with the numbered lines behind them.
//! Ref: contribution margin after OpenStax, Principles of Accounting, Volume 2, section 3.1: price less the costs that
//! come with each piece. Own time stands beside it, because it is a decision and never a cost in the ledger.

use rust_decimal::{Decimal, RoundingStrategy};

use super::super::make_or_buy::exact;
use super::super::{DecidingError, Figure, Worksheet};
use super::fees::{SalesTax, Till, without_tax};
use super::terms::{CardTerms, CostBasis, Ingredient, Spread};
use crate::money::{Currency, Money};

/// A question that a card must not be read as profit without.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Pieces normally lost.
    Waste,
    /// Packaging.
    Packaging,
    /// Postage.
    Postage,
    /// Fees.
    Fees,
    /// Wear of equipment.
    Wear,
    /// Own time.
    OwnTime,
}

impl Part {
    /// As people read it in a list.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Waste => "pieces lost",
            Self::Packaging => "packing",
            Self::Postage => "postage",
            Self::Fees => "fees",
            Self::Wear => "wear of equipment",
            Self::OwnTime => "your hours",
        }
    }
}

/// A product's card whose terms hold together.
#[derive(Clone, Debug)]
pub struct CostCard {
    pub(super) terms: CardTerms,
    pub(super) currency: Currency,
}

/// What one order at a price comes to. All amounts are of the order, which is one piece unless the card says more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardFigures {
    /// The price of each piece.
    pub price: Money,
    /// Pieces in the order.
    pub pieces: u32,
    /// What is hers of the prices: without tax that is contained in them.
    pub income: Money,
    /// What the pieces cost to make: materials, outside work, waste, packaging, wear, share of costs that come once.
    pub cost: Money,
    /// The label less what the customer is charged for postage; below nothing when something is left over.
    pub postage_subsidised: Money,
    /// All fees.
    pub fees: Money,
    /// What is kept before she pays herself: the contribution margin.
    pub kept: Money,
    /// The same before wear of equipment is counted.
    pub kept_before_wear: Money,
    /// What is kept in per cent of the income; nothing at a price of nothing.
    pub margin_percent: Option<Decimal>,
    /// Own time at her rate.
    pub own_time: Money,
    /// What is left when her own time is paid.
    pub left_after_own_time: Money,
    /// What an hour of her work earns at this price; `None` without minutes.
    pub earned_an_hour: Option<Money>,
    /// Questions still open, each counted as nothing.
    pub open: Vec<Part>,
    /// Materials whose cost is not known, each counted as nothing.
    pub unknown: Vec<String>,
    /// The numbered lines.
    pub sheet: Worksheet,
}

impl CardFigures {
    /// Whether every question is answered or waived, so that what is kept may be called profit.
    #[must_use]
    pub fn can_say_profit(&self) -> bool {
        self.open.is_empty() && self.unknown.is_empty()
    }

    /// What the customer pays for the pieces.
    #[must_use]
    pub fn order_price(&self) -> Money {
        self.price.times(Decimal::from(self.pieces))
    }

    /// What is kept of each piece, in minor units, for showing.
    #[must_use]
    pub fn kept_each(&self) -> Decimal {
        Decimal::from(self.kept.minor()) / Decimal::from(self.pieces.max(1))
    }

    /// In words: `Of each 12.00 you keep 3.12 before paying yourself`.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let price = currency.show(self.order_price());
        let each = if self.pieces == 1 {
            format!("each {price}")
        } else {
            format!("each order of {price} ({} pieces)", self.pieces)
        };
        let kept = currency.show(self.kept.abs());
        let mut sentence = if self.kept.is_zero() {
            format!("Of {each} nothing is left before paying yourself")
        } else if self.kept.is_negative() {
            format!("On {each} you lose {kept} before paying yourself")
        } else {
            format!("Of {each} you keep {kept} before paying yourself")
        };
        let unknown = self.unknown.iter().map(|name| format!("what {name} costs"));
        let open = self.open.iter().map(|part| part.label().to_owned());
        let missing: Vec<String> = unknown.chain(open).collect();
        if !missing.is_empty() {
            sentence = format!("{sentence}, not yet counting {}", missing.join(", "));
        }
        sentence
    }
}

impl CostCard {
    /// A card with these terms.
    ///
    /// # Errors
    /// When a number is out of range, an amount below nothing, or the waste leaves next to nothing.
    pub fn new(terms: CardTerms, currency: Currency) -> Result<Self, DecidingError> {
        terms.check()?;
        Ok(Self { terms, currency })
    }

    /// The terms it was made from.
    #[must_use]
    pub const fn terms(&self) -> &CardTerms {
        &self.terms
    }

    /// The figures at a price for each piece.
    ///
    /// # Errors
    /// When the price is below nothing or beyond what a book takes.
    pub fn at(&self, price: Money, basis: CostBasis) -> Result<CardFigures, DecidingError> {
        exact::amount("the price", price)?;
        let mut draft = Draft::new(self, price, basis);
        draft.price_lines();
        draft.cost_lines();
        draft.selling_lines();
        Ok(draft.finish())
    }

    /// Questions that are still open.
    #[must_use]
    pub fn open(&self) -> Vec<Part> {
        let terms = &self.terms;
        [
            (Part::Waste, terms.waste.is_open()),
            (Part::Packaging, terms.packaging.is_open()),
            (Part::Postage, terms.postage.is_open()),
            (Part::Fees, terms.channel.is_open()),
            (Part::Wear, terms.wear.is_open()),
            (Part::OwnTime, terms.own_time.is_open()),
        ]
        .into_iter()
        .filter_map(|(part, is_open)| is_open.then_some(part))
        .collect()
    }

    pub(super) fn till(&self, price: Money) -> Till {
        let terms = &self.terms;
        let postage = terms.postage.given();
        Till {
            price: price.times(Decimal::from(terms.pieces_in_order)),
            postage: postage.map_or(Money::ZERO, |postage| postage.charged),
            tax: terms
                .channel
                .given()
                .map_or(SalesTax::None, |channel| channel.tax),
            pieces: terms.pieces_in_order,
        }
    }

    /// What is kept of an order at a price, without the lines.
    pub(super) fn kept(&self, price: Money, cost: Money) -> Money {
        let till = self.till(price);
        let postage = self.terms.postage.given();
        let label = postage.map_or(Money::ZERO, |postage| postage.label);
        let fees = self.terms.channel.given().map(|channel| &channel.fees);
        let fees: Money = fees.into_iter().flatten().map(|fee| till.fee(fee)).sum();
        without_tax(till.tax, till.price) + without_tax(till.tax, till.postage)
            - label
            - cost
            - fees
    }

    /// What the pieces of an order cost to make and pack.
    pub(super) fn cost(&self, basis: CostBasis) -> Money {
        let parts = self.cost_parts(basis);
        Money::rounded_minor(parts.iter().map(|part| part.minor).sum())
    }

    pub(super) fn minutes(&self) -> Decimal {
        let own = self.terms.own_time.given();
        own.map_or(Decimal::ZERO, |own| own.minutes) * Decimal::from(self.terms.pieces_in_order)
    }

    pub(super) fn own_time(&self) -> Money {
        let rate = self.terms.own_time.given().map(|own| own.hourly_rate);
        let rate = rate.unwrap_or_default();
        Money::rounded_minor(Decimal::from(rate.minor()) * self.minutes() / Decimal::from(60))
    }

    /// What goes into an order, in the order in which it is read.
    fn cost_parts(&self, basis: CostBasis) -> Vec<CostPart> {
        let terms = &self.terms;
        let pieces = Decimal::from(terms.pieces_in_order);
        let mut parts = Vec::new();
        let mut made = Decimal::ZERO;
        for (key, ingredients) in [
            ("materials", &terms.materials),
            ("outside-work", &terms.outside_work),
        ] {
            for ingredient in ingredients {
                let part = self.ingredient(key, ingredient, basis, terms.pieces_in_order);
                made += part.minor;
                parts.push(part);
            }
        }
        if let Some(waste) = terms.waste.given() {
            let good = Decimal::ONE_HUNDRED - waste.percent();
            let formula =
                format!("of 100 put in {waste} are lost, which the {good} good ones carry");
            let minor = made * waste.percent() / good;
            parts.push(CostPart::new(
                "waste",
                "Pieces normally lost",
                formula,
                minor,
            ));
        }
        for ingredient in terms.packaging.given().into_iter().flatten() {
            parts.push(self.ingredient("packaging", ingredient, basis, 1));
        }
        if let Some(wear) = terms.wear.given() {
            let formula = format!("{pieces} × {}", wear.show(&self.currency));
            let minor = wear.minor() * pieces;
            parts.push(CostPart::new("wear", "Wear of equipment", formula, minor));
        }
        let minor = terms.once_each(terms.spread) * pieces;
        let formula = self.once_formula();
        parts.push(CostPart::new(
            "once",
            "Share of what comes once",
            formula,
            minor,
        ));
        parts.retain(|part| !part.minor.is_zero());
        parts
    }

    fn ingredient(
        &self,
        key: &'static str,
        ingredient: &Ingredient,
        basis: CostBasis,
        pieces: u32,
    ) -> CostPart {
        let each = ingredient.unit(basis).show(&self.currency);
        let mut formula = format!("{} × {each}", ingredient.quantity);
        if pieces > 1 {
            formula = format!("{pieces} × {formula}");
        }
        let minor = ingredient.cost(basis) * Decimal::from(pieces);
        CostPart::new(key, &ingredient.label, formula, minor)
    }

    fn once_formula(&self) -> String {
        let terms = &self.terms;
        match terms.spread {
            Spread::LeftOut => String::new(),
            Spread::FirstRun => {
                format!(
                    "for design and run, over the {} of a first run",
                    terms.run_pieces
                )
            }
            Spread::Reorder => format!("for the run, over the {} of a run", terms.run_pieces),
            Spread::Planned => {
                let planned = terms.planned_pieces.unwrap_or_default();
                let runs = planned.div_ceil(terms.run_pieces.max(1));
                format!("for design and runs ({runs}), over {planned} planned in all")
            }
        }
    }
}

/// A part of what an order costs to make and pack, in exact minor units.
struct CostPart {
    key: &'static str,
    label: String,
    formula: String,
    minor: Decimal,
}

impl CostPart {
    fn new(key: &'static str, label: &str, formula: String, minor: Decimal) -> Self {
        let label = label.to_owned();
        Self {
            key,
            label,
            formula,
            minor,
        }
    }
}

/// Figures on their way.
struct Draft<'a> {
    card: &'a CostCard,
    basis: CostBasis,
    till: Till,
    figures: CardFigures,
    /// `1 + 2 − 3`, for the line that says what is kept.
    kept_formula: String,
}

impl<'a> Draft<'a> {
    fn new(card: &'a CostCard, price: Money, basis: CostBasis) -> Self {
        let till = card.till(price);
        let own_time = card.own_time();
        Self {
            card,
            basis,
            till,
            figures: CardFigures {
                price,
                pieces: till.pieces,
                income: without_tax(till.tax, till.price),
                cost: Money::ZERO,
                postage_subsidised: Money::ZERO,
                fees: Money::ZERO,
                kept: Money::ZERO,
                kept_before_wear: Money::ZERO,
                margin_percent: None,
                own_time,
                left_after_own_time: Money::ZERO,
                earned_an_hour: None,
                open: card.open(),
                unknown: card.terms.unknown.clone(),
                sheet: Worksheet::default(),
            },
            kept_formula: String::new(),
        }
    }

    fn money(
        &mut self,
        key: &'static str,
        label: &str,
        formula: impl Into<String>,
        amount: Money,
    ) -> u32 {
        self.figures
            .sheet
            .add(key, label, formula, Figure::Money(amount))
    }

    fn take(&mut self, no: u32) {
        self.kept_formula = format!("{} \u{2212} {no}", self.kept_formula);
    }

    fn show(&self, amount: Money) -> String {
        self.card.currency.show(amount)
    }

    fn price_lines(&mut self) {
        let formula = match self.till.pieces {
            1 => "your choice".to_owned(),
            pieces => format!("{pieces} × {}", self.show(self.figures.price)),
        };
        let price = self.till.price;
        let no = self.money("price", "Price", formula, price);
        self.kept_formula = no.to_string();
        if let SalesTax::Included(rate) = self.till.tax {
            let tax = price - self.figures.income;
            let formula = format!("{rate} % contained in {no}; passed on, never yours");
            let no = self.money("tax", "Tax in the price", formula, tax);
            self.take(no);
        }
    }

    fn cost_lines(&mut self) {
        let mut sum = Decimal::ZERO;
        let mut shown = Money::ZERO;
        let mut numbers = Vec::new();
        for part in self.card.cost_parts(self.basis) {
            // The running sum is rounded and differences are shown, so that the parts add up.
            sum += part.minor;
            let so_far = Money::rounded_minor(sum);
            let no = self.money(part.key, &part.label, part.formula, so_far - shown);
            numbers.push(no.to_string());
            shown = so_far;
        }
        self.figures.cost = shown;
        let formula = if numbers.is_empty() {
            "nothing counted".to_owned()
        } else {
            numbers.join(" + ")
        };
        let no = self.money("cost", "Cost to make and pack", formula, shown);
        self.take(no);
    }

    fn selling_lines(&mut self) {
        let card = self.card;
        if let Some(postage) = card.terms.postage.given() {
            let charged = without_tax(self.till.tax, postage.charged);
            let subsidised = postage.label - charged;
            let formula = format!(
                "label {} \u{2212} charged {}",
                self.show(postage.label),
                self.show(charged)
            );
            let no = self.money("postage", "Postage you add", formula, subsidised);
            self.take(no);
            self.figures.postage_subsidised = subsidised;
        }
        let till = self.till;
        let fees = card.terms.channel.given().map(|channel| &channel.fees);
        for fee in fees.into_iter().flatten() {
            let amount = till.fee(fee);
            let fixed = till.fixed(fee);
            let mut formula = format!("{} % of {}", fee.percent, self.show(till.base(fee.base)));
            if !fixed.is_zero() {
                formula = format!("{formula} + {}", self.show(fixed));
            }
            let no = self.money("fee", &fee.label, formula, amount);
            self.take(no);
            self.figures.fees += amount;
        }
    }

    fn finish(mut self) -> CardFigures {
        let figures = &self.figures;
        let kept = figures.income - figures.cost - figures.postage_subsidised - figures.fees;
        let wear = figures.sheet.money("wear");
        let income = figures.income;
        self.figures.kept = kept;
        self.figures.kept_before_wear = kept + wear;
        let formula = self.kept_formula.clone();
        let kept_no = self.money("kept", "Kept before paying yourself", formula, kept);
        if income.is_positive() {
            let percent =
                Decimal::from(kept.minor()) * Decimal::ONE_HUNDRED / Decimal::from(income.minor());
            self.figures.margin_percent = Some(percent);
            let formula = format!("{kept_no} in per cent of {}", self.show(income));
            let figure = Figure::Percent(percent);
            self.figures
                .sheet
                .add("margin", "Margin, the share of the price", formula, figure);
        }
        self.own_time_lines(kept, kept_no);
        self.figures
    }

    fn own_time_lines(&mut self, kept: Money, kept_no: u32) {
        let own_time = self.figures.own_time;
        self.figures.left_after_own_time = kept - own_time;
        let minutes = self.card.minutes();
        let Some(own) = self.card.terms.own_time.given() else {
            return;
        };
        if minutes.is_zero() {
            return;
        }
        let rate = self.show(own.hourly_rate);
        let minutes_shown = minutes.normalize();
        let formula = format!("{minutes_shown} minutes at {rate} an hour; shown, never posted");
        let no = self.money("own-time", "Your own time", formula, own_time);
        let formula = format!("{kept_no} \u{2212} {no}");
        self.money(
            "left",
            "Left after paying yourself",
            formula,
            kept - own_time,
        );
        let hour = (Decimal::from(kept.minor()) * Decimal::from(60) / minutes)
            .round_dp_with_strategy(0, RoundingStrategy::ToNegativeInfinity);
        let hour = Money::rounded_minor(hour);
        self.figures.earned_an_hour = Some(hour);
        let formula = format!("{kept_no} × 60 ÷ {minutes_shown}, whole cents");
        self.money("hour", "Earned in an hour of your work", formula, hour);
    }
}
