//! Receipts seen in bulk: which entry each belongs to, by the date and the amount that the owner read off it.
//! Nothing is read off a picture here, and what is unclear is left to her.

use chrono::NaiveDate;

use crate::ledger::EntryNumber;
use crate::money::Money;

/// How many days may lie between the receipt's day and the entry's: a card is charged some days later.
pub const RECEIPT_DAYS: i64 = 10;

/// An entry whose receipt is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenEntry {
    /// Its number.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// With whom.
    pub party: String,
    /// What it was.
    pub memo: String,
    /// The sum of its debits.
    pub total: Money,
}

/// What the owner read off a receipt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeenReceipt {
    /// Its day.
    pub date: NaiveDate,
    /// Its amount, positive.
    pub amount: Money,
}

/// What follows for a receipt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seen {
    /// It belongs to this entry: no other has the amount about that day, and no other receipt fits it.
    One(EntryNumber),
    /// Several entries may be meant, or several receipts fit the one entry.
    Unclear(Vec<EntryNumber>),
    /// No entry without a receipt has the amount about that day.
    None,
}

/// The entries that a receipt may belong to, the nearest day first.
#[must_use]
pub fn candidates(seen: SeenReceipt, open: &[OpenEntry]) -> Vec<&OpenEntry> {
    let apart = |entry: &OpenEntry| (entry.date - seen.date).num_days().abs();
    let mut found: Vec<&OpenEntry> = open
        .iter()
        .filter(|entry| entry.total == seen.amount && apart(entry) <= RECEIPT_DAYS)
        .collect();
    found.sort_by_key(|entry| (apart(entry), entry.number));
    found
}

/// What follows for each of several receipts. An entry that two of them fit goes to neither.
#[must_use]
pub fn match_seen(seen: &[SeenReceipt], open: &[OpenEntry]) -> Vec<Seen> {
    let found: Vec<Vec<EntryNumber>> = seen
        .iter()
        .map(|one| {
            candidates(*one, open)
                .iter()
                .map(|entry| entry.number)
                .collect()
        })
        .collect();
    let n_wanting = |number: EntryNumber| {
        found
            .iter()
            .filter(|numbers| numbers.contains(&number))
            .count()
    };
    found
        .iter()
        .map(|numbers| match numbers.as_slice() {
            [] => Seen::None,
            [one] if n_wanting(*one) == 1 => Seen::One(*one),
            several => Seen::Unclear(several.to_vec()),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(number: u64, day: u32, minor: i64) -> OpenEntry {
        OpenEntry {
            number: EntryNumber(number),
            date: on(day),
            party: String::new(),
            memo: String::new(),
            total: Money::from_minor(minor),
        }
    }

    fn on(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 3, day).expect("a day")
    }

    fn seen(day: u32, minor: i64) -> SeenReceipt {
        SeenReceipt {
            date: on(day),
            amount: Money::from_minor(minor),
        }
    }

    #[test]
    fn only_what_is_clear_is_matched() {
        let open = [
            entry(1, 3, 1250),
            entry(2, 4, 2000),
            entry(3, 9, 2000),
            entry(4, 20, 1250),
            entry(5, 25, 900),
        ];
        let told = match_seen(
            &[
                seen(1, 1250), // entry 1, two days later; entry 4 is 19 days away
                seen(5, 2000), // entries 2 and 3 both have it
                seen(24, 900), // entry 5, but the next receipt fits it, too
                seen(25, 900),
                seen(9, 1251),  // a cent away is another amount
                seen(31, 1250), // 11 days after entry 4
                seen(30, 1250), // 10 days after
            ],
            &open,
        );
        let number = EntryNumber;
        assert_eq!(
            told,
            [
                Seen::One(number(1)),
                Seen::Unclear(vec![number(2), number(3)]),
                Seen::Unclear(vec![number(5)]),
                Seen::Unclear(vec![number(5)]),
                Seen::None,
                Seen::None,
                Seen::One(number(4)),
            ]
        );
        let nearest = candidates(seen(8, 2000), &open);
        assert_eq!(nearest[0].number, number(3));
    }
}
