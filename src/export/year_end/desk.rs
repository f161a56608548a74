//! What of the desk goes into a year's folder: questions for the accountant, duties done, returns of sales tax,
//! hours, papers, decisions, and how the business is kept.
//! The order of the pack is `schedules`.

use chrono::NaiveDate;

use crate::book::Book;
use crate::dates::DateRange;
use crate::desk::Standing;
use crate::export::{ExportError, Table, counted, tables};
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
    if !returns.is_empty() {
        sheets.push(("sales-tax", tables::sales_tax(&returns)));
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
