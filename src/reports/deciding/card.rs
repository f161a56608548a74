//! The cost card asked and told: what the owner or a verb asks, filled up from what the book knows, and every figure and
//! sentence that follows. Fields and options are read elsewhere; the arithmetic is `deciding`'s.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::known::CardKnown;
use crate::deciding::{
    Answer, BasisView, BreakEven, CardFigures, CardTerms, Channel, CostBasis, CostCard,
    DecidingError, Fee, FeeBase, FixedPer, Ingredient, Offer, OfferView, OnceCost, OncePer,
    OnceView, OwnMinutes, OwnTime, Postage, PriceAlert, SalesTax, Spread, UnitCost, Wanted,
};
use crate::money::{Currency, Money, Percent, Quantity};

/// What is asked of a card. What is `None` is not known and stays open; nothing of it is an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardAsk {
    /// The price of one.
    pub price: Option<Money>,
    /// Pieces in an order.
    pub pieces: u32,
    /// Packaging of an order.
    pub packaging: Option<Money>,
    /// Postage the customer is charged.
    pub postage: Option<Money>,
    /// What the label costs.
    pub label: Option<Money>,
    /// The shop's share.
    pub fee_percent: Option<Percent>,
    /// And a fixed part of each order.
    pub fee_fixed: Option<Money>,
    /// What the share is taken of.
    pub fee_base: FeeBase,
    /// Wear of equipment for a good piece.
    pub wear: Option<UnitCost>,
    /// Own minutes for a good piece.
    pub minutes: Option<Decimal>,
    /// What her hour is worth.
    pub own_rate: Option<Money>,
    /// What inputs will cost when next ordered, by their code.
    pub next_order: BTreeMap<String, UnitCost>,
    /// Paid once for the design.
    pub once_per_design: Money,
    /// Paid at every run.
    pub once_per_run: Money,
    /// Good pieces of a run.
    pub run_pieces: u64,
    /// Good pieces planned in all.
    pub planned_pieces: Option<u64>,
    /// The share of the price she wants to keep, which is also her floor.
    pub margin: Option<Percent>,
    /// What is paid every month, whatever is sold.
    pub fixed_a_month: Option<Money>,
    /// An offer of so much off the price.
    pub offer: Option<Percent>,
    /// What a shop that sells it on would pay for one.
    pub wholesale: Option<Money>,
    /// At which cost of the inputs.
    pub basis: CostBasis,
}

/// What a card tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardTold {
    /// The figures at the price.
    pub figures: CardFigures,
    /// The same at the latest, the average and the next cost.
    pub by_cost: Option<[BasisView; 3]>,
    /// That the margin has fallen below what she wants to keep, or will.
    pub alert: Option<PriceAlert>,
    /// What comes once, over a first run, a run made again, and all that is planned; empty when nothing does.
    pub once: Vec<OnceView>,
    /// The price that keeps what she wants, or why none does.
    pub wanted: Option<(Percent, Result<Money, DecidingError>)>,
    /// How many pieces a month cover what is fixed; the inner is `None` when nothing is kept of a piece.
    pub cover: Option<(Money, Option<BreakEven>)>,
    /// What the offer leaves.
    pub offer: Option<(Percent, OfferView)>,
    /// What a shop's price leaves, without fees and postage.
    pub wholesale: Option<(Money, OfferView)>,
    /// Where figures come from: what it is, and in words.
    pub sources: Vec<(&'static str, String)>,
}

impl CardAsk {
    /// What the book can answer, with the fees of the shop that sold most.
    #[must_use]
    pub fn of_book(known: &CardKnown) -> Self {
        let minutes = known.making.minutes_for_good();
        let channel = known.channels.first();
        Self {
            price: known.making.item.price,
            pieces: 1,
            packaging: None,
            postage: None,
            label: None,
            fee_percent: channel.map(|one| one.percent),
            fee_fixed: None,
            fee_base: if channel.is_some() {
                FeeBase::Price
            } else {
                FeeBase::PriceAndPostage
            },
            wear: known.wear,
            minutes: (!minutes.is_zero()).then_some(minutes),
            own_rate: known.own_rate,
            next_order: BTreeMap::new(),
            once_per_design: Money::ZERO,
            once_per_run: Money::ZERO,
            run_pieces: known.making.batch.unwrap_or(1),
            planned_pieces: None,
            margin: Percent::new(Decimal::from(30)).ok(),
            fixed_a_month: known.fixed_a_month,
            offer: None,
            wholesale: None,
            basis: CostBasis::Latest,
        }
    }

