//! Profit on the cash basis, and the bridge from the accrual one, as tables.
//! What the figures are is decided in `statements`; here it is where they stand.

use super::span;
use crate::export::{Cell, RowStyle, SumPart, Table};
use crate::money::{Currency, Money};
use crate::statements::{CASH_CAUTION, CASH_NOTE, CashBasis, ProfitSection, ProfitTotals};

/// The profit statement on the cash basis: by the books, what timing changes, what was paid.
#[must_use]
pub fn cash_profit(report: &CashBasis, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Profit statement, cash basis",
        format!(
            "{}, cash basis: what was paid in these days, whenever it was sold or bought; in {}",
            span(report.range),
            currency.code()
        ),
    )
    .csv_column("group")
    .csv_column("account")
    .column("name", "")
    .column("accrual", "By the books")
    .column("timing", "Timing")
    .column("cash", "Cash basis");
    let total = |name: &str, of: fn(&ProfitTotals) -> Money| {
        let (accrual, cash) = (of(&report.accrual), of(&report.totals));
        vec![
            Cell::Empty,
            Cell::Empty,
            name.into(),
            accrual.into(),
            (cash - accrual).into(),
            cash.into(),
        ]
    };
    // What the next sum rests on.
    let mut above: Vec<SumPart> = Vec::new();
    for section in ProfitSection::ALL {
        let mut group = None;
        let mut lines = Vec::new();
        for line in report.lines.iter().filter(|line| line.section == section) {
            if group != Some(&line.group) {
                table.heading(&line.group);
                group = Some(&line.group);
            }
            lines.push(table.push(
                RowStyle::Line,
                vec![
                    line.group.as_str().into(),
                    line.number.as_str().into(),
                    line.name.as_str().into(),
                    line.accrual.into(),
                    line.timing.into(),
                    line.cash.into(),
                ],
            ));
        }
        match section {
            ProfitSection::Sales => {
                let cells = total("Net sales", |t| t.net_sales);
                above = vec![SumPart::more(table.push(RowStyle::Total, cells))];
            }
            ProfitSection::CostOfGoodsSold => {
                above.extend(lines.into_iter().map(SumPart::less));
                let cells = total("Gross profit", |t| t.gross_profit);
                above = vec![SumPart::more(table.sum_of(RowStyle::Total, cells, &above))];
            }
            ProfitSection::OtherIncome if group.is_some() => {
                let cells = total("Other income", |t| t.other_income);
                above.push(SumPart::more(table.push(RowStyle::Total, cells)));
            }
            ProfitSection::OtherIncome => {}
            ProfitSection::Costs => {
                let cells = total("Costs", |t| t.costs);
                above.push(SumPart::less(table.push(RowStyle::Total, cells)));
                let cells = total("Net profit", |t| t.net_profit);
                table.sum_of(RowStyle::Final, cells, &above);
            }
        }
    }
    table.note(CASH_NOTE);
    table.note(CASH_CAUTION);
    table
}

/// The bridge from the accrual net profit to the cash one, account by account.
#[must_use]
pub fn basis_bridge(report: &CashBasis, currency: &Currency) -> Table {
    let mut table = Table::new(
        "From the accrual to the cash basis",
        format!(
            "{}: profit the books know and the cash basis does not yet, at both ends; in {}",
            span(report.range),
            currency.code()
        ),
    )
    .csv_column("account")
    .column("name", "")
    .column("at_beginning", "At the beginning")
    .column("at_end", "At the end")
    .column("effect", "Added to profit")
    .column("words", "")
    .csv_column("entries");
    let total = |name: &str, amount: Money| {
        vec![
            Cell::Empty,
            name.into(),
            Cell::Empty,
            Cell::Empty,
            amount.into(),
        ]
    };
    table.line(total(
        "Net profit, accrual basis",
        report.accrual.net_profit,
    ));
    for step in &report.bridge {
        let entries: Vec<String> = step.entries.iter().map(ToString::to_string).collect();
        table.line(vec![
            step.number.as_str().into(),
            step.name.as_str().into(),
            step.at_beginning.into(),
            step.at_end.into(),
            step.effect.into(),
            step.words().into(),
            entries.join(" ").into(),
        ]);
    }
    table.push(
        RowStyle::Final,
        total("Net profit, cash basis", report.totals.net_profit),
    );
    table
}
