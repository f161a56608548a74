//! Figures read from a book: each statement and room's answer with the facts it rests on gathered first.
//! How a figure is worked out is `statements`, `depreciation`, `set_aside` and `needs`; how it is shown is elsewhere.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::{DateRange, Month};
use crate::depreciation::{DepreciationProposal, propose};
use crate::free_to_spend::{Claims, FreeToSpend, free_to_spend as work_out_free};
use crate::happenings::ProofState;
use crate::ledger::{AccountId, Balances, EntryKind, EntryNumber, PostedEntry, Role};
use crate::money::Money;
use crate::needs::{ChannelDue, DuePurchase, Found, Need, UsedUp, needs as list_needs};
use crate::reports::paid_ahead_due;
use crate::set_aside::{Calendar, Estimate, Facts, ProfitToDate, method_named};
use crate::statements::{
    AccountLedger, BalanceSheet, CapitalStatement, ChannelFacts, ChannelSummary, CostToStart,
    JournalRow, LedgerLine, ProfitStatement, SmallEquipment, TrialBalance, balance_sheet,
    capital_statement, channel_summary, cost_to_start as sum_up_start, journal as lay_out_journal,
    profit_statement, small_equipment as list_small, trial_balance,
};

use super::ExportError;

/// Purchases due within so many days are promised money.
const SOON_DAYS: u64 = 30;

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

/// The profit statement of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn profit(book: &Book, range: DateRange) -> Result<ProfitStatement, BookError> {
    let balances = book.balances(range, Closings::Without)?;
    Ok(profit_statement(book.chart(), &balances, range))
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

/// The owner's capital over a range. Opening balances on the book's first day count as there before.
///
/// # Errors
/// When the book cannot be read.
pub fn capital(book: &Book, range: DateRange) -> Result<CapitalStatement, BookError> {
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

/// Every channel over a range, with what it holds back at its end and what it reported for that year.
///
/// # Errors
/// When the book cannot be read.
pub fn channels(book: &Book, range: DateRange) -> Result<Vec<ChannelSummary>, BookError> {
    let before = balances_before(book, range.from)?;
    let year = book.year_start().year_of(range.to);
    let is_whole_year = book.year_start().year_ending_in(year) == range;
    let mut summaries = Vec::new();
    for account in book.chart().channels() {
        let numbers = book.entry_numbers(&EntryFilter {
            range: Some(range),
            account: Some(account.id),
            ..EntryFilter::default()
        })?;
        let opening = before.net(account.id);
        let is_general = book.chart().has_role(account.id, Role::PayoutsDue);
        if is_general && numbers.is_empty() && opening.is_zero() {
            continue;
        }
        let facts = ChannelFacts {
            opening,
            held: book.held(account.id, range.to)?,
            reported_gross: if is_whole_year {
                book.reported_gross(account.id, year)?
            } else {
                None
            },
        };
        let entries = book.entries(&numbers)?;
        summaries.push(channel_summary(
            book.chart(),
            account.id,
            range,
            &entries,
            facts,
        )?);
    }
    Ok(summaries)
}

/// The set-aside estimate of a financial year, from everything recorded in it; `what_if` tries another profit.
///
/// # Errors
/// When the method has no figures for the year, or the book cannot be read.
pub fn set_aside(book: &Book, year: i32, what_if: Option<Money>) -> Result<Estimate, ExportError> {
    let settings = book.settings();
    let days = book.year_start().year_ending_in(year);
    let statement = profit(book, days)?;
    let totals = &statement.totals;
    let instalments = book.entry_numbers(&EntryFilter {
        range: Some(days),
        kind: Some(EntryKind::TaxInstalment),
        ..EntryFilter::default()
    })?;
    let already_paid = book
        .entries(&instalments)?
        .iter()
        .filter(|posted| posted.reversed_by.is_none())
        .map(|posted| posted.entry.total())
        .sum();
    let profit_by_month = book
        .monthly(days, Closings::Without)?
        .into_iter()
        .map(|(month, balances)| {
            let part = profit_statement(book.chart(), &balances, month.range());
            (month, part.totals.net_profit)
        })
        .collect();
    let put_by = match book.chart().role(Role::SetAside) {
        Ok(account) => book.balances_to(days.to)?.net(account),
        Err(_) => Money::ZERO,
    };
    let facts = Facts {
        year,
        years: book.year_start(),
        as_of: days.to,
        profit: ProfitToDate {
            net_sales: totals.net_sales,
            cost_of_goods_sold: totals.cost_of_goods_sold,
            costs: totals.costs,
            other_income: totals.other_income,
            net_profit: totals.net_profit,
        },
        cost_accounts: cost_accounts(book, &statement),
        profit_by_month,
        put_by,
        already_paid,
        percent: settings.set_aside_percent(),
        percent_chosen_on: None,
        what_if_profit: what_if,
        calendar: Calendar::for_book(book.currency().code(), book.year_start()),
        currency: book.currency().clone(),
    };
    let refused = |error: crate::set_aside::SetAsideError| ExportError::Figures(error.to_string());
    let method = settings.get("set_aside.method").unwrap_or("percent");
    method_named(method)
        .and_then(|method| method.estimate(&facts))
        .map_err(refused)
}

/// The estimate, or none where the method or its dates have nothing for the year: other answers stand without it.
fn set_aside_if_any(book: &Book, year: i32) -> Result<Option<Estimate>, ExportError> {
    match set_aside(book, year, None) {
        Ok(estimate) => Ok(Some(estimate)),
        Err(ExportError::Figures(_)) => Ok(None),
        Err(error) => Err(error),
    }
}

fn cost_accounts(book: &Book, statement: &ProfitStatement) -> usize {
    let is_cost = |account| {
        book.chart().account(account).is_ok_and(|account| {
            account.class == crate::ledger::AccountClass::Expense
                && account.group != crate::ledger::Account::COST_OF_GOODS_SOLD_GROUP
        })
    };
    statement
        .lines
        .iter()
        .filter(|line| is_cost(line.account))
        .count()
}

/// The wear of equipment that is not posted yet, through a day.
///
/// # Errors
/// When the book cannot be read.
pub fn wear_through(book: &Book, through: NaiveDate) -> Result<DepreciationProposal, BookError> {
    let charged: BTreeMap<String, Money> = book.depreciation_charged()?;
    Ok(propose(
        &book.equipment()?,
        &charged,
        through,
        book.year_start(),
    ))
}

/// Small equipment that was a cost at once, up to the end of a day.
///
/// # Errors
/// When the book cannot be read.
pub fn small_equipment(book: &Book, as_of: NaiveDate) -> Result<Vec<SmallEquipment>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        range: DateRange::new(book.first_day().min(as_of), as_of),
        account: Some(book.chart().role(Role::SmallTools)?),
        ..EntryFilter::default()
    })?;
    Ok(list_small(book.chart(), &book.entries(&numbers)?)?)
}

