//! The statements of a whole year as its pack shows them: the year before or the opening beside it, and by which line of
//! the tax form each account is sorted.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::span;
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::form_lines::FormLines;
use crate::ledger::{AccountClass, AccountId, Balances, Chart};
use crate::money::{Currency, Money};
use crate::statements::{BalanceSheet, ProfitSection, ProfitStatement, ProfitTotals, compare};

/// By which line of the form each account is sorted, as the form's own schedule says; where no form is known, as the
/// accounts themselves say.
#[must_use]
pub fn form_lines_by_account(
    form: Option<&FormLines>,
    chart: &Chart,
) -> BTreeMap<AccountId, String> {
    if let Some(form) = form {
        let lines = form.lines.iter();
        return lines
            .flat_map(|line| {
                line.accounts
                    .iter()
                    .map(|one| (one.account, line.number.clone()))
            })
            .collect();
    }
    let accounts = chart.accounts().into_iter();
    accounts
        .filter_map(|account| Some((account.id, account.form_line.clone()?)))
        .collect()
}

fn form_line(lines: &BTreeMap<AccountId, String>, account: AccountId) -> Cell {
    let line = lines.get(&account).cloned();
    line.map_or(Cell::Empty, Cell::Text)
}

/// The profit statement with the year before, the change and the form line of each account.
#[must_use]
pub fn profit_of_year(
    statement: &ProfitStatement,
    before: &ProfitStatement,
    chart: &Chart,
    lines: &BTreeMap<AccountId, String>,
    currency: &Currency,
) -> Table {
    let comparison = compare(chart, &[statement.clone(), before.clone()]);
    let mut table = Table::new(
        "Profit statement",
        format!(
            "{}, accrual basis: what was sold and bought in these days, whenever it was paid",
            span(statement.range)
        ),
    )
    .csv_column("group")
    .column("account", "No.")
    .column("name", "")
    .column("amount", currency.code())
    .column("year_before", "A year before")
    .column("change", "Change")
    .column("form_line", "Form line");
    let amounts = |now: Money, then: Money| [now.into(), then.into(), (now - then).into()];
    let sum = |name: &str, of: fn(&ProfitTotals) -> Money| {
        let mut cells = vec![Cell::Empty, Cell::Empty, name.into()];
        cells.extend(amounts(of(&statement.totals), of(&before.totals)));
        cells
    };
    let mut places = BTreeMap::new();
    for section in ProfitSection::ALL {
        let rows: Vec<_> = comparison
            .rows
            .iter()
            .filter(|row| row.section == section)
            .collect();
        let is_empty = rows.is_empty();
        let mut group = None;
        for row in rows {
            if group != Some(&row.group) {
                table.heading(&row.group);
                group = Some(&row.group);
            }
            let amount = |place: usize| row.amounts.get(place).copied().unwrap_or_default();
            let mut cells = vec![
                row.group.as_str().into(),
                row.number.as_str().into(),
                row.name.as_str().into(),
            ];
            cells.extend(amounts(amount(0), amount(1)));
            cells.push(form_line(lines, row.account));
            table.line(cells);
        }
        let of_section: (&str, fn(&ProfitTotals) -> Money) = match section {
            ProfitSection::Sales => ("Net sales", |t| t.net_sales),
            ProfitSection::CostOfGoodsSold => ("Cost of goods sold", |t| t.cost_of_goods_sold),
            ProfitSection::OtherIncome => ("Other income", |t| t.other_income),
            ProfitSection::Costs => ("Costs", |t| t.costs),
        };
        if section != ProfitSection::OtherIncome || !is_empty {
            let place = table.push(RowStyle::Total, sum(of_section.0, of_section.1));
            places.insert(section, place);
        }
        if section == ProfitSection::CostOfGoodsSold {
            let parts = signed(&places, &[(ProfitSection::Sales, false), (section, true)]);
            let cells = sum("Gross profit", |t| t.gross_profit);
            let place = table.sum_of(RowStyle::Total, cells, &parts);
            // From here on the gross profit stands for the two sections above it.
            places.insert(ProfitSection::Sales, place);
        }
    }
    let parts = signed(
        &places,
        &[
            (ProfitSection::Sales, false),
            (ProfitSection::OtherIncome, false),
            (ProfitSection::Costs, true),
        ],
    );
    table.sum_of(RowStyle::Final, sum("Net profit", |t| t.net_profit), &parts);
    table.note(
        "The form line is where schedule E sorts the account, a sorting aid only. Book depreciation is not presented \
         as a tax deduction.",
    );
    table
}

fn signed(
    places: &BTreeMap<ProfitSection, usize>,
    wanted: &[(ProfitSection, bool)],
) -> Vec<SumPart> {
    wanted
        .iter()
        .filter_map(|(section, is_less)| {
            let row = *places.get(section)?;
            Some(SumPart {
                row,
                is_less: *is_less,
            })
        })
        .collect()
}

