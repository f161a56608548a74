//! The card of a month that is over: statement lines sorted, accounts agreed, receipts and purposes there, wear, recurring
//! purchases and the set-aside done; and where each is mended.
//! Whether the owner calls the month finished is hers to say; nothing here stands in the way of it.

use chrono::NaiveDate;

use super::{
    ReportError, agreed, due_purchases, estimate_if_any, has_statements, last_whole_month,
    paid_ahead_due, put_by_or_paid, wear_proposal,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{Month, show_day};
use crate::happenings::ProofState;
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;

/// Where something of a month is mended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MonthMend {
    /// Among the statement lines to be sorted.
    SortLines,
    /// By bringing a statement in.
    BringStatement,
    /// By holding an account against its statement.
    HoldAgainst(AccountId),
    /// By holding several accounts against their statements, from the list of them.
    HoldSeveral,
    /// Among the entries whose receipt is missing.
    Receipts,
    /// On the page of a purchase that lacks its purpose.
    Purpose(EntryNumber),
    /// By writing wear down through a day.
    Wear(NaiveDate),
    /// By confirming or skipping what recurs, by its number in the book.
    Recurring(i64),
    /// By writing down what was paid ahead and is used up.
    PaidAhead,
    /// By moving money to the set-aside savings.
    SetAside(Money),
}

/// Something of a month that is still open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthOpen {
    /// What.
    pub what: String,
    /// Where it is mended.
    pub mend: MonthMend,
}

/// One of the four points of a month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthPoint {
    /// A lasting word for it, for scripts.
    pub key: &'static str,
    /// What it is about, for people.
    pub title: &'static str,
    /// What it says when nothing of it is open.
    pub done: String,
    /// What of it is open; nothing when it is done.
    pub open: Vec<MonthOpen>,
}

impl MonthPoint {
    /// Whether nothing of it is open.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.open.is_empty()
    }
}

/// A month that is over, with its four points.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthCard {
    /// The month.
    pub month: Month,
    /// The four points.
    pub points: Vec<MonthPoint>,
    /// Whether the owner says that it is finished.
    pub is_finished: bool,
    /// The months it can be chosen among: from the book's first to the last that is over.
    pub choice: (Month, Month),
}

impl MonthCard {
    /// How many of its points are done.
    #[must_use]
    pub fn n_done(&self) -> usize {
        self.points.iter().filter(|point| point.is_done()).count()
    }

    /// How it stands, in a sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        let name = self.month.name();
        match (self.is_finished, self.points.len() - self.n_done()) {
            (true, 0) => format!("{name} is finished."),
            (true, 1) => format!("You called {name} finished; one point of it is open."),
            (true, n) => format!("You called {name} finished; {n} points of it are open."),
            (false, 0) => format!("All of {name} is there. Say so, and it rests."),
            (false, 1) => format!("One point of {name} is open."),
            (false, n) => format!("{n} points of {name} are open."),
        }
    }
}

/// The months whose card can be looked at; none before the book's first month is over.
#[must_use]
pub fn months_over(book: &Book, today: NaiveDate) -> Option<(Month, Month)> {
    let (first, last) = (
        Month::of(book.first_day()),
        Month::of(last_whole_month(today)),
    );
    (first <= last).then_some((first, last))
}

/// The card of a month, or of the last one that is over.
///
/// # Errors
/// When the book cannot be read. Nothing comes back before the book's first month is over, or for a month outside.
pub fn month_card(
    book: &Book,
    month: Option<Month>,
    today: NaiveDate,
) -> Result<Option<MonthCard>, ReportError> {
    let Some((first, last)) = months_over(book, today) else {
        return Ok(None);
    };
    let month = month.unwrap_or(last);
    if month < first || month > last {
        return Ok(None);
    }
    Ok(Some(MonthCard {
        month,
        points: vec![
            lines(book, month)?,
            accounts(book, month)?,
            receipts(book, month)?,
            written(book, month, today)?,
        ],
        is_finished: book.is_finished(month.last_day()),
        choice: (first, last),
    }))
}

fn open(what: impl Into<String>, mend: MonthMend) -> MonthOpen {
    MonthOpen {
        what: what.into(),
        mend,
    }
}

fn lines(book: &Book, month: Month) -> Result<MonthPoint, BookError> {
    let (mut all, mut waiting) = (0, 0);
    for account in book.chart().accounts() {
        if has_statements(account) {
            let (of_month, to_sort) = book.count_lines_of(account.id, month.range())?;
            all += of_month;
            waiting += to_sort;
        }
    }
    let name = month.name();
    let uses_statements = book.count_bank_lines()? > 0;
    let mut found = Vec::new();
    if waiting > 0 {
        let lines = counted(waiting, "line of a statement", "lines of statements");
        found.push(open(
            format!("{lines} of {name} to sort"),
            MonthMend::SortLines,
        ));
    } else if all == 0 && uses_statements {
        found.push(open(
            format!("No statement line of {name} was brought in yet"),
            MonthMend::BringStatement,
        ));
    }
    Ok(MonthPoint {
        key: "lines",
        title: "Statement lines",
        done: match all {
            0 => "No statements are brought into this book, so none is to be sorted".to_owned(),
            1 => format!("The 1 statement line of {name} is sorted"),
            n => format!("All {n} statement lines of {name} are sorted"),
        },
        open: found,
    })
}

