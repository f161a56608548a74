//! The statement lines still to be sorted, each with what is suggested for it and why; and accepting suggestions.
//! How a suggestion is found is `sorting`'s.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::{ReportError, TrayReading, channels_due};
use crate::book::{Book, BookError, EntryFilter};
use crate::happenings::Recording;
use crate::happenings::hints::ChannelOwes;
use crate::ledger::{AccountClass, AccountId, EntryKind, EntryNumber};
use crate::sorting::{
    BankLine, ComesRound, Known, LedgerMovement, LineId, Meaning, Payee, Suggested, Suggestion,
    Treatment, match_lines,
};

/// A line to be sorted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrayRow {
    /// The line.
    pub line: BankLine,
    /// What is suggested; nothing where there is nothing to go by.
    pub suggestion: Option<Suggestion>,
}

/// The lines to be sorted, with what is known for sorting them.
#[derive(Clone, Debug, Default)]
pub struct Tray {
    /// The lines, oldest first.
    pub rows: Vec<TrayRow>,
    /// The owner's rules, in their order.
    pub rules: Vec<crate::sorting::Rule>,
    /// The entries that are suggested.
    pub entries: HashMap<EntryNumber, LedgerMovement>,
    /// Those bought from before.
    pub suppliers: Vec<String>,
}

impl Tray {
    /// How many of the lines one word accepts: a rule covers them, or they are in the book beyond doubt.
    #[must_use]
    pub fn n_covered(&self) -> usize {
        let covered = |row: &&TrayRow| row.suggestion.as_ref().is_some_and(Suggestion::is_covered);
        self.rows.iter().filter(covered).count()
    }
}

/// What accepting several lines did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Accepted {
    /// The entries that were posted.
    pub posted: Vec<EntryNumber>,
    /// How many lines were found in the book.
    pub n_matched: usize,
    /// Lines that were left to be sorted although a rule covers them, and why.
    pub left: Vec<(LineId, String)>,
}

/// The lines to be sorted, of one account or of all.
///
/// # Errors
/// When the book cannot be read.
pub fn tray(book: &Book, account: Option<AccountId>) -> Result<Tray, ReportError> {
    let mut reading = TrayReading::new(account);
    while !reading.read_more(book)? {}
    Ok(reading.finish())
}

/// The entries that a line may be in, the best first.
///
/// # Errors
/// When the book cannot be read.
pub fn line_candidates(book: &Book, line: &BankLine) -> Result<Vec<LedgerMovement>, BookError> {
    let movements = book.movements_without_line(line.account)?;
    Ok(crate::sorting::candidates(line, &movements)
        .into_iter()
        .cloned()
        .collect())
}

/// What is known for sorting lines, the last of them of this day.
pub(super) fn known(book: &Book, last: Option<NaiveDate>) -> Result<Known, ReportError> {
    let owed = match last {
        Some(day) => channels_due(book, day)?
            .into_iter()
            .map(|due| ChannelOwes {
                channel: due.channel,
                amount: due.due,
            })
            .collect(),
        None => Vec::new(),
    };
    let recurring = book
        .recurring()?
        .into_iter()
        .filter(|one| one.is_active)
        .map(|one| ComesRound {
            name: one.name,
            party: one.party,
            account: one.account,
            amount: one.amount,
        })
        .collect();
    Ok(Known {
        rules: book.sorting_rules()?,
        choices: book.sorted_choices()?,
        suppliers: suppliers(book)?,
        owed,
        recurring,
    })
}

