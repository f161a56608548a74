//! The result of a method: numbered lines with their formulas and sources, and the instalments.
//! The same for every method, so that screens and sheets show any of them.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::money::{Currency, Money, Percent};

/// The caution that stands beside every estimate.
pub const CAUTION: &str = "An estimate to help you save, not the tax you owe. Tax depends on where and how you live \
     and on your whole income. Confirm with local rules and a licensed professional.";

/// What stands in a line's amount column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// An amount.
    Money(Money),
    /// A share in per cent.
    Percent(Percent),
}

impl Figure {
    /// The amount, or nothing for a share.
    #[must_use]
    pub const fn money(self) -> Money {
        match self {
            Self::Money(amount) => amount,
            Self::Percent(_) => Money::ZERO,
        }
    }

    /// As plain text for sheets and JSON; a share in per cent without its sign.
    #[must_use]
    pub fn plain(self, currency: &Currency) -> String {
        match self {
            Self::Money(amount) => currency.plain(amount),
            Self::Percent(share) => share.to_string(),
        }
    }

    /// As text for people.
    #[must_use]
    pub fn show(self, currency: &Currency) -> String {
        match self {
            Self::Money(amount) => currency.show(amount),
            Self::Percent(share) => format!("{share} %"),
        }
    }
}

/// One numbered line of an estimate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EstimateLine {
    /// Its number, by which formulas name it.
    pub no: u32,
    /// A lasting word for what it is, as `profit`, whatever its number.
    pub key: String,
    /// What it is.
    pub label: String,
    /// How it comes about, with the figures in.
    pub formula: String,
    /// Its amount or share.
    pub amount: Figure,
    /// Where it comes from: `your books`, `your choice`, a published source.
    pub source: String,
    /// The word explained in plain language; may be empty.
    pub explanation: String,
    /// What to be careful of with it; may be empty.
    pub caution: String,
}

/// One instalment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instalment {
    /// Its place in the year, from 1.
    pub no: u32,
    /// The days whose profit it covers.
    pub period: DateRange,
    /// The day it is due.
    pub due: NaiveDate,
    /// Why the due day was moved; empty when it was not.
    pub moved_because: String,
    /// Profit from the year's first day through the period, as far as the books go.
    pub profit_to_date: Money,
    /// To be kept back for it: never below nothing.
    pub needed: Money,
    /// A word where the amount alone would puzzle: `none: a loss`; may be empty.
    pub note: String,
    /// What it is called where it has a name: `First payment on account`; may be empty.
    pub label: String,
    /// The ways of working it side by side, where the method has more than one.
    pub columns: Option<Columns>,
}

/// An instalment by equal parts and by annualised income.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Columns {
    /// Equal parts, with what an earlier lower instalment left to make up.
    pub equal: Money,
    /// By the income of the periods so far, taken for the year; none for a period that has not begun.
    pub annualised: Option<Money>,
    /// How the annualised amount comes about, with the figures in.
    pub formula: String,
}

/// The rates a sheet was worked with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RatesUsed {
    /// The rates file's name in settings.
    pub name: String,
    /// What people read.
    pub title: String,
    /// The tax year it was made for.
    pub year: String,
    /// The year it is taken for instead, which is an assumption; none where it is its own.
    pub assumed_for: Option<String>,
}

/// How much to keep back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Estimate {
    /// The calendar year in which the financial year ends.
    pub year: i32,
    /// The method's name in settings.
    pub method: String,
    /// The day up to which the books were read.
    pub as_of: NaiveDate,
    /// The profit it rests on; a loss below nothing.
    pub profit: Money,
    /// Its numbered lines.
    pub lines: Vec<EstimateLine>,
    /// To be kept back so far.
    pub total: Money,
    /// Already paid to the tax office.
    pub already_paid: Money,
    /// Already put by.
    pub put_by: Money,
    /// Still to be put by; never below nothing.
    pub to_move: Money,
    /// The instalments of the year.
    pub instalments: Vec<Instalment>,
    /// Where the instalments' dates are published.
    pub dates_source: String,
    /// What a reader should know: that a loss needs nothing, that an assumption was made.
    pub notes: Vec<String>,
    /// The caution to be shown beside it.
    pub caution: &'static str,
    /// The method as people read it.
    pub title: String,
    /// The days whose profit the tax is on.
    pub tax_year: DateRange,
    /// For the whole year, where `total` is only the part that belongs to the profit so far.
    pub year_total: Money,
    /// The profit foreseen for the year, where the sheet rests on it.
    pub forecast: Option<Money>,
    /// The published rates it was worked with, if any.
    pub rates: Option<RatesUsed>,
    /// What may cost money if nothing is done: an instalment that is late or short.
    pub warnings: Vec<String>,
}

impl Estimate {
    /// The line with this key.
    #[must_use]
    pub fn line(&self, key: &str) -> Option<&EstimateLine> {
        self.lines.iter().find(|line| line.key == key)
    }

    /// The next instalment that is due on or after `today`.
    #[must_use]
    pub fn next_due(&self, today: NaiveDate) -> Option<&Instalment> {
        self.instalments
            .iter()
            .find(|instalment| instalment.due >= today)
    }
}
