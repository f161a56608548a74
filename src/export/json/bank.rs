//! Statement lines, what is suggested for them, and accounts against their statements, as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::{AsOf, Period};
use crate::book::{Became, StatementFile};
use crate::dates::DateRange;
use crate::ledger::{Account, Chart};
use crate::money::{Currency, Money};
use crate::reports::{AgreedReport, SheetReport, Tray, as_on_statement};
use crate::sorting::{BankLine, Rule, Suggested};

/// An account's statement lines over some days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BankJson {
    #[serde(flatten)]
    period: Period,
    account: String,
    name: String,
    statements: Vec<StatementJson>,
    lines: Vec<LineJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StatementJson {
    file: String,
    format: String,
    brought_at: String,
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    lines: usize,
    closing_day: Option<NaiveDate>,
    closing_balance: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    line: i64,
    date: NaiveDate,
    amount: String,
    text: String,
    id: Option<String>,
    balance: Option<String>,
    file: String,
    row: u64,
    became: &'static str,
    entries: Vec<u64>,
    why: String,
}

/// An account's lines with what became of each.
#[must_use]
pub fn bank(
    account: &Account,
    lines: &[(BankLine, Option<Became>)],
    files: &[StatementFile],
    range: DateRange,
    currency: &Currency,
) -> BankJson {
    let plain = |amount: Money| currency.plain(amount);
    BankJson {
        period: Period::new(currency, range),
        account: account.number.clone(),
        name: account.name.clone(),
        statements: files
            .iter()
            .filter(|file| file.account == account.id)
            .map(|file| StatementJson {
                file: file.name.clone(),
                format: file.format.clone(),
                brought_at: file.at.clone(),
                from: file.days.map(|(from, _to)| from),
                to: file.days.map(|(_from, to)| to),
                lines: file.n_lines,
                closing_day: file.closing.map(|(day, _balance)| day),
                closing_balance: file.closing.map(|(_day, balance)| plain(balance)),
            })
            .collect(),
        lines: lines
            .iter()
            .map(|(line, became)| LineJson {
                line: line.id.0,
                date: line.date,
                amount: plain(line.amount),
                text: line.text.clone(),
                id: line.bank_id.clone(),
                balance: line.balance.map(plain),
                file: line.file.clone(),
                row: line.row,
                became: became.as_ref().map_or("to-sort", Became::as_str),
                entries: became.as_ref().map(Became::numbers).unwrap_or_default(),
                why: became.as_ref().map(Became::why).unwrap_or_default(),
            })
            .collect(),
    }
}

