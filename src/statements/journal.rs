//! The journal: entries in order, each with its debit and credit lines by account number and name.
//! Which entries are shown is decided by whoever asks.

use chrono::NaiveDate;

use crate::ledger::{AccountId, Chart, EntryKind, EntryNumber, PostedEntry};
use crate::money::Money;

/// One line of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalLine {
    /// The account.
    pub account: AccountId,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// The debit, nothing on a credit line.
    pub debit: Money,
    /// The credit, nothing on a debit line.
    pub credit: Money,
    /// What this line is for.
    pub memo: String,
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalRow {
    /// Its number.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// Which happening it records.
    pub kind: EntryKind,
    /// From whom or to whom.
    pub party: String,
    /// What it was.
    pub memo: String,
    /// The number on the paper.
    pub reference: String,
    /// Its lines.
    pub lines: Vec<JournalLine>,
}

/// The journal of these entries, in their order.
#[must_use]
pub fn journal(chart: &Chart, entries: &[PostedEntry]) -> Vec<JournalRow> {
    entries.iter().map(|posted| row(chart, posted)).collect()
}

fn row(chart: &Chart, posted: &PostedEntry) -> JournalRow {
    let header = &posted.entry.header;
    let lines = posted.entry.lines().iter().map(|line| {
        let account = chart.account(line.account).ok();
        JournalLine {
            account: line.account,
            number: account.map(|a| a.number.clone()).unwrap_or_default(),
            name: account.map_or_else(|| chart.title(line.account), |a| a.name.clone()),
            debit: line.debit_amount(),
            credit: line.credit_amount(),
            memo: line.memo.clone(),
        }
    });
    JournalRow {
        number: posted.number,
        date: header.date,
        kind: header.kind,
        party: header.party.clone(),
        memo: header.memo.clone(),
        reference: header.reference.clone(),
        lines: lines.collect(),
    }
}
