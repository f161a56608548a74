//! A customer pays what she owed for an earlier sale: what is owed goes down, and it is never a second sale.
//! A discount for paying in time is taken out of the sale here, where it is given.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about a customer's payment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerPaidDetails {
    /// The day it arrived.
    pub date: NaiveDate,
    /// Where it went: bank or cash.
    pub paid_into: AccountId,
    /// How much arrived.
    pub amount: Money,
    /// The discount given for paying in time, as a positive amount.
    pub discount: Money,
    /// What is still owed that day, where known: more is refused.
    pub still_owed: Option<Money>,
    /// Who paid; may be empty.
    pub party: String,
    /// What it was for; may be empty.
    pub memo: String,
    /// The invoice's number; may be empty.
    pub reference: String,
    /// The owner's own key of the sale; may be empty.
    pub document: String,
}

/// A customer paid what she owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerPaid {
    details: CustomerPaidDetails,
}

impl CustomerPaid {
    /// A payment as told.
    ///
    /// # Errors
    /// When the amount is nothing, or it comes to more than is owed.
    pub fn new(details: CustomerPaidDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        checks::not_negative("discount", details.discount)?;
        if let Some(owed) = details.still_owed
            && details.amount + details.discount > owed
        {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than is owed",
                owed,
            ));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &CustomerPaidDetails {
        &self.details
    }
}

impl Happening for CustomerPaid {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let into = checks::money(chart, "paid_into", told.paid_into)?.id;
        let owed = chart.role(Role::CustomersOwe)?;
        let header = EntryHeader::new(told.date, EntryKind::Settlement)
            .party(&told.party)
            .memo(&told.memo)
            .reference(&told.reference)
            .document(&told.document);
        let lines = vec![
            Line::debit(into, told.amount),
            Line::debit(chart.role(Role::Discounts)?, told.discount).memo("for paying in time"),
            Line::credit(owed, told.amount + told.discount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