/// What it cost to start: up to the day before the business opened or, where that is not set, before the first sale.
///
/// # Errors
/// When the book cannot be read.
pub fn cost_to_start(book: &Book, today: NaiveDate) -> Result<CostToStart, BookError> {
    let opened = match book.settings().opened_for_business_on() {
        Some(day) => Some(day),
        None => first_day_of(book, EntryKind::Sale)?,
    };
    let through = opened
        .and_then(|day| day.pred_opt())
        .unwrap_or(today)
        .max(book.first_day());
    let range = DateRange {
        from: book.first_day(),
        to: through,
    };
    Ok(sum_up_start(book.chart(), &entries(book, range)?, through))
}

fn first_day_of(book: &Book, kind: EntryKind) -> Result<Option<NaiveDate>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        kind: Some(kind),
        ..EntryFilter::default()
    })?;
    match numbers.first() {
        Some(number) => Ok(Some(book.entry(*number)?.entry.header.date)),
        None => Ok(None),
    }
}

/// What wants doing on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn needs(book: &Book, today: NaiveDate) -> Result<Vec<Need>, ExportError> {
    let year = book.year_start().year_of(today);
    let estimate = set_aside_if_any(book, year)?;
    let wear = wear_through(book, last_whole_month(today))?;
    let pieces = wear.lines.iter().map(|line| line.name.clone()).collect();
    let whole = wear.total().whole;
    let last_year = book.year_start().year_ending_in(year - 1);
    let is_open = book.lock_date().is_none_or(|lock| lock < last_year.to);
    let had_entries = book
        .days_covered()?
        .is_some_and(|covered| covered.from <= last_year.to);
    let found = Found {
        recurring: due_purchases(book)?,
        depreciation: whole.is_positive().then_some((wear.through, whole, pieces)),
        paid_ahead: UsedUp::of(&paid_ahead_due(book, today)?, today),
        receipts_missing: with_days(book, &book.entries_with_proof(ProofState::Missing)?)?,
        purpose_missing: purpose_missing(book)?,
        set_aside: estimate
            .filter(|estimate| estimate.to_move.is_positive())
            .and_then(|estimate| Some((estimate.to_move, estimate.next_due(today)?.due))),
        channels: channels_due(book, today)?,
        drafts: Vec::new(),
        year_to_close: (is_open && had_entries).then_some((year - 1, last_year)),
    };
    Ok(list_needs(&found, today, book.currency()))
}

