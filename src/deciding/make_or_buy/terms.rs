//! How a house that prints, cuts or casts works, as it says so: price tiers, minimum and steps, a deal, carriage.
//! What an order on these terms comes to is `outside`'s.

use super::super::{DecidingError, UnitCost};
use super::exact::{MOST_ORDERED, in_range};
use crate::money::{Money, Percent};

/// The price of each piece when at least so many are ordered. It holds for all pieces of the order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PriceTier {
    /// From how many pieces.
    pub from: u64,
    /// The price of each.
    pub each: UnitCost,
}

/// A part of the bill taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deal {
    /// How much is taken off.
    pub off: Percent,
    /// What it is taken off from.
    pub scope: DealScope,
}

/// What a deal is taken off from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DealScope {
    /// This share of the price of the pieces, as when only the printing is reduced and not the paper.
    PartOfPieces(Percent),
    /// The price of the pieces.
    Pieces,
    /// The pieces and the costs once per design and per run.
    PiecesAndOnce,
    /// Everything, carriage too.
    WholeBill,
}

/// How many pieces arrive for those ordered. What is delivered is billed, as is the custom of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Delivery {
    /// As many as were ordered.
    Exact,
    /// Up to this share fewer: planned for at its worst.
    Short(Percent),
    /// Up to this share more: planned for at its dearest.
    Over(Percent),
}

/// How a house works, as it says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutsideTerms {
    /// Its prices, each from more pieces than the one before. Fewer than the first tier cannot be ordered.
    pub tiers: Vec<PriceTier>,
    /// The fewest pieces it makes.
    pub minimum: u64,
    /// Orders are whole multiples of this many pieces; 1 for any number.
    pub step: u64,
    /// What is taken off the bill.
    pub deal: Option<Deal>,
    /// Paid once for a design: plate, die, proof, licence. In the first run only.
    pub once_per_design: Money,
    /// Paid again for each run: set-up, make-ready.
    pub once_per_run: Money,
    /// Carriage for an order, whatever its size.
    pub carriage_per_order: Money,
    /// Carriage for each piece that arrives.
    pub carriage_each: UnitCost,
    /// The share of what arrives that cannot be sold.
    pub spoiled: Percent,
    /// Fewer or more than ordered.
    pub delivery: Delivery,
    /// Days from order to arrival.
    pub lead_days: u32,
}

impl Default for OutsideTerms {
    fn default() -> Self {
        Self {
            tiers: Vec::new(),
            minimum: 1,
            step: 1,
            deal: None,
            once_per_design: Money::ZERO,
            once_per_run: Money::ZERO,
            carriage_per_order: Money::ZERO,
            carriage_each: UnitCost::ZERO,
            spoiled: Percent::ZERO,
            delivery: Delivery::Exact,
            lead_days: 0,
        }
    }
}

/// Refuses tiers that are none, or of which one is not from more pieces than the one before.
pub(super) fn check_tiers(tiers: &[PriceTier]) -> Result<(), DecidingError> {
    if tiers.is_empty() {
        return Err(DecidingError::NoTiers);
    }
    for tier in tiers {
        in_range("a price's first quantity", tier.from, 1, MOST_ORDERED)?;
    }
    for (idx, pair) in tiers.windows(2).enumerate() {
        if let [before, tier] = pair
            && tier.from <= before.from
        {
            return Err(DecidingError::TiersOutOfOrder {
                place: idx + 2,
                from: tier.from,
                before: before.from,
            });
        }
    }
    Ok(())
}

impl DealScope {
    /// What of the bill a deal is on, in words.
    pub(super) fn words(self) -> String {
        match self {
            Self::PartOfPieces(share) => format!("{share} % of the price of the pieces"),
            Self::Pieces => "the pieces".to_owned(),
            Self::PiecesAndOnce => "the pieces and what is paid once".to_owned(),
            Self::WholeBill => "the whole bill".to_owned(),
        }
    }
}
