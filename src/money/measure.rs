//! Shares in per cent and counted or measured quantities, exact.
//! What they are shares or quantities of is the business of whoever holds them.

use std::fmt;
use std::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy};

use super::{AmountError, Currency, Money};

/// A share in per cent, from 0 to 100.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percent(Decimal);

impl Percent {
    /// All of it.
    pub const WHOLE: Self = Self(Decimal::ONE_HUNDRED);
    /// None of it.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// A share of `percent` per cent.
    ///
    /// # Errors
    /// When it is below 0 or above 100.
    pub fn new(percent: Decimal) -> Result<Self, AmountError> {
        if percent < Decimal::ZERO || percent > Decimal::ONE_HUNDRED {
            return Err(AmountError::PercentOutOfRange(percent.to_string()));
        }
        Ok(Self(percent.normalize()))
    }

    /// The share in per cent.
    #[must_use]
    pub const fn percent(self) -> Decimal {
        self.0
    }

    /// The share as a fraction of one.
    #[must_use]
    pub fn fraction(self) -> Decimal {
        self.0 / Decimal::ONE_HUNDRED
    }

    /// Whether it is the whole.
    #[must_use]
    pub fn is_whole(self) -> bool {
        self == Self::WHOLE
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.normalize())
    }
}

impl FromStr for Percent {
    type Err = AmountError;
    fn from_str(text: &str) -> Result<Self, AmountError> {
        let digits = text.trim().trim_end_matches('%').trim();
        let value = Decimal::from_str(digits)
            .map_err(|_not_a_number| AmountError::NotANumber(text.to_owned()))?;
        Self::new(value)
    }
}

/// A counted or measured quantity, exact, with up to six decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity(Decimal);

impl Quantity {
    /// A quantity.
    ///
    /// # Errors
    /// When it has more than six decimals.
    pub fn new(value: Decimal) -> Result<Self, AmountError> {
        let value = value.normalize();
        if value.scale() > 6 {
            return Err(AmountError::TooManyDecimals {
                text: value.to_string(),
                allowed: 6,
            });
        }
        Ok(Self(value))
    }

    /// The quantity as a decimal.
    #[must_use]
    pub const fn value(self) -> Decimal {
        self.0
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.normalize())
    }
}

impl FromStr for Quantity {
    type Err = AmountError;
    fn from_str(text: &str) -> Result<Self, AmountError> {
        let value = Decimal::from_str(text.trim())
            .map_err(|_not_a_number| AmountError::NotANumber(text.to_owned()))?;
        Self::new(value)
    }
}

/// What one piece cost, to four decimals of the major unit: for showing only, amounts are never computed from it.
#[must_use]
pub fn unit_cost(total: Money, quantity: Quantity, currency: &Currency) -> Option<Decimal> {
    if quantity.value().is_zero() {
        return None;
    }
    let major = Decimal::new(total.minor(), currency.decimals());
    major
        .checked_div(quantity.value())
        .map(|cost| cost.round_dp_with_strategy(4, RoundingStrategy::MidpointAwayFromZero))
}