/// The last day of the last month that is over, or today when its month ends today.
fn last_whole_month(today: NaiveDate) -> NaiveDate {
    let month = Month::of(today);
    if month.last_day() == today {
        today
    } else {
        month.plus(-1).last_day()
    }
}

fn due_purchases(book: &Book) -> Result<Vec<DuePurchase>, BookError> {
    Ok(book
        .recurring()?
        .into_iter()
        .filter(|one| one.is_active)
        .map(|one| DuePurchase {
            id: one.id,
            name: one.name,
            amount: one.amount,
            due: one.next_due,
        })
        .collect())
}

fn with_days(
    book: &Book,
    numbers: &[EntryNumber],
) -> Result<Vec<(EntryNumber, NaiveDate)>, BookError> {
    Ok(book
        .entries(numbers)?
        .into_iter()
        .map(|posted| (posted.number, posted.entry.header.date))
        .collect())
}

fn purpose_missing(book: &Book) -> Result<Vec<(EntryNumber, NaiveDate)>, BookError> {
    let Some(above) = book.settings().purpose_above() else {
        return Ok(Vec::new());
    };
    let purchases = book.entry_numbers(&EntryFilter {
        kind: Some(EntryKind::Purchase),
        ..EntryFilter::default()
    })?;
    let mut missing = Vec::new();
    for posted in book.entries(&purchases)? {
        let is_large = posted.entry.total() >= above && posted.reversed_by.is_none();
        if is_large && book.proof(posted.number)?.purpose.trim().is_empty() {
            missing.push((posted.number, posted.entry.header.date));
        }
    }
    Ok(missing)
}

fn channels_due(book: &Book, today: NaiveDate) -> Result<Vec<ChannelDue>, BookError> {
    let to_date = book.balances_to(today)?;
    let holds = book.holds()?;
    let mut channels = Vec::new();
    for account in book.chart().channels() {
        let filter = EntryFilter {
            account: Some(account.id),
            ..EntryFilter::default()
        };
        let payouts = book.entry_numbers(&EntryFilter {
            kind: Some(EntryKind::Payout),
            ..filter.clone()
        })?;
        let last = match payouts.last() {
            Some(number) => Some(*number),
            None => book.entry_numbers(&filter)?.first().copied(),
        };
        let last_payout = match last {
            Some(number) => Some(book.entry(number)?.entry.header.date),
            None => None,
        };
        channels.push(ChannelDue {
            channel: account.id,
            name: account.name.clone(),
            due: to_date.net(account.id),
            last_payout,
            held_until: holds
                .iter()
                .filter(|hold| hold.channel == account.id && hold.released.is_none())
                .filter_map(|hold| hold.until)
                .min(),
        });
    }
    Ok(channels)
}

/// What is free to spend on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn free_to_spend(book: &Book, today: NaiveDate) -> Result<FreeToSpend, ExportError> {
    let estimate = set_aside_if_any(book, book.year_start().year_of(today))?;
    let to_move = estimate.map_or(Money::ZERO, |estimate| estimate.to_move);
    let last = today + Days::new(SOON_DAYS);
    let due_soon = due_purchases(book)?
        .iter()
        .filter(|due| due.due <= last)
        .map(|due| due.amount)
        .sum();
    let claims = Claims {
        due_soon,
        set_aside_gap: to_move.max(Money::ZERO),
        reserve: book.settings().amount("reserve").unwrap_or_default(),
    };
    Ok(work_out_free(
        book.chart(),
        &book.balances_to(today)?,
        claims,
    ))
}
