//! What may be wrong with something about to be written: a payout typed as a sale, an amount ten times too large,
//! the same thing twice. Hints only: they never refuse, the owner decides.

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::ledger::{AccountId, Chart, EntryNumber};
use crate::money::{Currency, Money};

/// How many amounts must be known before one can be called unusual.
const ENOUGH_AMOUNTS: usize = 3;
/// How many times the usual amount is unusual.
const UNUSUAL_FACTOR: i64 = 8;
/// How many days apart the same thing may have been written twice.
const DUPLICATE_DAYS: i64 = 5;
/// Words of shop names that say nothing about which shop it is.
const COMMON_WORDS: &[&str] = &[
    "card",
    "channel",
    "market",
    "marketplace",
    "online",
    "payment",
    "payments",
    "payout",
    "payouts",
    "reader",
    "sales",
    "shop",
    "store",
    "terminal",
];

/// Money about to be written as coming in.
#[derive(Clone, Copy, Debug)]
pub struct Incoming<'a> {
    /// Where it arrived.
    pub account: AccountId,
    /// How much.
    pub amount: Money,
    /// From whom, as written.
    pub party: &'a str,
    /// What it is, as written.
    pub memo: &'a str,
}

/// What is owed by one sales channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChannelOwes {
    /// The channel's account.
    pub channel: AccountId,
    /// Its balance.
    pub amount: Money,
}

/// Why money looks like a payout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PayoutReason {
    /// It names the channel.
    NamesTheChannel,
    /// It is exactly what the channel owes.
    IsWhatTheChannelOwes,
}

/// Money that looks like a channel's payout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PayoutHint {
    /// The channel's account.
    pub channel: AccountId,
    /// The channel's name.
    pub name: String,
    /// Why.
    pub reason: PayoutReason,
    /// How much arrived.
    pub amount: Money,
}

impl PayoutHint {
    /// The hint in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let amount = currency.show(self.amount);
        match self.reason {
            PayoutReason::NamesTheChannel => format!(
                "This looks like a payout from {}: it settles what the channel owes and is not a sale.",
                self.name
            ),
            PayoutReason::IsWhatTheChannelOwes => format!(
                "This looks like a payout: {} owes you exactly {amount}. A payout is not a sale.",
                self.name
            ),
        }
    }
}

/// Whether money that comes in is a channel's payout rather than a sale. Only money that arrives in a bank account
/// or in cash can be one.
#[must_use]
pub fn looks_like_payout(
    incoming: Incoming<'_>,
    chart: &Chart,
    owed: &[ChannelOwes],
) -> Option<PayoutHint> {
    if !chart
        .account(incoming.account)
        .is_ok_and(|account| account.is_money())
    {
        return None;
    }
    let hint = |channel: AccountId, reason| {
        let name = chart.account(channel).ok()?.name.clone();
        Some(PayoutHint {
            channel,
            name,
            reason,
            amount: incoming.amount,
        })
    };
    let written = words(&format!("{} {}", incoming.party, incoming.memo));
    for channel in chart.channels() {
        if names(&written, &channel.name) {
            return hint(channel.id, PayoutReason::NamesTheChannel);
        }
    }
    let matching = owed
        .iter()
        .find(|owed| owed.amount == incoming.amount && owed.amount.is_positive())?;
    hint(matching.channel, PayoutReason::IsWhatTheChannelOwes)
}

/// Whether the words hold the whole name, or a word of it that is its own.
fn names(written: &[String], name: &str) -> bool {
    let name = words(name);
    let mut telling = name
        .iter()
        .filter(|word| word.chars().count() >= 4 && !COMMON_WORDS.contains(&word.as_str()));
    let is_whole = !name.is_empty() && written.windows(name.len()).any(|part| part == name);
    is_whole || telling.any(|word| written.contains(word))
}

/// An amount far from what is usual.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnusualAmount {
    /// What is usual: the middle one of the amounts known.
    pub usual: Money,
    /// What was written.
    pub written: Money,
    /// What may have been meant, when a point or a nought explains it.
    pub perhaps: Option<Money>,
}

