//! What is typed to try things out, read as numbers: empty is not known, anything else must be a number.
//! The fields of forms that are written down are read in `forms::input`.

use rust_decimal::Decimal;

use crate::deciding::UnitCost;
use crate::money::{Currency, Money, Percent};

/// An amount; nothing while the field is empty.
pub(super) fn read_money(
    text: &str,
    what: &str,
    currency: &Currency,
) -> Result<Option<Money>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    currency
        .parse_typed(text)
        .map(Some)
        .map_err(|error| format!("{what}: {error}"))
}

/// A cost of one, finer than an amount; nothing while the field is empty.
pub(super) fn read_unit(
    text: &str,
    what: &str,
    currency: &Currency,
) -> Result<Option<UnitCost>, String> {
    let digits = text.trim().replace(',', ".");
    if digits.is_empty() {
        return Ok(None);
    }
    let major: Decimal = digits
        .parse()
        .map_err(|_not_a_number| format!("{what}: write a price, as 2.40"))?;
    UnitCost::from_major(major, currency)
        .map(Some)
        .map_err(|error| format!("{what}: {error}"))
}

/// A share; nothing while the field is empty.
pub(super) fn read_percent(text: &str, what: &str) -> Result<Option<Percent>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    text.trim()
        .replace(',', ".")
        .parse()
        .map(Some)
        .map_err(|_not_a_share| format!("{what}: write a share from 0 to 100"))
}

/// A whole number from 1 on; 1 while the field is empty.
pub(super) fn read_count(text: &str, what: &str) -> Result<u64, String> {
    if text.trim().is_empty() {
        return Ok(1);
    }
    text.trim()
        .parse()
        .ok()
        .filter(|count| *count > 0)
        .ok_or_else(|| format!("{what}: write a whole number from 1 on"))
}

/// Minutes; none while the field is empty.
pub(super) fn read_minutes(text: &str, what: &str) -> Result<Decimal, String> {
    if text.trim().is_empty() {
        return Ok(Decimal::ZERO);
    }
    text.trim()
        .replace(',', ".")
        .parse()
        .map_err(|_not_a_number| format!("{what}: write a number"))
}