    /// The card's terms.
    fn terms(&self, known: &CardKnown) -> Result<CardTerms, DecidingError> {
        let making = &known.making;
        let mut terms = CardTerms::new(&making.item.name);
        for input in &making.inputs {
            match input.ingredient(self.next_order.get(&input.code).copied()) {
                Some(ingredient) => terms.materials.push(ingredient),
                None => terms.unknown.push(input.name.clone()),
            }
        }
        if making.outside != UnitCost::ZERO {
            terms.outside_work = vec![of_one("Outside work", making.outside)];
        }
        terms.waste = making.waste.map_or(Answer::Waived, Answer::Given);
        terms.pieces_in_order = self.pieces;
        terms.packaging = match self.packaging {
            None => Answer::Open,
            Some(amount) if amount.is_zero() => Answer::Waived,
            Some(amount) => Answer::Given(vec![of_one("Packaging", UnitCost::from_money(amount)?)]),
        };
        terms.postage = match (self.postage, self.label) {
            (None, None) => Answer::Open,
            (charged, label) => Answer::Given(Postage {
                charged: charged.unwrap_or_default(),
                label: label.unwrap_or_default(),
            }),
        };
        terms.channel = match (self.fee_percent, self.fee_fixed) {
            (None, None) => Answer::Open,
            (share, fixed) => Answer::Given(Channel {
                name: "Shop".to_owned(),
                fees: vec![Fee {
                    label: "Fees".to_owned(),
                    percent: share.unwrap_or(Percent::ZERO),
                    base: self.fee_base,
                    fixed: fixed.unwrap_or_default(),
                    per: FixedPer::Order,
                }],
                tax: SalesTax::None,
            }),
        };
        terms.wear = match self.wear {
            None => Answer::Open,
            Some(each) if each == UnitCost::ZERO => Answer::Waived,
            Some(each) => Answer::Given(each),
        };
        terms.own_time = match (self.minutes, self.own_rate) {
            (Some(minutes), _) if minutes.is_zero() => Answer::Waived,
            (Some(minutes), Some(hourly_rate)) => Answer::Given(OwnMinutes {
                minutes,
                hourly_rate,
            }),
            _ => Answer::Open,
        };
        for (label, amount, per) in [
            ("Once for the design", self.once_per_design, OncePer::Design),
            ("At every run", self.once_per_run, OncePer::Run),
        ] {
            if !amount.is_zero() {
                let label = label.to_owned();
                terms.once.push(OnceCost { label, amount, per });
            }
        }
        terms.run_pieces = self.run_pieces;
        terms.planned_pieces = self.planned_pieces;
        terms.spread = Spread::LeftOut;
        Ok(terms)
    }

    /// What the card tells.
    ///
    /// # Errors
    /// When there is no price, or a figure is out of range.
    pub fn tell(&self, known: &CardKnown, currency: &Currency) -> Result<CardTold, DecidingError> {
        let card = CostCard::new(self.terms(known)?, currency.clone())?;
        let price = self.price.ok_or(DecidingError::NoPrice)?;
        let basis = self.basis;
        let wanted = |percent| Wanted::Margin {
            percent,
            time: OwnTime::LeftOut,
        };
        let cover = |fixed: Money| {
            let time = OwnTime::LeftOut;
            card.pieces_to_cover(fixed, Money::ZERO, price, basis, time)
                .map(|cover| (fixed, cover))
        };
        let off = |percent: Percent| {
            card.offer(price, &Offer::PercentOff(percent), basis)
                .map(|view| (percent, view))
        };
        let elsewhere = |there: Money| {
            let offer = Offer::Elsewhere {
                price: there,
                channel: Channel {
                    name: "A shop that sells it on".to_owned(),
                    fees: Vec::new(),
                    tax: SalesTax::None,
                },
                postage: Postage {
                    charged: Money::ZERO,
                    label: Money::ZERO,
                },
            };
            card.offer(price, &offer, basis).map(|view| (there, view))
        };
        Ok(CardTold {
            figures: card.at(price, basis)?,
            by_cost: self
                .margin
                .map(|floor| card.side_by_side(price, floor))
                .transpose()?,
            alert: match self.margin {
                Some(floor) => card.alert(price, floor)?,
                None => None,
            },
            once: if card.terms().once.is_empty() {
                Vec::new()
            } else {
                card.once_views(price, basis)?
            },
            wanted: self
                .margin
                .map(|percent| (percent, card.price_for(wanted(percent), basis))),
            cover: self.fixed_a_month.map(cover).transpose()?,
            offer: self.offer.map(off).transpose()?,
            wholesale: self.wholesale.map(elsewhere).transpose()?,
            sources: self.sources(known, currency),
        })
    }

