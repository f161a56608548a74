//! The owner pays the business back for private things it paid.
//! Only what she owes; anything more is `owner_money_in`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about the owner paying back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerPaysBackDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money went: bank or cash.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// What the owner still owes that day, where known: more is refused.
    pub still_owed: Option<Money>,
    /// What it was; may be empty.
    pub memo: String,
}

/// The owner paid the business back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerPaysBack {
    details: OwnerPaysBackDetails,
}

impl OwnerPaysBack {
    /// A repayment as told.
    ///
    /// # Errors
    /// When the amount is nothing, too large, or more than the owner owes.
    pub fn new(details: OwnerPaysBackDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        if let Some(owed) = details.still_owed
            && details.amount > owed
        {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than you owe the business; write the rest as owner's money in",
                owed,
            ));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &OwnerPaysBackDetails {
        &self.details
    }
}

impl Happening for OwnerPaysBack {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let owed = chart.role(Role::OwedByOwner)?;
        let header = EntryHeader::new(told.date, EntryKind::Repayment).memo(&told.memo);
        let lines = vec![
            Line::debit(account, told.amount),
            Line::credit(owed, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
