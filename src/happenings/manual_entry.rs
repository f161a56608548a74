//! An entry written in debits and credits, for whoever knows what she wants to write.
//! Whatever has a happening of its own is better told there.

use chrono::NaiveDate;

use super::{Happening, HappeningError};
use crate::ledger::{Chart, EntryError, EntryHeader, EntryKind, JournalEntry, Line};
use crate::money::Money;

/// What is asked about an entry in debits and credits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ManualEntryDetails {
    /// The day.
    pub date: NaiveDate,
    /// Which kind of entry it is: [`EntryKind::Manual`] unless a sheet says more.
    pub kind: EntryKind,
    /// From whom or to whom; may be empty.
    pub party: String,
    /// What it is.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
    /// The owner's own key of the document; may be empty.
    pub document: String,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// An entry in debits and credits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ManualEntry {
    details: ManualEntryDetails,
}

impl ManualEntry {
    /// An entry of these lines.
    ///
    /// # Errors
    /// When a line has no amount or one too large, there are fewer than two, or they do not balance.
    pub fn new(details: ManualEntryDetails) -> Result<Self, HappeningError> {
        for (idx, line) in details.lines.iter().enumerate() {
            let refused =
                |message: &str| Err(HappeningError::field("amount", message).on_line(idx));
            if line.amount.is_zero() {
                return refused("the line needs a debit or a credit");
            }
            if !line.amount.is_within_limit() {
                return refused("the amount is too large");
            }
        }
        let (debits, credits) = sides(&details.lines);
        if details.lines.len() >= 2 && debits != credits {
            return Err(EntryError::OutOfBalance { debits, credits }.into());
        }
        if details.lines.len() < 2 {
            return Err(EntryError::TooFewLines.into());
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &ManualEntryDetails {
        &self.details
    }
}

impl Happening for ManualEntry {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        for (idx, line) in told.lines.iter().enumerate() {
            chart.account(line.account).map_err(|error| {
                HappeningError::field("account", error.to_string()).on_line(idx)
            })?;
        }
        let header = EntryHeader::new(told.date, told.kind)
            .party(&told.party)
            .memo(&told.memo)
            .reference(&told.reference)
            .document(&told.document);
        Ok(JournalEntry::new(header, told.lines.clone())?)
    }
}

/// Debits and credits of lines, added up apart.
fn sides(lines: &[Line]) -> (Money, Money) {
    (
        lines.iter().map(Line::debit_amount).sum(),
        lines.iter().map(Line::credit_amount).sum(),
    )
}