/// The balance sheet with the year's opening beside its end.
#[must_use]
pub fn balance_of_year(
    opening: &BalanceSheet,
    closing: &BalanceSheet,
    first_day: NaiveDate,
    currency: &Currency,
) -> Table {
    let mut table = Table::new(
        "Balance sheet",
        format!(
            "At the end of {}, beside the beginning of {}",
            show_day(closing.as_of),
            show_day(first_day)
        ),
    )
    .csv_column("class")
    .csv_column("group")
    .column("account", "No.")
    .column("name", "")
    .column("amount", format!("Closing, {}", currency.code()))
    .column("opening", "Opening");
    let mut sums = Vec::new();
    for (class, title) in [
        (AccountClass::Asset, "What the business has"),
        (AccountClass::Liability, "What it owes"),
        (AccountClass::Equity, "What belongs to the owner"),
    ] {
        let total = |sheet: &BalanceSheet| match class {
            AccountClass::Asset => sheet.totals.assets,
            AccountClass::Liability => sheet.totals.liabilities,
            _ => sheet.totals.equity,
        };
        for (group, number, name, now, then) in joined(opening, closing, class) {
            if table_needs_heading(&table, &group) {
                table.heading(&group);
            }
            table.line(vec![
                class.as_str().into(),
                group.into(),
                number.into(),
                name.into(),
                now.into(),
                then.into(),
            ]);
        }
        let style = if class == AccountClass::Asset {
            RowStyle::Final
        } else {
            RowStyle::Total
        };
        sums.push(table.push(style, sum_cells(title, total(closing), total(opening))));
    }
    let parts: Vec<SumPart> = sums.iter().skip(1).copied().map(SumPart::more).collect();
    let both = |sheet: &BalanceSheet| sheet.totals.liabilities + sheet.totals.equity;
    table.sum_of(
        RowStyle::Final,
        sum_cells(
            "Owed and belonging to the owner",
            both(closing),
            both(opening),
        ),
        &parts,
    );
    table
}

fn sum_cells(title: &str, now: Money, then: Money) -> Vec<Cell> {
    vec![
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        title.into(),
        now.into(),
        then.into(),
    ]
}

/// Whether the last heading names another group.
fn table_needs_heading(table: &Table, group: &str) -> bool {
    let last = table
        .rows()
        .iter()
        .rfind(|(style, _cells)| *style != RowStyle::Line);
    match last {
        Some((RowStyle::Heading, cells)) => cells.first() != Some(&Cell::Text(group.to_owned())),
        _ => true,
    }
}

type JoinedLine = (String, String, String, Money, Money);

/// The lines of a class that either sheet has, in the order of the later one.
fn joined(opening: &BalanceSheet, closing: &BalanceSheet, class: AccountClass) -> Vec<JoinedLine> {
    let key = |line: &crate::statements::BalanceLine| {
        (line.group.clone(), line.number.clone(), line.name.clone())
    };
    let mut rows: Vec<JoinedLine> = Vec::new();
    for line in closing.lines.iter().filter(|line| line.class == class) {
        let (group, number, name) = key(line);
        rows.push((group, number, name, line.amount, Money::ZERO));
    }
    for line in opening.lines.iter().filter(|line| line.class == class) {
        let (group, number, name) = key(line);
        let known = rows
            .iter_mut()
            .find(|row| row.0 == group && row.1 == number && row.2 == name);
        match known {
            Some(row) => row.4 = line.amount,
            None => {
                let place = rows
                    .iter()
                    .rposition(|row| row.0 == group)
                    .map_or(rows.len(), |last| last + 1);
                rows.insert(place, (group, number, name, Money::ZERO, line.amount));
            }
        }
    }
    rows
}

/// The trial balance of a year: opening, what moved, closing, before the year's own closing entry.
#[must_use]
pub fn trial_of_year(
    chart: &Chart,
    opening: &Balances,
    during: &Balances,
    lines: &BTreeMap<AccountId, String>,
    range: DateRange,
) -> Table {
    let mut table = Table::new(
        "Trial balance",
        format!(
            "{}, before the closing entry; debits are positive, credits in parentheses",
            span(range)
        ),
    )
    .column("number", "No.")
    .column("name", "Account")
    .column("opening", "Opening")
    .column("debit", "Debit")
    .column("credit", "Credit")
    .column("closing", "Closing")
    .column("form_line", "Form line");
    let mut sums = [Money::ZERO; 4];
    for account in chart.accounts() {
        let begun = opening.net(account.id);
        let moved = during.movement(account.id);
        let figures = [begun, moved.debit, moved.credit, begun + moved.net()];
        if figures.iter().all(|figure| figure.is_zero()) {
            continue;
        }
        for (sum, figure) in sums.iter_mut().zip(figures) {
            *sum += figure;
        }
        let mut cells = vec![account.number.as_str().into(), account.name.as_str().into()];
        cells.extend(figures.map(Cell::from));
        cells.push(form_line(lines, account.id));
        table.line(cells);
    }
    let mut cells = vec![Cell::Empty, "Total".into()];
    cells.extend(sums.map(Cell::from));
    table.push(RowStyle::Final, cells);
    table
}
