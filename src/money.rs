//! Exact money: amounts in minor units, currencies, quantities, percentages, and splitting without loss.
//! Reading and writing of amounts lives here too; what an amount *means* does not.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};
use std::str::FromStr;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

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

/// A currency by its ISO 4217 code, with the number of decimals that the standard gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currency {
    code: String,
    symbol: String,
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

    /// Reads an amount written the strict way of the sheets: a point, no separators, at most the currency's decimals.
    ///
    /// # Errors
    /// When it is not a number, has too many decimals, or is too large.
    pub fn parse_plain(&self, text: &str) -> Result<Money, AmountError> {
        let trimmed = text.trim();
        let well_formed = !trimmed.is_empty()
            && trimmed
                .char_indices()
                .all(|(idx, c)| c.is_ascii_digit() || c == '.' || (c == '-' && idx == 0))
            && trimmed.bytes().any(|b| b.is_ascii_digit());
        if !well_formed {
            return Err(self.not_plain(trimmed));
        }
        let value = Decimal::from_str(trimmed).map_err(|_not_a_number| {
            let digits = trimmed.bytes().filter(u8::is_ascii_digit).count();
            if digits > 20 {
                AmountError::TooLarge(text.to_owned())
            } else {
                AmountError::NotANumber(text.to_owned())
            }
        })?;
        self.exact(value, text)
    }

    /// Why a text is no plain amount: one that only has separators or a currency sign too many is shown as it should be.
    fn not_plain(&self, text: &str) -> AmountError {
        let is_operator = |c: char| matches!(c, '+' | '*' | '/' | '×' | '÷' | 'x' | 'X');
        let without_sign = text.trim_start_matches(['-', '\u{2212}']);
        let without_groups = text.replace(['\'', '\u{2019}'], "");
        match self.parse_typed(&without_groups) {
            Ok(amount) if !text.contains(is_operator) && !without_sign.contains('-') => {
                AmountError::NotPlain {
                    text: text.to_owned(),
                    plain: self.plain(amount),
                }
            }
            _ => AmountError::NotANumber(text.to_owned()),
        }
    }

    /// Reads what a person types: `12`, `12.5`, `1,234.50`, `$12.50`, `12,5 `, and sums such as `3*4.99` or `10 + 2.50`.
    /// A result with more decimals than the currency has is rounded only when it came from a multiplication or division.
    ///
    /// # Errors
    /// When it cannot be understood, has too many decimals, or is too large.
    pub fn parse_typed(&self, text: &str) -> Result<Money, AmountError> {
        let not_a_number = || AmountError::NotANumber(text.trim().to_owned());
        let cleaned: String = text
            .replace('\u{2212}', "-")
            .replace(['×', 'x', 'X'], "*")
            .replace('÷', "/")
            .replace(&self.symbol, "")
            .replace(&self.code, "")
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '$' | '€' | '£' | '¥'))
            .collect();
        if cleaned.is_empty() {
            return Err(not_a_number());
        }
        let mut sum = Decimal::ZERO;
        let mut is_product = false;
        let mut sign = Decimal::ONE;
        let mut rest = cleaned.as_str();
        if let Some(after) = rest.strip_prefix('-') {
            sign = -sign;
            rest = after;
        }
        loop {
            let end = rest.find(['+', '-']).unwrap_or(rest.len());
            let (term, after) = rest.split_at(end);
            let mut product = None::<Decimal>;
            let mut divide = false;
            let mut factors = term;
            loop {
                let stop = factors.find(['*', '/']).unwrap_or(factors.len());
                let (factor, next) = factors.split_at(stop);
                let value = typed_number(factor).ok_or_else(not_a_number)?;
                product = Some(match product {
                    None => value,
                    Some(so_far) if divide => so_far.checked_div(value).ok_or_else(not_a_number)?,
                    Some(so_far) => so_far
                        .checked_mul(value)
                        .ok_or_else(|| AmountError::TooLarge(text.to_owned()))?,
                });
                let Some(operator) = next.chars().next() else {
                    break;
                };
                is_product = true;
                divide = operator == '/';
                factors = &next[1..];
            }
            sum = product
                .and_then(|product| sum.checked_add(sign * product))
                .ok_or_else(|| AmountError::TooLarge(text.to_owned()))?;
            let Some(operator) = after.chars().next() else {
                break;
            };
            sign = if operator == '-' {
                -Decimal::ONE
            } else {
                Decimal::ONE
            };
            rest = &after[1..];
        }
        if is_product {
            sum = sum.round_dp_with_strategy(self.decimals, RoundingStrategy::MidpointAwayFromZero);
        }
        self.exact(sum, text)
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

/// One number as typed, with either separator convention; a lone comma followed by one or two digits is a decimal comma.
fn typed_number(text: &str) -> Option<Decimal> {
    if text.is_empty()
        || !text
            .bytes()
            .all(|b| b.is_ascii_digit() || b == b'.' || b == b',')
    {
        return None;
    }
    let last_point = text.rfind('.');
    let last_comma = text.rfind(',');
    let plain = match (last_point, last_comma) {
        (None, Some(comma)) => {
            let behind = text.len() - comma - 1;
            if text.matches(',').count() == 1 && (1..=2).contains(&behind) {
                text.replace(',', ".")
            } else if groups_are_thousands(text, ',') {
                text.replace(',', "")
            } else {
                return None;
            }
        }
        (Some(point), Some(comma)) if comma > point => {
            if !groups_are_thousands(&text[..comma], '.') {
                return None;
            }
            text[..comma].replace('.', "") + "." + &text[comma + 1..]
        }
        (Some(point), Some(_)) => {
            if !groups_are_thousands(&text[..point], ',') {
                return None;
            }
            text.replace(',', "")
        }
        _ => text.to_owned(),
    };
    if plain.matches('.').count() > 1 || plain == "." {
        return None;
    }
    Decimal::from_str(&plain).ok()
}