impl UnusualAmount {
    /// The hint in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let mut sentence = format!(
            "Usually about {}, you wrote {}.",
            currency.show(self.usual),
            currency.show(self.written)
        );
        if let Some(perhaps) = self.perhaps {
            sentence.push_str(&format!(" Did you mean {}?", currency.show(perhaps)));
        }
        sentence
    }
}

/// Whether an amount is at least eight times, or at most an eighth of, the middle one of those known. Needs three.
#[must_use]
pub fn unusual_amount(written: Money, known: &[Money]) -> Option<UnusualAmount> {
    let mut known: Vec<i64> = known
        .iter()
        .map(|amount| amount.abs().minor())
        .filter(|minor| *minor > 0)
        .collect();
    if known.len() < ENOUGH_AMOUNTS || !written.is_positive() {
        return None;
    }
    known.sort_unstable();
    let usual = *known.get(known.len() / 2)?;
    let minor = written.minor();
    let is_far = minor >= usual.saturating_mul(UNUSUAL_FACTOR)
        || minor.saturating_mul(UNUSUAL_FACTOR) <= usual;
    is_far.then(|| UnusualAmount {
        usual: Money::from_minor(usual),
        written,
        perhaps: slip(minor, usual).map(Money::from_minor),
    })
}

/// The amount with its point moved, if that brings it within half and double of the usual one.
fn slip(written: i64, usual: i64) -> Option<i64> {
    let moved = [10, 100, 1000].into_iter().flat_map(|by| {
        let smaller = (written % by == 0).then_some(written / by);
        [smaller, written.checked_mul(by)]
    });
    moved
        .flatten()
        .find(|amount| *amount <= usual.saturating_mul(2) && amount.saturating_mul(2) >= usual)
}

/// Something written down, as far as is needed to see that it is there twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its number, once it is in the book.
    pub number: Option<EntryNumber>,
    /// The day.
    pub date: NaiveDate,
    /// The amount.
    pub amount: Money,
    /// From whom or to whom; may be empty.
    pub party: String,
    /// The number on the paper; may be empty.
    pub reference: String,
}

/// Something that may be in the book already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DuplicateHint {
    /// The one in the book.
    pub earlier: Written,
    /// How many days lie between them.
    pub days_apart: i64,
}

impl DuplicateHint {
    /// The hint in a sentence.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        let amount = currency.show(self.earlier.amount);
        let day = show_day(self.earlier.date);
        let party = self.earlier.party.trim();
        let whom = if party.is_empty() {
            String::new()
        } else {
            format!(" with {party}")
        };
        let number = self
            .earlier
            .number
            .map_or_else(String::new, |number| format!(" (entry {number})"));
        format!("Is this in the book already? There is {amount}{whom} on {day}{number}.")
    }
}

/// The nearest thing in the book that this one may repeat: the same amount, a like party, at most five days apart.
/// Different numbers on the paper mean different things.
#[must_use]
pub fn likely_duplicate(new: &Written, earlier: &[Written]) -> Option<DuplicateHint> {
    earlier
        .iter()
        .filter(|old| old.amount == new.amount && like(&old.party, &new.party))
        .filter(|old| {
            let (one, other) = (old.reference.trim(), new.reference.trim());
            one.is_empty() || other.is_empty() || one.eq_ignore_ascii_case(other)
        })
        .map(|old| (old, (old.date - new.date).num_days().abs()))
        .filter(|(_, days_apart)| *days_apart <= DUPLICATE_DAYS)
        .min_by_key(|(old, days_apart)| (*days_apart, old.number))
        .map(|(old, days_apart)| DuplicateHint {
            earlier: old.clone(),
            days_apart,
        })
}

/// Whether two parties may be one: a name is missing, or they share a word that says something.
fn like(one: &str, other: &str) -> bool {
    let (one, other) = (words(one), words(other));
    one.is_empty()
        || other.is_empty()
        || one == other
        || one.iter().any(|word| {
            word.chars().count() >= 4
                && !COMMON_WORDS.contains(&word.as_str())
                && other.contains(word)
        })
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}
