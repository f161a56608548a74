//! What depreciation to post through a day: the schedule less what the books already charged.
//! A period can therefore never be charged twice, however often it is proposed.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Charge, Equipment, EquipmentError};
use crate::dates::{YearStart, show_day};
use crate::ledger::{Chart, EntryHeader, EntryKind, JournalEntry, Line, Origin, Role};
use crate::money::Money;

/// What is to be charged on one piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProposedCharge {
    /// The key of the piece.
    pub key: String,
    /// Its name as shown.
    pub name: String,
    /// The whole charge.
    pub whole: Money,
    /// The business's part, a cost.
    pub business: Money,
    /// The rest, taken by the owner.
    pub private: Money,
}

/// The charges that bring the books up to a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DepreciationProposal {
    /// The last day charged.
    pub through: NaiveDate,
    /// One charge for each piece that has something to charge.
    pub lines: Vec<ProposedCharge>,
}

/// What to charge through the end of a day. `already` is what this book's entries have charged for each key, as
/// positive amounts, and does not include [`Equipment::charged_before`], which is counted here.
///
/// Equipment that has gone is left out: its disposal's entry charged it up to the day. A piece that was charged ahead
/// of its schedule waits until the schedule has caught up.
#[must_use]
pub fn propose(
    equipment: &[Equipment],
    already: &BTreeMap<String, Money>,
    through: NaiveDate,
    years: YearStart,
) -> DepreciationProposal {
    let lines = equipment
        .iter()
        .filter(|piece| piece.disposal.is_none() && piece.bought_on <= through)
        .map(|piece| {
            let posted = already.get(&piece.key).copied().unwrap_or_default();
            let charge = piece.charge_up_to(through, piece.charged_before + posted, years);
            ProposedCharge::new(piece, charge)
        })
        .filter(|line| line.whole.is_positive())
        .collect();
    DepreciationProposal { through, lines }
}

impl ProposedCharge {
    pub(super) fn new(piece: &Equipment, charge: Charge) -> Self {
        Self {
            key: piece.key.clone(),
            name: piece.name.clone(),
            whole: charge.whole,
            business: charge.business,
            private: charge.private,
        }
    }

    /// The lines that post it: cost and drawings against accumulated depreciation, each linked to the piece.
    pub(super) fn lines(&self, chart: &Chart) -> Result<Vec<Line>, EquipmentError> {
        let linked = |line: Line, memo: &str| line.memo(memo).equipment(self.key.as_str());
        let mut lines = Vec::new();
        if !self.business.is_zero() {
            let cost = chart.role(Role::Depreciation)?;
            lines.push(linked(Line::debit(cost, self.business), &self.name));
        }
        if !self.private.is_zero() {
            let drawings = chart.role(Role::OwnerDrawings)?;
            let memo = format!("{}, private share", self.name);
            lines.push(linked(Line::debit(drawings, self.private), &memo));
        }
        if !self.whole.is_zero() {
            let accumulated = chart.role(Role::AccumulatedDepreciation)?;
            lines.push(linked(Line::credit(accumulated, self.whole), &self.name));
        }
        Ok(lines)
    }
}

impl DepreciationProposal {
    /// Whether there is nothing to charge.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// All charges together.
    #[must_use]
    pub fn total(&self) -> Charge {
        let sum = |amount: fn(&ProposedCharge) -> Money| self.lines.iter().map(amount).sum();
        Charge {
            whole: sum(|line| line.whole),
            business: sum(|line| line.business),
            private: sum(|line| line.private),
        }
    }

    /// The entry that posts it, dated on the last day charged.
    ///
    /// # Errors
    /// When there is nothing to charge or the chart lacks an account.
    pub fn entry(
        &self,
        chart: &Chart,
        memo: impl Into<String>,
    ) -> Result<JournalEntry, EquipmentError> {
        if self.is_empty() {
            return Err(EquipmentError::NothingToCharge(show_day(self.through)));
        }
        let mut lines = Vec::new();
        for charge in &self.lines {
            lines.extend(charge.lines(chart)?);
        }
        let memo = memo.into();
        let memo = if memo.trim().is_empty() {
            format!("Wear of equipment through {}", show_day(self.through))
        } else {
            memo
        };
        let header = EntryHeader::new(self.through, EntryKind::Depreciation)
            .memo(memo)
            .origin(Origin::Schedule);
        Ok(JournalEntry::new(header, lines)?)
    }
}
