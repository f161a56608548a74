//! Profit, balance sheet, trial balance and form lines as tables.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::span;
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::ledger::{AccountClass, Chart};
use crate::money::{Currency, Money};
use crate::statements::{
    BalanceSheet, Basis, ProfitSection, ProfitStatement, ProfitTotals, StatementLine, TrialBalance,
    compare,
};

/// The profit statement, with last year's beside it when given.
#[must_use]
pub fn profit(
    statement: &ProfitStatement,
    before: Option<&ProfitStatement>,
    chart: &Chart,
    currency: &Currency,
) -> Table {
    let mut columns = vec![statement.clone()];
    columns.extend(before.cloned());
    let titles: Vec<(&'static str, String)> = [
        ("amount", currency.code().to_owned()),
        ("year_before", "A year before".to_owned()),
    ]
    .into_iter()
    .take(columns.len())
    .collect();
    let subtitle = format!(
        "{}, accrual basis: what was sold and bought in these days, whenever it was paid",
        span(statement.range)
    );
    of_columns(&columns, &titles, subtitle, chart)
}

/// The profit statement split into periods, one column each.
#[must_use]
pub fn profit_periods(
    parts: &[ProfitStatement],
    whole: DateRange,
    basis: Basis,
    chart: &Chart,
) -> Table {
    // CSV headers are words known beforehand; the periods themselves stand in the titles and the first row.
    let titles: Vec<(&'static str, String)> = parts
        .iter()
        .map(|part| ("amount", part_title(part.range)))
        .collect();
    of_columns(
        parts,
        &titles,
        format!("{}, {basis} basis", span(whole)),
        chart,
    )
}

/// The profit statement month by month, with the whole year and the year before at its side.
#[must_use]
pub fn profit_grid(
    months: &[ProfitStatement],
    year: &ProfitStatement,
    before: &ProfitStatement,
    chart: &Chart,
) -> Table {
    let mut columns: Vec<ProfitStatement> = Vec::new();
    let mut titles = Vec::new();
    for (month, slug) in months.iter().zip(MONTHS) {
        let name = crate::dates::Month::of(month.range.from).name();
        titles.push((slug, name.chars().take(3).collect()));
        columns.push(month.clone());
    }
    titles.push(("year", "Year".to_owned()));
    titles.push(("year_before", "Year before".to_owned()));
    columns.extend([year.clone(), before.clone()]);
    let subtitle = format!("{}, accrual basis, month by month", span(year.range));
    let mut table = of_columns(&columns, &titles, subtitle, chart);
    table.title = "Profit, each month beside the others".to_owned();
    table
}

/// The months of a financial year, as sheets call them.
const MONTHS: [&str; 12] = [
    "month_1", "month_2", "month_3", "month_4", "month_5", "month_6", "month_7", "month_8",
    "month_9", "month_10", "month_11", "month_12",
];

fn part_title(range: DateRange) -> String {
    let (first, last) = (
        crate::dates::Month::of(range.from),
        crate::dates::Month::of(range.to),
    );
    let short = |month: crate::dates::Month| {
        let name: String = month.name().chars().take(3).collect();
        format!("{name} {}", month.year())
    };
    if first == last {
        short(first)
    } else {
        let name: String = first.name().chars().take(3).collect();
        format!("{name}-{}", short(last))
    }
}

fn of_columns(
    columns: &[ProfitStatement],
    titles: &[(&'static str, String)],
    subtitle: String,
    chart: &Chart,
) -> Table {
    let comparison = compare(chart, columns);
    let mut table = Table::new("Profit statement", subtitle)
        .csv_column("group")
        .csv_column("account")
        .column("name", "");
    for (slug, title) in titles {
        table = table.column(slug, title.clone());
    }
    let cells = |name: &str, of: fn(&ProfitTotals) -> Money| {
        let mut cells = vec![Cell::Empty, Cell::Empty, name.into()];
        cells.extend(comparison.totals.iter().map(|totals| of(totals).into()));
        cells
    };
    let totals = |table: &mut Table, style, name: &str, of| table.push(style, cells(name, of));
    let (mut sales, mut gross, mut other) = (0, 0, None);
    for section in ProfitSection::ALL {
        let mut group = None;
        for row in comparison.rows.iter().filter(|row| row.section == section) {
            if group != Some(&row.group) {
                table.heading(&row.group);
                group = Some(&row.group);
            }
            let mut cells = vec![
                row.group.as_str().into(),
                row.number.as_str().into(),
                row.name.as_str().into(),
            ];
            cells.extend(row.amounts.iter().map(|amount| (*amount).into()));
            table.line(cells);
        }
        match section {
            ProfitSection::Sales => {
                sales = totals(&mut table, RowStyle::Total, "Net sales", |t| t.net_sales);
            }
            ProfitSection::CostOfGoodsSold => {
                let goods = totals(&mut table, RowStyle::Total, "Cost of goods sold", |t| {
                    t.cost_of_goods_sold
                });
                gross = table.sum_of(
                    RowStyle::Total,
                    cells("Gross profit", |t| t.gross_profit),
                    &[SumPart::more(sales), SumPart::less(goods)],
                );
            }
            ProfitSection::OtherIncome if group.is_some() => {
                other = Some(totals(&mut table, RowStyle::Total, "Other income", |t| {
                    t.other_income
                }));
            }
            ProfitSection::OtherIncome => {}
            ProfitSection::Costs => {
                let costs = totals(&mut table, RowStyle::Total, "Costs", |t| t.costs);
                let mut parts = vec![SumPart::more(gross), SumPart::less(costs)];
                parts.extend(other.map(SumPart::more));
                table.sum_of(
                    RowStyle::Final,
                    cells("Net profit", |t| t.net_profit),
                    &parts,
                );
            }
        }
    }
    table
}

/// The balance sheet.
#[must_use]
pub fn balance(sheet: &BalanceSheet, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Balance sheet",
        format!("At the end of {}", show_day(sheet.as_of)),
    )
    .csv_column("class")
    .csv_column("group")
    .csv_column("account")
    .column("name", "")
    .column("amount", currency.code());
    let total = |name: &str, amount: Money| {
        vec![
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            name.into(),
            amount.into(),
        ]
    };
    for (class, title, sum) in [
        (
            AccountClass::Asset,
            "What the business has",
            sheet.totals.assets,
        ),
        (
            AccountClass::Liability,
            "What it owes",
            sheet.totals.liabilities,
        ),
        (
            AccountClass::Equity,
            "What belongs to the owner",
            sheet.totals.equity,
        ),
    ] {
        let mut group = None;
        for line in sheet.lines.iter().filter(|line| line.class == class) {
            if group != Some(&line.group) {
                table.heading(&line.group);
                group = Some(&line.group);
            }
            table.line(vec![
                line.class.as_str().into(),
                line.group.as_str().into(),
                line.number.as_str().into(),
                line.name.as_str().into(),
                line.amount.into(),
            ]);
        }
        let style = if class == AccountClass::Asset {
            RowStyle::Final
        } else {
            RowStyle::Total
        };
        table.push(style, total(title, sum));
    }
    table.push(
        RowStyle::Final,
        total(
            "Owed and belonging to the owner",
            sheet.totals.liabilities + sheet.totals.equity,
        ),
    );
    table
}

/// The trial balance.
#[must_use]
pub fn trial(trial: &TrialBalance, as_of: NaiveDate, range: Option<DateRange>) -> Table {
    let subtitle = range.map_or_else(|| format!("At the end of {}", show_day(as_of)), span);
    let mut table = Table::new("Trial balance", subtitle)
        .column("number", "No.")
        .column("name", "Account")
        .column("debit", "Debit")
        .column("credit", "Credit");
    let side = |amount: Money| {
        if amount.is_zero() {
            Cell::Empty
        } else {
            amount.into()
        }
    };
    for row in &trial.accounts {
        table.line(vec![
            row.number.as_str().into(),
            row.name.as_str().into(),
            side(row.debit),
            side(row.credit),
        ]);
    }
    table.push(
        RowStyle::Final,
        vec![
            Cell::Empty,
            "Total".into(),
            trial.total_debit.into(),
            trial.total_credit.into(),
        ],
    );
    table
}

/// The profit statement's lines added up by the tax form's lines that the accounts name. Accounts without a line
/// stand under an empty one.
#[must_use]
pub fn form_lines(statement: &ProfitStatement, chart: &Chart, currency: &Currency) -> Table {
    let mut sums: BTreeMap<String, (Money, Vec<&StatementLine>)> = BTreeMap::new();
    for line in &statement.lines {
        let form_line = chart
            .account(line.account)
            .ok()
            .and_then(|account| account.form_line.clone())
            .unwrap_or_default();
        let (sum, lines) = sums.entry(form_line).or_default();
        *sum += line.amount;
        lines.push(line);
    }
    let mut table = Table::new("By lines of the tax form", span(statement.range))
        .column("form_line", "Line")
        .column("amount", currency.code())
        .column("accounts", "Accounts");
    let mut sorted: Vec<_> = sums.into_iter().collect();
    sorted.sort_by_key(|(line, _)| {
        let digits: String = line.chars().take_while(char::is_ascii_digit).collect();
        (digits.parse().unwrap_or(u32::MAX), line.clone())
    });
    for (form_line, (sum, lines)) in sorted {
        let accounts: Vec<String> = lines
            .iter()
            .map(|line| format!("{} {}", line.number, line.name))
            .collect();
        let shown = if form_line.is_empty() {
            "none".to_owned()
        } else {
            form_line
        };
        table.line(vec![shown.into(), sum.into(), accounts.join("; ").into()]);
    }
    table.note("A sorting aid only: where money belongs on a tax form depends on local rules; confirm with a licensed professional.");
    table
}
