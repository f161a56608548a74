//! The closing of a year: one entry that empties the year's income, costs and drawings.
//! When it may be posted is the book's business.

use crate::dates::DateRange;
use crate::ledger::{
    Balances, Chart, ChartError, EntryError, EntryHeader, EntryKind, JournalEntry, Line, Role,
};
use crate::money::Money;

/// Where the owner's drawings go when a year is closed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DrawingsCloseTo {
    /// Against the owner's capital, as a sole owner's books do.
    #[default]
    Capital,
    /// Against the profit brought forward, as a company's dividends do.
    ProfitBroughtForward,
}

/// Why a year cannot be closed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ClosingError {
    /// No income, cost or drawing stands on its account.
    #[error("there is nothing to close in the year {0}")]
    NothingToClose(i32),
    /// The chart lacks an account.
    #[error(transparent)]
    Chart(#[from] ChartError),
    /// The lines make no entry.
    #[error(transparent)]
    Entry(#[from] EntryError),
}

/// The entry that closes a year, drawings going against the owner's capital.
///
/// # Errors
/// When nothing is left to close or the chart lacks an account.
pub fn closing_entry(
    chart: &Chart,
    balances: &Balances,
    year: DateRange,
) -> Result<JournalEntry, ClosingError> {
    closing_entry_to(chart, balances, year, DrawingsCloseTo::Capital)
}

/// The entry that closes a year, dated on its last day: each income and cost account is brought to nothing against
/// the profit brought forward, then drawings. `balances` is everything up to that day, earlier closings included.
///
/// # Errors
/// When nothing is left to close or the chart lacks an account.
pub fn closing_entry_to(
    chart: &Chart,
    balances: &Balances,
    year: DateRange,
    drawings_to: DrawingsCloseTo,
) -> Result<JournalEntry, ClosingError> {
    let ending = chrono::Datelike::year(&year.to);
    let mut lines = Vec::new();
    let mut profit = Money::ZERO;
    for account in chart.accounts() {
        let net = balances.net(account.id);
        if account.class.is_profit_and_loss() && !net.is_zero() {
            lines.push(Line::credit(account.id, net));
            profit += -net;
        }
    }
    if !lines.is_empty() {
        let forward = chart.role(Role::ProfitBroughtForward)?;
        lines.push(Line::credit(forward, profit).memo("Profit of the year"));
    }
    let drawings = chart.role(Role::OwnerDrawings)?;
    let taken = balances.net(drawings);
    if !taken.is_zero() {
        let against = match drawings_to {
            DrawingsCloseTo::Capital => Role::OwnerCapital,
            DrawingsCloseTo::ProfitBroughtForward => Role::ProfitBroughtForward,
        };
        lines.push(Line::debit(chart.role(against)?, taken).memo("Drawings of the year"));
        lines.push(Line::credit(drawings, taken));
    }
    if lines.is_empty() {
        return Err(ClosingError::NothingToClose(ending));
    }
    let header =
        EntryHeader::new(year.to, EntryKind::Closing).memo(format!("Closing of the year {ending}"));
    Ok(JournalEntry::new(header, lines)?)
}
