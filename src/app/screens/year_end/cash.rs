//! The profit statement on the cash basis as on paper, with the bridge from the accrual one beneath it.
//! What it says is worked out in `reports`.

use chrono::NaiveDate;

use super::statements::{Cut, Paper, in_words, show_or_dash, side_by_side};
use crate::app::screens::explain::{ProfitFigure, Source};
use crate::app::widgets::{RowRank, StatementRow};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::money::Money;
use crate::reports;
use crate::statements::{
    CASH_CAUTION, CASH_NOTE, CashBasis, ProfitSection, ProfitStatement, ProfitTotals, compare,
};

/// The statement of a year, cut as wished.
///
/// # Errors
/// When the book cannot be read.
pub fn cash_profit(
    book: &Book,
    year: DateRange,
    cut: Cut,
    today: NaiveDate,
) -> Result<Paper, BookError> {
    let (ranges, columns) = side_by_side(year, cut);
    let mut reports: Vec<CashBasis> = Vec::new();
    for range in &ranges {
        reports.push(reports::cash_basis(book, *range, today)?);
    }
    let mut paper = Paper {
        title: "Profit statement".to_owned(),
        about: format!(
            "{}, cash basis: sales and costs on the day they are paid. {CASH_NOTE} {CASH_CAUTION}",
            in_words(year)
        ),
        columns,
        ..Paper::default()
    };
    statement_rows(&mut paper, book, &ranges, &reports);
    bridge_rows(&mut paper, book, &ranges, &reports);
    Ok(paper)
}

fn statement_rows(paper: &mut Paper, book: &Book, ranges: &[DateRange], reports: &[CashBasis]) {
    let currency = book.currency();
    let statements: Vec<ProfitStatement> = reports.iter().map(CashBasis::statement).collect();
    let together = compare(book.chart(), &statements);
    let total = |paper: &mut Paper, label: &str, rank, of: fn(&ProfitTotals) -> Money| {
        let totals = together.totals.iter();
        let figures = totals.map(|one| currency.statement(of(one))).collect();
        paper.push(StatementRow::new(label, figures).rank(rank), Vec::new());
    };
    for section in ProfitSection::ALL {
        let of_it = together.rows.iter().filter(|row| row.section == section);
        for (idx, row) in of_it.enumerate() {
            if idx == 0 {
                paper.heading(section.heading());
            }
            let known = reports.iter().flat_map(|report| &report.lines);
            let mut known = known.filter(|line| line.account == row.account);
            let name = known.next().map_or(&row.name, |line| &line.name);
            let amounts = row.amounts.iter();
            let figures = amounts.map(|amount| show_or_dash(*amount, currency));
            let sources = ranges
                .iter()
                .map(|range| Some(Source::Movement(row.account, *range)));
            paper.push(
                StatementRow::new(format!("{} {name}", row.number), figures.collect()),
                sources.collect(),
            );
        }
        match section {
            ProfitSection::Sales => {
                total(paper, "Net sales", RowRank::Total, |one| one.net_sales);
            }
            ProfitSection::CostOfGoodsSold => {
                total(paper, "Gross profit", RowRank::Total, |one| {
                    one.gross_profit
                });
            }
            ProfitSection::OtherIncome => {}
            ProfitSection::Costs => {
                total(paper, "Costs together", RowRank::Total, |one| one.costs);
                total(paper, "Profit, cash basis", RowRank::FinalTotal, |one| {
                    one.net_profit
                });
            }
        }
    }
}

fn bridge_rows(paper: &mut Paper, book: &Book, ranges: &[DateRange], reports: &[CashBasis]) {
    let currency = book.currency();
    paper.heading("From the accrual to the cash basis");
    let figures = |of: &dyn Fn(&CashBasis) -> Money| -> Vec<String> {
        let amounts = reports.iter().map(of);
        amounts.map(|it| show_or_dash(it, currency)).collect()
    };
    let by_books = ranges
        .iter()
        .map(|range| Some(Source::Profit(ProfitFigure::NetProfit, *range)));
    paper.push(
        StatementRow::new(
            "Profit, accrual basis",
            figures(&|one| one.accrual.net_profit),
        ),
        by_books.collect(),
    );
    let mut accounts = Vec::new();
    for step in reports.iter().flat_map(|report| &report.bridge) {
        if accounts.iter().all(|(account, _)| *account != step.account) {
            accounts.push((step.account, format!("{} {}", step.number, step.name)));
        }
    }
    for (account, label) in accounts {
        let effect = |report: &CashBasis| -> Money {
            let steps = report.bridge.iter().filter(|step| step.account == account);
            steps.map(|step| step.effect).sum()
        };
        let sources = ranges
            .iter()
            .map(|range| Some(Source::Movement(account, *range)));
        paper.push(
            StatementRow::new(label, figures(&effect)),
            sources.collect(),
        );
    }
    paper.push(
        StatementRow::new("Profit, cash basis", figures(&|one| one.totals.net_profit))
            .rank(RowRank::FinalTotal),
        Vec::new(),
    );
}
