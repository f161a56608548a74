//! One account's lines with its running balance.
//! Balances here are debits less credits, whatever the account's class: opening + debits − credits = closing.

use chrono::NaiveDate;

use crate::dates::DateRange;
use crate::ledger::{AccountId, EntryKind, EntryNumber, PostedEntry};
use crate::money::Money;

/// One line of an account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerLine {
    /// The entry it belongs to.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// Which happening it records.
    pub kind: EntryKind,
    /// From whom or to whom.
    pub party: String,
    /// What it was: the line's memo, or else the entry's.
    pub memo: String,
    /// The debit, nothing on a credit line.
    pub debit: Money,
    /// The credit, nothing on a debit line.
    pub credit: Money,
    /// Debits less credits up to and with this line.
    pub balance: Money,
}

/// An account over a period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountLedger {
    /// The account.
    pub account: AccountId,
    /// The days it covers.
    pub range: DateRange,
    /// Debits less credits before the first day.
    pub opening: Money,
    /// Its lines by day, then entry.
    pub lines: Vec<LedgerLine>,
    /// Debits less credits at the end of the last day.
    pub closing: Money,
}

/// The ledger of an account over a period, from its balance before and the entries of the period.
/// Entries outside the period or without the account are passed over.
#[must_use]
pub fn account_ledger<'a>(
    account: AccountId,
    range: DateRange,
    opening: Money,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
) -> AccountLedger {
    let mut entries: Vec<&PostedEntry> = entries
        .into_iter()
        .filter(|posted| range.contains(posted.entry.header.date))
        .collect();
    entries.sort_by_key(|posted| (posted.entry.header.date, posted.number));
    let mut balance = opening;
    let mut lines = Vec::new();
    for posted in entries {
        let header = &posted.entry.header;
        for line in posted.entry.lines() {
            if line.account != account {
                continue;
            }
            balance += line.amount;
            let memo = if line.memo.is_empty() {
                &header.memo
            } else {
                &line.memo
            };
            lines.push(LedgerLine {
                entry: posted.number,
                date: header.date,
                kind: header.kind,
                party: header.party.clone(),
                memo: memo.clone(),
                debit: line.debit_amount(),
                credit: line.credit_amount(),
                balance,
            });
        }
    }
    AccountLedger {
        account,
        range,
        opening,
        lines,
        closing: balance,
    }
}
