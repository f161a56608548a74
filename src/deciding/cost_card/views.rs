//! A card seen otherwise: what an offer or a shop's price leaves, what first run and reorder cost, what another cost of
//! its materials does to the margin.

use rust_decimal::{Decimal, RoundingStrategy};

use super::super::{DecidingError, UnitCost};
use super::card::{CardFigures, CostCard};
use super::fees::Channel;
use super::terms::{Answer, CostBasis, Ingredient, Postage, Spread};
use crate::money::{Money, Percent, Quantity};

/// A way of selling for less than the usual price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Offer {
    /// So many per cent off the price.
    PercentOff(Percent),
    /// So much off the price of each piece.
    AmountOff(Money),
    /// The customer is charged no postage.
    FreePostage,
    /// Something given along with the order, which costs this much.
    GiftAlong {
        /// What it is.
        label: String,
        /// What it costs.
        cost: UnitCost,
    },
    /// Another price at another place on its own terms, as to a shop that sells it on.
    Elsewhere {
        /// The price of each piece there.
        price: Money,
        /// Its fees and tax.
        channel: Channel,
        /// Postage there.
        postage: Postage,
    },
}

/// What an offer leaves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfferView {
    /// The figures under the offer.
    pub figures: CardFigures,
    /// How much less is kept of an order than usually; below nothing when it is more.
    pub kept_less: Money,
    /// How many times as many must be sold to keep the same, to two decimals rounded up; `None` when nothing is kept.
    pub times_as_many: Option<Decimal>,
}

/// What costs that come once do to a piece, spread one way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnceView {
    /// The way they are spread.
    pub spread: Spread,
    /// What they add to each piece, in minor units.
    pub each: Decimal,
    /// The figures with it.
    pub figures: CardFigures,
}

/// The figures with one cost of the materials.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BasisView {
    /// Which cost.
    pub basis: CostBasis,
    /// The figures with it.
    pub figures: CardFigures,
    /// Whether the margin is below her floor.
    pub is_below_floor: bool,
}

/// A margin at the current price that has fallen below her floor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceAlert {
    /// With which cost: the latest before the next.
    pub basis: CostBasis,
    /// The margin, in per cent; `None` at a price of nothing.
    pub margin_percent: Option<Decimal>,
    /// Her floor.
    pub floor: Percent,
    /// The smallest price that reaches the floor again, if one does.
    pub price_needed: Option<Money>,
}

impl CostCard {
    /// What an offer leaves, against the usual price.
    ///
    /// # Errors
    /// When a price or an amount is out of range, as when more is taken off than the price.
    pub fn offer(
        &self,
        price: Money,
        offer: &Offer,
        basis: CostBasis,
    ) -> Result<OfferView, DecidingError> {
        let usual = self.at(price, basis)?;
        let mut terms = self.terms.clone();
        let mut offered = price;
        match offer {
            Offer::PercentOff(off) => offered = price - price.share(*off),
            Offer::AmountOff(off) => offered = price - *off,
            Offer::FreePostage => {
                if let Answer::Given(postage) = &mut terms.postage {
                    postage.charged = Money::ZERO;
                }
            }
            Offer::GiftAlong { label, cost } => {
                let gift = Ingredient {
                    label: label.clone(),
                    quantity: Quantity::new(Decimal::ONE)?,
                    average: *cost,
                    latest: None,
                    next_order: None,
                };
                match &mut terms.packaging {
                    Answer::Given(packaging) => packaging.push(gift),
                    open => *open = Answer::Given(vec![gift]),
                }
            }
            Offer::Elsewhere {
                price,
                channel,
                postage,
            } => {
                offered = *price;
                terms.channel = Answer::Given(channel.clone());
                terms.postage = Answer::Given(*postage);
            }
        }
        let figures = Self::new(terms, self.currency.clone())?.at(offered, basis)?;
        let times_as_many = figures.kept.is_positive().then(|| {
            let times = Decimal::from(usual.kept.minor()) / Decimal::from(figures.kept.minor());
            times
                .round_dp_with_strategy(2, RoundingStrategy::ToPositiveInfinity)
                .normalize()
        });
        Ok(OfferView {
            kept_less: usual.kept - figures.kept,
            figures,
            times_as_many,
        })
    }

    /// First run, reorder, and, when a number is planned, the whole plan.
    ///
    /// # Errors
    /// When the price is out of range.
    pub fn once_views(
        &self,
        price: Money,
        basis: CostBasis,
    ) -> Result<Vec<OnceView>, DecidingError> {
        let mut spreads = vec![Spread::FirstRun, Spread::Reorder];
        if self.terms.planned_pieces.is_some() {
            spreads.push(Spread::Planned);
        }
        spreads
            .into_iter()
            .map(|spread| {
                let mut card = self.clone();
                card.terms.spread = spread;
                Ok(OnceView {
                    spread,
                    each: self.terms.once_each(spread),
                    figures: card.at(price, basis)?,
                })
            })
            .collect()
    }

    /// The latest, the average and the next cost side by side.
    ///
    /// # Errors
    /// When the price is out of range.
    pub fn side_by_side(
        &self,
        price: Money,
        floor: Percent,
    ) -> Result<[BasisView; 3], DecidingError> {
        let view = |basis| -> Result<BasisView, DecidingError> {
            let figures = self.at(price, basis)?;
            let is_below_floor = figures
                .margin_percent
                .is_none_or(|margin| margin < floor.percent());
            Ok(BasisView {
                basis,
                figures,
                is_below_floor,
            })
        };
        let [latest, average, next] = CostBasis::ALL;
        Ok([view(latest)?, view(average)?, view(next)?])
    }

    /// An alert when the margin at this price is below her floor at the latest cost, or will be at the next.
    ///
    /// # Errors
    /// When the price is out of range.
    pub fn alert(&self, price: Money, floor: Percent) -> Result<Option<PriceAlert>, DecidingError> {
        let views = self.side_by_side(price, floor)?;
        let below = views
            .into_iter()
            .filter(|view| view.basis != CostBasis::Average)
            .find(|view| view.is_below_floor);
        Ok(below.map(|view| {
            let wanted = super::Wanted::Margin {
                percent: floor,
                time: super::super::OwnTime::LeftOut,
            };
            PriceAlert {
                basis: view.basis,
                margin_percent: view.figures.margin_percent,
                floor,
                price_needed: self.price_for(wanted, view.basis).ok(),
            }
        }))
    }
}
