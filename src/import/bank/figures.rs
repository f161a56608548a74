//! Amounts as banks write them: grouping, decimal marks, signs before, behind and around, currencies in the cell.
//! Which decimal mark a file has is found over all of it, in `evidence`.

use super::words::{Side, words};
use crate::money::{AmountError, Currency, Money};

/// An amount taken apart, its decimal mark still open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::import) struct Figure<'c> {
    pub(in crate::import) is_negative: bool,
    /// Whether a sign or brackets were written.
    pub(in crate::import) has_sign: bool,
    /// The side that a letter or word behind it gives.
    pub(super) side: Option<Side>,
    /// The currency's ISO 4217 code in the cell.
    pub(in crate::import) code: Option<&'c str>,
    digits: &'c str,
}

const LONGEST: usize = 80;

/// Takes an amount apart; nothing when the cell is no amount under any decimal mark.
pub(in crate::import) fn figure(cell: &str) -> Option<Figure<'_>> {
    if cell.len() > LONGEST || !cell.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let mut found = Figure {
        is_negative: false,
        has_sign: false,
        side: None,
        code: None,
        digits: "",
    };
    let mut rest = cell;
    loop {
        rest = rest.trim_matches(is_space);
        if rest
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','))
        {
            break;
        }
        if let Some(inner) = rest
            .strip_prefix('(')
            .and_then(|inner| inner.strip_suffix(')'))
        {
            found.sign(true)?;
            rest = inner;
            continue;
        }
        let first = rest.chars().next()?;
        let last = rest.chars().next_back()?;
        if is_minus(first) || first == '+' {
            found.sign(is_minus(first))?;
            rest = &rest[first.len_utf8()..];
        } else if is_minus(last) || last == '+' {
            found.sign(is_minus(last))?;
            rest = &rest[..rest.len() - last.len_utf8()];
        } else if is_currency_sign(first) {
            rest = &rest[first.len_utf8()..];
        } else if is_currency_sign(last) {
            rest = &rest[..rest.len() - last.len_utf8()];
        } else if first.is_alphabetic() {
            let end = rest.find(|c: char| !is_word(c))?;
            let (word, after) = rest.split_at(end);
            found.word(word)?;
            rest = after;
        } else if last.is_alphabetic() {
            let start = rest.rfind(|c: char| !c.is_alphabetic())?;
            let start = start + rest[start..].chars().next()?.len_utf8();
            let (before, word) = rest.split_at(start);
            found.word(word)?;
            rest = before;
        } else if first == '\'' && !rest[1..].starts_with('\'') {
            // Spreadsheets mark text with it.
            rest = &rest[1..];
        } else {
            break;
        }
    }
    let is_number = rest.bytes().any(|byte| byte.is_ascii_digit())
        && rest
            .chars()
            .all(|c| c.is_ascii_digit() || c == '.' || c == ',' || is_grouping(c));
    found.digits = rest;
    is_number.then_some(found)
}

impl<'c> Figure<'c> {
    fn sign(&mut self, is_negative: bool) -> Option<()> {
        if self.has_sign {
            return None;
        }
        self.has_sign = true;
        self.is_negative = is_negative;
        Some(())
    }

    fn word(&mut self, word: &'c str) -> Option<()> {
        let word = word.trim_end_matches('.');
        if let Some(side) = words().mark(word).filter(|_| self.side.is_none()) {
            self.side = Some(side);
            return Some(());
        }
        let is_code = word.len() == 3
            && word.bytes().all(|byte| byte.is_ascii_uppercase())
            && Currency::from_code(word).is_ok();
        if is_code && self.code.is_none() {
            self.code = Some(word);
            return Some(());
        }
        matches!(
            word.to_lowercase().as_str(),
            "kr" | "zł" | "zl" | "kč" | "fr" | "ft" | "us" | "lei" | "kn" | "r"
        )
        .then_some(())
    }

    /// The amount under a decimal mark, in minor units of the currency, without what `side` says.
    ///
    /// # Errors
    /// When it is no number under this mark, has decimals that the currency has not, or is too large.
    pub(in crate::import) fn value(
        &self,
        decimal_mark: char,
        currency: &Currency,
    ) -> Result<Money, AmountError> {
        let not_a_number = || AmountError::NotANumber(self.digits.to_owned());
        let (whole, fraction) = match self.digits.split_once(decimal_mark) {
            Some((whole, fraction)) if !fraction.is_empty() => (whole, fraction),
            Some(_) => return Err(not_a_number()),
            None => (self.digits, ""),
        };
        if !fraction.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(not_a_number());
        }
        let decimals = usize::try_from(currency.decimals()).unwrap_or_default();
        let (kept, beyond) = fraction.split_at(fraction.len().min(decimals));
        if beyond.bytes().any(|byte| byte != b'0') {
            return Err(AmountError::TooManyDecimals {
                text: self.digits.to_owned(),
                allowed: currency.decimals(),
            });
        }
        if !is_grouped(whole) {
            return Err(not_a_number());
        }
        if whole.is_empty() && fraction.is_empty() {
            return Err(not_a_number());
        }
        let too_large = || AmountError::TooLarge(self.digits.to_owned());
        let padding = std::iter::repeat_n(b'0', decimals - kept.len());
        let mut minor = 0_i64;
        let digits = whole.bytes().filter(u8::is_ascii_digit);
        for digit in digits.chain(kept.bytes()).chain(padding) {
            minor = minor
                .checked_mul(10)
                .and_then(|minor| minor.checked_add(i64::from(digit - b'0')))
                .ok_or_else(too_large)?;
        }
        let amount = Money::from_minor(if self.is_negative { -minor } else { minor });
        if amount.is_within_limit() {
            Ok(amount)
        } else {
            Err(too_large())
        }
    }
}

