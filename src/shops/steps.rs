//! What follows from a shop's file: entries to write, entries to write anew, records to keep.
//! Values only; the book carries them out, all or none.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::happenings::Recording;
use crate::ledger::EntryNumber;
use crate::money::Money;

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// A new entry, and the keys of the records that it becomes.
    Write {
        /// What it leaves in the book.
        recording: Box<Recording>,
        /// The records' keys.
        keys: Vec<String>,
        /// The row it came from.
        row: u64,
    },
    /// An entry that says something else now. Its records follow it.
    Rewrite {
        /// The entry.
        entry: EntryNumber,
        /// What it is to say.
        recording: Box<Recording>,
        /// The keys of further records.
        keys: Vec<String>,
        /// Why, for the history.
        reason: String,
        /// The row that it follows from.
        row: u64,
    },
    /// An entry that is no longer so; it is taken back on its own day.
    TakeBack {
        /// The entry.
        entry: EntryNumber,
        /// Why.
        reason: String,
    },
    /// A record of something that is in the book already, or that waits for another file.
    Tie {
        /// The record's key.
        key: String,
        /// The entry, where there is one.
        entry: Option<EntryNumber>,
    },
    /// Money that the shop holds back.
    Hold {
        /// How much.
        amount: Money,
        /// From which day.
        since: NaiveDate,
        /// Until when it was held, where it was let go.
        released: Option<NaiveDate>,
    },
    /// Held money let go.
    Release {
        /// The hold.
        id: i64,
        /// The day.
        on: NaiveDate,
    },
}

/// How many things of each kind follow from a file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// New sales.
    pub sales: usize,
    /// Sales that say more than before.
    pub sales_completed: usize,
    /// New entries of fees.
    pub fees: usize,
    /// New refunds.
    pub refunds: usize,
    /// New payouts.
    pub payouts: usize,
    /// Sums held back.
    pub held: usize,
    /// Things that were in the book already.
    pub known: usize,
    /// Rows that lie before the book's first day or in a locked period.
    pub left_out: usize,
}

/// All that follows from a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Steps {
    /// What to do, in this order.
    pub steps: Vec<Step>,
    /// How much of what.
    pub counts: Counts,
    /// The sum of each kind of new thing, for saying it before it is done.
    pub sums: BTreeMap<&'static str, Money>,
    /// What the owner should know.
    pub notes: Vec<String>,
    /// Words that no product is tied to, each once.
    pub untied: Vec<String>,
}

impl Steps {
    /// Adds to the sum of a kind of thing.
    pub(super) fn add(&mut self, what: &'static str, amount: Money) {
        *self.sums.entry(what).or_default() += amount;
    }
}
