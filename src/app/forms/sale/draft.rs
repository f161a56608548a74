//! A sale being typed: plain text fields, and the happening they make.
//! How it is drawn is `view`; giving money back is `refund`.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::app::forms::facts::{Facts, Question};
use crate::app::forms::input::{Problem, Reader, told};
use crate::app::widgets::parse_day;
use crate::dates::show_day;
use crate::happenings::hints::{
    Incoming, PayoutHint, Written, likely_duplicate, looks_like_payout, unusual_amount,
};
use crate::happenings::{Fee, FeeKind, Happening, Recording, Sale, SaleDetails, SaleLine};
use crate::ledger::{AccountId, EntryKind, Role};
use crate::money::{Money, Quantity};
use crate::stock::{Bundle, Item, Movement, MovementId, MovementKind};

/// Whose the tax on a sale is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TaxState {
    /// None was charged.
    #[default]
    None,
    /// The shop collects it and pays it over.
    ByChannel,
    /// The owner collects it and owes it.
    Ours,
}

/// One line being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaleLineDraft {
    /// What was sold.
    pub what: String,
    /// How many.
    pub quantity: String,
    /// The amount at full price.
    pub amount: String,
    /// The amount offered from a product's price, while she has written none of her own.
    #[serde(default)]
    offered: String,
    /// From which place it goes; home is empty.
    #[serde(default)]
    pub place: String,
    /// The product for which the place was proposed.
    #[serde(default)]
    placed: String,
    /// Whether the keyboard goes to it when it is next drawn.
    #[serde(skip)]
    pub takes_focus: bool,
}

impl SaleLineDraft {
    /// The product in stock it names.
    #[must_use]
    pub fn product<'f>(&self, facts: &'f Facts) -> Option<&'f Item> {
        facts
            .stock
            .find(&self.what)
            .filter(|item| item.kind.is_sold())
    }

    /// The set it names.
    #[must_use]
    pub fn bundle<'f>(&self, facts: &'f Facts) -> Option<&'f Bundle> {
        facts.stock.find_bundle(&self.what)
    }

    /// Offers what a price makes for as many as are typed, one while none are.
    fn offer(&mut self, price: Option<Money>, facts: &Facts) {
        let many = self.quantity.trim().replace(',', ".");
        let many = if many.is_empty() { "1" } else { &many };
        let offer = match (price, many.parse::<Quantity>()) {
            (Some(price), Ok(many)) => facts.show(price.times(many.value())),
            _ => String::new(),
        };
        if self.amount == self.offered {
            self.amount.clone_from(&offer);
        }
        self.offered = offer;
    }

    /// Offers what a product's price makes for so many, and the place of the shop it is sold through.
    pub fn propose(&mut self, facts: &Facts, shop: &str) {
        if let Some(bundle) = self.bundle(facts) {
            self.offer(bundle.price, facts);
        }
        let Some(item) = self.product(facts) else {
            return;
        };
        self.offer(item.price, facts);
        let about = format!("{} {shop}", item.code);
        if self.placed != about {
            self.placed = about;
            let places = facts.stock.places_of(&item.code);
            let is_there = places.iter().any(|(place, _many)| *place == shop);
            self.place = if is_there {
                shop.to_owned()
            } else {
                String::new()
            };
        }
    }

    /// An empty line that was asked for, to which the keyboard goes.
    #[must_use]
    pub fn added() -> Self {
        Self {
            takes_focus: true,
            ..Self::default()
        }
    }

    /// Whether nothing was typed on it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.what.trim().is_empty()
            && self.amount.trim().is_empty()
            && self.quantity.trim().is_empty()
    }
}

/// The fees being typed, each on its own.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct FeeDrafts {
    /// In the order of [`FeeKind::ALL`].
    pub amounts: [String; 4],
}

impl FeeDrafts {
    /// The fees as typed.
    pub fn read(&self, read: &mut Reader<'_>) -> Vec<Fee> {
        const FIELDS: [&str; 4] = [
            "fee_listing",
            "fee_commission",
            "fee_processing",
            "fee_other",
        ];
        FeeKind::ALL
            .into_iter()
            .zip(&self.amounts)
            .zip(FIELDS)
            .filter(|((_, text), _)| !text.trim().is_empty())
            .map(|((kind, text), field)| Fee::new(kind, read.amount_or_none(field, text)))
            .collect()
    }
}