/// Whether a whole number is digits alone, or grouped in threes, or in the twos above a three of the Indian way.
fn is_grouped(whole: &str) -> bool {
    let Some(separator) = whole.chars().find(|c| !c.is_ascii_digit()) else {
        return true;
    };
    let groups: Vec<&str> = whole.split(separator).collect();
    let [first, middle @ .., last] = groups.as_slice() else {
        return false;
    };
    let is_digits = groups
        .iter()
        .all(|group| !group.is_empty() && group.bytes().all(|byte| byte.is_ascii_digit()));
    let threes = first.len() <= 3 && middle.iter().all(|group| group.len() == 3);
    let twos = first.len() <= 2 && middle.iter().all(|group| group.len() == 2);
    is_digits && last.len() == 3 && (threes || twos)
}

fn is_minus(c: char) -> bool {
    matches!(
        c,
        '-' | '\u{2212}' | '\u{2013}' | '\u{2012}' | '\u{2010}' | '\u{2011}'
    )
}

fn is_space(c: char) -> bool {
    c.is_whitespace() || c == '\u{200b}' || c == '\u{feff}'
}

fn is_grouping(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\'' | '\u{2019}' | '\u{2018}' | '`')
}

fn is_currency_sign(c: char) -> bool {
    matches!(c, '$' | '¢' | '£' | '¤' | '¥' | '\u{20a0}'..='\u{20cf}')
}

/// Letters, and the full stop that ends a short form.
fn is_word(c: char) -> bool {
    c.is_alphabetic() || c == '.'
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(cell: &str, mark: char, code: &str) -> Option<i64> {
        let currency = Currency::from_code(code).expect("ISO 4217 has it");
        let figure = figure(cell)?;
        figure.value(mark, &currency).ok().map(Money::minor)
    }

    /// By hand: each cell under a point and under a comma.
    #[test]
    fn amounts_are_read_exactly_under_each_decimal_mark() {
        for (cell, point, comma) in [
            ("12.50", Some(1250), None),
            ("12,50", None, Some(1250)),
            ("1,234.50", Some(123_450), None),
            ("1.234,50", None, Some(123_450)),
            ("1234", Some(123_400), Some(123_400)),
            ("1.234", None, Some(123_400)),
            ("1.500", Some(150), Some(150_000)),
            ("1 234,50", None, Some(123_450)),
            ("1\u{a0}234,50", None, Some(123_450)),
            ("1\u{202f}234.50", Some(123_450), None),
            ("1'234.50", Some(123_450), None),
            ("1\u{2019}234.50", Some(123_450), None),
            ("12,34,567.00", Some(123_456_700), None),
            ("-12.50", Some(-1250), None),
            ("\u{2212}12.50", Some(-1250), None),
            ("12,50-", None, Some(-1250)),
            ("(12.50)", Some(-1250), None),
            ("$(12.50)", Some(-1250), None),
            ("-$12.50", Some(-1250), None),
            ("$-12.50", Some(-1250), None),
            ("12,50 €", None, Some(1250)),
            ("EUR -12,50", None, Some(-1250)),
            ("12.50 EUR", Some(1250), None),
            ("kr. 12,50", None, Some(1250)),
            ("12,50 zł", None, Some(1250)),
            ("12.50 CR", Some(1250), None),
            ("+12.50", Some(1250), None),
            (".5", Some(50), None),
            ("0.00", Some(0), None),
            ("1,23,4.00", None, None),
            ("1.2.3", None, None),
            ("1,234,50", None, None),
            ("12.345", None, Some(1_234_500)),
            ("12.", None, None),
            ("--5", None, None),
            ("(-5)", None, None),
            ("5 parcels", None, None),
            ("05.01.2026", None, None),
            ("1e5", None, None),
            ("٣", None, None),
            ("99999999999999999999", None, None),
            ("", None, None),
        ] {
            assert_eq!(read(cell, '.', "EUR"), point, "'{cell}' with a point");
            assert_eq!(read(cell, ',', "EUR"), comma, "'{cell}' with a comma");
        }
        assert_eq!(read("1.234", '.', "KWD"), Some(1234));
        assert_eq!(read("1,234", '.', "JPY"), Some(1234));
        assert_eq!(read("12.50", '.', "JPY"), None);
        assert_eq!(
            figure("12.50 DR").and_then(|figure| figure.side),
            Some(Side::Out)
        );
    }
}
