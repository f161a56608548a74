//! What Money says: accounts with their balances and last movements, money over time, private things by month.
//! Read from the book after each change; drawing is `view`.

use chrono::NaiveDate;

use crate::app::screens::explain::{Source, natural};
use crate::book::{Book, BookError, Closings, EntryFilter};
use crate::dates::{DateRange, Month, show_day};
use crate::ledger::{Account, AccountClass, AccountId, Balances, EntryKind, Role};
use crate::money::Money;
use crate::reports::{self, AgreedReport};

/// An account in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountRow {
    /// The account.
    pub account: AccountId,
    /// Its name.
    pub name: String,
    /// What a person makes of it, as `you owe`.
    pub about: String,
    /// The day it last moved.
    pub last: Option<NaiveDate>,
    /// What it holds, positive as a person expects it.
    pub balance: Money,
}

/// Private things of a month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrivateMonth {
    /// The month.
    pub month: Month,
    /// How many there were.
    pub count: usize,
    /// What they came to.
    pub amount: Money,
}

/// Everything in the room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoneyModel {
    /// All money in hand.
    pub in_hand: Money,
    /// Where it comes from.
    pub source: Source,
    /// Bank accounts, savings, cash.
    pub money: Vec<AccountRow>,
    /// What others owe and what is owed.
    pub owed: Vec<AccountRow>,
    /// Money in hand at the end of each month of the period.
    pub over_time: Vec<(Month, Money)>,
    /// Private things the business paid, by month.
    pub private: Vec<PrivateMonth>,
    /// How many lines the statements have, and how many of them are to be sorted.
    pub lines: (usize, usize),
    /// How far each account agrees with its statements; those that never moved are left away.
    pub agreed: Vec<AgreedReport>,
    /// Whether nothing ever moved.
    pub is_empty: bool,
}

impl MoneyModel {
    /// Reads it.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, period: DateRange, today: NaiveDate) -> Result<Self, BookError> {
        let balances = book.balances_to(today)?;
        let chart = book.chart();
        let mut money = Vec::new();
        for account in chart.money_accounts() {
            let balance = balances.net(account.id);
            if account.is_active || !balance.is_zero() {
                money.push(row(book, account, &balances, today)?);
            }
        }
        let mut owed = Vec::new();
        for account in chart
            .accounts()
            .into_iter()
            .filter(|account| is_owed(account))
        {
            let is_usual = matches!(account.role, Some(Role::CreditCard | Role::BillsToPay));
            if is_usual || !balances.net(account.id).is_zero() {
                owed.push(row(book, account, &balances, today)?);
            }
        }
        Ok(Self {
            in_hand: money.iter().map(|row| row.balance).sum(),
            source: Source::MoneyInHand(today),
            over_time: over_time(book, period)?,
            private: private_by_month(book, period)?,
            lines: (book.count_bank_lines()?, book.count_lines_to_sort(None)?.0),
            agreed: reports::agreed(book)?
                .into_iter()
                .filter(|one| one.is_used || one.last_statement.is_some())
                .collect(),
            is_empty: book.entry_count()? == 0 && book.count_bank_lines()? == 0,
            money,
            owed,
        })
    }
}

/// Accounts of what is owed to the business or by it; equipment, stock and payouts due have their own rooms.
fn is_owed(account: &Account) -> bool {
    match account.class {
        AccountClass::Liability => true,
        AccountClass::Asset => {
            account.is_channel()
                || matches!(
                    account.role,
                    Some(Role::InDispute | Role::CustomersOwe | Role::OwedByOwner)
                )
        }
        _ => false,
    }
}

fn row(
    book: &Book,
    account: &Account,
    balances: &Balances,
    today: NaiveDate,
) -> Result<AccountRow, BookError> {
    let balance = natural(account, balances.net(account.id));
    Ok(AccountRow {
        account: account.id,
        name: account.name.clone(),
        about: about(account, balance),
        last: book.last_movement(account.id, today)?,
        balance,
    })
}

fn about(account: &Account, balance: Money) -> String {
    if account.is_money() {
        return if balance.is_negative() {
            "overdrawn".to_owned()
        } else {
            String::new()
        };
    }
    let owes_you = account.class == AccountClass::Asset;
    match (balance.is_zero(), owes_you != balance.is_negative()) {
        (true, _) => "nothing open".to_owned(),
        (false, true) => "owed to you".to_owned(),
        (false, false) => "you owe".to_owned(),
    }
}

fn over_time(book: &Book, period: DateRange) -> Result<Vec<(Month, Money)>, BookError> {
    let accounts: Vec<AccountId> = book
        .chart()
        .money_accounts()
        .iter()
        .map(|account| account.id)
        .collect();
    let of = |balances: &Balances| -> Money { accounts.iter().map(|id| balances.net(*id)).sum() };
    let mut held = match period.from.pred_opt() {
        Some(eve) => of(&book.balances_to(eve)?),
        None => Money::ZERO,
    };
    let mut rows = Vec::new();
    for part in period.by_month() {
        held += of(&book.balances(part, Closings::With)?);
        rows.push((Month::of(part.from), held));
    }
    Ok(rows)
}

fn private_by_month(book: &Book, period: DateRange) -> Result<Vec<PrivateMonth>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(period),
        kind: Some(EntryKind::PrivatePayment),
        ..EntryFilter::default()
    })?;
    let mut months: Vec<PrivateMonth> = Vec::new();
    for posted in book.entries(&numbers)? {
        if posted.reversed_by.is_some() {
            continue;
        }
        let month = Month::of(posted.entry.header.date);
        let amount = posted.entry.total();
        match months.iter_mut().find(|row| row.month == month) {
            Some(row) => {
                row.count += 1;
                row.amount += amount;
            }
            None => months.push(PrivateMonth {
                month,
                count: 1,
                amount,
            }),
        }
    }
    months.sort_by_key(|row| row.month);
    Ok(months)
}

/// How far an account agrees with its statements, in words.
#[must_use]
pub fn agreed_words(agreed: &AgreedReport) -> String {
    let so_far = match agreed.agreed_to {
        Some(day) => format!("agrees with its statement up to {}", show_day(day)),
        None => "not compared with a statement yet".to_owned(),
    };
    match (agreed.is_broken, agreed.open.is_some()) {
        (true, _) => format!("{so_far}; something changed since"),
        (false, true) => format!("{so_far}; the next is begun"),
        (false, false) => so_far,
    }
}

/// Private things in a sentence: whether there are fewer than before.
#[must_use]
pub fn private_sentence(months: &[PrivateMonth]) -> String {
    match months {
        [] => "None in this time: business money paid for business things only.".to_owned(),
        [only] => format!("{} in {}.", things(only.count), only.month.name()),
        [.., before, last] if last.count < before.count => {
            format!(
                "{} in {}, fewer than the {} before.",
                things(last.count),
                last.month.name(),
                before.count
            )
        }
        [.., last] => format!(
            "{} in {}. Your own card keeps them apart.",
            things(last.count),
            last.month.name()
        ),
    }
}

fn things(count: usize) -> String {
    if count == 1 {
        "1 thing".to_owned()
    } else {
        format!("{count} things")
    }
}
