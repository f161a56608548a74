//! The statements and lists of a book: profit, balance sheet, trial balance, ledger, journal, capital.
//! How each is laid out is `statements`' business.

use chrono::NaiveDate;

use super::{ReportError, balances_before};
use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::ledger::{AccountId, EntryKind, PostedEntry, Role};
use crate::money::Money;
use crate::statements::{
    AccountLedger, BalanceSheet, CapitalStatement, CostToStart, JournalRow, LedgerLine,
    ProfitStatement, SmallEquipment, TrialBalance, balance_sheet, capital_statement, cost_to_start,
    cost_to_start_marked, profit_statement, small_equipment, trial_balance,
};

/// The profit statement of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn profit(book: &Book, range: DateRange) -> Result<ProfitStatement, ReportError> {
    let balances = book.balances(range, Closings::Without)?;
    Ok(profit_statement(book.chart(), &balances, range))
}

/// The profit statements of the months of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn profit_by_month(
    book: &Book,
    range: DateRange,
) -> Result<Vec<(Month, ProfitStatement)>, ReportError> {
    let whole = book.monthly(range, Closings::Without)?;
    range
        .by_month()
        .into_iter()
        .zip(whole)
        .map(|(part, (month, balances))| {
            let statement = if part == month.range() {
                profit_statement(book.chart(), &balances, part)
            } else {
                profit(book, part)?
            };
            Ok((month, statement))
        })
        .collect()
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
    Ok(crate::statements::journal(
        book.chart(),
        &entries(book, range)?,
    ))
}

/// The capital statement of a range. Opening balances on the book's first day count as there before.
///
/// # Errors
/// When the book cannot be read.
pub fn capital(book: &Book, range: DateRange) -> Result<CapitalStatement, ReportError> {
    let mut before = balances_before(book, range.from)?;
    let mut during = book.balances(range, Closings::Without)?;
    let openings = book.entry_numbers(&EntryFilter {
        range: Some(range),
        kind: Some(EntryKind::Opening),
        ..EntryFilter::default()
    })?;
    for posted in book.entries(&openings)? {
        if posted.entry.header.date > book.first_day() || posted.reversed_by.is_some() {
            continue;
        }
        for line in posted.entry.lines() {
            before.add(line.account, line.amount);
            during.add(line.account, -line.amount);
        }
    }
    Ok(capital_statement(book.chart(), &before, &during, range))
}

/// What it cost to start: up to and with the day the business opened, the eve of its first sale, or today.
///
/// # Errors
/// When the book cannot be read.
pub fn start_cost(book: &Book, today: NaiveDate) -> Result<CostToStart, ReportError> {
    let through = match book.settings().opened_for_business_on() {
        Some(day) => day,
        None => book
            .first_day_of(EntryKind::Sale)?
            .and_then(|day| day.pred_opt())
            .unwrap_or(today),
    };
    let Some(range) = DateRange::new(book.first_day(), through) else {
        return Ok(cost_to_start(book.chart(), [], through));
    };
    let entries = book.entries(&book.entry_numbers(&EntryFilter::in_range(range))?)?;
    let marks = book.start_up_marks()?;
    Ok(cost_to_start_marked(
        book.chart(),
        &entries,
        through,
        &marks,
    ))
}

/// Everything expensed as small equipment.
///
/// # Errors
/// When the book cannot be read.
pub fn small_things(book: &Book) -> Result<Vec<SmallEquipment>, ReportError> {
    let account = book.chart().role(Role::SmallTools)?;
    let numbers = book.entry_numbers(&EntryFilter {
        account: Some(account),
        ..EntryFilter::default()
    })?;
    Ok(small_equipment(book.chart(), &book.entries(&numbers)?)?)
}

/// Small equipment that was a cost at once, up to the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn small_things_by(book: &Book, as_of: NaiveDate) -> Result<Vec<SmallEquipment>, ReportError> {
    let mut list = small_things(book)?;
    list.retain(|one| one.bought_on <= as_of);
    Ok(list)
}
