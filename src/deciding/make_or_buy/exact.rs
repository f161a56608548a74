//! Exact sums for comparing two ways: integers of a part of the minor unit so small that nothing is rounded on the way.
//! A total is rounded once, so that of two ways the one that is cheaper is never shown as the dearer.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::super::{DecidingError, Figure, UnitCost, Worksheet};
use crate::money::{Money, Percent};

/// Parts of one minor unit: divisible by the minutes of an hour, by millionths, and by two shares of two decimals.
pub(super) const PARTS: i128 = 60 * 100_000_000_000_000;
/// Shares are counted in hundredths of a per cent: the whole is this many.
pub(super) const WHOLE: i128 = 10_000;
/// The most pieces in a tier, a minimum, a step or a batch.
pub(in crate::deciding) const MOST_ORDERED: u64 = 10_000_000;
/// The most that may be lost, in per cent.
const MOST_LOST: u32 = 90;

/// The exact sum of an amount.
pub(super) fn of_money(amount: Money) -> i128 {
    i128::from(amount.minor()) * PARTS
}

/// The exact cost of one piece.
pub(super) fn of_each(each: UnitCost) -> i128 {
    each.millionths() * (PARTS / 1_000_000)
}

/// The exact sum in whole minor units, halves away from nothing.
pub(super) fn rounded(parts: i128) -> Money {
    let half = if parts < 0 { -PARTS / 2 } else { PARTS / 2 };
    Money::from_minor(i64::try_from((parts + half) / PARTS).unwrap_or(i64::MAX))
}

/// The smallest whole number that is at least `value / divisor`; both above nothing.
pub(in crate::deciding) fn divide_up(value: i128, divisor: i128) -> i128 {
    (value + divisor - 1) / divisor
}

/// A share in hundredths of a per cent.
pub(super) fn hundredths(share: Percent, what: &'static str) -> Result<i128, DecidingError> {
    let hundredths = (share.percent() * Decimal::ONE_HUNDRED).normalize();
    if hundredths.scale() > 0 {
        return Err(DecidingError::ShareTooFine(what));
    }
    hundredths
        .to_i128()
        .ok_or(DecidingError::ShareTooFine(what))
}

/// A share of pieces that are lost, in hundredths of a per cent: never so much that next to nothing is left.
pub(in crate::deciding) fn lost(share: Percent, what: &'static str) -> Result<i128, DecidingError> {
    if share.percent() > Decimal::from(MOST_LOST) {
        return Err(DecidingError::ShareTooLarge {
            what,
            most: MOST_LOST,
        });
    }
    hundredths(share, what)
}

/// Refuses a number of pieces outside a range.
pub(in crate::deciding) fn in_range(
    what: &'static str,
    found: u64,
    least: u64,
    most: u64,
) -> Result<(), DecidingError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(DecidingError::PiecesOutOfRange {
        what,
        least,
        most,
        found,
    })
}

/// Refuses an amount below nothing or beyond what a book takes.
pub(in crate::deciding) fn amount(what: &'static str, amount: Money) -> Result<(), DecidingError> {
    if amount.is_negative() || !amount.is_within_limit() {
        return Err(DecidingError::AmountOutOfRange(what));
    }
    Ok(())
}

/// Minutes in hundredths.
pub(in crate::deciding) fn minutes(
    minutes: Decimal,
    what: &'static str,
) -> Result<i128, DecidingError> {
    let fine = (minutes * Decimal::ONE_HUNDRED).normalize();
    let is_sound = fine.scale() == 0 && fine >= Decimal::ZERO && minutes <= Decimal::from(100_000);
    match fine.to_i128() {
        Some(hundredths) if is_sound => Ok(hundredths),
        _ => Err(DecidingError::MinutesOutOfRange(what)),
    }
}

/// A worksheet whose lines add up to a total that is rounded once: each line is what the rounded running sum grew by.
#[derive(Default)]
pub(super) struct Running {
    pub(super) sheet: Worksheet,
    sum: i128,
    shown: Money,
    numbers: Vec<String>,
}

impl Running {
    /// Adds a part of the sum; nothing at all when it is nothing.
    pub(super) fn part(&mut self, key: &'static str, label: &str, formula: String, parts: i128) {
        if parts == 0 {
            return;
        }
        self.sum += parts;
        let total = rounded(self.sum);
        let amount = Figure::Money(total - self.shown);
        let no = self.sheet.add(key, label, formula, amount);
        self.numbers.push(no.to_string());
        self.shown = total;
    }

    /// Closes the sum so far with a line of its own.
    pub(super) fn total(&mut self, key: &'static str, label: &str) {
        let formula = if self.numbers.is_empty() {
            "nothing to pay".to_owned()
        } else {
            self.numbers.join(" + ")
        };
        self.sheet
            .add(key, label, formula, Figure::Money(self.shown));
    }
}
