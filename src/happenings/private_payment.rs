//! The business paid for a private thing: taken out for good, or to be paid back by the owner.
//! A receipt that is private only in part is a `purchase` with a business share.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Happening, HappeningError, checks};
use crate::ledger::{
    AccountClass, AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role,
};
use crate::money::Money;

/// What becomes of a private thing that the business paid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Treat {
    /// Taken out for good.
    #[default]
    Drawing,
    /// The owner owes it and pays it back.
    OwedByOwner,
}

/// What is asked about a private thing that the business paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrivatePaymentDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// What it was paid with: bank, cash or card.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// Whether the owner pays it back.
    pub treat: Treat,
    /// From whom or to whom; may be empty.
    pub party: String,
    /// What it was; may be empty.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
}

/// The business paid for something private.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrivatePayment {
    details: PrivatePaymentDetails,
}

impl PrivatePayment {
    /// A private payment as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large.
    pub fn new(details: PrivatePaymentDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &PrivatePaymentDetails {
        &self.details
    }
}

impl Happening for PrivatePayment {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::pays(chart, "account", told.account)?;
        if account.class == AccountClass::Equity || account.role == Some(Role::OwedToOwner) {
            return Err(HappeningError::field(
                "account",
                "what you pay yourself for yourself does not touch the business",
            ));
        }
        let account = account.id;
        let owner = chart.role(match told.treat {
            Treat::Drawing => Role::OwnerDrawings,
            Treat::OwedByOwner => Role::OwedByOwner,
        })?;
        checks::different("account", account, owner)?;
        let header = EntryHeader::new(told.date, EntryKind::PrivatePayment)
            .party(&told.party)
            .memo(&told.memo)
            .reference(&told.reference);
        let lines = vec![
            Line::debit(owner, told.amount),
            Line::credit(account, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