/// The kind of cost that each supplier's things were booked to most. The last entries of each are enough.
fn suppliers(book: &Book) -> Result<Vec<(String, AccountId, usize)>, BookError> {
    let mut kinds: BTreeMap<String, (String, BTreeMap<AccountId, usize>)> = BTreeMap::new();
    let numbers = book.newest_entry_numbers(
        &EntryFilter {
            kind: Some(EntryKind::Purchase),
            ..EntryFilter::default()
        },
        LOOKED_AT,
    )?;
    for posted in book.entries(&numbers)? {
        let party = posted.entry.header.party.trim().to_owned();
        if party.is_empty() || posted.reversed_by.is_some() {
            continue;
        }
        let (_name, counts) = kinds
            .entry(party.to_lowercase())
            .or_insert_with(|| (party, BTreeMap::new()));
        for line in posted.entry.lines() {
            let is_cost = book.chart().account(line.account).is_ok_and(|account| {
                line.amount.is_positive()
                    && (account.class == AccountClass::Expense || Meaning::Purchase.takes(account))
            });
            if is_cost {
                *counts.entry(line.account).or_default() += 1;
            }
        }
    }
    Ok(kinds
        .into_values()
        .filter_map(|(name, counts)| {
            let (account, times) = counts.into_iter().max_by_key(|(_account, times)| *times)?;
            Some((name, account, times))
        })
        .collect())
}

/// How many of the newest purchases tell what suppliers' things are booked to.
const LOOKED_AT: usize = 2_000;

/// Accepts what is suggested for a line: it becomes that, or belongs to the entry that has it.
///
/// # Errors
/// When the happening or the book refuses; nothing changes then.
pub fn accept(
    book: &mut Book,
    line: &BankLine,
    suggestion: &Suggestion,
) -> Result<Option<EntryNumber>, ReportError> {
    match &suggestion.what {
        Suggested::Entry(number) => {
            let entry = book.entry(*number)?.entry;
            let learned = Treatment::of_entry(&entry, line.account, book.chart());
            book.match_line(line.id, &[*number], learned.as_ref())?;
            Ok(None)
        }
        Suggested::Treatment(treatment) => {
            let is_rule = matches!(suggestion.why, crate::sorting::Reason::Rule(_));
            let learned = (!is_rule).then_some(treatment);
            post(book, line, treatment, learned).map(Some)
        }
    }
}

/// Makes a line into this, by the owner's own word.
///
/// # Errors
/// When the happening or the book refuses; nothing changes then.
pub fn treat(
    book: &mut Book,
    line: &BankLine,
    treatment: &Treatment,
) -> Result<EntryNumber, ReportError> {
    post(book, line, treatment, remembered(treatment))
}

/// What is remembered for lines of the same payee: nothing when nobody knew.
fn remembered(treatment: &Treatment) -> Option<&Treatment> {
    (treatment.meaning != Meaning::NotExplained).then_some(treatment)
}

fn post(
    book: &mut Book,
    line: &BankLine,
    treatment: &Treatment,
    learned: Option<&Treatment>,
) -> Result<EntryNumber, ReportError> {
    let recording = treatment.recording(line, book.chart())?;
    post_recording(book, line, treatment, &recording, learned)
}

/// Makes a line into this recording of a treatment; what is learned is remembered for lines of the same payee.
pub(super) fn post_recording(
    book: &mut Book,
    line: &BankLine,
    treatment: &Treatment,
    recording: &Recording,
    learned: Option<&Treatment>,
) -> Result<EntryNumber, ReportError> {
    let recurring = recurring_of(book, line, treatment)?;
    let label = format!("Sorted: {}", line.text);
    book.group(&label, |book| {
        let number = book.post_line(line.id, recording, learned)?;
        if let Some(id) = recurring {
            // This was its purchase: it comes round next time.
            book.skip_recurring(id)?;
        }
        Ok(number)
    })
}

/// How far from its due day the bank's line of a recurring purchase may lie.
const DUE_DAYS: i64 = 10;

/// The recurring purchase that a line pays, where it is due about then.
fn recurring_of(
    book: &Book,
    line: &BankLine,
    treatment: &Treatment,
) -> Result<Option<i64>, BookError> {
    if treatment.meaning != Meaning::Purchase {
        return Ok(None);
    }
    let payee = line.payee();
    let found = book.recurring()?.into_iter().find(|one| {
        one.is_active
            && one.amount == line.amount.abs()
            && Some(one.account) == treatment.account
            && (one.next_due - line.date).num_days().abs() <= DUE_DAYS
            && [&one.party, &one.name]
                .into_iter()
                .any(|name| Payee::of(name).is_like(&payee))
    });
    Ok(found.map(|one| one.id))
}

