//! The business pays the owner back what she paid for it privately.
//! Only what is owed to her; anything more is `owner_money_out`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about paying the owner back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerRepaidDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money came from: bank or cash.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// What is still owed to the owner that day, where known: more is refused.
    pub still_owed: Option<Money>,
    /// What it was; may be empty.
    pub memo: String,
}

/// The owner got back what she had paid privately for the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnerRepaid {
    details: OwnerRepaidDetails,
}

impl OwnerRepaid {
    /// A repayment as told.
    ///
    /// # Errors
    /// When the amount is nothing, too large, or more than is owed to the owner.
    pub fn new(details: OwnerRepaidDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        if let Some(owed) = details.still_owed
            && details.amount > owed
        {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than the business owes you; write the rest as owner's money out",
                owed,
            ));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &OwnerRepaidDetails {
        &self.details
    }
}

impl Happening for OwnerRepaid {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let owed = chart.role(Role::OwedToOwner)?;
        let header = EntryHeader::new(told.date, EntryKind::Repayment).memo(&told.memo);
        let lines = vec![
            Line::debit(owed, told.amount),
            Line::credit(account, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
