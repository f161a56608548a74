//! What the book knows of a shop before another file comes: its records, the entries on the shop's account, its holds.
//! Values only; they are gathered from the book by `reports`.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::NaiveDate;

use super::Fact;
use super::facts::clean;
use crate::dates::parse_iso;
use crate::ledger::{AccountId, EntryKind, EntryNumber, JournalEntry, PostedEntry};
use crate::money::Money;

/// What the book knows of an order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderKnown {
    /// The entry that a file of orders became.
    pub from_orders: Option<EntryNumber>,
    /// Whether that file said which tax the shop pays over.
    pub tells_tax: bool,
    /// The entry of a sale that was in the book before any file told of it.
    pub typed: Option<EntryNumber>,
    /// Refunds that files of orders told.
    pub refunds: Vec<RefundKnown>,
}

/// A refund that a file of orders told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefundKnown {
    /// Its record's key.
    pub key: String,
    /// How much.
    pub amount: Money,
    /// Its entry; nothing where a file of charges told of it first.
    pub entry: Option<EntryNumber>,
}

/// Money that the shop holds or held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldKnown {
    /// Its number in the book.
    pub id: i64,
    /// How much.
    pub amount: Money,
    /// From which day.
    pub since: NaiveDate,
    /// The day it was released.
    pub released: Option<NaiveDate>,
}

/// A payout that a file told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PayoutKnown {
    /// The layout of that file.
    pub layout: String,
    /// The payout's number there; may be empty.
    pub id: String,
    /// Its entry.
    pub entry: EntryNumber,
}

/// What the book knows of a shop.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The facts that files of charges told, by what makes them the same, with the entry of each that has one.
    pub facts: HashMap<String, (Fact, Option<EntryNumber>)>,
    /// The orders that files told, by their numbers as records keep them.
    pub orders: BTreeMap<String, OrderKnown>,
    /// The payouts that files told.
    pub payouts: Vec<PayoutKnown>,
    /// The keys of all records.
    pub keys: HashSet<String>,
    /// The entries on the shop's account, and those that records name.
    pub entries: BTreeMap<EntryNumber, PostedEntry>,
    /// What the shop holds or held.
    pub holds: Vec<HoldKnown>,
    by_document: HashMap<(EntryKind, String), Vec<EntryNumber>>,
    facts_of: HashMap<String, Vec<String>>,
    recorded: HashSet<EntryNumber>,
}

impl Known {
    /// What is known from the shop's records, the entries on its account and its holds.
    #[must_use]
    pub fn new(
        records: impl IntoIterator<Item = (String, Option<EntryNumber>)>,
        entries: impl IntoIterator<Item = PostedEntry>,
        holds: Vec<HoldKnown>,
    ) -> Self {
        let mut known = Self {
            holds,
            ..Self::default()
        };
        for posted in entries {
            known.add_entry(posted);
        }
        let mut records: Vec<(String, Option<EntryNumber>)> = records.into_iter().collect();
        records.sort();
        for (key, entry) in records {
            known.add_record(&key, entry);
        }
        known
    }

    fn add_entry(&mut self, posted: PostedEntry) {
        if posted.reversed_by.is_none() && posted.reverses.is_none() {
            let header = &posted.entry.header;
            let names: HashSet<String> = [&header.document, &header.reference]
                .into_iter()
                .map(|name| clean(name))
                .filter(|name| !name.is_empty())
                .collect();
            for name in names {
                let list = self.by_document.entry((header.kind, name)).or_default();
                list.push(posted.number);
            }
        }
        self.entries.insert(posted.number, posted);
    }

    fn add_record(&mut self, key: &str, entry: Option<EntryNumber>) {
        self.keys.insert(key.to_owned());
        self.recorded.extend(entry);
        if let Some(fact) = Fact::of_key(key) {
            let identity = fact.identity();
            self.facts_of
                .entry(clean(&fact.order))
                .or_default()
                .push(identity.clone());
            self.facts.insert(identity, (fact, entry));
            return;
        }
        let parts: Vec<&str> = key.split('|').collect();
        match parts.as_slice() {
            ["order", order, tells_tax] => {
                let known = self.orders.entry((*order).to_owned()).or_default();
                known.from_orders = entry;
                known.tells_tax = *tells_tax == "tax";
            }
            ["typed", order] => {
                self.orders.entry((*order).to_owned()).or_default().typed = entry;
            }
            ["order-refund", order, _date, minor] => {
                let refund = RefundKnown {
                    key: key.to_owned(),
                    amount: Money::from_minor(minor.parse().unwrap_or_default()),
                    entry,
                };
                let known = self.orders.entry((*order).to_owned()).or_default();
                known.refunds.push(refund);
            }
            ["paid", layout, id, date, _minor, _nth] if parse_iso(date).is_ok() => {
                if let Some(entry) = entry {
                    self.payouts.push(PayoutKnown {
                        layout: (*layout).to_owned(),
                        id: (*id).to_owned(),
                        entry,
                    });
                }
            }
            _ => {}
        }
    }

    /// What is known of an order.
    #[must_use]
    pub fn order(&self, order: &str) -> OrderKnown {
        self.orders.get(&clean(order)).cloned().unwrap_or_default()
    }

    /// The facts that are known of an order, each with its entry.
    #[must_use]
    pub fn facts_of(&self, order: &str) -> Vec<(Fact, Option<EntryNumber>)> {
        let identities = self.facts_of.get(&clean(order));
        let identities = identities.map(Vec::as_slice).unwrap_or_default();
        identities
            .iter()
            .filter_map(|identity| self.facts.get(identity).cloned())
            .collect()
    }

    /// The entry of a number, as it stands.
    #[must_use]
    pub fn entry(&self, number: EntryNumber) -> Option<&PostedEntry> {
        self.entries.get(&number)
    }

    /// Entries of a kind with this document or reference that stand and that no record names.
    pub fn unrecorded(
        &self,
        kind: EntryKind,
        name: &str,
    ) -> impl Iterator<Item = &PostedEntry> + use<'_> {
        let numbers = self.by_document.get(&(kind, clean(name)));
        numbers
            .into_iter()
            .flatten()
            .filter(|number| !self.recorded.contains(number))
            .filter_map(|number| self.entries.get(number))
    }

    /// Whether a record names the entry.
    #[must_use]
    pub fn is_recorded(&self, number: EntryNumber) -> bool {
        self.recorded.contains(&number)
    }
}

/// What an entry moved on an account.
#[must_use]
pub fn moved(entry: &JournalEntry, account: AccountId) -> Money {
    let lines = entry.lines().iter();
    lines
        .filter(|line| line.account == account)
        .map(|line| line.amount)
        .sum()
}
