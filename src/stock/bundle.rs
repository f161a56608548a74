//! A set sold under one name and price, whose parts lie in stock each by itself: five cards in a band.
//! A set that is put together beforehand and lies there as such is a batch with a recipe instead.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::money::{Money, Quantity};

/// So many of an item in one set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BundlePart {
    /// The item's code.
    pub item: String,
    /// How many of it are in one set, in the item's own unit.
    pub quantity: Quantity,
}

/// A set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// Its code, by which sales name it; no item has the same.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// What one sells for, in minor units.
    pub price: Option<Money>,
    /// What it takes out of the stock when one is sold.
    pub parts: Vec<BundlePart>,
    /// Whether it is still offered.
    pub is_active: bool,
}

/// Why a set was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BundleError {
    /// No code.
    #[error("give the set a code, a short name of your own")]
    NoCode,
    /// No name.
    #[error("give the set a name")]
    NoName,
    /// Nothing in it.
    #[error("say what is in the set")]
    NoParts,
    /// So much of nothing, or below.
    #[error("{0} needs a quantity above nothing")]
    Quantity(String),
    /// The same item twice.
    #[error("{0} stands in the set twice")]
    Twice(String),
    /// A price below nothing.
    #[error("the price cannot be below nothing")]
    Price,
}

impl Bundle {
    /// Whether it can be kept, by itself.
    ///
    /// # Errors
    /// When a name is missing, nothing is in it, an item stands twice, or a figure lies below nothing.
    pub fn check(&self) -> Result<(), BundleError> {
        if self.code.trim().is_empty() {
            return Err(BundleError::NoCode);
        }
        if self.name.trim().is_empty() {
            return Err(BundleError::NoName);
        }
        if self.parts.is_empty() {
            return Err(BundleError::NoParts);
        }
        let mut seen = BTreeSet::new();
        for part in &self.parts {
            if part.quantity.value() <= Decimal::ZERO {
                return Err(BundleError::Quantity(part.item.clone()));
            }
            if !seen.insert(part.item.to_ascii_lowercase()) {
                return Err(BundleError::Twice(part.item.clone()));
            }
        }
        if self.price.is_some_and(Money::is_negative) {
            return Err(BundleError::Price);
        }
        Ok(())
    }

    /// What so many sets take: each part and how many of it, to six decimals.
    #[must_use]
    pub fn parts_for(&self, sets: Quantity) -> Vec<BundlePart> {
        self.parts
            .iter()
            .map(|part| BundlePart {
                item: part.item.clone(),
                quantity: times(part.quantity, sets),
            })
            .collect()
    }

    /// How many whole sets can be sold from what is on hand, and the part of which there is too little for one more.
    pub fn sellable(&self, on_hand: impl Fn(&str) -> Quantity) -> (u64, Option<&BundlePart>) {
        self.parts
            .iter()
            .map(|part| {
                let there = on_hand(&part.item).value().max(Decimal::ZERO);
                let sets = (there / part.quantity.value()).floor();
                (u64::try_from(sets).unwrap_or(u64::MAX), Some(part))
            })
            .min_by_key(|(sets, _part)| *sets)
            .unwrap_or((0, None))
    }

    /// By what its parts share what a set was sold for: what they would sell for singly, or their number where one of
    /// them has no price.
    pub fn weights(&self, price_of: impl Fn(&str) -> Option<Money>) -> Vec<i64> {
        let at_price: Option<Vec<i64>> = self
            .parts
            .iter()
            .map(|part| {
                let price = price_of(&part.item)?.times(part.quantity.value());
                price.is_positive().then(|| price.minor())
            })
            .collect();
        at_price.unwrap_or_else(|| {
            let many = self.parts.iter().map(|part| part.quantity);
            many.map(super::millionths).collect()
        })
    }
}

fn times(quantity: Quantity, sets: Quantity) -> Quantity {
    let many = quantity.value().checked_mul(sets.value());
    Quantity::new(many.unwrap_or(Decimal::MAX).round_dp(6)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn many(text: &str) -> Quantity {
        text.parse().expect("a quantity")
    }

    fn five_cards() -> Bundle {
        let part = |item: &str, quantity: &str| BundlePart {
            item: item.to_owned(),
            quantity: many(quantity),
        };
        Bundle {
            code: "SET".to_owned(),
            name: "Five cards".to_owned(),
            price: Some(Money::from_minor(12_00)),
            parts: vec![part("FERN", "3"), part("MOTH", "2"), part("BAND", "1")],
            is_active: true,
        }
    }

    /// By hand: 10 of three a set make 3, 5 of two a set make 2, so the second card is what runs out first.
    #[test]
    fn the_scarcest_part_says_how_many_can_be_sold() {
        let set = five_cards();
        let there = |code: &str| match code {
            "FERN" => many("10"),
            "MOTH" => many("5"),
            _ => many("40"),
        };
        let (sets, short) = set.sellable(there);
        assert_eq!(sets, 2);
        assert_eq!(short.map(|part| part.item.as_str()), Some("MOTH"));
        assert_eq!(set.sellable(|_code| Quantity::default()).0, 0);
    }

    /// By hand: 3 × 3.00, 2 × 2.50 and 1 × 1.00 are 15.00 singly; 12.00 shared in 9 : 5 : 1 is 7.20, 4.00 and 0.80.
    #[test]
    fn what_a_set_sold_for_is_shared_by_single_prices() {
        let set = five_cards();
        let price = |code: &str| {
            Some(Money::from_minor(match code {
                "FERN" => 3_00,
                "MOTH" => 2_50,
                _ => 1_00,
            }))
        };
        let shares = |weights: Vec<i64>| {
            let shares = Money::from_minor(12_00).allocate(&weights);
            shares.into_iter().map(Money::minor).collect::<Vec<_>>()
        };
        assert_eq!(shares(set.weights(price)), [7_20, 4_00, 80]);
        // Without a price for one, by number: 12.00 in 3 : 2 : 1.
        assert_eq!(shares(set.weights(|_code| None)), [6_00, 4_00, 2_00]);
    }

    #[test]
    fn a_set_that_cannot_be_says_why() {
        let mut set = five_cards();
        set.parts[1].item = "fern".to_owned();
        assert_eq!(set.check(), Err(BundleError::Twice("fern".to_owned())));
        set.parts[1].quantity = Quantity::default();
        assert_eq!(set.check(), Err(BundleError::Quantity("fern".to_owned())));
        set.parts.clear();
        assert_eq!(set.check(), Err(BundleError::NoParts));
    }
}