/// Accepts every line that a rule covers or that is in the book beyond doubt, as one step; lines that cannot be posted
/// are left, with the reason.
///
/// # Errors
/// When the book cannot be read or written; nothing changes then.
pub fn accept_covered(
    book: &mut Book,
    account: Option<AccountId>,
) -> Result<Accepted, ReportError> {
    accept_where(book, account, Suggestion::is_covered, &mut |_, _| true)
}

/// As [`accept_covered`], telling before each line how many are done and how many there are; answering false stops it.
///
/// # Errors
/// As [`accept_covered`], and when it is stopped; nothing changes then.
pub fn accept_covered_telling(
    book: &mut Book,
    account: Option<AccountId>,
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Result<Accepted, ReportError> {
    accept_where(book, account, Suggestion::is_covered, goes_on)
}

/// Accepts every suggestion, whatever it rests on, as one step; lines that cannot be posted are left, with the reason.
///
/// # Errors
/// When the book cannot be read or written; nothing changes then.
pub fn accept_suggested(
    book: &mut Book,
    account: Option<AccountId>,
) -> Result<Accepted, ReportError> {
    accept_where(book, account, |_any| true, &mut |_, _| true)
}

fn accept_where(
    book: &mut Book,
    account: Option<AccountId>,
    is_meant: fn(&Suggestion) -> bool,
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Result<Accepted, ReportError> {
    let tray = tray(book, account)?;
    let covered: Vec<TrayRow> = tray
        .rows
        .into_iter()
        .filter(|row| row.suggestion.as_ref().is_some_and(is_meant))
        .collect();
    if covered.is_empty() {
        return Ok(Accepted::default());
    }
    let label = format!("{} lines sorted", covered.len());
    let newest = EntryNumber(book.entry_count()?);
    let n_covered = covered.len();
    book.group(&label, |book| {
        let mut done = Accepted::default();
        for (idx, row) in covered.into_iter().enumerate() {
            if !goes_on(idx, n_covered) {
                return Err(BookError::refused("it was stopped").into());
            }
            let Some(suggestion) = &row.suggestion else {
                continue;
            };
            // A transfer's other side, posted a moment ago, may have this line by now.
            let suggestion = fresh(book, &row.line, suggestion, newest)?;
            match accept(book, &row.line, &suggestion) {
                Ok(Some(number)) => done.posted.push(number),
                Ok(None) => done.n_matched += 1,
                Err(error) => done.left.push((row.line.id, error.to_string())),
            }
        }
        Ok(done)
    })
}

/// The suggestion, unless an entry posted after this number has the line: money moved between own accounts stands on
/// both statements.
fn fresh(
    book: &Book,
    line: &BankLine,
    suggestion: &Suggestion,
    after: EntryNumber,
) -> Result<Suggestion, ReportError> {
    let Suggested::Treatment(treatment) = &suggestion.what else {
        return Ok(suggestion.clone());
    };
    if !matches!(treatment.meaning, Meaning::Transfer | Meaning::Settlement) {
        return Ok(suggestion.clone());
    }
    let newest = EntryNumber(book.entry_count()?);
    let movements = book.movements_without_line_numbered(line.account, after, newest)?;
    let found = match_lines(std::slice::from_ref(line), &movements)
        .into_iter()
        .flatten()
        .find(|matched| matched.is_sure);
    Ok(found.map_or_else(
        || suggestion.clone(),
        |matched| Suggestion {
            what: Suggested::Entry(matched.entry),
            why: crate::sorting::Reason::Matches {
                days_apart: matched.days_apart,
                is_sure: true,
            },
        },
    ))
}
