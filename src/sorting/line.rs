//! A line of a statement as the book holds it.
//! What it may mean is `suggest`'s.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::fmt;

use super::Payee;
use crate::ledger::{AccountId, Origin};
use crate::money::Money;

/// The number of a line in its book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct LineId(pub i64);

impl fmt::Display for LineId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A line of a bank or card statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BankLine {
    /// Its number.
    pub id: LineId,
    /// The account whose statement it stands on.
    pub account: AccountId,
    /// The day by the bank.
    pub date: NaiveDate,
    /// The amount in minor units: positive came into the account (or paid a card off), negative went out of it.
    pub amount: Money,
    /// What the bank wrote.
    pub text: String,
    /// The bank's own number of it, where it gives one.
    pub bank_id: Option<String>,
    /// The balance after it, where the statement says.
    pub balance: Option<Money>,
    /// The file's name.
    pub file: String,
    /// Its row in the file.
    pub row: u64,
}

impl BankLine {
    /// From whom or to whom, as far as the bank's words tell.
    #[must_use]
    pub fn payee(&self) -> Payee {
        Payee::of(&self.text)
    }

    /// Whether money came in.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.amount.is_positive()
    }

    /// Where an entry posted from it came from.
    #[must_use]
    pub fn origin(&self) -> Origin {
        Origin::Brought {
            file: self.file.clone(),
            row: self.row,
        }
    }
}