/// A sale being typed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct SaleDraft {
    /// Through which shop, or into which money.
    pub paid_into: Option<AccountId>,
    /// When.
    pub date: String,
    /// The lines; always at least one.
    pub lines: Vec<SaleLineDraft>,
    /// Discount.
    pub discount: String,
    /// Postage charged.
    pub postage: String,
    /// Whose the tax is.
    pub tax_state: TaxState,
    /// The tax.
    pub tax: String,
    /// The fees.
    pub fees: FeeDrafts,
    /// The order's number.
    pub reference: String,
    /// The name of a shop about to be opened in the book.
    pub new_shop: String,
    /// Whether the field for a new shop is shown.
    pub is_opening_shop: bool,
    /// Whether that field was just opened and takes the keyboard.
    #[serde(skip)]
    pub shop_takes_focus: bool,
}

impl SaleDraft {
    /// An empty sale of today, where the last one went.
    #[must_use]
    pub fn new(facts: &Facts) -> Self {
        let last = facts
            .last_paid_into
            .filter(|id| facts.account(*id).is_some_and(|account| account.is_active));
        let usual = last.or_else(|| facts.role(Role::PayoutsDue));
        Self {
            paid_into: usual.or_else(|| facts.role(Role::BusinessBank)),
            date: show_day(facts.today),
            lines: vec![SaleLineDraft::default()],
            discount: String::new(),
            postage: String::new(),
            tax_state: TaxState::None,
            tax: String::new(),
            fees: FeeDrafts::default(),
            reference: String::new(),
            new_shop: String::new(),
            is_opening_shop: false,
            shop_takes_focus: false,
        }
    }

