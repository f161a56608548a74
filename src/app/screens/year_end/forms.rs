//! A year by the lines of a tax form, as on paper: each line with the accounts in it.
//! What stands where is worked out in `reports`.

use chrono::NaiveDate;

use super::statements::{Paper, in_words, show_or_dash};
use crate::app::screens::explain::{ProfitFigure, Source};
use crate::app::widgets::{RowRank, StatementRow};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::form_lines::{FORM_CAUTION, FormAccount};
use crate::money::Money;
use crate::reports;
use crate::statements::Basis;

/// The year sorted by the form of the book, on the basis given.
///
/// # Errors
/// When the book cannot be read.
pub fn form_lines(
    book: &Book,
    year: DateRange,
    basis: Basis,
    today: NaiveDate,
) -> Result<Paper, BookError> {
    let ending = book.year_start().year_of(year.to);
    let Some(report) = reports::form_lines(book, ending, None, basis, today)? else {
        return Ok(Paper {
            title: "Form lines".to_owned(),
            about: "No tax form is known for this book's currency. Nothing is wrong: the statements hold without one."
                .to_owned(),
            ..Paper::default()
        });
    };
    let currency = book.currency();
    let mut paper = Paper {
        title: format!("By lines of the form: {}", report.title),
        about: format!(
            "{}, {basis} basis, lines of the tax year {}. {}{FORM_CAUTION}",
            in_words(year),
            report.for_year,
            report
                .assumed
                .as_ref()
                .map_or_else(String::new, |words| format!("{words} ")),
        ),
        columns: vec!["Account".to_owned(), "Line".to_owned()],
        ..Paper::default()
    };
    let of_account = |paper: &mut Paper, one: &FormAccount| {
        let label = if one.why.is_empty() {
            one.title.clone()
        } else {
            format!("{}: {}", one.title, one.why)
        };
        let figures = vec![currency.statement(one.amount), String::new()];
        let source = Some(Source::Movement(one.account, year));
        paper.push(StatementRow::new(label, figures), vec![source, None]);
    };
    let sum = |paper: &mut Paper, label: String, amount: Money, rank, source| {
        let figures = vec![String::new(), show_or_dash(amount, currency)];
        paper.push(
            StatementRow::new(label, figures).rank(rank),
            vec![None, source],
        );
    };
    let mut part = "";
    for line in &report.lines {
        // A form has many lines that a craft business never uses; on paper only those stand that say something.
        let is_empty = line.accounts.is_empty() && line.amount.is_none_or(|it| it.is_zero());
        if is_empty && !line.is_worked_out && line.words.is_empty() {
            continue;
        }
        if line.part != part {
            part = &line.part;
            paper.heading(part);
        }
        for one in &line.accounts {
            of_account(&mut paper, one);
        }
        let label = format!("{} {}", line.number, line.what);
        match line.amount {
            Some(amount) => {
                let rank = if line.is_worked_out {
                    RowRank::Total
                } else {
                    RowRank::Plain
                };
                sum(&mut paper, label, amount, rank, None);
            }
            None => paper.push(
                StatementRow::new(label, vec![String::new(), line.words.clone()]),
                vec![None, None],
            ),
        }
    }
    for (heading, accounts) in [
        ("Not taken by this form", &report.left_out),
        ("Accounts without a line", &report.without_line),
    ] {
        if !accounts.is_empty() {
            paper.heading(heading);
        }
        for one in accounts {
            of_account(&mut paper, one);
        }
    }
    sum(
        &mut paper,
        "Profit of the statement".to_owned(),
        report.profit,
        RowRank::FinalTotal,
        Some(Source::Profit(ProfitFigure::NetProfit, year)).filter(|_| basis == Basis::Accrual),
    );
    Ok(paper)
}
