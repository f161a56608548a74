//! What an entry's page says: its plain sentence, its lines, its proof, its earlier versions and what changed.
//! Read from the book after each change; drawing is `view`.

use std::collections::BTreeMap;

use crate::book::{Book, BookError, HistoryRow, Receipt};
use crate::dates::show_day;
use crate::happenings::Proof;
use crate::ledger::{
    AccountClass, Chart, EntryKind, EntryNumber, JournalEntry, Origin, PostedEntry,
};
use crate::money::Currency;
use crate::sorting::BankLine;
use crate::stock::Item;

/// Everything on an entry's page.
#[derive(Clone, Debug)]
pub struct EntryModel {
    /// The entry.
    pub posted: PostedEntry,
    /// It in a sentence.
    pub sentence: String,
    /// Where it came from, and what took it back.
    pub notes: Vec<String>,
    /// The entry it takes back or that takes it back.
    pub other: Option<EntryNumber>,
    /// The kept items that its lines name, by code.
    pub items: BTreeMap<String, Item>,
    /// What stands behind it.
    pub proof: Proof,
    /// Its receipts.
    pub receipts: Vec<Receipt>,
    /// The lines of bank and card statements that it belongs to.
    pub lines: Vec<BankLine>,
    /// What was done to it, newest first.
    pub versions: Vec<VersionRow>,
    /// Why it cannot be changed; `None` when it can.
    pub is_fixed_because: Option<String>,
}

/// One step of an entry's history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionRow {
    /// When.
    pub at: String,
    /// What was done.
    pub what: String,
    /// Why.
    pub reason: String,
    /// What changed against the version before, one phrase each.
    pub changes: Vec<String>,
}

impl EntryModel {
    /// Reads it.
    ///
    /// # Errors
    /// When there is no such entry or the book cannot be read.
    pub fn read(book: &Book, number: EntryNumber) -> Result<Self, BookError> {
        let posted = book.entry(number)?;
        let chart = book.chart();
        let currency = book.currency();
        let history = book.history(number)?;
        let is_fixed_because = why_fixed(book, &posted);
        let mut notes = notes(&posted);
        for step in book.steps_of(number)? {
            let deed = step.kind.plain().to_lowercase();
            notes.push(format!("{} {}: {deed}", step.matter.plain(), step.key));
        }
        let mut items = BTreeMap::new();
        for code in posted
            .entry
            .lines()
            .iter()
            .filter_map(|line| line.item.as_ref())
        {
            if let Some(item) = book.item(code)? {
                items.insert(code.clone(), item);
            }
        }
        Ok(Self {
            sentence: sentence(&posted.entry, chart, currency),
            notes,
            items,
            other: posted.reverses.or(posted.reversed_by),
            proof: book.proof(number)?,
            receipts: book.receipts(number)?,
            lines: book.lines_of_entry(number)?,
            versions: versions(&history, &posted.entry, chart, currency),
            is_fixed_because,
            posted,
        })
    }
}

fn why_fixed(book: &Book, posted: &PostedEntry) -> Option<String> {
    if posted.reverses.is_some() {
        return Some("It takes back an earlier entry and stays its mirror.".to_owned());
    }
    let lock = book.lock_date()?;
    (posted.entry.header.date <= lock).then(|| {
        format!(
            "Everything up to {} is locked. Take it back with an entry of a later day, or reopen the year with a reason.",
            show_day(lock)
        )
    })
}

fn notes(posted: &PostedEntry) -> Vec<String> {
    let mut notes = vec![match &posted.entry.header.origin {
        Origin::Typed => "Typed in the window".to_owned(),
        Origin::Brought { file, row } => format!("Brought in from {file}, row {row}"),
        Origin::Recurring => "Recurring, confirmed by you".to_owned(),
        Origin::Schedule => "By the schedule, confirmed by you".to_owned(),
    }];
    if let Some(by) = posted.reversed_by {
        notes.push(format!("Taken back by entry {by}"));
    }
    if let Some(earlier) = posted.reverses {
        notes.push(format!("Takes back entry {earlier}"));
    }
    if !posted.entry.header.reference.is_empty() {
        notes.push(format!("Reference {}", posted.entry.header.reference));
    }
    notes
}

