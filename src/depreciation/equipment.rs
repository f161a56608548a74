//! A piece of equipment as the register holds it.
//! How it wears out is `schedule`.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;

use crate::ledger::EntryNumber;
use crate::money::{Money, Percent};

/// How the first and the last stretch of a life are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Convention {
    /// A full month from the month in service; a disposal's month is not charged.
    #[default]
    MonthInService,
    /// From the following month; a disposal's month is charged.
    MonthAfter,
    /// By actual days over the days of the life; the day in service is charged, a disposal's day is not.
    ByDay,
    /// Half a year in the first and in the last or disposal financial year.
    HalfYear,
}

impl Convention {
    /// All conventions.
    pub const ALL: [Self; 4] = [
        Self::MonthInService,
        Self::MonthAfter,
        Self::ByDay,
        Self::HalfYear,
    ];

    /// The word used in sheets and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::MonthInService => "month-in-service",
            Self::MonthAfter => "month-after",
            Self::ByDay => "by-day",
            Self::HalfYear => "half-year",
        }
    }

    /// The plain words shown to the owner.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::MonthInService => "whole months, from the month it is first used",
            Self::MonthAfter => "whole months, from the month after",
            Self::ByDay => "by the day",
            Self::HalfYear => "half a year in the first and the last year",
        }
    }
}

impl fmt::Display for Convention {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Convention {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|convention| convention.as_str() == text.trim())
            .ok_or_else(|| {
                format!("'{text}' is not a convention; use month-in-service, month-after, by-day or half-year")
            })
    }
}

/// How a piece of equipment came to the business.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Bought new.
    #[default]
    New,
    /// Bought used.
    SecondHand,
    /// Already owned privately and brought in.
    BroughtIn,
}

impl Condition {
    /// All conditions.
    pub const ALL: [Self; 3] = [Self::New, Self::SecondHand, Self::BroughtIn];

    /// The word used in sheets and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::SecondHand => "second-hand",
            Self::BroughtIn => "brought-in",
        }
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Condition {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|condition| condition.as_str() == text.trim())
            .ok_or_else(|| {
                format!("'{text}' is not a condition; use new, second-hand or brought-in")
            })
    }
}

/// New terms that hold from a day on, over the life that remains.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TermsChange {
    /// The first day they hold.
    pub from: NaiveDate,
    /// The whole life, counted from the day in service, in months.
    pub life_months: u32,
    /// What it will be worth at the end.
    pub residual: Money,
    /// The business's share of its use.
    pub business_share: Percent,
    /// Why.
    pub reason: String,
}

/// The end of a piece of equipment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disposal {
    /// The day it went.
    pub on: NaiveDate,
    /// What was received for it.
    pub proceeds: Money,
}

/// A piece of equipment in the register.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equipment {
    /// Its lasting key in the book, by which entry lines name it: its first name; unique.
    pub key: String,
    /// Its name as shown; unique.
    pub name: String,
    /// From whom.
    pub supplier: String,
    /// The day it was bought.
    pub bought_on: NaiveDate,
    /// The day it was first ready for use.
    pub in_service_on: NaiveDate,
    /// Its whole cost: price, tax, delivery, setting up.
    pub cost: Money,
    /// The part of the cost that was tax.
    pub tax_part: Money,
    /// The part of the cost that was delivery and setting up.
    pub delivery_part: Money,
    /// What it will be worth at the end of its life.
    pub residual: Money,
    /// Its life in months, at least 1.
    pub life_months: u32,
    /// The business's share of its use.
    pub business_share: Percent,
    /// How the first and last stretch are counted.
    pub convention: Convention,
    /// New, second-hand or brought in.
    pub condition: Condition,
    /// Serial number; may be empty.
    pub serial: String,
    /// Where it stands; may be empty.
    pub location: String,
    /// The entry that bought it.
    pub purchase_entry: Option<EntryNumber>,
    /// Depreciation charged before the book began, for a business that already ran.
    pub charged_before: Money,
    /// Changed terms, in the order of their days.
    pub changes: Vec<TermsChange>,
    /// Its end, once it has gone.
    pub disposal: Option<Disposal>,
}
