//! The owner puts money into the business: capital, never income.
//! Start-up capital is this too; things brought in are `brought_in`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about the owner's money in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerMoneyInDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money went: bank or cash.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// What it was; may be empty.
    pub memo: String,
}

/// The owner put money into the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerMoneyIn {
    details: OwnerMoneyInDetails,
}

impl OwnerMoneyIn {
    /// Money in as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large.
    pub fn new(details: OwnerMoneyInDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &OwnerMoneyInDetails {
        &self.details
    }
}

impl Happening for OwnerMoneyIn {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let capital = chart.role(Role::OwnerCapital)?;
        let header = EntryHeader::new(told.date, EntryKind::OwnerIn).memo(&told.memo);
        let lines = vec![
            Line::debit(account, told.amount),
            Line::credit(capital, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
