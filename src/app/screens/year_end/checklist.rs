//! The year's checklist: what is done, what is open, and where each is mended. It knows its own state.
//! Read from the book after each change; drawing is `view`.

use chrono::NaiveDate;

use crate::app::navigation::Room;
use crate::app::screens::explain::Source;
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::desk::Standing;
use crate::happenings::ProofState;
use crate::ledger::{Account, AccountId, EntryNumber, Role};
use crate::money::Money;
use crate::reports;

/// Where an open point is mended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mend {
    /// Among the entries whose receipt is missing.
    Receipts,
    /// Here, by writing wear down.
    Wear,
    /// Where the figure comes from.
    Explain(Source),
    /// Among the adjusting entries.
    Adjusting,
    /// Where an account is held against its statement.
    Agree(AccountId),
    /// In another room.
    Go(Room),
    /// On an entry's page.
    Entry(EntryNumber),
    /// Among the questions for the accountant.
    Questions,
    /// Among the entries that nobody can explain yet.
    NotExplained,
    /// Among the entries from rough answers.
    Rough,
    /// On the page for catching up.
    CatchingUp,
}

/// One point of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// Whether it is done.
    pub is_done: bool,
    /// What it says.
    pub what: String,
    /// What explains it.
    pub note: String,
    /// Where it is mended, with the word on the button.
    pub mend: Option<(&'static str, Mend)>,
}

fn done(what: impl Into<String>) -> Check {
    Check {
        is_done: true,
        what: what.into(),
        note: String::new(),
        mend: None,
    }
}

