//! A year by the lines of a tax form, as a table.
//! What stands on each line is decided in `form_lines`; here it is where it stands.

use std::collections::BTreeMap;

use super::span;
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::form_lines::{FORM_CAUTION, FormAccount, FormLines};
use crate::money::{Currency, Money};

/// The lines of the form, then what it does not take and what has no line, down to the profit of the statement.
#[must_use]
pub fn tax_form(report: &FormLines, currency: &Currency) -> Table {
    let mut table = Table::new(
        format!("By lines of the form: {}", report.title),
        format!(
            "{}, {} basis, lines of the tax year {}",
            span(report.range),
            report.basis,
            report.for_year
        ),
    )
    .csv_column("part")
    .column("line", "Line")
    .column("what", "")
    .column("amount", currency.code())
    .column("accounts", "Accounts");
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    let mut part = "";
    for line in &report.lines {
        if line.part != part {
            part = &line.part;
            table.heading(part);
        }
        let style = if line.is_worked_out {
            RowStyle::Total
        } else {
            RowStyle::Line
        };
        let amount = match line.amount {
            Some(amount) if line.is_worked_out || !amount.is_zero() => amount.into(),
            Some(_) => Cell::Empty,
            None => Cell::Text(line.words.clone()),
        };
        let what = if line.is_unverified {
            format!("{} (not held against the form)", line.what)
        } else {
            line.what.clone()
        };
        let place = table.push(
            style,
            vec![
                line.part.as_str().into(),
                line.number.as_str().into(),
                what.into(),
                amount,
                listed(&line.accounts, currency).into(),
            ],
        );
        places.insert(&line.number, place);
    }
    // A form's lines rest on lines that come after them too.
    for line in report.lines.iter().filter(|line| line.is_worked_out) {
        let row = |number: &String| places.get(number.as_str()).copied();
        let more = line.plus.iter().filter_map(row).map(SumPart::more);
        let less = line.minus.iter().filter_map(row).map(SumPart::less);
        if let Some(place) = row(&line.number) {
            table.say_sum(place, more.chain(less).collect());
        }
    }
    let mut to_profit: Vec<SumPart> = places
        .get(report.net_line.as_str())
        .map(|place| SumPart::more(*place))
        .into_iter()
        .collect();
    for (heading, accounts) in [
        ("Not taken by this form", &report.left_out),
        ("Accounts without a line", &report.without_line),
    ] {
        if accounts.is_empty() {
            continue;
        }
        table.heading(heading);
        for one in accounts {
            let place = table.push(
                RowStyle::Line,
                vec![
                    heading.into(),
                    Cell::Empty,
                    one.title.as_str().into(),
                    one.amount.into(),
                    one.why.as_str().into(),
                ],
            );
            to_profit.push(SumPart::more(place));
        }
    }
    let total = |words: &str, amount: Money| {
        vec![
            Cell::Empty,
            Cell::Empty,
            words.into(),
            amount.into(),
            Cell::Empty,
        ]
    };
    table.sum_of(
        RowStyle::Final,
        total("Net profit of the statement", report.profit),
        &to_profit,
    );
    if let Some(assumed) = &report.assumed {
        table.note(assumed.clone());
    }
    table.note(format!(
        "Lines from: {}; checked {}.",
        report.source, report.checked
    ));
    table.note(FORM_CAUTION);
    table
}

/// The accounts of a line, with their amounts when there are several.
fn listed(accounts: &[FormAccount], currency: &Currency) -> String {
    match accounts {
        [] => String::new(),
        [one] => one.title.clone(),
        several => several
            .iter()
            .map(|one| format!("{} {}", one.title, currency.plain(one.amount)))
            .collect::<Vec<_>>()
            .join("; "),
    }
}