    /// Whether nothing has been typed yet.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.lines.iter().all(SaleLineDraft::is_empty) && self.reference.trim().is_empty()
    }

    /// What it asks of the book.
    #[must_use]
    pub fn question(&self, facts: &Facts) -> Question {
        Question {
            kind: Some(EntryKind::Sale),
            party: self
                .paid_into
                .map(|id| facts.name(id).to_lowercase())
                .unwrap_or_default(),
            around: parse_day(&self.date, facts.today),
            ..Question::default()
        }
    }

    /// Whether it goes through a channel.
    #[must_use]
    pub fn is_by_channel(&self, facts: &Facts) -> bool {
        self.paid_into
            .and_then(|id| facts.account(id))
            .is_some_and(crate::ledger::Account::is_channel)
    }

    /// The sale as typed.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn sale(&self, facts: &Facts) -> Result<Sale, Vec<Problem>> {
        let mut read = Reader::new(&facts.currency, facts.today);
        let date = read.day("date", &self.date);
        let paid_into = read.account("paid_into", self.paid_into, "say where the money goes");
        let mut lines = Vec::new();
        let is_empty = self.lines.iter().all(SaleLineDraft::is_empty);
        for (idx, line) in self.lines.iter().enumerate() {
            if line.is_empty() && !(is_empty && idx == 0) {
                continue;
            }
            read.line(Some(idx));
            let amount = read.amount("amount", &line.amount, "say what it sold for");
            let mut sold = SaleLine::new(amount, line.what.trim());
            sold.quantity = read.quantity("quantity", &line.quantity);
            let code = line
                .product(facts)
                .map(|item| &item.code)
                .or_else(|| line.bundle(facts).map(|bundle| &bundle.code));
            if let Some(code) = code {
                sold.item = Some(code.clone());
                if line.quantity.trim().is_empty() {
                    sold.quantity = Quantity::new(Decimal::ONE).ok();
                }
            }
            lines.push(sold);
        }
        read.line(None);
        let mut details = SaleDetails::new(date, paid_into, lines);
        details.discount = read.amount_or_none("discount", &self.discount);
        details.postage = read.amount_or_none("postage", &self.postage);
        match self.tax_state {
            TaxState::None => {}
            TaxState::ByChannel => {
                details.tax_by_channel = read.amount(
                    "tax_by_channel",
                    &self.tax,
                    "say how much tax the shop collected",
                );
            }
            TaxState::Ours => {
                details.tax_ours =
                    read.amount("tax_ours", &self.tax, "say how much tax you collected");
            }
        }
        if self.is_by_channel(facts) {
            details.fees = self.fees.read(&mut read);
        }
        details.reference = self.reference.trim().to_owned();
        details.document = details.reference.clone();
        let details = read.finish(details)?;
        told(Sale::new(details), &facts.currency)
    }

    /// Everything it writes.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub fn recording(&self, facts: &Facts) -> Result<Recording, Vec<Problem>> {
        let sale = self.sale(facts)?;
        let mut recording = told(sale.recording(&facts.chart), &facts.currency)?;
        self.take_from_places(&mut recording, facts);
        Ok(recording)
    }

    /// Pieces that go from another place than home say so; the others the book takes from the lines.
    fn take_from_places(&self, recording: &mut Recording, facts: &Facts) {
        let elsewhere: Vec<&str> = self
            .lines
            .iter()
            .filter(|line| !line.place.is_empty())
            .filter_map(|line| line.product(facts).map(|item| item.code.as_str()))
            .collect();
        for line in self.lines.iter().filter(|line| !line.is_empty()) {
            let Some(item) = line.product(facts) else {
                continue;
            };
            // A movement beside the lines stands for all lines of its item.
            if !elsewhere.contains(&item.code.as_str()) {
                continue;
            }
            let many = line.quantity.trim().replace(',', ".");
            let many = if many.is_empty() { "1" } else { &many };
            if let Ok(quantity) = many.parse() {
                let date = recording.entry.header.date;
                let code = item.code.clone();
                let mut sold =
                    Movement::new(MovementId(0), date, code, MovementKind::Sell, quantity);
                sold.place.clone_from(&line.place);
                recording.movements.push(sold);
            }
        }
    }

    /// What is sold, to be offered: the kept products, then what was sold before.
    #[must_use]
    pub fn products(facts: &Facts) -> Vec<String> {
        let kept = facts.stock.offered(|kind| kind.is_sold());
        let mut products: Vec<String> = kept
            .into_iter()
            .map(|item| facts.stock.label(item))
            .collect();
        let sets = facts.stock.bundles.iter().filter(|set| set.is_active);
        products.extend(sets.map(|set| set.name.clone()));
        for name in &facts.products {
            if !products
                .iter()
                .any(|known| known.eq_ignore_ascii_case(name))
            {
                products.push(name.clone());
            }
        }
        products
    }

    /// What lands, in words.
    #[must_use]
    pub fn lands(&self, facts: &Facts) -> Option<String> {
        let sale = self.sale(facts).ok()?;
        let pays = facts.show(sale.customer_pays());
        let name = self.paid_into.map(|id| facts.name(id)).unwrap_or_default();
        if !self.is_by_channel(facts) {
            return Some(format!("{pays} goes to {name}."));
        }
        let fees = sale.fees();
        if fees.is_zero() {
            return Some(format!(
                "{pays} is on its way from {name}; no fee is written down yet."
            ));
        }
        let kept = sale.kept();
        if kept.is_negative() {
            return Some(format!(
                "Of {pays} the shop keeps {}: you lost {} on this one.",
                facts.show(fees),
                facts.show(-kept)
            ));
        }
        Some(format!(
            "Of {pays} the shop keeps {}; {} is on its way.",
            facts.show(fees),
            facts.show(kept)
        ))
    }

    /// The sum the customer pays as far as it can be read.
    #[must_use]
    pub fn total(&self, facts: &Facts) -> Money {
        let read = |text: &str| facts.currency.parse_typed(text).unwrap_or_default();
        let lines: Money = self.lines.iter().map(|line| read(&line.amount)).sum();
        let tax = if self.tax_state == TaxState::Ours {
            read(&self.tax)
        } else {
            Money::ZERO
        };
        lines + read(&self.postage) + tax - read(&self.discount)
    }

    /// Whether what was typed is a shop's deposit rather than a sale.
    #[must_use]
    pub fn payout_hint(&self, facts: &Facts) -> Option<PayoutHint> {
        let account = self.paid_into?;
        let amount = self.total(facts);
        if !amount.is_positive() {
            return None;
        }
        let what: Vec<&str> = self.lines.iter().map(|line| line.what.trim()).collect();
        let memo = what.join(" ");
        let incoming = Incoming {
            account,
            amount,
            party: self.reference.trim(),
            memo: &memo,
        };
        looks_like_payout(incoming, &facts.chart, &facts.owed())
    }

    /// What may be wrong with it; she decides.
    #[must_use]
    pub fn hints(&self, facts: &Facts) -> Vec<String> {
        let total = self.total(facts);
        let mut hints = Vec::new();
        if let Some(unusual) = unusual_amount(total, &facts.asked.usual) {
            hints.push(unusual.sentence(&facts.currency));
        }
        let date = parse_day(&self.date, facts.today);
        let reference = self.reference.trim();
        if let Some(date) = date
            && !reference.is_empty()
        {
            let new = Written {
                number: None,
                date,
                amount: total,
                party: String::new(),
                reference: reference.to_owned(),
            };
            let same: Vec<Written> = facts
                .asked
                .near
                .iter()
                .filter(|one| one.reference.eq_ignore_ascii_case(reference))
                .map(|one| Written {
                    amount: total,
                    ..one.clone()
                })
                .collect();
            if likely_duplicate(&new, &same).is_some() {
                hints.push(format!(
                    "Is this in the book already? There is a sale with the number {reference}."
                ));
            }
        }
        hints
    }
}
