//! The owner takes money out of the business: a drawing, never a cost and never wages.
//! Private things that the business paid are `private_payment`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about the owner's money out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerMoneyOutDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money came from: bank or cash.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// What it was; may be empty.
    pub memo: String,
}

/// The owner took money out of the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerMoneyOut {
    details: OwnerMoneyOutDetails,
}

impl OwnerMoneyOut {
    /// Money out as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large.
    pub fn new(details: OwnerMoneyOutDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &OwnerMoneyOutDetails {
        &self.details
    }
}

impl Happening for OwnerMoneyOut {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let drawings = chart.role(Role::OwnerDrawings)?;
        let header = EntryHeader::new(told.date, EntryKind::OwnerOut).memo(&told.memo);
        let lines = vec![
            Line::debit(drawings, told.amount),
            Line::credit(account, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
