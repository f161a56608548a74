//! Payouts and held money that a shop's file tells: what is new of them, and which payouts the book has already.
//! What an order came to is `reconcile`'s.

use chrono::Days;

use super::facts::clean;
use super::known::moved;
use super::{Fact, Known, RowMeaning, Step, Steps, Told};
use crate::happenings::{
    ChannelPaid, ChannelPaidDetails, Happening, HappeningError, Payout, PayoutDetails,
};
use crate::ledger::{EntryKind, EntryNumber};

/// How many days may lie between a payout in a shop's file and its arrival in the bank.
const DAYS_APART: u64 = 7;

/// The steps of payouts and holds.
///
/// # Errors
/// What a happening refuses, with its row.
pub(super) fn settle(
    known: &Known,
    told: &Told<'_>,
    facts: &[(Fact, u64, String)],
    out: &mut Steps,
) -> Result<(), (u64, HappeningError)> {
    let mut facts: Vec<&(Fact, u64, String)> = facts.iter().collect();
    facts.sort_by_key(|one| (one.0.date, one.1));
    let mut used = Vec::new();
    for (fact, row, _words) in &facts {
        if fact.what == RowMeaning::Payout {
            payout(known, told, fact, *row, &mut used, out).map_err(|error| (*row, error))?;
        }
    }
    holds(known, told, &facts, out);
    Ok(())
}

/// The key of a payout's record.
#[must_use]
pub fn payout_key(layout: &str, fact: &Fact) -> String {
    format!(
        "paid|{}|{}|{}|{}|{}",
        clean(layout).to_lowercase(),
        clean(&fact.id),
        fact.date,
        fact.amount.minor(),
        fact.nth
    )
}

fn payout(
    known: &Known,
    told: &Told<'_>,
    fact: &Fact,
    row: u64,
    used: &mut Vec<EntryNumber>,
    out: &mut Steps,
) -> Result<(), HappeningError> {
    let key = payout_key(told.layout, fact);
    let is_known_by_number = !fact.id.is_empty()
        && known.payouts.iter().any(|one| {
            one.layout == clean(told.layout).to_lowercase() && one.id == clean(&fact.id)
        });
    if known.keys.contains(&key) || is_known_by_number {
        out.counts.known += 1;
        return Ok(());
    }
    if fact.amount.is_zero() {
        return Ok(());
    }
    if let Some(entry) = in_the_book(known, told, fact, used) {
        used.push(entry);
        out.counts.known += 1;
        out.steps.push(Step::Tie {
            key,
            entry: Some(entry),
        });
        return Ok(());
    }
    let reference = fact.id.clone();
    let recording = if fact.amount.is_negative() {
        Payout::new(PayoutDetails {
            date: fact.date,
            channel: told.channel,
            into: told.into,
            amount: -fact.amount,
            memo: String::new(),
            reference,
        })?
        .recording(told.chart)?
    } else {
        ChannelPaid::new(ChannelPaidDetails {
            date: fact.date,
            channel: told.channel,
            paid_from: told.into,
            amount: fact.amount,
            memo: String::new(),
            reference,
        })?
        .recording(told.chart)?
    };
    out.counts.payouts += 1;
    out.add("payouts", -fact.amount);
    out.steps.push(Step::Write {
        recording: told.of_row(recording, row),
        keys: vec![key],
        row,
    });
    Ok(())
}

/// The entry of the same payout: one that another file told under this number, or the nearest of the same amount
/// within a week that no record of this layout names.
fn in_the_book(
    known: &Known,
    told: &Told<'_>,
    fact: &Fact,
    used: &[EntryNumber],
) -> Option<EntryNumber> {
    let layout = clean(told.layout).to_lowercase();
    let is_taken = |number: EntryNumber| {
        used.contains(&number)
            || known
                .payouts
                .iter()
                .any(|one| one.layout == layout && one.entry == number)
    };
    if !fact.id.is_empty() {
        let same = known
            .payouts
            .iter()
            .find(|one| one.id == clean(&fact.id) && !is_taken(one.entry));
        if let Some(same) = same {
            return Some(same.entry);
        }
    }
    let reach = Days::new(DAYS_APART);
    let from = fact.date.checked_sub_days(reach)?;
    let to = fact.date.checked_add_days(reach)?;
    known
        .entries
        .values()
        .filter(|posted| {
            let header = &posted.entry.header;
            header.kind == EntryKind::Payout
                && posted.reversed_by.is_none()
                && posted.reverses.is_none()
                && (from..=to).contains(&header.date)
                && moved(&posted.entry, told.channel) == fact.amount
                && !is_taken(posted.number)
        })
        .min_by_key(|posted| {
            let days = (posted.entry.header.date - fact.date).num_days().abs();
            (days, posted.number)
        })
        .map(|posted| posted.number)
}

/// Sums held back, each with the day it was let go where the shop told of it, by now or before.
fn holds(known: &Known, told: &Told<'_>, facts: &[&(Fact, u64, String)], out: &mut Steps) {
    let new: Vec<&Fact> = facts
        .iter()
        .map(|(fact, ..)| fact)
        .filter(|fact| matches!(fact.what, RowMeaning::Held | RowMeaning::Released))
        .collect();
    if new.is_empty() {
        return;
    }
    let before = known.facts.values().map(|(fact, _entry)| fact);
    let all: Vec<&Fact> = before.chain(new.iter().copied()).collect();
    let sorted = |what: RowMeaning| {
        let mut list: Vec<&Fact> = all.iter().copied().filter(|one| one.what == what).collect();
        list.sort_by(|one, other| (one.date, *one).cmp(&(other.date, *other)));
        list
    };
    let mut released = sorted(RowMeaning::Released);
    let mut in_book = known.holds.clone();
    for held in sorted(RowMeaning::Held) {
        let amount = held.amount.abs();
        let place = released
            .iter()
            .position(|one| one.amount.abs() == amount && one.date >= held.date);
        let on = place.map(|place| released.remove(place).date);
        let stands = in_book
            .iter()
            .position(|hold| hold.amount == amount && hold.since == held.date);
        match (stands.map(|place| in_book.remove(place)), on) {
            (None, on) => {
                out.counts.held += 1;
                out.add("held", amount);
                out.steps.push(Step::Hold {
                    amount,
                    since: held.date,
                    released: on,
                });
            }
            (Some(hold), Some(on)) if hold.released.is_none() => {
                out.steps.push(Step::Release { id: hold.id, on });
            }
            _ => {}
        }
    }
    for one in released {
        out.notes.push(format!(
            "{} was let go on {}, and no sum of that amount was held before: note it by hand if a part of one was meant.",
            told.currency.show(one.amount.abs()),
            crate::dates::show_day(one.date)
        ));
    }
    let keys = new.iter().map(|fact| fact.key());
    out.steps
        .extend(keys.map(|key| Step::Tie { key, entry: None }));
}
