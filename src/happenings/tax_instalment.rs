//! An instalment of the owner's own income tax, paid from the business: a sole owner's tax is private, so a drawing.
//! How much to keep back is `set_aside`'s question.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What is asked about a tax instalment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxInstalmentDetails {
    /// The day it happened.
    pub date: NaiveDate,
    /// Where the money came from: the set-aside savings, bank or cash.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// The tax office it went to; may be empty.
    pub office: String,
    /// What it was; may be empty.
    pub memo: String,
    /// The tax office's confirmation; may be empty.
    pub reference: String,
}

/// The owner's own tax was paid out of the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxInstalment {
    details: TaxInstalmentDetails,
}

impl TaxInstalment {
    /// An instalment as told.
    ///
    /// # Errors
    /// When the amount is nothing or too large.
    pub fn new(details: TaxInstalmentDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &TaxInstalmentDetails {
        &self.details
    }
}

impl Happening for TaxInstalment {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let account = checks::money(chart, "account", told.account)?.id;
        let drawings = chart.role(Role::OwnerDrawings)?;
        let header = EntryHeader::new(told.date, EntryKind::TaxInstalment)
            .party(&told.office)
            .memo(&told.memo)
            .reference(&told.reference);
        let lines = vec![
            Line::debit(drawings, told.amount),
            Line::credit(account, told.amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
