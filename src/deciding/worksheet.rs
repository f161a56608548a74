//! Numbered lines that explain a figure: what it is, how it comes about, how much.
//! Lines that are sums of money add up to the cent, because the running sum is rounded and differences are shown.

use rust_decimal::{Decimal, RoundingStrategy};

use super::unit_cost::show_unit;
use crate::money::{Currency, Money};

/// What stands in a line's amount column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// An amount.
    Money(Money),
    /// A cost of one piece, in minor units, finer than an amount.
    Each(Decimal),
    /// A share in per cent; may be below nothing or above a hundred.
    Percent(Decimal),
    /// A number of pieces.
    Pieces(u64),
    /// A number of months.
    Months(Decimal),
    /// A number of minutes.
    Minutes(Decimal),
}

impl Figure {
    /// The amount, if the figure is one.
    #[must_use]
    pub const fn money(self) -> Option<Money> {
        match self {
            Self::Money(amount) => Some(amount),
            _ => None,
        }
    }

    /// As text for people.
    #[must_use]
    pub fn show(self, currency: &Currency) -> String {
        let short = |value: Decimal, places| {
            value
                .round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
                .normalize()
                .to_string()
                .replace('-', "\u{2212}")
        };
        match self {
            Self::Money(amount) => currency.show(amount),
            Self::Each(minor) => show_unit(minor, currency),
            Self::Percent(percent) => format!("{} %", short(percent, 1)),
            Self::Pieces(pieces) => pieces.to_string(),
            Self::Months(months) => short(months, 1),
            Self::Minutes(minutes) => short(minutes, 2),
        }
    }
}

/// One numbered line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its number, by which formulas name it.
    pub no: u32,
    /// A lasting word for what it is, as `materials`, whatever its number.
    pub key: &'static str,
    /// What it is.
    pub label: String,
    /// How it comes about, with the figures in.
    pub formula: String,
    /// How much.
    pub amount: Figure,
}

/// Numbered lines in the order in which they are read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Worksheet {
    lines: Vec<Line>,
}

impl Worksheet {
    /// All lines.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// The first line with this key.
    #[must_use]
    pub fn line(&self, key: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.key == key)
    }

    /// The sum of all amounts of money with this key.
    #[must_use]
    pub fn money(&self, key: &str) -> Money {
        self.lines
            .iter()
            .filter(|line| line.key == key)
            .filter_map(|line| line.amount.money())
            .sum()
    }

    /// Adds a line and returns its number.
    pub(crate) fn add(
        &mut self,
        key: &'static str,
        label: impl Into<String>,
        formula: impl Into<String>,
        amount: Figure,
    ) -> u32 {
        let no = u32::try_from(self.lines.len()).unwrap_or(u32::MAX - 1) + 1;
        self.lines.push(Line {
            no,
            key,
            label: label.into(),
            formula: formula.into(),
            amount,
        });
        no
    }
}
