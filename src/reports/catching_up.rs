//! Catching up with what a book holds: one decision for lines that are alike, rough answers and saying them more
//! exactly, what nobody can explain, receipts seen in bulk, and how far all of it is.
//! What is alike, rough or clear is `sorting`'s and `catching_up`'s.

use chrono::NaiveDate;

use super::sorting::post_recording;
use super::{ReportError, Tray, agreed, last_whole_month};
use crate::book::{Book, BookError, EntryFilter};
use crate::catching_up::{
    AccountMonths, AgreedSo, Behind, CatchingUp, MarkedEntry, OpenEntry, Tally, account_months,
};
use crate::dates::DateRange;
use crate::desk::Question;
use crate::happenings::ProofState;
use crate::ledger::{AccountId, EntryNumber, JournalEntry, Line, PostedEntry, Role};
use crate::money::Money;
use crate::sorting::{Alike, BankLine, LineId, Meaning, REFINED, ROUGH, Treatment, alike};

/// How a decision about several lines is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Manner {
    /// Whether it is rough and is to be said more exactly later.
    pub is_rough: bool,
    /// What the owner remembers of it; may be empty.
    pub remembered: String,
}

/// The lines of a tray that are alike, without those that one word accepts; the largest sum first.
#[must_use]
pub fn decisions(tray: &Tray) -> Vec<Alike> {
    alike(tray.rows.iter().filter_map(|row| {
        let suggestion = row.suggestion.as_ref();
        let is_covered = suggestion.is_some_and(crate::sorting::Suggestion::is_covered);
        (!is_covered).then_some((&row.line, suggestion))
    }))
}

/// Makes several lines into this, as one step: all of them or none.
///
/// # Errors
/// When the happening or the book refuses one of them; the message names it, and nothing changes.
pub fn treat_alike(
    book: &mut Book,
    lines: &[BankLine],
    treatment: &Treatment,
    manner: &Manner,
) -> Result<Vec<EntryNumber>, ReportError> {
    let label = match lines {
        [one] => format!("Sorted: {}", one.text),
        several => format!("{} lines sorted at once", several.len()),
    };
    book.group(&label, |book| {
        let mut numbers = Vec::new();
        for line in lines {
            let done = treat_one(book, line, treatment, manner);
            numbers.push(done.map_err(|error| named(book, line, lines.len(), &error))?);
        }
        Ok(numbers)
    })
}

/// A refusal of one of several lines, with the line's name.
fn named(book: &Book, line: &BankLine, n_lines: usize, error: &ReportError) -> ReportError {
    if n_lines == 1 {
        return BookError::refused(error.to_string()).into();
    }
    BookError::refused(format!(
        "{}, {}: {error}; none of the {n_lines} lines was sorted",
        crate::dates::show_day(line.date),
        book.currency().show(line.amount)
    ))
    .into()
}

fn treat_one(
    book: &mut Book,
    line: &BankLine,
    treatment: &Treatment,
    manner: &Manner,
) -> Result<EntryNumber, ReportError> {
    let mut recording = treatment.recording(line, book.chart())?;
    if manner.is_rough {
        recording.entry.header.tags.push(ROUGH.to_owned());
    }
    if !manner.remembered.trim().is_empty() {
        recording.entry = remembering(&recording.entry, line.account, &manner.remembered)?;
    }
    // What was said roughly, or not at all, is nothing to go by next time.
    let is_learned = !manner.is_rough && treatment.meaning != Meaning::NotExplained;
    post_recording(
        book,
        line,
        treatment,
        &recording,
        is_learned.then_some(treatment),
    )
}

/// The entry with what is remembered of it on its other lines.
fn remembering(
    entry: &JournalEntry,
    money: AccountId,
    remembered: &str,
) -> Result<JournalEntry, ReportError> {
    let lines = entry.lines().iter().cloned().map(|line| {
        if line.account == money {
            line
        } else {
            line.memo(remembered.trim())
        }
    });
    let made = JournalEntry::new(entry.header.clone(), lines.collect());
    made.map_err(|error| BookError::from(error).into())
}

/// Entries from rough answers that were not said more exactly yet, the largest first.
///
/// # Errors
/// When the book cannot be read.
pub fn rough_entries(book: &Book) -> Result<Vec<MarkedEntry>, BookError> {
    let filter = EntryFilter {
        tag: Some(ROUGH.to_owned()),
        ..EntryFilter::default()
    };
    marked(book, &filter)
}

