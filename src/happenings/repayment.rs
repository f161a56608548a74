//! The owner and the business pay each other back: what she had paid for it privately, or what it had paid for her.
//! Only what is owed; anything more is `owner_money_out` or `owner_money_in`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// Who is paid back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PaidBack {
    /// The owner, for what she had paid privately for the business.
    Owner,
    /// The business, for private things it had paid.
    Business,
}

/// What is asked about a repayment between the owner and the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RepaymentDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Who is paid back.
    pub paid_back: PaidBack,
    /// The business's money: where it came from, or where it went.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// What is still owed that day to whom is paid back, where known: more is refused.
    pub still_owed: Option<Money>,
    /// What it was; may be empty.
    pub memo: String,
}

/// The owner or the business was paid back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repayment {
    details: RepaymentDetails,
}

impl Repayment {
    /// A repayment as told.
    ///
    /// # Errors
    /// When the amount is nothing, too large, or more than is owed.
    pub fn new(details: RepaymentDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        if let Some(owed) = details.still_owed
            && details.amount > owed
        {
            let words = match details.paid_back {
                PaidBack::Owner => {
                    "this is more than the business owes you; write the rest as owner's money out"
                }
                PaidBack::Business => {
                    "this is more than you owe the business; write the rest as owner's money in"
                }
            };
            return Err(HappeningError::too_much("amount", words, owed));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &RepaymentDetails {
        &self.details
    }
}

impl Happening for Repayment {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let (debit, credit) = match told.paid_back {
            PaidBack::Owner => (chart.role(Role::OwedToOwner)?, account),
            PaidBack::Business => (account, chart.role(Role::OwedByOwner)?),
        };
        let header = EntryHeader::new(told.date, EntryKind::Repayment).memo(&told.memo);
        let lines = vec![
            Line::debit(debit, told.amount),
            Line::credit(credit, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