/// Whether the separators stand where thousands are: `1,234,567`.
fn groups_are_thousands(text: &str, separator: char) -> bool {
    let mut groups = text.split(separator);
    let first_fits = groups.next().is_some_and(|g| (1..=3).contains(&g.len()));
    first_fits && groups.all(|g| g.len() == 3)
}

/// Why an amount, share or quantity could not be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// The text is not a number in the expected form.
    #[error("'{0}' is not an amount")]
    NotANumber(String),
    /// The text is a number, but not in the strict form of the sheets.
    #[error(
        "'{text}' is not an amount as sheets take it: with a decimal point and no thousands separator; write {plain}"
    )]
    NotPlain {
        /// What was written.
        text: String,
        /// The amount in the strict form.
        plain: String,
    },
    /// The number has more decimals than there is room for.
    #[error("'{text}' has more than {allowed} decimals")]
    TooManyDecimals {
        /// What was written.
        text: String,
        /// How many decimals are allowed.
        allowed: u32,
    },
    /// The number is beyond what a book takes.
    #[error("'{0}' is too large an amount")]
    TooLarge(String),
    /// A share outside 0 to 100.
    #[error("'{0}' is not a share between 0 and 100 per cent")]
    PercentOutOfRange(String),
    /// No such currency in ISO 4217.
    #[error("'{0}' is not a currency code of ISO 4217")]
    UnknownCurrency(String),
}

#[cfg(test)]
mod tests {
    use super::*;

    fn usd() -> Currency {
        Currency::from_code("USD").expect("ISO 4217 has it")
    }

    #[test]
    fn typed_amounts_are_understood() {
        for (text, minor) in [
            ("12", 1200),
            ("12.5", 1250),
            ("1,234.50", 123_450),
            ("$12.50", 1250),
            ("12,5 ", 1250),
            ("3*4.99", 1497),
            ("10 + 2.50", 1250),
            ("29/50", 58),
            ("1.234,50", 123_450),
            ("1,234", 123_400),
            ("100-0.01", 9999),
            ("\u{2212}4.20", -420),
            ("100/3", 3333),
        ] {
            assert_eq!(
                usd().parse_typed(text),
                Ok(Money::from_minor(minor)),
                "{text}"
            );
        }
    }

    #[test]
    fn unclear_amounts_are_refused() {
        for text in [
            "", "abc", "1,2,3", "12.345", "1..2", "5/0", "*3", "1 2x", "--2", "12,3456",
        ] {
            assert!(usd().parse_typed(text).is_err(), "{text}");
        }
        for text in [
            "1,234.50",
            "$5",
            "1e3",
            "",
            "-",
            ".",
            "12.345",
            "--1",
            "+1",
            "99999999999999",
        ] {
            assert!(usd().parse_plain(text).is_err(), "{text}");
        }
    }

    #[test]
    fn an_amount_with_separators_is_shown_as_sheets_take_it() {
        for (text, plain) in [
            ("1,234.50", "1234.50"),
            ("1.234,50", "1234.50"),
            ("12,50", "12.50"),
            ("1 234.5", "1234.50"),
            ("1'234.50", "1234.50"),
            ("-1,234.50", "-1234.50"),
            ("\u{2212}4.20", "-4.20"),
            ("$5", "5.00"),
        ] {
            let said = usd().parse_plain(text).expect_err(text).to_string();
            assert_eq!(
                said,
                format!(
                    "'{text}' is not an amount as sheets take it: with a decimal point and no thousands separator; \
                     write {plain}"
                )
            );
        }
        for text in ["3*4.99", "10-2", "1,2,3", "twelve"] {
            let said = usd().parse_plain(text).expect_err(text).to_string();
            assert_eq!(said, format!("'{text}' is not an amount"));
        }
    }

    /// Decimals of the minor unit: ISO 4217 list one (JPY 0, KWD 3).
    #[test]
    fn currencies_have_their_own_decimals() {
        let yen = Currency::from_code("jpy").expect("yen");
        assert_eq!(yen.parse_plain("1234"), Ok(Money::from_minor(1234)));
        assert!(yen.parse_plain("12.5").is_err());
        let dinar = Currency::from_code("KWD").expect("dinar");
        assert_eq!(dinar.plain(Money::from_minor(1234)), "1.234");
        assert!(Currency::from_code("ZZZ").is_err());
    }

    #[test]
    fn negatives_stand_in_parentheses_on_statements() {
        let amount = Money::from_minor(-123_450);
        assert_eq!(usd().statement(amount), "(1,234.50)");
        assert_eq!(usd().show(amount), "\u{2212}1,234.50");
        assert_eq!(usd().plain(amount), "-1234.50");
    }

    /// Common practice, no source: 50 for 29.00 cost 0.58 each, 300 for 100.00 cost 0.3333 each.
    #[test]
    fn unit_costs_show_four_places() {
        for (minor, pieces, each) in [(2900, 50, "0.58"), (10_000, 300, "0.3333")] {
            let quantity = Quantity::new(Decimal::from(pieces)).expect("whole");
            let cost = unit_cost(Money::from_minor(minor), quantity, &usd()).expect("not zero");
            assert_eq!(cost.normalize().to_string(), each);
        }
    }

    #[test]
    fn halves_round_away_from_zero() {
        assert_eq!(
            Money::from_minor(1).times(Decimal::new(5, 1)),
            Money::from_minor(1)
        );
        assert_eq!(
            Money::from_minor(-1).times(Decimal::new(5, 1)),
            Money::from_minor(-1)
        );
    }
}
