//! Bringing an account into agreement with its statement: what is ticked, what is outstanding, what the difference
//! may come from, and whether a finished sheet still holds. Values in, values out; keeping it is `book`'s.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use crate::ledger::{AccountId, EntryNumber};
use crate::money::{Currency, Money};
use crate::sorting::LedgerMovement;

/// An account brought into agreement with its statement, finished or not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reconciliation {
    /// Its number in the book.
    pub id: i64,
    /// The account.
    pub account: AccountId,
    /// The day of the statement.
    pub day: NaiveDate,
    /// The closing balance that the statement shows, in minor units, signed as the ledger has it: what is owed on a
    /// card is negative.
    pub balance: Money,
    /// The balance agreed before: the closing balance of the sheet before, or nothing.
    pub opening: Money,
    /// When it was finished, as UTC; nothing while it is open.
    pub finished_at: Option<String>,
    /// What the owner noted on it.
    pub note: String,
    /// What was ticked, as it was then.
    pub ticked: Vec<Ticked>,
    /// What was outstanding when it was finished, as it was then; nothing while it is open.
    pub outstanding: Vec<Ticked>,
}

/// A movement that was ticked, as it was then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ticked {
    /// The entry.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// What it moved on the account.
    pub amount: Money,
}

/// The figures of a reconciliation: opening + ticked = cleared; balance − cleared = difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Agreement {
    /// The balance agreed before.
    pub opening: Money,
    /// What the ticked movements come to.
    pub ticked: Money,
    /// Opening and ticked together.
    pub cleared: Money,
    /// What the statement shows.
    pub balance: Money,
    /// What is missing: statement less cleared. Nothing when they agree.
    pub difference: Money,
    /// Movements up to the day that are not ticked: known to the book and not yet to the bank.
    pub outstanding: Money,
    /// The ledger's balance on the day: cleared and outstanding together, when nothing earlier was changed since.
    pub book: Money,
}

impl Reconciliation {
    /// The figures, with the account's movements up to its day that were in no earlier sheet.
    #[must_use]
    pub fn agreement(&self, movements: &[LedgerMovement]) -> Agreement {
        let ticked: Money = self.ticked.iter().map(|one| one.amount).sum();
        let is_ticked: HashMap<EntryNumber, ()> =
            self.ticked.iter().map(|one| (one.entry, ())).collect();
        let outstanding: Money = movements
            .iter()
            .filter(|one| one.date <= self.day && !is_ticked.contains_key(&one.entry))
            .map(|one| one.amount)
            .sum();
        let cleared = self.opening + ticked;
        Agreement {
            opening: self.opening,
            ticked,
            cleared,
            balance: self.balance,
            difference: self.balance - cleared,
            outstanding,
            book: cleared + outstanding,
        }
    }

    /// What of a finished sheet no longer holds: movements that changed or went since. `now` are the account's
    /// movements of the ticked entries as they are.
    #[must_use]
    pub fn broken(&self, now: &[Ticked]) -> Vec<Broken> {
        let now: HashMap<EntryNumber, &Ticked> = now.iter().map(|one| (one.entry, one)).collect();
        self.ticked
            .iter()
            .filter_map(|was| {
                let is = now.get(&was.entry).copied();
                (is != Some(was)).then(|| Broken {
                    was: *was,
                    is: is.copied(),
                })
            })
            .collect()
    }
}

/// A ticked movement that changed since.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Broken {
    /// As it was ticked.
    pub was: Ticked,
    /// As it is now; nothing when it no longer moves the account.
    pub is: Option<Ticked>,
}

impl Broken {
    /// What changed, in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let (number, was) = (self.was.entry, currency.show(self.was.amount));
        match &self.is {
            None => {
                format!("Entry {number} moved {was} when this was finished and no longer does.")
            }
            Some(is) if is.amount != self.was.amount => format!(
                "Entry {number} moved {was} when this was finished and now moves {}.",
                currency.show(is.amount)
            ),
            Some(is) => format!(
                "Entry {number} was of {} when this was finished and is now of {}.",
                self.was.date, is.date
            ),
        }
    }
}

/// Where a difference may come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Hint {
    /// An outstanding movement of exactly this amount: tick it.
    NotTicked(EntryNumber),
    /// A ticked movement of exactly this amount that the statement may not have.
    TickedTooMuch(EntryNumber),
    /// Two ticked movements of this amount: one may be there twice.
    Twice(EntryNumber, EntryNumber),
    /// A movement of half the difference: it may stand on the wrong side.
    WrongSide(EntryNumber),
    /// The difference is divisible by nine: two digits may be swapped.
    SwappedDigits,
    /// A round amount, not in the book: a fee or interest may be missing.
    PerhapsAFee,
}

impl Hint {
    /// The hint in a sentence.
    #[must_use]
    pub fn sentence(&self, difference: Money, currency: &Currency) -> String {
        let amount = currency.show(difference.abs());
        match self {
            Self::NotTicked(number) => {
                format!(
                    "Entry {number} is exactly {amount} and not ticked: is it on the statement?"
                )
            }
            Self::TickedTooMuch(number) => {
                format!(
                    "Entry {number} is exactly {amount} and ticked: is it really on the statement?"
                )
            }
            Self::Twice(one, other) => {
                format!("Entries {one} and {other} are both {amount}: is one of them there twice?")
            }
            Self::WrongSide(number) => format!(
                "Entry {number} is half of the difference: did it go in where it should have gone out?"
            ),
            Self::SwappedDigits => format!(
                "{amount} can be divided by 9: two digits of an amount may be swapped, as 54 for 45."
            ),
            Self::PerhapsAFee => {
                format!("{amount} is not in the book: look for a fee or interest on the statement.")
            }
        }
    }
}

/// What may explain a difference, the likeliest first. `movements` are those up to the day that were in no earlier
/// sheet. Common practice, no source: bookkeepers' rules of thumb.
#[must_use]
pub fn hints(
    reconciliation: &Reconciliation,
    movements: &[LedgerMovement],
    difference: Money,
) -> Vec<Hint> {
    if difference.is_zero() {
        return Vec::new();
    }
    let ticked: HashMap<EntryNumber, Money> = reconciliation
        .ticked
        .iter()
        .map(|one| (one.entry, one.amount))
        .collect();
    let mut found = Vec::new();
    for one in movements {
        if !ticked.contains_key(&one.entry) && one.amount == difference {
            found.push(Hint::NotTicked(one.entry));
        }
    }
    let mut same: BTreeMap<Money, Vec<EntryNumber>> = BTreeMap::new();
    for one in &reconciliation.ticked {
        if one.amount == -difference {
            same.entry(one.amount).or_default().push(one.entry);
        }
    }
    for entries in same.values() {
        match entries.as_slice() {
            [only] => found.push(Hint::TickedTooMuch(*only)),
            [one, other, ..] => found.push(Hint::Twice(*one, *other)),
            [] => {}
        }
    }
    for one in &reconciliation.ticked {
        // On the wrong side an amount is wrong by twice itself.
        if one.amount.minor().checked_mul(-2) == Some(difference.minor()) {
            found.push(Hint::WrongSide(one.entry));
        }
    }
    if found.is_empty() && difference.minor() % 9 == 0 {
        found.push(Hint::SwappedDigits);
    }
    if found.is_empty() && difference.is_negative() {
        found.push(Hint::PerhapsAFee);
    }
    found
}