/// The lines to be sorted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TrayJson {
    currency: String,
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    count: usize,
    suggested: usize,
    covered: usize,
    lines: Vec<TrayLineJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TrayLineJson {
    line: i64,
    account: String,
    date: NaiveDate,
    amount: String,
    text: String,
    payee: String,
    suggestion: Option<SuggestionJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SuggestionJson {
    becomes: String,
    account: Option<String>,
    party: String,
    business_share: Option<String>,
    entry: Option<u64>,
    words: String,
    why: String,
    covered: bool,
}

/// The lines to be sorted, each with what is suggested and why.
#[must_use]
pub fn tray(tray: &Tray, chart: &Chart, currency: &Currency) -> TrayJson {
    let days = || tray.rows.iter().map(|row| row.line.date);
    TrayJson {
        currency: currency.code().to_owned(),
        from: days().min(),
        to: days().max(),
        count: tray.rows.len(),
        suggested: tray
            .rows
            .iter()
            .filter(|row| row.suggestion.is_some())
            .count(),
        covered: tray.n_covered(),
        lines: tray
            .rows
            .iter()
            .map(|row| TrayLineJson {
                line: row.line.id.0,
                account: number_of(chart, Some(row.line.account)).unwrap_or_default(),
                date: row.line.date,
                amount: currency.plain(row.line.amount),
                text: row.line.text.clone(),
                payee: row.line.payee().name(),
                suggestion: row.suggestion.as_ref().map(|suggestion| {
                    let why = suggestion.why(&tray.rules, currency);
                    let covered = suggestion.is_covered();
                    match &suggestion.what {
                        Suggested::Entry(number) => SuggestionJson {
                            becomes: "entry".to_owned(),
                            account: None,
                            party: String::new(),
                            business_share: None,
                            entry: Some(number.0),
                            words: format!("In the book as entry {number}"),
                            why,
                            covered,
                        },
                        Suggested::Treatment(treatment) => SuggestionJson {
                            becomes: treatment.meaning.as_str().to_owned(),
                            account: number_of(chart, treatment.account),
                            party: treatment.party.clone(),
                            business_share: Some(treatment.share.to_string()),
                            entry: None,
                            words: treatment.sentence(chart),
                            why,
                            covered,
                        },
                    }
                }),
            })
            .collect(),
    }
}

fn number_of(chart: &Chart, account: Option<crate::ledger::AccountId>) -> Option<String> {
    chart
        .account(account?)
        .ok()
        .map(|account| account.number.clone())
}

/// The owner's rules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RulesJson {
    currency: String,
    rules: Vec<RuleJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RuleJson {
    rule: i64,
    words: String,
    direction: &'static str,
    for_account: Option<String>,
    at_least: Option<String>,
    at_most: Option<String>,
    becomes: &'static str,
    account: Option<String>,
    party: String,
    business_share: String,
    active: bool,
}

/// The rules in the order in which they are asked.
#[must_use]
pub fn rules(rules: &[Rule], chart: &Chart, currency: &Currency) -> RulesJson {
    RulesJson {
        currency: currency.code().to_owned(),
        rules: rules
            .iter()
            .map(|rule| RuleJson {
                rule: rule.id,
                words: rule.words.clone(),
                direction: rule.direction.as_str(),
                for_account: number_of(chart, rule.account),
                at_least: rule.at_least.map(|amount| currency.plain(amount)),
                at_most: rule.at_most.map(|amount| currency.plain(amount)),
                becomes: rule.treatment.meaning.as_str(),
                account: number_of(chart, rule.treatment.account),
                party: rule.treatment.party.clone(),
                business_share: rule.treatment.share.to_string(),
                active: rule.is_active,
            })
            .collect(),
    }
}

/// Accounts against their statements.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReconciliationJson {
    #[serde(flatten)]
    as_of: AsOf,
    accounts: Vec<AgreedJson>,
    reconciliations: Vec<SheetJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AgreedJson {
    account: String,
    name: String,
    agreed_to: Option<NaiveDate>,
    broken: bool,
    open: Option<i64>,
    statement_day: Option<NaiveDate>,
    statement_balance: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SheetJson {
    reconciliation: i64,
    account: String,
    name: String,
    day: NaiveDate,
    opening: String,
    ticked: String,
    cleared: String,
    balance: String,
    difference: String,
    outstanding: String,
    book: String,
    finished_at: Option<String>,
    note: String,
    movements: Vec<MovementJson>,
    hints: Vec<String>,
    broken: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MovementJson {
    entry: u64,
    date: NaiveDate,
    amount: String,
    party: String,
    memo: String,
    ticked: bool,
}

/// Accounts against their statements, amounts as they stand on the statement: what is owed on a card is positive.
#[must_use]
pub fn reconciliation(
    accounts: &[AgreedReport],
    sheets: &[SheetReport],
    chart: &Chart,
    as_of: NaiveDate,
    currency: &Currency,
) -> ReconciliationJson {
    let shown = |id, amount: Money| {
        let amount = chart
            .account(id)
            .map_or(amount, |account| as_on_statement(account, amount));
        currency.plain(amount)
    };
    ReconciliationJson {
        as_of: AsOf::new(currency, as_of),
        accounts: accounts
            .iter()
            .map(|one| AgreedJson {
                account: number_of(chart, Some(one.account)).unwrap_or_default(),
                name: one.name.clone(),
                agreed_to: one.agreed_to,
                broken: one.is_broken,
                open: one.open,
                statement_day: one.last_statement.map(|(day, _balance)| day),
                statement_balance: one
                    .last_statement
                    .map(|(_day, balance)| shown(one.account, balance)),
            })
            .collect(),
        reconciliations: sheets
            .iter()
            .map(|report| {
                let (sheet, figures) = (&report.sheet, report.agreement);
                let shown = |amount: Money| shown(sheet.account, amount);
                SheetJson {
                    reconciliation: sheet.id,
                    account: number_of(chart, Some(sheet.account)).unwrap_or_default(),
                    name: report.name.clone(),
                    day: sheet.day,
                    opening: shown(figures.opening),
                    ticked: shown(figures.ticked),
                    cleared: shown(figures.cleared),
                    balance: shown(figures.balance),
                    difference: shown(figures.difference),
                    outstanding: shown(figures.outstanding),
                    book: shown(figures.book),
                    finished_at: sheet.finished_at.clone(),
                    note: sheet.note.clone(),
                    movements: report
                        .movements
                        .iter()
                        .map(|one| MovementJson {
                            entry: one.entry.0,
                            date: one.date,
                            amount: shown(one.amount),
                            party: one.party.clone(),
                            memo: one.memo.clone(),
                            ticked: sheet.ticked.iter().any(|was| was.entry == one.entry),
                        })
                        .collect(),
                    hints: report
                        .hints
                        .iter()
                        .map(|hint| hint.sentence(figures.difference, currency))
                        .collect(),
                    broken: report
                        .broken
                        .iter()
                        .map(|broken| broken.sentence(currency))
                        .collect(),
                }
            })
            .collect(),
    }
}
