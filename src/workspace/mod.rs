//! Rooms of the home that the business uses, the bills of the home, and what both come to in a year.
//! Keeping them is the book's business; nothing here is posted by itself.

mod rule;
mod year;

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::dates::Month;
use crate::money::{Money, Quantity};

pub use rule::{WorkspaceRule, workspace_files};
pub use year::{BillPart, MonthArea, SpaceMethod, WorkspaceYear};

/// What must be said beside the figures.
pub const WORKSPACE_CAUTION: &str = "Whether a room at home counts, by which method and how much of it, depends on local rules; using the real costs can touch \
     what is owed when a home is sold. Confirm with them and a licensed professional.";

/// What a space is used for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SpaceUse {
    /// Working in it.
    #[default]
    Work,
    /// Keeping stock in it.
    Storage,
}

impl SpaceUse {
    /// Both, with what people read.
    pub const ALL: [(Self, &'static str); 2] = [
        (Self::Work, "To work in"),
        (Self::Storage, "To keep stock in"),
    ];

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Work => "work",
            Self::Storage => "storage",
        }
    }
}

impl fmt::Display for SpaceUse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for SpaceUse {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "work" => Ok(Self::Work),
            "storage" => Ok(Self::Storage),
            other => Err(format!("'{other}' is neither work nor storage")),
        }
    }
}

/// A part of the home that the business uses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Space {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// Its name.
    pub name: String,
    /// How large it is.
    pub area: Quantity,
    /// How large the whole home is, in the same measure.
    pub home_area: Quantity,
    /// What for.
    pub used_for: SpaceUse,
    /// Whether it is used for nothing else.
    pub is_exclusive: bool,
    /// Since when.
    pub from: NaiveDate,
    /// The last day, when it is not used any more.
    pub until: Option<NaiveDate>,
}

impl Space {
    /// Refuses what cannot be.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), WorkspaceError> {
        if self.name.trim().is_empty() {
            return Err(WorkspaceError::NoName);
        }
        if self.area.value() <= Decimal::ZERO {
            return Err(WorkspaceError::NoArea);
        }
        if self.home_area.value() < self.area.value() {
            return Err(WorkspaceError::LargerThanHome);
        }
        match self.until {
            Some(until) if until < self.from => Err(WorkspaceError::EndsFirst),
            _ => Ok(()),
        }
    }

    /// Whether it counts at all: a space to work in only when it is used for nothing else.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.is_exclusive || self.used_for == SpaceUse::Storage
    }

    /// On how many days of a month it is used.
    #[must_use]
    pub fn days_in(&self, month: Month) -> i64 {
        let from = self.from.max(month.first_day());
        let to = self.until.unwrap_or(NaiveDate::MAX).min(month.last_day());
        ((to - from).num_days() + 1).max(0)
    }

    /// Its share of the home.
    #[must_use]
    pub fn share(&self) -> Decimal {
        self.area
            .value()
            .checked_div(self.home_area.value())
            .unwrap_or_default()
    }
}

/// A bill of the home: rent, heating, insurance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HomeBill {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// Its day.
    pub date: NaiveDate,
    /// What it was for.
    pub what: String,
    /// How much, for the whole home.
    pub amount: Money,
    /// The first month it covers.
    pub covers_from: Month,
    /// How many months it covers.
    pub covers_months: u32,
    /// Whether the business paid it, and it is among the owner's drawings for that.
    pub is_paid_by_business: bool,
}

impl HomeBill {
    /// Refuses what cannot be.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), WorkspaceError> {
        if self.what.trim().is_empty() {
            return Err(WorkspaceError::NoWhat);
        }
        if !self.amount.is_positive() {
            return Err(WorkspaceError::NoAmount);
        }
        if !(1..=120).contains(&self.covers_months) {
            return Err(WorkspaceError::Months);
        }
        Ok(())
    }

    /// Its months, each with its part; the parts add up to the whole.
    #[must_use]
    pub fn by_month(&self) -> Vec<(Month, Money)> {
        let weights = vec![1; usize::try_from(self.covers_months).unwrap_or(1)];
        let parts = self.amount.allocate(&weights).into_iter();
        (0..)
            .map(|no| self.covers_from.plus(no))
            .zip(parts)
            .collect()
    }
}

/// Why a space or a bill was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WorkspaceError {
    /// The space has no name.
    #[error("give the space a name")]
    NoName,
    /// It has no area.
    #[error("say how large the space is")]
    NoArea,
    /// It would be larger than the home.
    #[error("the whole home cannot be smaller than the space")]
    LargerThanHome,
    /// It ends before it begins.
    #[error("it ends before it begins")]
    EndsFirst,
    /// The bill does not say what it was for.
    #[error("say what the bill was for")]
    NoWhat,
    /// The bill has no amount.
    #[error("the amount must be more than nothing")]
    NoAmount,
    /// The bill covers no month, or too many.
    #[error("a bill covers from 1 to 120 months")]
    Months,
}

impl WorkspaceError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(&self) -> &'static str {
        match self {
            Self::NoName => "space",
            Self::NoArea => "area",
            Self::LargerThanHome => "home_area",
            Self::EndsFirst => "until",
            Self::NoWhat => "what",
            Self::NoAmount => "amount",
            Self::Months => "covers_months",
        }
    }
}
