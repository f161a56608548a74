//! Money moved between the business's own accounts, as into the set-aside savings: no cost and no income.
//! What comes from a sales channel is a `payout`, what pays off a card is a `settlement`.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line};
use crate::money::Money;

/// What is asked about a transfer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TransferDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money was.
    pub from: AccountId,
    /// Where it is now.
    pub to: AccountId,
    /// How much.
    pub amount: Money,
    /// What it was; may be empty.
    pub memo: String,
    /// The number of the transfer; may be empty.
    pub reference: String,
}

/// Money moved from one own account to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Transfer {
    details: TransferDetails,
}

impl Transfer {
    /// A transfer as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large, or both accounts are the same.
    pub fn new(details: TransferDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        checks::different("to", details.from, details.to)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &TransferDetails {
        &self.details
    }
}

impl Happening for Transfer {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        if chart.account(told.from)?.is_channel() {
            return Err(HappeningError::field(
                "from",
                "money that comes from a sales channel is a payout, not a transfer",
            ));
        }
        let to = chart.account(told.to)?;
        if checks::is_card_or_bill(to) {
            return Err(HappeningError::field(
                "to",
                format!(
                    "money paid to '{}' pays it off, it is not a transfer",
                    to.name
                ),
            ));
        }
        let from = checks::money(chart, "from", told.from)?.id;
        let to = checks::money(chart, "to", told.to)?.id;
        let header = EntryHeader::new(told.date, EntryKind::Transfer)
            .memo(&told.memo)
            .reference(&told.reference);
        let lines = vec![
            Line::debit(to, told.amount),
            Line::credit(from, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
