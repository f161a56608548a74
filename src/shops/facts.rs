//! One thing that a row of a shop's file of charges tells, and the key by which the book knows it again.
//! The key holds the whole fact, so that what was told before can be read back from the book's records.

use chrono::NaiveDate;

use super::RowMeaning;
use crate::dates::parse_iso;
use crate::money::Money;

/// One thing that a row tells.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fact {
    /// What it is.
    pub what: RowMeaning,
    /// The order it belongs to; empty when it belongs to none.
    pub order: String,
    /// The day.
    pub date: NaiveDate,
    /// What it moved: above nothing for the maker, below nothing against her.
    pub amount: Money,
    /// The row's own number; empty when the file gives none.
    pub id: String,
    /// Which of several rows of a file that say the same, from 1.
    pub nth: u32,
}

impl Fact {
    /// The key of its record.
    #[must_use]
    pub fn key(&self) -> String {
        format!(
            "{}|{}|{}|{}|{}|{}",
            self.what,
            clean(&self.order),
            self.date,
            self.amount.minor(),
            clean(&self.id),
            self.nth
        )
    }

    /// The fact that a record's key holds; nothing where the record is of another kind.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        let parts: Vec<&str> = key.split('|').collect();
        let [what, order, date, minor, id, nth] = parts.as_slice() else {
            return None;
        };
        Some(Self {
            what: what.parse().ok()?,
            order: (*order).to_owned(),
            date: parse_iso(date).ok()?,
            amount: Money::from_minor(minor.parse().ok()?),
            id: (*id).to_owned(),
            nth: nth.parse().ok()?,
        })
    }

    /// What makes it the same fact in another file: its own number, or all that it says.
    #[must_use]
    pub fn identity(&self) -> String {
        if self.id.is_empty() {
            self.key()
        } else {
            format!("{}|{}|{}", self.what, clean(&self.id), self.nth)
        }
    }
}

/// A part of a key: without the mark between parts, and without space around it.
pub(super) fn clean(text: &str) -> String {
    text.trim().replace('|', "/")
}