/// An entry in a sentence a person would say.
#[must_use]
pub fn sentence(entry: &JournalEntry, chart: &Chart, currency: &Currency) -> String {
    let header = &entry.header;
    let amount = currency.show(entry.named_amount());
    let from = names(entry, chart, false);
    let to = names(entry, chart, true);
    let party = |word: &str| {
        if header.party.is_empty() {
            String::new()
        } else {
            format!(" {word} {}", header.party)
        }
    };
    let day = show_day(header.date);
    let said = match header.kind {
        EntryKind::Purchase => {
            format!(
                "On {day} you bought for {amount}{}, paid from {from}",
                party("from")
            )
        }
        EntryKind::Sale => format!("On {day} you sold{} for {amount} in all", party("to")),
        EntryKind::Payout => format!("On {day} {amount} arrived from {from} in {to}"),
        EntryKind::OwnerIn => format!("On {day} you put {amount} of your own into {to}"),
        EntryKind::OwnerOut => format!("On {day} you took {amount} out of {from}"),
        EntryKind::Transfer => format!("On {day} {amount} moved from {from} to {to}"),
        EntryKind::Refund => format!("On {day} you gave {amount} back{}", party("to")),
        EntryKind::TaxInstalment => {
            format!("On {day} you paid {amount} of your own tax from {from}")
        }
        EntryKind::Depreciation => format!("Up to {day} your equipment wore by {amount}"),
        EntryKind::Closing => format!("On {day} the year was closed; its profit went to {to}"),
        kind => format!("{}, {day}: {amount}{}", kind.plain(), party("with")),
    };
    if header.memo.is_empty() {
        format!("{said}.")
    } else {
        format!("{said}: {}.", header.memo.trim_end_matches('.'))
    }
}

/// The accounts on one side, money and debts first, at most two by name.
fn names(entry: &JournalEntry, chart: &Chart, is_debit: bool) -> String {
    let mut accounts: Vec<_> = entry
        .lines()
        .iter()
        .filter(|line| line.amount.is_positive() == is_debit)
        .filter_map(|line| chart.account(line.account).ok())
        .collect();
    accounts.sort_by_key(|account| {
        !matches!(account.class, AccountClass::Asset | AccountClass::Liability)
    });
    accounts.dedup_by_key(|account| account.id);
    match accounts.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.name.clone(),
        [one, two] => format!("{} and {}", one.name, two.name),
        [one, rest @ ..] => format!("{} and {} more", one.name, rest.len()),
    }
}

fn versions(
    history: &[HistoryRow],
    now: &JournalEntry,
    chart: &Chart,
    currency: &Currency,
) -> Vec<VersionRow> {
    let mut rows = Vec::new();
    // Going back in time, each step changed its `earlier` into what stood after it.
    let mut after = now.clone();
    let mut newest_first: Vec<&HistoryRow> = history.iter().collect();
    newest_first.sort_by_key(|row| std::cmp::Reverse(row.seq));
    for row in newest_first {
        let changes = match &row.earlier {
            Some(earlier) => {
                let found = changes(earlier, &after, chart, currency);
                after = earlier.clone();
                found
            }
            None => Vec::new(),
        };
        rows.push(VersionRow {
            at: moment(&row.at),
            what: row.what.clone(),
            reason: row.reason.clone(),
            changes,
        });
    }
    rows
}

/// A moment of the history as it is shown: day and minute, in the time it was kept in.
#[must_use]
pub fn moment(at: &str) -> String {
    let shown: String = at.chars().take(16).collect();
    format!("{} UTC", shown.replace('T', " "))
}

/// What one version has otherwise than another, one phrase each.
#[must_use]
pub fn changes(
    before: &JournalEntry,
    after: &JournalEntry,
    chart: &Chart,
    currency: &Currency,
) -> Vec<String> {
    let mut found = Vec::new();
    let mut differs = |what: &str, old: &str, new: &str| {
        if old != new {
            let or_nothing = |text: &str| {
                if text.is_empty() {
                    "nothing".to_owned()
                } else {
                    text.to_owned()
                }
            };
            found.push(format!(
                "{what}: {} became {}",
                or_nothing(old),
                or_nothing(new)
            ));
        }
    };
    let (old, new) = (&before.header, &after.header);
    differs("day", &show_day(old.date), &show_day(new.date));
    differs("from or to whom", &old.party, &new.party);
    differs("what", &old.memo, &new.memo);
    differs("reference", &old.reference, &new.reference);
    let say = |entry: &JournalEntry| -> Vec<String> {
        entry
            .lines()
            .iter()
            .map(|line| {
                format!(
                    "{} {}",
                    chart.title(line.account),
                    currency.statement(line.amount)
                )
            })
            .collect()
    };
    let (old_lines, new_lines) = (say(before), say(after));
    found.extend(
        old_lines
            .iter()
            .filter(|line| !new_lines.contains(line))
            .map(|line| format!("no longer: {line}")),
    );
    found.extend(
        new_lines
            .iter()
            .filter(|line| !old_lines.contains(line))
            .map(|line| format!("new: {line}")),
    );
    found
}