/// Entries that nobody can explain yet, the largest first.
///
/// # Errors
/// When the book cannot be read.
pub fn unexplained(book: &Book) -> Result<Vec<MarkedEntry>, BookError> {
    let Ok(account) = book.chart().role(Role::NotExplained) else {
        return Ok(Vec::new());
    };
    let filter = EntryFilter {
        account: Some(account),
        ..EntryFilter::default()
    };
    let mut list = marked(book, &filter)?;
    list.retain(|one| one.stands_on == account);
    Ok(list)
}

fn marked(book: &Book, filter: &EntryFilter) -> Result<Vec<MarkedEntry>, BookError> {
    let numbers = book.entry_numbers(filter)?;
    let asked: Vec<EntryNumber> = book
        .questions()?
        .into_iter()
        .filter_map(|question| question.entry)
        .collect();
    let mut list = Vec::new();
    for posted in book.entries(&numbers)? {
        if posted.reversed_by.is_some() || posted.reverses.is_some() {
            continue;
        }
        if let Some(one) = marked_entry(book, &posted) {
            list.push(MarkedEntry {
                is_asked: asked.contains(&one.number),
                ..one
            });
        }
    }
    list.sort_by_key(|one| (std::cmp::Reverse(one.amount.abs()), one.date, one.number));
    Ok(list)
}

/// An entry of money on one side and what it became on the other.
fn marked_entry(book: &Book, posted: &PostedEntry) -> Option<MarkedEntry> {
    let unknown = book.chart().role(Role::NotExplained).ok();
    let lines = posted.entry.lines();
    let other = lines
        .iter()
        .find(|line| Some(line.account) == unknown)
        .or_else(|| lines.iter().find(|line| !holds_money(book, line)))?;
    let header = &posted.entry.header;
    Some(MarkedEntry {
        number: posted.number,
        date: header.date,
        party: header.party.clone(),
        memo: header.memo.clone(),
        amount: -lines
            .iter()
            .filter(|line| line.account == other.account)
            .map(|line| line.amount)
            .sum::<Money>(),
        stands_on: other.account,
        remembered: other.memo.clone(),
        is_asked: false,
    })
}

fn holds_money(book: &Book, line: &Line) -> bool {
    book.chart().account(line.account).is_ok_and(|account| {
        account.is_money() || matches!(account.role, Some(Role::CreditCard | Role::Loans))
    })
}

/// Says of entries more exactly what they were, as one step: each gets the content that its line would have become,
/// under its own number; the earlier version is kept.
///
/// # Errors
/// When an entry came of no statement line, lies in a locked period, or the happening refuses; nothing changes then.
pub fn refine(
    book: &mut Book,
    numbers: &[EntryNumber],
    treatment: &Treatment,
) -> Result<(), ReportError> {
    let label = match numbers {
        [one] => format!("Entry {one} said more exactly"),
        several => format!("{} entries said more exactly", several.len()),
    };
    book.group(&label, |book| {
        for number in numbers {
            refine_one(book, *number, treatment)?;
        }
        Ok(())
    })
}

fn refine_one(
    book: &mut Book,
    number: EntryNumber,
    treatment: &Treatment,
) -> Result<(), ReportError> {
    let before = book.entry(number)?;
    let line = line_of(book, number, &before)?;
    let recording = treatment.recording(&line, book.chart())?;
    let mut entry = recording.entry;
    entry.header.date = before.entry.header.date;
    entry
        .header
        .document
        .clone_from(&before.entry.header.document);
    let kept = before.entry.header.tags.iter().filter(|tag| *tag != ROUGH);
    entry.header.tags = kept.cloned().collect();
    if treatment.meaning != Meaning::NotExplained {
        entry.header.tags.push(REFINED.to_owned());
    }
    book.amend(number, &entry, "said more exactly")?;
    let proof = book.proof(number)?;
    if matches!(proof.state, ProofState::NotNeeded | ProofState::Missing)
        && proof.state != recording.proof.state
    {
        book.set_proof(number, &recording.proof)?;
    }
    if treatment.meaning != Meaning::NotExplained {
        book.remember_choice(&line, treatment)?;
    }
    Ok(())
}

