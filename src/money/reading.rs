//! Reading amounts: the strict form of the sheets, and what a person types, small sums included.
//! Showing them is `currency`'s.

use std::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy};

use super::{AmountError, Currency, Money};

impl Currency {
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
            .replace(self.code(), "")
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
            let product = product(term, text)?;
            is_product |= term.contains(['*', '/']);
            sum = sum
                .checked_add(sign * product)
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
            sum =
                sum.round_dp_with_strategy(self.decimals(), RoundingStrategy::MidpointAwayFromZero);
        }
        self.exact(sum, text)
    }
}

/// Numbers multiplied and divided from left to right; `text` is what was typed in all, for saying what is wrong.
fn product(term: &str, text: &str) -> Result<Decimal, AmountError> {
    let not_a_number = || AmountError::NotANumber(text.trim().to_owned());
    let mut product = Decimal::ONE;
    let mut is_divisor = false;
    let mut rest = term;
    loop {
        let end = rest.find(['*', '/']).unwrap_or(rest.len());
        let (factor, after) = rest.split_at(end);
        let value = typed_number(factor).ok_or_else(not_a_number)?;
        product = if is_divisor {
            product.checked_div(value).ok_or_else(not_a_number)?
        } else {
            product
                .checked_mul(value)
                .ok_or_else(|| AmountError::TooLarge(text.to_owned()))?
        };
        let Some(operator) = after.chars().next() else {
            return Ok(product);
        };
        is_divisor = operator == '/';
        rest = &after[1..];
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
