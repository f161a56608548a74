//! A sales channel billed its fees and was paid: it settles the channel's balance.
//! The fees themselves were booked when they arose, so this is no cost.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line};
use crate::money::Money;

/// What is asked about paying a sales channel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelPaidDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// The channel that was paid.
    pub channel: AccountId,
    /// The bank account or card it was paid with.
    pub paid_from: AccountId,
    /// How much.
    pub amount: Money,
    /// What it was; may be empty.
    pub memo: String,
    /// The bill's number; may be empty.
    pub reference: String,
}

/// The owner paid a sales channel what its fees came to above the sales.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelPaid {
    details: ChannelPaidDetails,
}

impl ChannelPaid {
    /// A payment to a channel as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large, or the channel would pay itself.
    pub fn new(details: ChannelPaidDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        checks::different("paid_from", details.channel, details.paid_from)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &ChannelPaidDetails {
        &self.details
    }
}

impl Happening for ChannelPaid {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let channel = checks::channel(chart, "channel", told.channel)?;
        let from = checks::pays(chart, "paid_from", told.paid_from)?;
        if from.is_channel() {
            return Err(HappeningError::field(
                "paid_from",
                "one sales channel cannot pay another",
            ));
        }
        let header = EntryHeader::new(told.date, EntryKind::Payout)
            .party(&channel.name)
            .memo(&told.memo)
            .reference(&told.reference);
        let lines = vec![
            Line::debit(channel.id, told.amount),
            Line::credit(from.id, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
