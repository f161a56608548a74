//! What a form would do to the book, and the entry that goes with it.
//! Making it of what was typed is each draft's own.

use super::FormWish;
use super::facts::Facts;
use super::input::Problem;
use super::short::{ShortDraft, ShortKind};
use crate::app::action::{OrderingWrite, StockMove};
use crate::happenings::{Payment, Recording};
use crate::ledger::{EntryKind, EntryNumber, JournalEntry};
use crate::occasions::{Told, What};
use crate::plan::PlanLine;
use crate::recurring::Recurring;
use crate::stock::{Bundle, Item, Recipe};

/// What a form would do to the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Write a recording down.
    Record(Box<Recording>),
    /// Keep a recurring purchase.
    Recurring(Box<Recurring>),
    /// Keep a line of the plan.
    Plan(Box<PlanLine>),
    /// Change an entry.
    Amend(EntryNumber, Box<JournalEntry>, String),
    /// Take an entry back; the entry is its mirror.
    TakeBack(EntryNumber, Box<JournalEntry>, String),
    /// Keep an item.
    Item(Box<Item>),
    /// Keep a recipe.
    Recipe(Box<Recipe>),
    /// Keep a set.
    Bundle(Box<Bundle>),
    /// Move stock; the entry is what it posts, once that was looked up.
    Stock(Box<StockMove>, Option<Box<JournalEntry>>),
    /// Something about an order to a supplier.
    Ordering(Box<OrderingWrite>),
    /// Tell an unusual happening; the entry is what it posts, once that was looked up.
    Tell(Box<Told>, Option<Box<JournalEntry>>),
}

impl Outcome {
    /// The entry it would write, if it writes one.
    #[must_use]
    pub fn entry(&self) -> Option<&JournalEntry> {
        match self {
            Self::Record(recording) => Some(&recording.entry),
            Self::Recurring(_)
            | Self::Plan(_)
            | Self::Item(_)
            | Self::Recipe(_)
            | Self::Bundle(_) => None,
            Self::Amend(_, entry, _) | Self::TakeBack(_, entry, _) => Some(entry),
            Self::Stock(_, entry) | Self::Tell(_, entry) => entry.as_deref(),
            Self::Ordering(write) => match write.as_ref() {
                OrderingWrite::Arrive { recording, .. } => {
                    recording.as_ref().map(|recording| &recording.entry)
                }
                OrderingWrite::Credit { recording, .. } => Some(&recording.entry),
                _ => None,
            },
        }
    }

    /// The day it is for, if it has one.
    pub(super) fn day(&self) -> Option<chrono::NaiveDate> {
        match self {
            Self::Stock(moved, _) => Some(moved.header.date),
            other => other.entry().map(|entry| entry.header.date),
        }
    }
}

/// A sale or purchase without a number of its own gets a key, so that its refunds find it and none is given back twice.
pub(super) fn with_key(mut recording: Recording, facts: &Facts) -> Recording {
    let header = &mut recording.entry.header;
    let has_refunds = matches!(header.kind, EntryKind::Sale | EntryKind::Purchase);
    if has_refunds && header.document.trim().is_empty() {
        header.document = format!("{}-{}", header.kind, facts.next_entry);
    }
    recording
}

pub(super) fn filled_short(kind: ShortKind, wish: &FormWish, facts: &Facts) -> ShortDraft {
    let mut draft = ShortDraft::new(kind, facts);
    draft.party.clone_from(&wish.party);
    if let Some(account) = wish.account {
        match kind {
            ShortKind::OwnerOut
            | ShortKind::TaxInstalment
            | ShortKind::OwnerRepaid
            | ShortKind::Payout
            | ShortKind::ShopFee => {
                draft.from = Some(account);
            }
            ShortKind::PrivatePayment => draft.way = Payment::Account(account),
            ShortKind::OwnerIn
            | ShortKind::OwnerPaysBack
            | ShortKind::Settlement
            | ShortKind::Transfer
            | ShortKind::ChannelPaid => draft.to = Some(account),
        }
    }
    if let Some(other) = wish.other {
        match kind {
            ShortKind::Payout | ShortKind::ShopFee => draft.to = Some(other),
            ShortKind::Settlement | ShortKind::ChannelPaid => draft.way = Payment::Account(other),
            _ => draft.from = Some(other),
        }
    }
    if let Some(amount) = wish.amount {
        draft.amount = facts.show(amount);
    }
    draft
}

/// What moves in stock, with the entry it posts; what the book would refuse is said already.
pub(super) fn stock_outcome(moved: StockMove, facts: &Facts) -> Result<Outcome, Vec<Problem>> {
    let entry = match facts.stock_lines(&moved) {
        None => None,
        Some(Err(words)) => return Err(vec![Problem::wrong("stock", words.clone())]),
        Some(Ok(lines)) => {
            let all: Vec<_> = moved.lines.iter().chain(lines).cloned().collect();
            JournalEntry::new(moved.header.clone(), all)
                .ok()
                .map(Box::new)
        }
    };
    Ok(Outcome::Stock(Box::new(moved), entry))
}

/// What an unusual happening comes to, with the entry it posts.
pub(super) fn told_outcome(
    told: Told,
    moved: Option<StockMove>,
    facts: &Facts,
) -> Result<Outcome, Vec<Problem>> {
    let entry = match (&told.what, moved) {
        (What::Nothing, _) => None,
        (What::Entry(recording), None) => Some(recording.entry.clone()),
        (What::Stock { header, lines, .. }, None) => {
            JournalEntry::new(header.clone(), lines.clone()).ok()
        }
        (what, Some(moved)) => {
            let (header, own) = match what {
                What::Entry(recording) => (&recording.entry.header, recording.entry.lines()),
                What::Stock { header, lines, .. } => (header, lines.as_slice()),
                What::Nothing => return Ok(Outcome::Tell(Box::new(told), None)),
            };
            match facts.stock_lines(&moved) {
                Some(Err(words)) => return Err(vec![Problem::wrong("", words.clone())]),
                Some(Ok(lines)) => {
                    let all = own.iter().chain(lines).cloned().collect();
                    JournalEntry::new(header.clone(), all).ok()
                }
                None => JournalEntry::new(header.clone(), own.to_vec()).ok(),
            }
        }
    };
    Ok(Outcome::Tell(Box::new(told), entry.map(Box::new)))
}

/// What the book would refuse for its day, said beside the day already.
pub(super) fn refuse_locked(outcome: &Outcome, facts: &Facts) -> Result<(), Vec<Problem>> {
    let Some(date) = outcome.day() else {
        return Ok(());
    };
    let words = match facts.lock_date {
        _ if date < facts.first_day => Some(format!(
            "the book begins on {}",
            crate::dates::show_day(facts.first_day)
        )),
        Some(lock) if date <= lock => Some(format!(
            "everything up to {} is locked; choose a later day",
            crate::dates::show_day(lock)
        )),
        _ => None,
    };
    match words {
        Some(words) => Err(vec![Problem::wrong("date", words)]),
        None => Ok(()),
    }
}
