//! A card, a bill or sales tax paid off: what was owed goes down, and it is never a second cost.
//! The thing itself was booked when it was bought.

use chrono::NaiveDate;

use super::{Happening, HappeningError, Payment, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about paying off what is owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettlementDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// What is paid off: a card, the bills to pay, sales tax to pay over.
    pub owed: AccountId,
    /// What it was paid with: an account, or the owner's own pocket.
    pub paid_from: Payment,
    /// How much.
    pub amount: Money,
    /// What is owed that day, where known: more is refused.
    pub still_owed: Option<Money>,
    /// To whom; may be empty.
    pub party: String,
    /// What it was; may be empty.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
    /// The key of the bill's purchase; may be empty.
    pub document: String,
}

/// A card, a bill or sales tax was paid off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settlement {
    details: SettlementDetails,
}

impl Settlement {
    /// A settlement as told.
    ///
    /// # Errors
    /// When the amount is nothing, too large or more than is owed, or is paid by a bill again.
    pub fn new(details: SettlementDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        if let Some(owed) = details.still_owed
            && details.amount > owed
        {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than is owed",
                owed,
            ));
        }
        if details.paid_from == Payment::OnBill {
            return Err(HappeningError::field(
                "paid_from",
                "what is owed cannot be paid off with another bill",
            ));
        }
        if let Payment::Account(from) = details.paid_from {
            checks::different("paid_from", details.owed, from)?;
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &SettlementDetails {
        &self.details
    }
}

impl Happening for Settlement {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let owed = chart.account(told.owed)?;
        if !(checks::is_card_or_bill(owed) || owed.role == Some(Role::SalesTax)) {
            return Err(HappeningError::field(
                "account",
                format!(
                    "'{}' is not a card, a bill or sales tax that can be paid off",
                    owed.name
                ),
            ));
        }
        let from = told.paid_from.account(chart)?;
        let header = EntryHeader::new(told.date, EntryKind::Settlement)
            .party(&told.party)
            .memo(&told.memo)
            .reference(&told.reference)
            .document(&told.document);
        let lines = vec![
            Line::debit(owed.id, told.amount),
            Line::credit(from, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