fn open(
    what: impl Into<String>,
    note: impl Into<String>,
    mend: Option<(&'static str, Mend)>,
) -> Check {
    Check {
        is_done: false,
        what: what.into(),
        note: note.into(),
        mend,
    }
}

/// The list for a financial year.
///
/// # Errors
/// When the book cannot be read.
pub fn checklist(book: &Book, year: DateRange, today: NaiveDate) -> Result<Vec<Check>, BookError> {
    let mut checks = vec![over(year, today), receipts(book, year)?];
    checks.extend(purposes(book, year)?);
    checks.push(wear(book, year, today)?);
    checks.push(paid_ahead(book, year)?);
    checks.extend(stock(book, year)?);
    checks.push(agreed(book, year, today)?);
    checks.extend(channels(book, year)?);
    checks.extend(owner(book, year)?);
    checks.push(questions(book)?);
    checks.extend(caught_up(book, year)?);
    checks.push(drafts(book)?);
    checks.push(balanced(book, year)?);
    checks.extend(left_out(book, year)?);
    checks.extend(closed(book, year)?);
    Ok(checks)
}

/// Where a balance at the year's end comes from, whatever period the window shows.
fn balance_on(account: AccountId, year: DateRange) -> Mend {
    Mend::Explain(Source::Balance(account, year.to))
}

/// What is proposed for the year and not posted, wear apart.
fn left_out(book: &Book, year: DateRange) -> Result<Option<Check>, BookError> {
    let left = reports::left_out(book, book.year_start().year_of(year.to))?;
    let words: Vec<String> = left
        .iter()
        .map(|one| {
            let amount = book.currency().show(one.amount.unwrap_or_default());
            format!("{} {amount}", one.what.plain())
        })
        .collect();
    Ok((!words.is_empty()).then(|| {
        open(
            format!("Proposed and not posted: {}", words.join(", ")),
            "post it in the second step, or leave it: the pack says so",
            Some(("Open", Mend::Adjusting)),
        )
    }))
}

fn over(year: DateRange, today: NaiveDate) -> Check {
    if today > year.to {
        done(format!("The year ended on {}", show_day(year.to)))
    } else {
        open(
            format!("The year runs until {}", show_day(year.to)),
            "the pack can be made any time; closing can wait",
            None,
        )
    }
}

fn receipts(book: &Book, year: DateRange) -> Result<Check, BookError> {
    let missing = book.entry_numbers(&EntryFilter {
        range: Some(year),
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    })?;
    Ok(match missing.len() {
        0 => done("Every receipt is there or accounted for"),
        1 => open(
            "1 receipt is missing",
            "find it, or say what stands in for it",
            Some(("Show", Mend::Receipts)),
        ),
        n => open(
            format!("{n} receipts are missing"),
            "find them, or say what stands in for them",
            Some(("Show", Mend::Receipts)),
        ),
    })
}

fn questions(book: &Book) -> Result<Check, BookError> {
    let standing = Standing::of(&book.questions()?);
    let show = Some(("Show", Mend::Questions));
    Ok(match (standing.to_apply.0, standing.open.0) {
        (0, 0) => done("No question for the accountant is open"),
        (0, 1) => open(
            "1 question waits for the accountant",
            "it goes with the folder as a sheet to fill in",
            show,
        ),
        (0, n) => open(
            format!("{n} questions wait for the accountant"),
            "they go with the folder as a sheet to fill in",
            show,
        ),
        (1, _) => open(
            "1 answer of the accountant is not applied",
            "change what it asks for, or say that nothing had to change",
            show,
        ),
        (n, _) => open(
            format!("{n} answers of the accountant are not applied"),
            "change what they ask for, or say that nothing had to change",
            show,
        ),
    })
}

fn purposes(book: &Book, year: DateRange) -> Result<Option<Check>, BookError> {
    let Some(above) = book.settings().purpose_above() else {
        return Ok(None);
    };
    let mut missing = Vec::new();
    for number in book.entries_without_purpose(above)? {
        if year.contains(book.entry(number)?.entry.header.date) {
            missing.push(number);
        }
    }
    let amount = book.currency().show(above);
    Ok(Some(match missing.first() {
        None => done(format!(
            "Every purchase of {amount} or more says what it was for"
        )),
        Some(first) => open(
            format!(
                "{} of {amount} or more without a purpose",
                purchases(missing.len())
            ),
            "a line on each entry's page",
            Some(("Open the first", Mend::Entry(*first))),
        ),
    }))
}

fn purchases(count: usize) -> String {
    if count == 1 {
        "1 purchase".to_owned()
    } else {
        format!("{count} purchases")
    }
}

fn wear(book: &Book, year: DateRange, today: NaiveDate) -> Result<Check, BookError> {
    let through = if today > year.to {
        year.to
    } else {
        reports::last_whole_month(today)
    };
    let amount = reports::wear_proposal(book, through)?.total().whole;
    Ok(if amount.is_positive() {
        open(
            format!(
                "Wear of equipment of {} is not written down",
                book.currency().show(amount)
            ),
            format!("through {}", show_day(through)),
            Some(("Write down", Mend::Wear)),
        )
    } else {
        done(format!(
            "Wear of equipment is written down through {}",
            show_day(through)
        ))
    })
}

fn paid_ahead(book: &Book, year: DateRange) -> Result<Check, BookError> {
    let due = reports::paid_ahead_due(book, year.to)?;
    let amount: Money = due.iter().map(|one| one.amount).sum();
    Ok(if due.is_empty() {
        done("What was paid ahead stands in the months it serves")
    } else {
        open(
            format!(
                "{} of what you paid ahead will be used up by the year's end",
                book.currency().show(amount)
            ),
            "Today writes it down as it falls due",
            Some(("Today", Mend::Go(Room::Today))),
        )
    })
}

fn channels(book: &Book, year: DateRange) -> Result<Vec<Check>, BookError> {
    let balances = book.balances_to(year.to)?;
    let mut checks = Vec::new();
    for account in book.chart().channels() {
        let due = balances.net(account.id);
        if due.is_zero() {
            continue;
        }
        let held = book.held(account.id, year.to)?;
        let note = if held.is_positive() {
            format!(
                "of it {} held; compare with the shop's own statement",
                book.currency().show(held)
            )
        } else {
            "compare with the shop's own statement".to_owned()
        };
        checks.push(open(
            format!(
                "{} stands at {} at the year's end",
                account.name,
                book.currency().show(due)
            ),
            note,
            Some(("Show", balance_on(account.id, year))),
        ));
    }
    if checks.is_empty() {
        checks.push(done("Every shop has paid out what it owed"));
    }
    Ok(checks)
}

/// What is to be counted at the year's end, and what went below nothing.
fn stock(book: &Book, year: DateRange) -> Result<Vec<Check>, BookError> {
    let list = reports::stock(book, year.to)?;
    if list.lines.is_empty() {
        return Ok(Vec::new());
    }
    let count = Some(("Count", Mend::Go(Room::Make)));
    let mut checks = vec![match reports::uncounted(book, year.to)?.len() {
        0 => done("What lies there was counted at the year's end"),
        1 => open(
            "1 item is not counted at the year's end",
            "count it, part-made pieces and those at shops too",
            count,
        ),
        n => open(
            format!("{n} items are not counted at the year's end"),
            "count them, part-made pieces and those at shops too",
            count,
        ),
    }];
    let below = list
        .lines
        .iter()
        .find(|line| line.quantity.value().is_sign_negative() && !line.quantity.value().is_zero());
    if let Some(line) = below {
        checks.push(open(
            format!("More {} went than ever came", line.item.name),
            "something that came is not in the books, or something went twice",
            Some(("Show", Mend::Go(Room::Make))),
        ));
    }
    Ok(checks)
}

/// Whether each account that has statements agrees with them up to the year's end, or up to now.
fn agreed(book: &Book, year: DateRange, today: NaiveDate) -> Result<Check, BookError> {
    let by = if today > year.to {
        year.to
    } else {
        reports::last_whole_month(today)
    };
    let behind = reports::not_agreed(book, by)?;
    let first = behind.first().and_then(|name| {
        let mut accounts = book.chart().accounts().into_iter();
        let is_it = |one: &&Account| one.name == *name && reports::has_statements(one);
        let account = accounts.find(is_it)?.id;
        let word = if behind.len() == 1 {
            "Open it"
        } else {
            "Open the first"
        };
        Some((word, Mend::Agree(account)))
    });
    Ok(match behind.as_slice() {
        [] => done(format!(
            "The accounts agree with their statements up to {}",
            show_day(by)
        )),
        names => open(
            format!(
                "Not agreed with its statement up to {}: {}",
                show_day(by),
                names.join(", ")
            ),
            "tick what the statement shows until the difference is nothing",
            first,
        ),
    })
}

fn owner(book: &Book, year: DateRange) -> Result<Option<Check>, BookError> {
    let Ok(account) = book.chart().role(Role::OwedByOwner) else {
        return Ok(None);
    };
    let owed = book.balances_to(year.to)?.net(account);
    Ok(owed.is_positive().then(|| {
        open(
            format!(
                "You owe the business {} for private things",
                book.currency().show(owed)
            ),
            "pay it back, or count it as money you took out",
            Some(("Show", balance_on(account, year))),
        )
    }))
}

/// Statement lines to be sorted, what nobody can explain yet, and rough answers.
fn caught_up(book: &Book, year: DateRange) -> Result<Vec<Check>, BookError> {
    let left = reports::left_in_year(book, year)?;
    let show = |amount| book.currency().show(amount);
    let mut checks = Vec::new();
    if left.lines > 0 {
        let lines = if left.lines == 1 { "line" } else { "lines" };
        checks.push(open(
            format!("{} statement {lines} of the year to sort", left.lines),
            "what they say is not in the books yet",
            Some(("Sort", Mend::CatchingUp)),
        ));
    }
    let unknown = left.not_explained;
    if unknown.count > 0 || !left.not_explained_balance.is_zero() {
        let entries = if unknown.count == 1 {
            "entry"
        } else {
            "entries"
        };
        checks.push(open(
            format!(
                "{} stands not yet explained, from {} {entries}",
                show(left.not_explained_balance),
                unknown.count
            ),
            "explain what you can, and ask the accountant about the rest",
            Some(("Show", Mend::NotExplained)),
        ));
    }
    if left.rough.count > 0 {
        let entries = if left.rough.count == 1 {
            "entry is"
        } else {
            "entries are"
        };
        checks.push(open(
            format!(
                "{} {entries} from a rough answer, {} together",
                left.rough.count,
                show(left.rough.sum)
            ),
            "they are in the books; say them more exactly",
            Some(("Show", Mend::Rough)),
        ));
    }
    Ok(checks)
}

fn drafts(book: &Book) -> Result<Check, BookError> {
    Ok(match book.draft_names()?.len() {
        0 => done("No form is kept for later"),
        1 => open(
            "1 form is kept for later",
            "it is not in the books yet",
            Some(("Today", Mend::Go(Room::Today))),
        ),
        n => open(
            format!("{n} forms are kept for later"),
            "they are not in the books yet",
            Some(("Today", Mend::Go(Room::Today))),
        ),
    })
}

fn balanced(book: &Book, year: DateRange) -> Result<Check, BookError> {
    let total = book.balances_to(year.to)?.total();
    Ok(if total.is_zero() {
        done("Debits and credits agree")
    } else {
        open(
            format!(
                "Debits and credits differ by {}",
                book.currency().show(total)
            ),
            "the file may be damaged: run the check and use the newest backup",
            None,
        )
    })
}

/// The closing entry, once there is one; until then closing is the fourth step and no point of this list.
fn closed(book: &Book, year: DateRange) -> Result<Option<Check>, BookError> {
    Ok(book.closing_entry_of(year)?.map(|number| Check {
        note: "reopening asks for a reason".to_owned(),
        mend: Some(("Open it", Mend::Entry(number))),
        ..done(format!("The year is closed by entry {number}"))
    }))
}