/// The statement line that an entry came of or, for one that was written by hand, its money as such a line.
fn line_of(
    book: &Book,
    number: EntryNumber,
    posted: &PostedEntry,
) -> Result<BankLine, ReportError> {
    if let Some(line) = book.lines_of_entry(number)?.into_iter().next() {
        return Ok(line);
    }
    let money: Vec<&Line> = posted
        .entry
        .lines()
        .iter()
        .filter(|line| holds_money(book, line))
        .collect();
    let [line] = money.as_slice() else {
        return Err(BookError::refused(format!(
            "entry {number} moves no money on one account alone; change it on its own page"
        ))
        .into());
    };
    let header = &posted.entry.header;
    Ok(BankLine {
        id: LineId(0),
        account: line.account,
        date: header.date,
        amount: line.amount,
        text: if header.memo.is_empty() {
            header.party.clone()
        } else {
            header.memo.clone()
        },
        bank_id: None,
        balance: None,
        file: String::new(),
        row: 0,
    })
}

/// Keeps what is remembered of an entry that nobody can explain yet.
///
/// # Errors
/// When the entry is none of those, or the book refuses.
pub fn remember(book: &mut Book, number: EntryNumber, words: &str) -> Result<(), ReportError> {
    let account = book.chart().role(Role::NotExplained)?;
    let posted = book.entry(number)?;
    let lines = posted.entry.lines();
    if lines.iter().all(|line| line.account != account) {
        return Err(BookError::refused(format!("entry {number} is explained already")).into());
    }
    let lines = lines.iter().cloned().map(|line| {
        if line.account == account {
            line.memo(words.trim())
        } else {
            line
        }
    });
    let made = JournalEntry::new(posted.entry.header.clone(), lines.collect());
    let entry = made.map_err(BookError::from)?;
    Ok(book.amend(number, &entry, "what is remembered of it")?)
}

/// Asks the accountant about entries that nobody can explain yet, each once; answers how many questions were new.
///
/// # Errors
/// When an entry is none of those, or the book refuses.
pub fn ask_about(
    book: &mut Book,
    numbers: &[EntryNumber],
    day: NaiveDate,
) -> Result<usize, ReportError> {
    let open = unexplained(book)?;
    book.group("Asked the accountant", |book| {
        let mut n_new = 0;
        for number in numbers {
            let Some(one) = open.iter().find(|one| one.number == *number) else {
                return Err(
                    BookError::refused(format!("entry {number} is explained already")).into(),
                );
            };
            if !one.is_asked {
                let mut question = Question::new(question_about(book, one), day);
                question.entry = Some(*number);
                book.keep_question(&question)?;
                n_new += 1;
            }
        }
        Ok(n_new)
    })
}

fn question_about(book: &Book, one: &MarkedEntry) -> String {
    let way = if one.amount.is_positive() {
        "that came from"
    } else {
        "that went to"
    };
    let remembered = match one.remembered.trim() {
        "" => String::new(),
        words => format!(" What is remembered: {words}."),
    };
    format!(
        "What was the {} {way} {} on {}? The bank wrote: {}.{remembered}",
        book.currency().show(one.amount.abs()),
        one.party,
        crate::dates::show_day(one.date),
        one.memo
    )
}

/// Entries whose receipt is missing, oldest first.
///
/// # Errors
/// When the book cannot be read.
pub fn without_receipt(book: &Book) -> Result<Vec<OpenEntry>, BookError> {
    let numbers = book.entry_numbers(&missing_receipts())?;
    let entries = book.entries(&numbers)?;
    Ok(entries
        .into_iter()
        .map(|posted| OpenEntry {
            number: posted.number,
            date: posted.entry.header.date,
            party: posted.entry.header.party.clone(),
            memo: posted.entry.header.memo.clone(),
            total: posted.entry.total(),
        })
        .collect())
}

fn missing_receipts() -> EntryFilter {
    EntryFilter {
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    }
}

/// What of catching up is open in some days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftInYear {
    /// Statement lines of those days that are to be sorted.
    pub lines: usize,
    /// Entries of those days from rough answers.
    pub rough: Tally,
    /// Entries of those days that nobody can explain yet.
    pub not_explained: Tally,
    /// The balance of their account at the end of those days.
    pub not_explained_balance: Money,
}