fn accounts(book: &Book, month: Month) -> Result<MonthPoint, BookError> {
    let last = month.last_day();
    let (mut found, mut never) = (Vec::new(), Vec::new());
    for one in agreed(book)? {
        let Some(moved) = book.last_movement(one.account, last)? else {
            continue;
        };
        let what = match one.agreed_to {
            _ if one.is_broken => {
                format!("{}: an entry changed after it agreed", one.name)
            }
            Some(day) if day >= moved => continue,
            Some(day) => format!(
                "{} has moved since it agreed on {}",
                one.name,
                show_day(day)
            ),
            None => {
                never.push((one.account, one.name));
                continue;
            }
        };
        found.push(open(what, MonthMend::HoldAgainst(one.account)));
    }
    match never.as_slice() {
        [] => {}
        [(account, name)] => found.push(open(
            format!("{name} was never held against its statement"),
            MonthMend::HoldAgainst(*account),
        )),
        several => {
            let names: Vec<&str> = several.iter().map(|(_id, name)| name.as_str()).collect();
            let what = format!("Never held against a statement: {}", names.join(", "));
            found.push(open(what, MonthMend::HoldSeveral));
        }
    }
    Ok(MonthPoint {
        key: "accounts",
        title: "Accounts and their statements",
        done: format!(
            "Every account agrees with its statement through {}",
            show_day(last)
        ),
        open: found,
    })
}

fn receipts(book: &Book, month: Month) -> Result<MonthPoint, BookError> {
    let range = month.range();
    let missing = book.entry_numbers(&EntryFilter {
        proof: Some(ProofState::Missing),
        ..EntryFilter::in_range(range)
    })?;
    let mut found = Vec::new();
    if !missing.is_empty() {
        let receipts = counted(missing.len(), "receipt", "receipts");
        found.push(open(
            format!("{receipts} to find, or to be stood in for"),
            MonthMend::Receipts,
        ));
    }
    if let Some(above) = book.settings().purpose_above() {
        let without = book.entries_without_purpose_in(above, range)?;
        if let Some(first) = without.first() {
            let purchases = counted(without.len(), "purchase", "purchases");
            found.push(open(
                format!("{purchases} without a word on what it was for"),
                MonthMend::Purpose(*first),
            ));
        }
    }
    Ok(MonthPoint {
        key: "receipts",
        title: "Receipts and purposes",
        done: format!(
            "Receipts and purposes of {} are there, or something stands in",
            month.name()
        ),
        open: found,
    })
}

fn written(book: &Book, month: Month, today: NaiveDate) -> Result<MonthPoint, ReportError> {
    let (last, currency) = (month.last_day(), book.currency());
    let mut found = Vec::new();
    let wear = wear_proposal(book, last)?;
    if !wear.is_empty() {
        let amount = currency.show(wear.total().whole);
        found.push(open(
            format!("Wear of equipment, {amount}, is not written down"),
            MonthMend::Wear(last),
        ));
    }
    for due in due_purchases(book)? {
        if due.due <= last {
            let what = format!(
                "{}, {}, due {}: write it down or skip it",
                due.name,
                currency.show(due.amount),
                show_day(due.due)
            );
            found.push(open(what, MonthMend::Recurring(due.id)));
        }
    }
    let used_up: Money = paid_ahead_due(book, last)?
        .iter()
        .map(|due| due.amount)
        .sum();
    if !used_up.is_zero() {
        let amount = currency.show(used_up);
        found.push(open(
            format!("{amount} of what you paid ahead is used up"),
            MonthMend::PaidAhead,
        ));
    }
    let to_move = still_to_move(book, last, today)?;
    if to_move.is_positive() {
        let amount = currency.show(to_move);
        found.push(open(
            format!("{amount} to move to the set-aside account, an estimate only"),
            MonthMend::SetAside(to_move),
        ));
    }
    Ok(MonthPoint {
        key: "written",
        title: "Wear, what recurs, set-aside",
        done: "Wear and what recurs are written down, and the set-aside is moved".to_owned(),
        open: found,
    })
}

/// What was to be set aside by a day, less what was put by or paid since.
fn still_to_move(book: &Book, by: NaiveDate, today: NaiveDate) -> Result<Money, ReportError> {
    let year = book.year_start().year_of(by);
    let Some(estimate) = estimate_if_any(book, year, by)? else {
        return Ok(Money::ZERO);
    };
    let since = put_by_or_paid(book, year, today)? - put_by_or_paid(book, year, by)?;
    Ok(estimate.to_move - since)
}

fn counted(count: usize, one: &str, many: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    }
}