    /// Where the book's own figures come from, as far as they are the ones asked with.
    fn sources(&self, known: &CardKnown, currency: &Currency) -> Vec<(&'static str, String)> {
        let mut sources = Vec::new();
        if !known.making.has_recipe {
            let words = "there is no recipe, so it counts at what it cost itself";
            sources.push(("Materials", words.to_owned()));
        }
        let share = known
            .channels
            .iter()
            .find(|one| Some(one.percent) == self.fee_percent);
        if let (Some(share), FeeBase::Price) = (share, self.fee_base) {
            let since = crate::dates::show_day(known.range.from);
            sources.push((
                "Fees",
                format!(
                    "{} kept {} of {} sold since {since}, {} %",
                    share.name,
                    currency.show(share.fees),
                    currency.show(share.gross),
                    share.percent
                ),
            ));
        }
        if self.wear.is_none() || self.wear == known.wear {
            sources.push(("Wear of equipment", known.wear_words.clone()));
        }
        let minutes = known.making.minutes_for_good();
        if self.minutes == Some(minutes) && !minutes.is_zero() {
            sources.push(("Your minutes", known.making.minutes_words()));
        }
        if self.own_rate.is_some() && self.own_rate == known.own_rate {
            sources.push(("Your hour", "by the settings".to_owned()));
        }
        if self.fixed_a_month.is_some() && self.fixed_a_month == known.fixed_a_month {
            let words = match known.fixed_count {
                1 => "a twelfth of a year of the one payment that comes again".to_owned(),
                n => format!("a twelfth of a year of the {n} payments that come again"),
            };
            sources.push(("Every month", words));
        }
        sources
    }
}

fn of_one(label: &str, cost: UnitCost) -> Ingredient {
    Ingredient {
        label: label.to_owned(),
        quantity: Quantity::new(Decimal::ONE).unwrap_or_default(),
        average: cost,
        latest: None,
        next_order: None,
    }
}

impl CardTold {
    /// What follows from the figures, in sentences: the price wanted, the hour, pieces to cover what is fixed, an offer, a
    /// shop's price, a margin that has fallen.
    #[must_use]
    pub fn sentences(&self, currency: &Currency) -> Vec<String> {
        let mut words = Vec::new();
        if let Some((percent, wanted)) = &self.wanted {
            words.push(match wanted {
                Ok(price) => format!(
                    "To keep {percent} % of the price before paying yourself, one would sell for {}.",
                    currency.show(*price)
                ),
                Err(error) => format!("No price keeps {percent} %: {error}."),
            });
        }
        if let Some(earned) = self.figures.earned_an_hour {
            let shown = currency.show(earned);
            words.push(format!("An hour of your work earns {shown} at this price."));
        }
        if let Some((fixed, cover)) = &self.cover {
            let fixed = currency.show(*fixed);
            words.push(match cover {
                Some(cover) => format!(
                    "{} pieces a month, {} of sales, cover the {fixed} that you pay every month.",
                    cover.pieces,
                    currency.show(cover.sales)
                ),
                None => format!(
                    "Nothing is kept of a piece, so no number of them covers the {fixed} that you pay every month."
                ),
            });
        }
        if let Some((percent, view)) = &self.offer {
            words.push(format!("At {percent} % off, {}.", leaves(view, currency)));
        }
        if let Some((price, view)) = &self.wholesale {
            words.push(format!(
                "Sold to a shop for {} each, without fees and postage, {}.",
                currency.show(*price),
                leaves(view, currency)
            ));
        }
        if let Some(alert) = &self.alert {
            let mut sentence = format!(
                "{} you keep less than {} % of the price",
                alert.basis.label(),
                alert.floor
            );
            if let Some(needed) = alert.price_needed {
                sentence.push_str(&format!("; {} would keep it", currency.show(needed)));
            }
            words.push(format!("{sentence}."));
        }
        words
    }
}

/// What is left under an offer.
fn leaves(view: &OfferView, currency: &Currency) -> String {
    let kept = view.figures.kept;
    let shown = currency.show(kept.abs());
    let less = if view.kept_less.is_negative() {
        format!("{} more than usual", currency.show(view.kept_less.abs()))
    } else {
        format!("{} less than usual", currency.show(view.kept_less))
    };
    if kept.is_negative() {
        return format!("you lose {shown}, {less}");
    }
    match view.times_as_many {
        Some(times) if times > Decimal::ONE => {
            format!("you keep {shown}, {less}: {times} times as many must be sold to keep the same")
        }
        _ => format!("you keep {shown}, {less}"),
    }
}