/// What of catching up is open in some days, such as a financial year.
///
/// # Errors
/// When the book cannot be read.
pub fn left_in_year(book: &Book, days: DateRange) -> Result<LeftInYear, BookError> {
    let tally = |entries: Vec<MarkedEntry>| {
        let own = entries.iter().filter(|one| days.contains(one.date));
        own.fold(Tally::default(), |tally, one| Tally {
            count: tally.count + 1,
            sum: tally.sum + one.amount.abs(),
        })
    };
    let not_explained_balance = match book.chart().role(Role::NotExplained) {
        Ok(account) => book.balances_to(days.to)?.net(account),
        Err(_none) => Money::ZERO,
    };
    Ok(LeftInYear {
        lines: book.count_lines_to_sort_in(days)?,
        rough: tally(rough_entries(book)?),
        not_explained: tally(unexplained(book)?),
        not_explained_balance,
    })
}

/// How far behind a book is.
///
/// # Errors
/// When the book cannot be read.
pub fn behind(book: &Book) -> Result<Behind, BookError> {
    Ok(Behind {
        n_lines: book.count_lines_to_sort(None)?.0,
        last_entry: book.days_covered()?.map(|covered| covered.to),
    })
}

/// How far catching up is. What the lines still to be sorted ask is told by the tray, which takes longer to read:
/// without one their decisions are not counted.
///
/// # Errors
/// When the book cannot be read.
pub fn catching_up(
    book: &Book,
    tray: Option<&Tray>,
    today: NaiveDate,
) -> Result<CatchingUp, ReportError> {
    let behind = behind(book)?;
    let (n_missing, missing) = book.count_and_sum(&missing_receipts())?;
    let n_receipts = book.entries_with_proof(ProofState::Complete)?.len()
        + book.entries_with_proof(ProofState::Substitute)?.len();
    let refined = EntryFilter {
        tag: Some(REFINED.to_owned()),
        ..EntryFilter::default()
    };
    let unexplained_balance = match book.chart().role(Role::NotExplained) {
        Ok(account) => book.balances_to(far_off())?.net(account),
        Err(_none) => Money::ZERO,
    };
    let (months, agreed) = accounts(book, today)?;
    Ok(CatchingUp {
        n_sorted: book.count_bank_lines()?.saturating_sub(behind.n_lines),
        to_sort: Tally {
            count: behind.n_lines,
            sum: book.sum_to_sort()?,
        },
        behind,
        months,
        n_covered: tray.map_or(0, Tray::n_covered),
        n_decisions: tray.map_or(0, |tray| decisions(tray).len()),
        rough: rough_entries(book)?,
        unexplained: unexplained(book)?,
        unexplained_balance,
        n_refined: book.entry_numbers(&refined)?.len(),
        receipts_missing: Tally {
            count: n_missing,
            sum: missing,
        },
        n_receipts,
        agreed,
    })
}

fn far_off() -> NaiveDate {
    NaiveDate::from_ymd_opt(9999, 12, 31).unwrap_or(NaiveDate::MAX)
}

/// The months and the agreement of every account that has a statement, and of the one the business banks with.
fn accounts(
    book: &Book,
    today: NaiveDate,
) -> Result<(Vec<AccountMonths>, Vec<AgreedSo>), ReportError> {
    let bank = book.chart().role(Role::BusinessBank).ok();
    let range = DateRange::new(book.first_day(), last_whole_month(today));
    let mut months = Vec::new();
    let mut agreements = Vec::new();
    for one in agreed(book)? {
        let facts = book.statement_months(one.account)?;
        let is_bank = Some(one.account) == bank;
        if facts.is_empty() && !(is_bank && one.is_used) {
            continue;
        }
        let agreed_to = one.agreed_to.filter(|_day| !one.is_broken);
        let (n_there, missing) = account_months(range, &facts, agreed_to);
        let last_line = book.last_bank_line(one.account)?;
        months.push(AccountMonths {
            account: one.account,
            name: one.name.clone(),
            n_lines: facts.iter().map(|month| month.n_lines).sum(),
            last_line,
            n_there,
            missing,
        });
        let told = [one.last_statement.map(|(day, _balance)| day), last_line];
        if let Some(told_to) = told.into_iter().flatten().max() {
            agreements.push(AgreedSo {
                account: one.account,
                name: one.name,
                agreed_to,
                told_to,
            });
        }
    }
    Ok((months, agreements))
}
