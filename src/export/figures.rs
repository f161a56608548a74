//! Figures that only leave the book on paper or as JSON, and which days they cover when none are given.
//! What the window shows as well is gathered in `reports`.

use chrono::NaiveDate;

use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::{AccountId, Balances, PostedEntry, Role};
use crate::money::Money;
use crate::reports::{self, ReportError};
use crate::set_aside::Estimate;
use crate::statements::{
    AccountLedger, BalanceSheet, ChannelSummary, JournalRow, LedgerLine, SmallEquipment,
    TrialBalance, balance_sheet, journal as lay_out_journal, trial_balance,
};

/// The financial year of today or, when nothing is recorded in it, of the last entry.
///
/// # Errors
/// When the book cannot be read.
pub fn usual_year(book: &Book, today: NaiveDate) -> Result<DateRange, BookError> {
    let years = book.year_start();
    let this_year = years.containing(today);
    let Some(covered) = book.days_covered()? else {
        return Ok(this_year);
    };
    let is_empty = covered.to < this_year.from
        || book
            .entry_numbers(&EntryFilter::in_range(this_year))?
            .is_empty();
    Ok(if is_empty {
        years.containing(covered.to)
    } else {
        this_year
    })
}

/// The last day that a book knows of: the end of the usual year or of its last entry, whichever is later.
///
/// # Errors
/// When the book cannot be read.
pub fn usual_day(book: &Book, today: NaiveDate) -> Result<NaiveDate, BookError> {
    let year = usual_year(book, today)?;
    let last = book.days_covered()?.map(|covered| covered.to);
    Ok(last.map_or(year.to, |last| last.max(year.to)))
}

/// The balance sheet at the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn balance(book: &Book, as_of: NaiveDate) -> Result<BalanceSheet, BookError> {
    let balances = book.balances_to(as_of)?;
    Ok(balance_sheet(book.chart(), &balances, as_of))
}

/// The trial balance at the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn trial(book: &Book, as_of: NaiveDate) -> Result<TrialBalance, BookError> {
    Ok(trial_balance(book.chart(), &book.balances_to(as_of)?))
}

/// The trial balance of what moved in a range.
///
/// # Errors
/// When the book cannot be read.
pub fn trial_of(book: &Book, range: DateRange) -> Result<TrialBalance, BookError> {
    let balances = book.balances(range, Closings::With)?;
    Ok(trial_balance(book.chart(), &balances))
}

fn balances_before(book: &Book, day: NaiveDate) -> Result<Balances, BookError> {
    match day.pred_opt() {
        Some(eve) => book.balances_to(eve),
        None => Ok(Balances::new()),
    }
}

/// One account, line by line.
///
/// # Errors
/// When the book cannot be read.
pub fn ledger(
    book: &Book,
    account: AccountId,
    range: DateRange,
) -> Result<AccountLedger, BookError> {
    let opening = balances_before(book, range.from)?.net(account);
    let mut balance = opening;
    let lines: Vec<LedgerLine> = book
        .account_lines(account, range)?
        .into_iter()
        .map(|line| {
            balance += line.amount;
            LedgerLine {
                entry: line.number,
                date: line.date,
                kind: line.kind,
                party: line.party,
                memo: if line.line_memo.is_empty() {
                    line.memo
                } else {
                    line.line_memo
                },
                debit: line.amount.max(Money::ZERO),
                credit: (-line.amount).max(Money::ZERO),
                balance,
            }
        })
        .collect();
    Ok(AccountLedger {
        account,
        range,
        opening,
        lines,
        closing: balance,
    })
}

/// The entries of a range, by day and number.
///
/// # Errors
/// When the book cannot be read.
pub fn entries(book: &Book, range: DateRange) -> Result<Vec<PostedEntry>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter::in_range(range))?;
    book.entries(&numbers)
}

/// The journal of a range, by day and number.
///
/// # Errors
/// When the book cannot be read.
pub fn journal(book: &Book, range: DateRange) -> Result<Vec<JournalRow>, BookError> {
    Ok(lay_out_journal(book.chart(), &entries(book, range)?))
}

/// Every channel over a range; the account for payouts of no channel in particular only when it moved.
///
/// # Errors
/// When the book cannot be read.
pub fn channels(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
) -> Result<Vec<ChannelSummary>, ReportError> {
    let mut summaries = reports::channels(book, range, today)?;
    summaries.retain(|one| {
        let is_general = book.chart().has_role(one.account, Role::PayoutsDue);
        let amounts = [one.gross_sales, one.payouts, one.opening, one.still_due];
        !is_general || amounts.iter().any(|amount| !amount.is_zero())
    });
    Ok(summaries)
}

/// The set-aside estimate of a financial year from everything recorded in it, whatever day it is.
///
/// # Errors
/// When the method has no figures for the year, or the book cannot be read.
pub fn set_aside(book: &Book, year: i32, what_if: Option<Money>) -> Result<Estimate, ReportError> {
    let last = book.year_start().year_ending_in(year).to;
    reports::estimate(book, year, last, what_if)
}

/// Small equipment that was a cost at once, up to the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn small_equipment(book: &Book, as_of: NaiveDate) -> Result<Vec<SmallEquipment>, ReportError> {
    let mut list = reports::small_things(book)?;
    list.retain(|one| one.bought_on <= as_of);
    Ok(list)
}
