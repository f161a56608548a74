//! Journal, account ledgers, accounts and settings as tables.

use super::span;
use crate::book::Settings;
use crate::dates::DateRange;
use crate::export::{Cell, RowStyle, Table};
use crate::ledger::{Account, Chart};
use crate::money::Money;
use crate::statements::{AccountLedger, JournalRow};

fn side(amount: Money) -> Cell {
    if amount.is_zero() {
        Cell::Empty
    } else {
        amount.into()
    }
}

/// Entries with their lines.
#[must_use]
pub fn journal(rows: &[JournalRow], range: DateRange) -> Table {
    let mut table = Table::new("Journal", span(range))
        .column("entry", "No.")
        .column("date", "Day")
        .csv_column("kind")
        .column("party", "With")
        .column("memo", "What")
        .csv_column("reference")
        .column("account", "Account")
        .csv_column("account_name")
        .column("debit", "Debit")
        .column("credit", "Credit");
    for row in rows {
        for line in &row.lines {
            let memo = if line.memo.is_empty() {
                &row.memo
            } else {
                &line.memo
            };
            table.line(vec![
                Cell::Number(row.number.to_string()),
                row.date.to_string().into(),
                row.kind.as_str().into(),
                row.party.as_str().into(),
                memo.as_str().into(),
                row.reference.as_str().into(),
                line.number.as_str().into(),
                line.name.as_str().into(),
                side(line.debit),
                side(line.credit),
            ]);
        }
    }
    table
}

/// One account, line by line.
#[must_use]
pub fn ledger(ledger: &AccountLedger, account: &Account) -> Table {
    let mut table = ledger_columns(Table::new(account.title(), span(ledger.range)));
    add_ledger(&mut table, ledger, account);
    table
}

/// Every account that moved, line by line.
#[must_use]
pub fn general_ledger(ledgers: &[(AccountLedger, &Account)], range: DateRange) -> Table {
    let mut table = ledger_columns(Table::new("General ledger", span(range)));
    for (ledger, account) in ledgers {
        table.heading(&account.title());
        add_ledger(&mut table, ledger, account);
    }
    table
}

fn ledger_columns(table: Table) -> Table {
    table
        .csv_column("account")
        .csv_column("account_name")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("memo", "What")
        .column("debit", "Debit")
        .column("credit", "Credit")
        .column("balance", "Balance")
}

fn add_ledger(table: &mut Table, ledger: &AccountLedger, account: &Account) {
    let edge = |words: &str, date: chrono::NaiveDate, balance: Money| {
        vec![
            account.number.as_str().into(),
            account.name.as_str().into(),
            Cell::Empty,
            date.to_string().into(),
            Cell::Empty,
            words.into(),
            Cell::Empty,
            Cell::Empty,
            balance.into(),
        ]
    };
    table.line(edge("Opening balance", ledger.range.from, ledger.opening));
    for line in &ledger.lines {
        table.line(vec![
            account.number.as_str().into(),
            account.name.as_str().into(),
            Cell::Number(line.entry.to_string()),
            line.date.to_string().into(),
            line.party.as_str().into(),
            line.memo.as_str().into(),
            side(line.debit),
            side(line.credit),
            line.balance.into(),
        ]);
    }
    table.push(
        RowStyle::Total,
        edge("Closing balance", ledger.range.to, ledger.closing),
    );
}

/// The chart of accounts.
#[must_use]
pub fn accounts(chart: &Chart) -> Table {
    let mut table = Table::new("Accounts", "")
        .column("number", "No.")
        .column("name", "Account")
        .column("class", "Class")
        .column("group", "Group")
        .csv_column("contra")
        .column("form_line", "Form line")
        .column("active", "In use");
    let yes_no = |yes: bool| if yes { "yes" } else { "no" };
    for account in chart.accounts() {
        table.line(vec![
            account.number.as_str().into(),
            account.name.as_str().into(),
            account.class.as_str().into(),
            account.group.as_str().into(),
            yes_no(account.is_contra).into(),
            account.form_line.clone().unwrap_or_default().into(),
            yes_no(account.is_active).into(),
        ]);
    }
    table
}

/// The settings.
#[must_use]
pub fn settings(settings: &Settings) -> Table {
    let mut table = Table::new("Settings", "")
        .column("key", "")
        .column("value", "")
        .column("about", "");
    for (setting, value) in settings.all() {
        table.line(vec![
            setting.key.into(),
            value.unwrap_or("(not set)").into(),
            setting.about.into(),
        ]);
    }
    for (key, value) in settings.further_answers() {
        table.line(vec![key.into(), value.into(), "for a worksheet".into()]);
    }
    if let Some(lock) = settings.lock_date() {
        table.note(format!("Everything up to and including {lock} is locked."));
    }
    table
}
