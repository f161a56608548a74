//! An earlier entry taken back by its mirror, dated in the open period; the earlier one stays as it was.
//! An amendment in an open period is the book's business.

use chrono::NaiveDate;

use super::{Happening, HappeningError, checks};
use crate::ledger::{Chart, EntryKind, JournalEntry};

/// What is asked about taking an entry back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReversalDetails {
    /// The entry to take back.
    pub of: JournalEntry,
    /// The day of the mirror entry.
    pub date: NaiveDate,
    /// Why.
    pub reason: String,
}

/// An earlier entry taken back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reversal {
    details: ReversalDetails,
}

impl Reversal {
    /// A reversal as told.
    ///
    /// # Errors
    /// When no reason is given, it would come before the entry, or the entry is itself a reversal.
    pub fn new(details: ReversalDetails) -> Result<Self, HappeningError> {
        checks::given("reason", &details.reason, "say why it is taken back")?;
        if details.date < details.of.header.date {
            return Err(HappeningError::field(
                "date",
                "an entry cannot be taken back before its own day",
            ));
        }
        if details.of.header.kind == EntryKind::Reversal {
            return Err(HappeningError::field(
                "entry",
                "this entry already takes another one back; write the first one again instead",
            ));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &ReversalDetails {
        &self.details
    }
}

impl Happening for Reversal {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        for line in self.details.of.lines() {
            chart.account(line.account)?;
        }
        Ok(self
            .details
            .of
            .reversal(self.details.date, self.details.reason.trim()))
    }
}
