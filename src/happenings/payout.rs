//! A sales channel pays out: it settles what the channel owes and is never a sale.
//! The sales and each fee were booked when they happened.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line};
use crate::money::Money;

/// What is asked about a payout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PayoutDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// The channel that paid.
    pub channel: AccountId,
    /// The bank account it arrived in.
    pub into: AccountId,
    /// How much.
    pub amount: Money,
    /// What it was; may be empty.
    pub memo: String,
    /// The payout's number; may be empty.
    pub reference: String,
}

/// A sales channel paid out what it owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Payout {
    details: PayoutDetails,
}

impl Payout {
    /// A payout as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large, or the channel would pay itself.
    pub fn new(details: PayoutDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        checks::different("paid_into", details.channel, details.into)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &PayoutDetails {
        &self.details
    }
}

impl Happening for Payout {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let channel = checks::channel(chart, "channel", told.channel)?;
        let into = checks::money(chart, "paid_into", told.into)?.id;
        let header = EntryHeader::new(told.date, EntryKind::Payout)
            .party(&channel.name)
            .memo(&told.memo)
            .reference(&told.reference);
        let lines = vec![
            Line::debit(into, told.amount),
            Line::credit(channel.id, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
