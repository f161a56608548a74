//! Equipment sold or scrapped: charged up to the day first, then out of the books with its gain or loss.
//! Marking it in the register is the book's business.

use chrono::NaiveDate;

use super::{Disposal, Equipment, EquipmentError, ProposedCharge};
use crate::dates::{YearStart, show_day};
use crate::ledger::{AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// What the end of a piece comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DisposalPlan {
    /// The day it goes.
    pub on: NaiveDate,
    /// What is received for it.
    pub proceeds: Money,
    /// The charge up to the day that is not yet in the books. Below nothing when more was charged than the
    /// convention gives the last stretch: then that much is taken back.
    pub charge: ProposedCharge,
    /// Its cost.
    pub cost: Money,
    /// Accumulated depreciation after that charge.
    pub accumulated: Money,
    /// Cost less accumulated depreciation.
    pub book_value: Money,
    /// Proceeds less book value: a gain, or a loss below nothing.
    pub gain: Money,
}

impl Equipment {
    /// Plans the end of a piece. `already` is what this book's entries have charged on it.
    ///
    /// # Errors
    /// When it has gone already or cannot go on that day.
    pub fn plan_disposal(
        &self,
        disposal: &Disposal,
        already: Money,
        years: YearStart,
    ) -> Result<DisposalPlan, EquipmentError> {
        if let Some(earlier) = &self.disposal {
            let message = format!("{} already went on {}", self.name, show_day(earlier.on));
            return Err(EquipmentError::field("disposed_on", message));
        }
        self.check_disposal(disposal)?;
        let mut gone = self.clone();
        gone.disposal = Some(disposal.clone());
        let charge = gone.charge_up_to(disposal.on, self.charged_before + already, years);
        let accumulated = gone.accumulated(disposal.on, years);
        let book_value = self.cost - accumulated;
        Ok(DisposalPlan {
            on: disposal.on,
            proceeds: disposal.proceeds,
            charge: ProposedCharge::new(self, charge),
            cost: self.cost,
            accumulated,
            book_value,
            gain: disposal.proceeds - book_value,
        })
    }

    /// What the end of a piece that has gone came to, by its schedule.
    #[must_use]
    pub fn disposal_outcome(&self, years: YearStart) -> Option<DisposalPlan> {
        let disposal = self.disposal.as_ref()?;
        let accumulated = self.accumulated(disposal.on, years);
        let book_value = self.cost - accumulated;
        Some(DisposalPlan {
            on: disposal.on,
            proceeds: disposal.proceeds,
            charge: ProposedCharge::new(self, super::Charge::default()),
            cost: self.cost,
            accumulated,
            book_value,
            gain: disposal.proceeds - book_value,
        })
    }
}

impl DisposalPlan {
    /// The entry of the whole end: the last charge, then proceeds and accumulated depreciation against the cost, the
    /// difference to gain or loss. `into` is the account that receives the proceeds; none is needed for nothing.
    ///
    /// # Errors
    /// When there are proceeds and no account for them, or the chart lacks an account.
    pub fn entry(
        &self,
        chart: &Chart,
        into: Option<AccountId>,
        memo: impl Into<String>,
    ) -> Result<JournalEntry, EquipmentError> {
        let mut lines = self.charge.lines(chart)?;
        let linked = |line: Line| line.memo(&self.charge.name).equipment(&self.charge.key);
        if !self.proceeds.is_zero() {
            let Some(into) = into else {
                let message = "which account received the money for it?";
                return Err(EquipmentError::field("proceeds_into", message));
            };
            chart.account(into)?;
            lines.push(linked(Line::debit(into, self.proceeds)));
        }
        let accumulated = chart.role(Role::AccumulatedDepreciation)?;
        lines.push(linked(Line::debit(accumulated, self.accumulated)));
        lines.push(linked(Line::credit(
            chart.role(Role::Equipment)?,
            self.cost,
        )));
        lines.push(linked(Line::credit(
            chart.role(Role::EquipmentGain)?,
            self.gain,
        )));
        let memo = memo.into();
        let memo = if memo.trim().is_empty() {
            let what = if self.proceeds.is_zero() {
                "scrapped"
            } else {
                "sold"
            };
            format!("{} {what}", self.charge.name)
        } else {
            memo
        };
        let header = EntryHeader::new(self.on, EntryKind::Disposal).memo(memo);
        Ok(JournalEntry::new(header, lines)?)
    }
}
