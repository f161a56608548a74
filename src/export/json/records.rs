//! Account ledger, journal, accounts and settings as JSON.

use serde::Serialize;
use serde_json::{Map, Value};

use super::Period;
use crate::book::Settings;
use crate::dates::DateRange;
use crate::ledger::{Account, Chart};
use crate::money::{Currency, Money};
use crate::statements::{AccountLedger, JournalRow};

/// One account, line by line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LedgerJson {
    #[serde(flatten)]
    period: Period,
    account: String,
    name: String,
    opening: String,
    lines: Vec<LedgerLineJson>,
    closing: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LedgerLineJson {
    entry: u64,
    date: chrono::NaiveDate,
    party: String,
    memo: String,
    debit: String,
    credit: String,
    balance: String,
}

/// An account's ledger as JSON. Balances are debits less credits.
#[must_use]
pub fn ledger(ledger: &AccountLedger, account: &Account, currency: &Currency) -> LedgerJson {
    LedgerJson {
        period: Period::new(currency, ledger.range),
        account: account.number.clone(),
        name: account.name.clone(),
        opening: currency.plain(ledger.opening),
        lines: ledger
            .lines
            .iter()
            .map(|line| LedgerLineJson {
                entry: line.entry.0,
                date: line.date,
                party: line.party.clone(),
                memo: line.memo.clone(),
                debit: currency.plain(line.debit),
                credit: currency.plain(line.credit),
                balance: currency.plain(line.balance),
            })
            .collect(),
        closing: currency.plain(ledger.closing),
    }
}

/// Entries with their lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct JournalJson {
    #[serde(flatten)]
    period: Period,
    entries: Vec<EntryJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct EntryJson {
    number: u64,
    date: chrono::NaiveDate,
    kind: &'static str,
    party: String,
    memo: String,
    reference: String,
    lines: Vec<EntryLineJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct EntryLineJson {
    account: String,
    debit: String,
    credit: String,
    memo: String,
}

/// The journal as JSON.
#[must_use]
pub fn journal(rows: &[JournalRow], range: DateRange, currency: &Currency) -> JournalJson {
    JournalJson {
        period: Period::new(currency, range),
        entries: rows
            .iter()
            .map(|row| EntryJson {
                number: row.number.0,
                date: row.date,
                kind: row.kind.as_str(),
                party: row.party.clone(),
                memo: row.memo.clone(),
                reference: row.reference.clone(),
                lines: row
                    .lines
                    .iter()
                    .map(|line| EntryLineJson {
                        account: line.number.clone(),
                        debit: currency.plain(line.debit),
                        credit: currency.plain(line.credit),
                        memo: line.memo.clone(),
                    })
                    .collect(),
            })
            .collect(),
    }
}

/// The chart of accounts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AccountsJson {
    currency: String,
    accounts: Vec<AccountJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AccountJson {
    number: String,
    name: String,
    class: &'static str,
    group: String,
    contra: bool,
    form_line: Option<String>,
    active: bool,
    role: Option<&'static str>,
}

/// The chart of accounts as JSON.
#[must_use]
pub fn accounts(chart: &Chart, currency: &Currency) -> AccountsJson {
    AccountsJson {
        currency: currency.code().to_owned(),
        accounts: chart
            .accounts()
            .into_iter()
            .map(|account| AccountJson {
                number: account.number.clone(),
                name: account.name.clone(),
                class: account.class.as_str(),
                group: account.group.clone(),
                contra: account.is_contra,
                form_line: account.form_line.clone(),
                active: account.is_active,
                role: account.role.map(crate::ledger::Role::as_str),
            })
            .collect(),
    }
}

/// The settings as one JSON object: every key with its value, `null` where it was never set.
#[must_use]
pub fn settings(settings: &Settings) -> Value {
    let mut object = Map::new();
    for (setting, value) in settings.all() {
        object.insert(
            setting.key.to_owned(),
            value.map_or(Value::Null, |value| Value::String(value.to_owned())),
        );
    }
    for (key, value) in settings.further_answers() {
        object.insert(key.to_owned(), Value::String(value.to_owned()));
    }
    object.insert(
        "lock_date".to_owned(),
        settings
            .lock_date()
            .map_or(Value::Null, |date| Value::String(date.to_string())),
    );
    Value::Object(object)
}

/// An amount, `null` for none.
pub(super) fn may(currency: &Currency, amount: Option<Money>) -> Option<String> {
    amount.map(|amount| currency.plain(amount))
}
