//! Finding the entry that a line of a statement is already in: the same account and amount, a few days apart.
//! What a line without one may mean is `suggest`'s.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::NaiveDate;

use super::{BankLine, Payee};
use crate::ledger::{EntryKind, EntryNumber};
use crate::money::Money;

/// How many days may lie between an entry and the bank's line of it.
pub const MATCH_DAYS: i64 = 5;
/// How many letters a word has at least that can tell whether two texts speak of the same.
const TELLING: usize = 4;

/// What an entry moves on the account of a statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerMovement {
    /// The entry.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// What it moves on the account in minor units: positive raises it.
    pub amount: Money,
    /// Which happening it is.
    pub kind: EntryKind,
    /// With whom; may be empty.
    pub party: String,
    /// What it was; may be empty.
    pub memo: String,
    /// The number on the paper; may be empty.
    pub reference: String,
}

impl LedgerMovement {
    /// Whether the bank's words and the entry's speak of the same.
    fn is_alike(&self, line: &BankLine) -> bool {
        if !self.party.trim().is_empty() && Payee::of(&self.party).is_like(&line.payee()) {
            return true;
        }
        let text = line.text.to_lowercase();
        let known: HashSet<&str> = telling(&text).collect();
        let own = format!("{} {} {}", self.party, self.memo, self.reference).to_lowercase();
        telling(&own).any(|word| known.contains(word))
    }

    /// Whether the bank's words need not agree with the entry's: it names nobody, or the money stayed with the owner
    /// or in her own accounts, for which every bank has words of its own.
    fn names_nobody(&self) -> bool {
        self.party.trim().is_empty()
            || matches!(
                self.kind,
                EntryKind::Transfer
                    | EntryKind::Settlement
                    | EntryKind::OwnerIn
                    | EntryKind::OwnerOut
            )
    }
}

fn telling(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.chars().count() >= TELLING)
}

/// The entry that a line is most likely in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matched {
    /// The entry.
    pub entry: EntryNumber,
    /// How many days lie between them.
    pub days_apart: i64,
    /// Whether nothing speaks against it: the names agree or the entry names nobody, and no other entry does as well.
    pub is_sure: bool,
    /// Whether the names agree.
    pub is_alike: bool,
}

/// How well an entry fits a line; less is better.
type Fit = (bool, i64);

/// The entries that a line may be in, the best first: the same amount, at most [`MATCH_DAYS`] days apart.
#[must_use]
pub fn candidates<'m>(line: &BankLine, movements: &'m [LedgerMovement]) -> Vec<&'m LedgerMovement> {
    let mut fitting: Vec<(Fit, &LedgerMovement)> = movements
        .iter()
        .filter(|movement| movement.amount == line.amount)
        .filter_map(|movement| Some((fit(line, movement)?, movement)))
        .collect();
    fitting.sort_by_key(|(fit, movement)| (*fit, movement.entry));
    fitting
        .into_iter()
        .map(|(_fit, movement)| movement)
        .collect()
}

fn fit(line: &BankLine, movement: &LedgerMovement) -> Option<Fit> {
    let days_apart = (movement.date - line.date).num_days().abs();
    (days_apart <= MATCH_DAYS).then(|| (!movement.is_alike(line), days_apart))
}

/// For each line of one account the entry it is most likely in, each entry for one line only. `movements` are the
/// account's that no line has yet.
#[must_use]
pub fn match_lines(lines: &[BankLine], movements: &[LedgerMovement]) -> Vec<Option<Matched>> {
    let mut by_amount: HashMap<Money, BTreeMap<NaiveDate, Vec<usize>>> = HashMap::new();
    for (idx, movement) in movements.iter().enumerate() {
        let days = by_amount.entry(movement.amount).or_default();
        days.entry(movement.date).or_default().push(idx);
    }
    let mut pairs: Vec<(Fit, usize, usize)> = Vec::new();
    for (line_idx, line) in lines.iter().enumerate() {
        let Some(days) = by_amount.get(&line.amount) else {
            continue;
        };
        let reach = chrono::Duration::days(MATCH_DAYS);
        let near = days.range(line.date - reach..=line.date + reach);
        for movement_idx in near.flat_map(|(_day, list)| list) {
            if let Some(fit) = fit(line, &movements[*movement_idx]) {
                pairs.push((fit, line_idx, *movement_idx));
            }
        }
    }
    pairs.sort_unstable();
    let mut found: Vec<Option<Matched>> = vec![None; lines.len()];
    let mut is_taken = vec![false; movements.len()];
    for ((is_unlike, days_apart), line_idx, movement_idx) in &pairs {
        if found[*line_idx].is_some() || is_taken[*movement_idx] {
            continue;
        }
        is_taken[*movement_idx] = true;
        found[*line_idx] = Some(Matched {
            entry: movements[*movement_idx].entry,
            days_apart: *days_apart,
            is_sure: !is_unlike || movements[*movement_idx].names_nobody(),
            is_alike: !is_unlike,
        });
    }
    // An entry left over that would do as well makes the choice a guess, unless the two are the same in every word.
    for (fit, line_idx, movement_idx) in pairs {
        let Some(matched) = &mut found[line_idx] else {
            continue;
        };
        let own = movements
            .iter()
            .position(|movement| movement.entry == matched.entry);
        let is_rival = !is_taken[movement_idx]
            && fit == (!matched.is_alike, matched.days_apart)
            && own.is_some_and(|own| {
                let (own, other) = (&movements[own], &movements[movement_idx]);
                own.party != other.party || own.memo != other.memo
            });
        if is_rival {
            matched.is_sure = false;
        }
    }
    found
}
