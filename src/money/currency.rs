//! Currencies with the decimals that ISO 4217 gives them, and amounts as they are shown.
//! Amounts that are read are `reading`'s.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{AmountError, Money};

/// A currency by its ISO 4217 code, with the number of decimals that the standard gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currency {
    code: String,
    pub(super) symbol: String,
    decimals: u32,
}

impl Currency {
    /// The currency with this ISO 4217 code, in any case.
    ///
    /// # Errors
    /// When the standard has no such code or gives it no minor unit.
    pub fn from_code(code: &str) -> Result<Self, AmountError> {
        let upper = code.trim().to_ascii_uppercase();
        let found = iso_currency::Currency::from_code(&upper)
            .ok_or_else(|| AmountError::UnknownCurrency(code.to_owned()))?;
        let decimals = found
            .exponent()
            .ok_or_else(|| AmountError::UnknownCurrency(code.to_owned()))?;
        Ok(Self {
            code: upper,
            symbol: found.symbol().to_string(),
            decimals: u32::from(decimals),
        })
    }

    /// The ISO 4217 code, as `USD`.
    #[must_use]
    pub fn code(&self) -> &str {
        &self.code
    }

    /// The number of decimals of the currency's minor unit.
    #[must_use]
    pub const fn decimals(&self) -> u32 {
        self.decimals
    }

    /// The amount as plain text for sheets and JSON: a point, no thousands separators, a leading minus. `-1234.50`.
    #[must_use]
    pub fn plain(&self, amount: Money) -> String {
        Decimal::new(amount.minor(), self.decimals).to_string()
    }

    /// The amount for a maker's room: thousands separated, a true minus sign. `−1,234.50`.
    #[must_use]
    pub fn show(&self, amount: Money) -> String {
        let grouped = self.grouped(amount);
        if amount.is_negative() {
            format!("\u{2212}{grouped}")
        } else {
            grouped
        }
    }

    /// The amount for a statement: thousands separated, negatives in parentheses. `(1,234.50)`.
    #[must_use]
    pub fn statement(&self, amount: Money) -> String {
        let grouped = self.grouped(amount);
        if amount.is_negative() {
            format!("({grouped})")
        } else {
            grouped
        }
    }

    fn grouped(&self, amount: Money) -> String {
        let digits = Decimal::new(amount.abs().minor(), self.decimals).to_string();
        let (whole, fraction) = digits.split_once('.').unwrap_or((&digits, ""));
        let mut out = String::new();
        for (idx, digit) in whole.chars().enumerate() {
            if idx > 0 && (whole.len() - idx).is_multiple_of(3) {
                out.push(',');
            }
            out.push(digit);
        }
        if !fraction.is_empty() {
            out.push('.');
            out.push_str(fraction);
        }
        out
    }

    /// A major-unit decimal as money, refused when it would have to be rounded.
    ///
    /// # Errors
    /// When it has too many decimals or is too large.
    pub fn exact(&self, value: Decimal, text: &str) -> Result<Money, AmountError> {
        let value = value.normalize();
        if value.scale() > self.decimals {
            return Err(AmountError::TooManyDecimals {
                text: text.trim().to_owned(),
                allowed: self.decimals,
            });
        }
        let too_large = || AmountError::TooLarge(text.trim().to_owned());
        let minor = value
            .checked_mul(Decimal::from(10_i64.pow(self.decimals)))
            .and_then(|minor| minor.to_i64())
            .ok_or_else(too_large)?;
        let amount = Money::from_minor(minor);
        if amount.is_within_limit() {
            Ok(amount)
        } else {
            Err(too_large())
        }
    }

    /// The amount in major units.
    #[must_use]
    pub fn major(&self, amount: Money) -> Decimal {
        Decimal::new(amount.minor(), self.decimals)
    }
}
