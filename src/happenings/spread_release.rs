//! A month's part of what was paid ahead becomes a cost.
//! Which parts are due is `spreading`'s question.

use super::{Happening, HappeningError, checks};
use crate::ledger::{
    AccountClass, Chart, EntryHeader, EntryKind, JournalEntry, Line, Origin, Role,
};
use crate::spreading::DueRelease;

/// What is asked about a release: the due part, as `spreading` proposes it.
pub type SpreadReleaseDetails = DueRelease;

/// A part of what was paid ahead, used up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpreadRelease {
    details: SpreadReleaseDetails,
}

impl SpreadRelease {
    /// A release as proposed.
    ///
    /// # Errors
    /// When the amount is nothing or more than was paid ahead.
    pub fn new(details: SpreadReleaseDetails) -> Result<Self, HappeningError> {
        checks::positive("amount", details.amount)?;
        if details.amount > details.spread.total {
            return Err(HappeningError::too_much(
                "amount",
                "this is more than was paid ahead",
                details.spread.total,
            ));
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &SpreadReleaseDetails {
        &self.details
    }
}

impl Happening for SpreadRelease {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let DueRelease {
            spread,
            date,
            amount,
        } = &self.details;
        let account = chart.account(spread.account)?;
        if account.class != AccountClass::Expense {
            return Err(HappeningError::field(
                "account",
                format!("what was paid ahead cannot become '{}'", account.name),
            ));
        }
        let header = EntryHeader::new(*date, EntryKind::Release)
            .party(&spread.party)
            .memo(&spread.name)
            .document(&spread.key)
            .origin(Origin::Schedule);
        let lines = vec![
            Line::debit(account.id, *amount).memo(&spread.name),
            Line::credit(chart.role(Role::PaidInAdvance)?, *amount),
        ];
        Ok(JournalEntry::new(header, lines)?)
    }
}
