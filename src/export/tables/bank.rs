//! Statement lines, lines to be sorted, and accounts against their statements, as tables.

use chrono::NaiveDate;

use super::span;
use crate::book::Became;
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, Table};
use crate::ledger::{Account, Chart};
use crate::money::Currency;
use crate::reports::{AgreedReport, SheetReport, Tray, as_on_statement};
use crate::sorting::{BankLine, Rule, Suggested};

/// An account's statement lines with what became of each.
#[must_use]
pub fn bank(account: &Account, lines: &[(BankLine, Option<Became>)], range: DateRange) -> Table {
    let mut table = Table::new(format!("Statement lines, {}", account.title()), span(range))
        .column("line", "Line")
        .column("date", "Date")
        .column("text", "What the bank wrote")
        .column("amount", "Amount")
        .column("balance", "Balance")
        .column("became", "In the book");
    for (line, became) in lines {
        let became = match became {
            None => "to be sorted".to_owned(),
            Some(Became::LeftOut(why)) => format!("left out: {why}"),
            Some(Became::Entries { numbers, .. }) => {
                let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
                format!("entry {}", numbers.join(", "))
            }
        };
        table.line(vec![
            line.id.to_string().as_str().into(),
            show_day(line.date).as_str().into(),
            line.text.as_str().into(),
            line.amount.into(),
            line.balance.map_or(Cell::Empty, Cell::from),
            became.as_str().into(),
        ]);
    }
    table
}

/// The lines to be sorted, each with what is suggested and why.
#[must_use]
pub fn tray(tray: &Tray, chart: &Chart, currency: &Currency) -> Table {
    let about = match tray.rows.len() {
        0 => "Nothing is left to sort".to_owned(),
        1 => "1 line to sort".to_owned(),
        many => format!("{many} lines to sort"),
    };
    let mut table = Table::new("To be sorted", about)
        .column("line", "Line")
        .column("account", "Account")
        .column("date", "Date")
        .column("text", "What the bank wrote")
        .column("amount", "Amount")
        .column("suggestion", "Suggested")
        .column("why", "Why");
    for row in &tray.rows {
        let (what, why) = match &row.suggestion {
            None => (String::new(), String::new()),
            Some(suggestion) => (
                match &suggestion.what {
                    Suggested::Entry(number) => format!("In the book as entry {number}"),
                    Suggested::Treatment(treatment) => treatment.sentence(chart),
                },
                suggestion.why(&tray.rules, currency),
            ),
        };
        let account = chart
            .account(row.line.account)
            .map_or("", |account| account.number.as_str());
        table.line(vec![
            row.line.id.to_string().as_str().into(),
            account.into(),
            show_day(row.line.date).as_str().into(),
            row.line.text.as_str().into(),
            row.line.amount.into(),
            what.as_str().into(),
            why.as_str().into(),
        ]);
    }
    table
}

/// The rules in the order in which they are asked.
#[must_use]
pub fn rules(rules: &[Rule], chart: &Chart, currency: &Currency) -> Table {
    let mut table = Table::new("Rules for sorting", "The first that fits counts".to_owned())
        .column("rule", "Rule")
        .column("for", "For")
        .column("becomes", "Becomes")
        .column("active", "Asked");
    for rule in rules {
        table.line(vec![
            rule.id.to_string().as_str().into(),
            rule.sentence(currency).as_str().into(),
            rule.treatment.sentence(chart).as_str().into(),
            if rule.is_active { "yes" } else { "no" }.into(),
        ]);
    }
    table
}

/// How far each account agrees with its statements.
#[must_use]
pub fn agreed(accounts: &[AgreedReport], chart: &Chart, as_of: NaiveDate) -> Table {
    let mut table = Table::new(
        "Accounts against their statements",
        format!("On {}", show_day(as_of)),
    )
    .column("account", "Account")
    .column("agreed_to", "Agrees up to")
    .column("statement_day", "Last statement")
    .column("statement_balance", "Its balance")
    .column("note", "");
    for one in accounts.iter().filter(|one| one.is_used) {
        let balance = one.last_statement.map_or(Cell::Empty, |(_day, balance)| {
            chart.account(one.account).map_or(Cell::Empty, |account| {
                as_on_statement(account, balance).into()
            })
        });
        let note = match (one.is_broken, one.open) {
            (true, _) => "an entry changed since",
            (false, Some(_)) => "being worked on",
            (false, None) => "",
        };
        table.line(vec![
            chart.title(one.account).as_str().into(),
            one.agreed_to
                .map_or_else(|| "not yet".to_owned(), show_day)
                .as_str()
                .into(),
            one.last_statement
                .map(|(day, _balance)| show_day(day))
                .unwrap_or_default()
                .as_str()
                .into(),
            balance,
            note.into(),
        ]);
    }
    table
}

/// A sheet: from what was agreed before to the statement, what is outstanding, and the book's balance.
#[must_use]
pub fn reconciliation(report: &SheetReport, account: &Account, currency: &Currency) -> Table {
    let shown = |amount| Cell::from(as_on_statement(account, amount));
    let sheet = &report.sheet;
    let state = if sheet.finished_at.is_some() {
        "finished"
    } else {
        "being worked on"
    };
    let mut table = Table::new(
        format!("{} against its statement", account.title()),
        format!("{}, sheet {}, {state}", show_day(sheet.day), sheet.id),
    )
    .column("ticked", "")
    .column("entry", "Entry")
    .column("date", "Date")
    .column("what", "What")
    .column("amount", "Amount");
    let is_ticked = |number| sheet.ticked.iter().any(|one| one.entry == number);
    for one in &report.movements {
        let what = [one.party.trim(), one.memo.trim()]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(", ");
        table.line(vec![
            if is_ticked(one.entry) { "x" } else { "" }.into(),
            one.entry.to_string().as_str().into(),
            show_day(one.date).as_str().into(),
            what.as_str().into(),
            shown(one.amount),
        ]);
    }
    let figures = report.agreement;
    for (label, amount) in [
        ("Agreed before", figures.opening),
        ("Ticked", figures.ticked),
        ("Together", figures.cleared),
        ("The statement", figures.balance),
        ("Difference", figures.difference),
        ("Outstanding, not yet on the statement", figures.outstanding),
        ("In the book", figures.book),
    ] {
        table.line(vec![
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            label.into(),
            shown(amount),
        ]);
    }
    for hint in &report.hints {
        table.note(hint.sentence(figures.difference, currency));
    }
    for broken in &report.broken {
        table.note(broken.sentence(currency));
    }
    table
}
