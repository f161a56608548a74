//! What one piece costs, finer than a cent: an exact decimal of minor units, never below nothing.
//! Amounts that are paid are [`Money`]; this is what they are worked out from.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::money::{AmountError, Currency, Money};

/// What one piece costs, in minor units with up to six decimals, from nothing to [`UnitCost::LIMIT`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitCost(Decimal);

impl UnitCost {
    /// Nothing.
    pub const ZERO: Self = Self(Decimal::ZERO);
    /// The largest cost of one piece, in minor units.
    pub const LIMIT: i64 = 1_000_000_000;
    /// Decimals of the minor unit that are kept.
    pub const DECIMALS: u32 = 6;

    /// A cost of one piece in minor units.
    ///
    /// # Errors
    /// When it is below nothing, too large, or has more than six decimals.
    pub fn from_minor(minor: Decimal) -> Result<Self, AmountError> {
        let minor = minor.normalize();
        if minor.is_sign_negative() && !minor.is_zero() {
            return Err(AmountError::NotANumber(minor.to_string()));
        }
        if minor > Decimal::from(Self::LIMIT) {
            return Err(AmountError::TooLarge(minor.to_string()));
        }
        if minor.scale() > Self::DECIMALS {
            return Err(AmountError::TooManyDecimals {
                text: minor.to_string(),
                allowed: Self::DECIMALS,
            });
        }
        Ok(Self(minor))
    }

    /// A cost of one piece in major units, as `0.58`.
    ///
    /// # Errors
    /// When it is below nothing, too large, or finer than six decimals of the minor unit.
    pub fn from_major(major: Decimal, currency: &Currency) -> Result<Self, AmountError> {
        let minor = major
            .checked_mul(Decimal::from(10_i64.pow(currency.decimals())))
            .ok_or_else(|| AmountError::TooLarge(major.to_string()))?;
        Self::from_minor(minor)
    }

    /// A cost of one piece that is a whole amount.
    ///
    /// # Errors
    /// When it is below nothing or too large.
    pub fn from_money(amount: Money) -> Result<Self, AmountError> {
        Self::from_minor(Decimal::from(amount.minor()))
    }

    /// What each of `pieces` costs when they cost `total` together, to six decimals of the minor unit.
    ///
    /// ```
    /// use deckle::deciding::UnitCost;
    /// use deckle::money::Money;
    /// let each = UnitCost::shared(Money::from_minor(2900), 50).expect("fifty for 29.00");
    /// assert_eq!(each.minor().to_string(), "58");
    /// ```
    ///
    /// # Errors
    /// When there are no pieces, or the total is below nothing or too large.
    pub fn shared(total: Money, pieces: u64) -> Result<Self, AmountError> {
        let each = Decimal::from(total.minor())
            .checked_div(Decimal::from(pieces))
            .ok_or_else(|| AmountError::NotANumber(format!("{}/{pieces}", total.minor())))?;
        Self::from_minor(
            each.round_dp_with_strategy(Self::DECIMALS, RoundingStrategy::MidpointAwayFromZero),
        )
    }

    /// The cost in minor units.
    #[must_use]
    pub const fn minor(self) -> Decimal {
        self.0
    }

    /// The cost in major units, as it is shown.
    #[must_use]
    pub fn major(self, currency: &Currency) -> Decimal {
        (self.0 / Decimal::from(10_i64.pow(currency.decimals()))).normalize()
    }

    /// The cost as people read it: at least the currency's decimals, more where it is finer. `0.58`, `0.3333`.
    #[must_use]
    pub fn show(self, currency: &Currency) -> String {
        show_unit(self.0, currency)
    }

    /// What `pieces` cost, rounded to whole minor units, halves up.
    #[must_use]
    pub fn for_pieces(self, pieces: u64) -> Money {
        self.0
            .checked_mul(Decimal::from(pieces))
            .map_or(Money::from_minor(i64::MAX), Money::rounded_minor)
    }

    /// The cost in millionths of the minor unit.
    pub(super) fn millionths(self) -> i128 {
        (self.0 * Decimal::from(1_000_000)).to_i128().unwrap_or(0)
    }
}

/// Minor units as people read them, to four decimals of the major unit and with at least the currency's own.
pub(super) fn show_unit(minor: Decimal, currency: &Currency) -> String {
    let decimals = currency.decimals();
    let major = (minor / Decimal::from(10_i64.pow(decimals)))
        .round_dp_with_strategy(4.max(decimals), RoundingStrategy::MidpointAwayFromZero)
        .normalize();
    let mut shown = major.abs();
    if shown.scale() < decimals {
        shown.rescale(decimals);
    }
    let sign = if major.is_sign_negative() && !major.is_zero() {
        "\u{2212}"
    } else {
        ""
    };
    format!("{sign}{shown}")
}
