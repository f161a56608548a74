//! An amount in minor units: sums that cannot overflow, and splitting without loss.
//! Which currency it is in, and how it is written, is `currency`'s.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::Percent;

/// An amount of money in minor units (cents) of the book's currency. Positive is a debit where a side matters.
///
/// Amounts that enter the program are held within [`Money::LIMIT`], so that sums of millions of them fit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// The largest single amount accepted, in minor units: a hundred thousand million units of a two-decimal currency.
    pub const LIMIT: i64 = 10_000_000_000_000;

    /// An amount of `minor` minor units.
    #[must_use]
    pub const fn from_minor(minor: i64) -> Self {
        Self(minor)
    }

    /// The amount in minor units.
    #[must_use]
    pub const fn minor(self) -> i64 {
        self.0
    }

    /// Whether the amount is nothing.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Whether the amount is below nothing.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// Whether the amount is above nothing.
    #[must_use]
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// The size of the amount without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.saturating_abs())
    }

    /// Whether the amount is small enough to be accepted in an entry.
    #[must_use]
    pub const fn is_within_limit(self) -> bool {
        self.0 >= -Self::LIMIT && self.0 <= Self::LIMIT
    }

    /// The sum, or `None` when it does not fit.
    #[must_use]
    pub const fn checked_add(self, other: Self) -> Option<Self> {
        match self.0.checked_add(other.0) {
            Some(sum) => Some(Self(sum)),
            None => None,
        }
    }

    /// The amount times a decimal factor, rounded to whole minor units, halves away from zero.
    /// Saturates at the ends of the range, which [`Money::is_within_limit`] then refuses.
    #[must_use]
    pub fn times(self, factor: Decimal) -> Self {
        Decimal::from(self.0)
            .checked_mul(factor)
            .map_or(Self(i64::MAX), Self::rounded_minor)
    }

    /// The part of the amount that `share` per cent of it is, rounded halves away from zero.
    #[must_use]
    pub fn share(self, share: Percent) -> Self {
        self.times(share.fraction())
    }

    /// Minor units given as a decimal, rounded halves away from zero.
    #[must_use]
    pub fn rounded_minor(minor: Decimal) -> Self {
        let rounded = minor.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
        let end = if rounded.is_sign_negative() {
            i64::MIN
        } else {
            i64::MAX
        };
        Self(rounded.to_i64().unwrap_or(end))
    }

    /// Splits the amount in proportion to `weights` so that the parts add up to it exactly: largest remainder first,
    /// earlier parts before later ones among equals. Weights that are all zero split evenly.
    ///
    /// ```
    /// use deckle::money::Money;
    /// let parts = Money::from_minor(1000).allocate(&[1, 1, 1]);
    /// assert_eq!(parts.iter().map(|p| p.minor()).collect::<Vec<_>>(), [334, 333, 333]);
    /// ```
    #[must_use]
    pub fn allocate(self, weights: &[i64]) -> Vec<Self> {
        if weights.is_empty() {
            return Vec::new();
        }
        let weights: Vec<i128> = if weights.iter().all(|weight| *weight == 0) {
            vec![1; weights.len()]
        } else {
            weights
                .iter()
                .map(|weight| i128::from(*weight).abs())
                .collect()
        };
        let total_weight: i128 = weights.iter().sum();
        let amount = i128::from(self.0).abs();
        let mut parts: Vec<i128> = weights
            .iter()
            .map(|weight| amount * weight / total_weight)
            .collect();
        let mut left = amount - parts.iter().sum::<i128>();
        let mut order: Vec<usize> = (0..weights.len()).collect();
        order.sort_by_key(|&idx| (std::cmp::Reverse(amount * weights[idx] % total_weight), idx));
        for idx in order {
            if left == 0 {
                break;
            }
            parts[idx] += 1;
            left -= 1;
        }
        let sign = if self.0 < 0 { -1 } else { 1 };
        parts
            .into_iter()
            .map(|part| Self(i64::try_from(part * sign).unwrap_or(i64::MAX)))
            .collect()
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Money {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
