//! What of the desk goes into a year's folder: questions for the accountant, duties done, returns of sales tax,
//! hours, papers, decisions, and how the business is kept.
//! The order of the pack is `schedules`.

use chrono::NaiveDate;

use crate::book::Book;
use crate::dates::DateRange;
use crate::desk::Standing;
use crate::export::{Cell, ExportError, RowStyle, Table, counted, tables};
use crate::ledger::Role;
use crate::money::Money;
use crate::reports;

/// The sheets of the desk, those that say something.
pub(super) fn sheets(
    book: &Book,
    days: DateRange,
    today: NaiveDate,
) -> Result<Vec<(&'static str, Table)>, ExportError> {
    let mut sheets = Vec::new();
    let mut questions = reports::questions(book)?;
    questions.retain(|report| {
        let applied = report.question.application.as_ref();
        applied.is_none_or(|applied| applied.on >= days.from)
    });
    if !questions.is_empty() {
        sheets.push(("questions", tables::questions_sheet(&questions)));
    }
    let returns = reports::returns(book, days)?;
    let of_year = sales_tax(book, days, &returns)?;
    if !of_year.rows().is_empty() {
        sheets.push(("sales-tax", of_year));
    }
    let duties = reports::duties(book, today)?;
    let is_of_year = |one: &reports::DutyReport| {
        let mut done = one.done.iter();
        done.any(|done| days.contains(done.done_on))
    };
    if duties.duties.iter().any(is_of_year) {
        sheets.push(("duties-done", tables::duties_done(&duties, days)));
    }
    let hours = reports::hours(book, days)?;
    if !hours.times.is_empty() {
        sheets.push(("hours", tables::hours(&hours, book.currency())));
    }
    let papers = book.company_papers()?;
    if !papers.is_empty() {
        sheets.push(("company-papers", tables::papers(&papers, days.to)));
    }
    let mut decisions = book.decisions()?;
    decisions.retain(|decision| days.contains(decision.day));
    if !decisions.is_empty() {
        sheets.push(("decisions", tables::decisions(&decisions)));
    }
    let facts = reports::evidence(book, days, today)?;
    sheets.push(("how-kept", tables::evidence(&facts, days)));
    Ok(sheets)
}

/// The returns of the year, the tax that no return of the year covers, and all of it together.
fn sales_tax(
    book: &Book,
    days: DateRange,
    returns: &[reports::ReturnReport],
) -> Result<Table, ExportError> {
    let mut table = tables::sales_tax(returns);
    let whole = reports::period_tax(book, days)?;
    let covered: Money = returns
        .iter()
        .filter(|one| one.tax.period.from >= days.from)
        .map(|one| one.tax.collected)
        .sum();
    let beside = whole.collected - covered;
    let row = |words: &str, amounts: [Cell; 4], filed: Cell| {
        let mut cells = vec![words.into(), Cell::Empty];
        cells.extend(amounts);
        cells.extend([Cell::Empty, Cell::Empty, filed]);
        cells
    };
    if !beside.is_zero() {
        let amounts = [Cell::Empty, Cell::Empty, beside.into(), Cell::Empty];
        table.line(row("In no return", amounts, Cell::Empty));
    }
    if table.rows().is_empty() {
        return Ok(table);
    }
    let filed: Money = returns.iter().filter_map(|one| one.amount).sum();
    let amounts = [
        whole.taxable.into(),
        whole.other.into(),
        whole.collected.into(),
        whole.by_channels.into(),
    ];
    table.push(RowStyle::Final, row("The year", amounts, filed.into()));
    if let Ok(account) = book.chart().role(Role::SalesTax) {
        let owed = -book.balances_to(days.to)?.net(account);
        table.note(format!(
            "Still to pay over at the year\u{2019}s end by the books: {}.",
            book.currency().statement(owed)
        ));
    }
    Ok(table)
}

/// What of the desk the cover says is still open.
pub(super) fn open_points(book: &Book, days: DateRange) -> Result<Vec<String>, ExportError> {
    let standing = Standing::of(&book.questions()?);
    let mut open = Vec::new();
    if standing.open.0 > 0 {
        open.push(format!(
            "{} for you in sheets/questions.csv: write the answer beside each and send the sheet back, it is brought in as it is.",
            counted(standing.open.0, "question waits", "questions wait")
        ));
    }
    if standing.to_apply.0 > 0 {
        open.push(format!(
            "{} not applied yet; see sheets/questions.csv.",
            counted(standing.to_apply.0, "answer is", "answers are")
        ));
    }
    let returns = reports::returns(book, days)?;
    let n_unfiled = returns.iter().filter(|one| one.filed_on.is_none()).count();
    if n_unfiled > 0 {
        open.push(format!(
            "{} of the year not noted as filed; see schedule Q.",
            counted(n_unfiled, "sales-tax return is", "sales-tax returns are")
        ));
    }
    Ok(open)
}
