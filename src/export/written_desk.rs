//! What is kept at the desk as rows of its sheets, with the files that prove something beside them.

use chrono::NaiveDate;

use super::ExportError;
use super::folder::{FolderDraft, file_name};
use super::written_out::yes_no;
use crate::book::{Book, ReceiptId};
use crate::desk::{ProofFile, clock};
use crate::ledger::EntryNumber;
use crate::reports::{self, QuestionReport};

fn entry(number: Option<EntryNumber>) -> String {
    number
        .map(|number| format!("#{number}"))
        .unwrap_or_default()
}

/// A question in the order of the sheet's columns.
pub(super) fn question_row(report: &QuestionReport) -> Vec<String> {
    let question = &report.question;
    let answer = question.answer.as_ref();
    let applied = question.application.as_ref();
    vec![
        question.id.to_string(),
        entry(question.entry),
        report.about.clone(),
        question.words.clone(),
        question.asked_by.clone(),
        question.asked_on.to_string(),
        answer
            .map(|answer| answer.words.clone())
            .unwrap_or_default(),
        answer.map(|answer| answer.by.clone()).unwrap_or_default(),
        answer
            .map(|answer| answer.on.to_string())
            .unwrap_or_default(),
        applied
            .map(|applied| applied.what.clone())
            .unwrap_or_default(),
        entry(applied.and_then(|applied| applied.entry)),
        applied
            .map(|applied| applied.on.to_string())
            .unwrap_or_default(),
    ]
}

/// Every question.
pub(super) fn questions(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    Ok(reports::questions(book)?.iter().map(question_row).collect())
}

fn day(day: Option<NaiveDate>) -> String {
    day.map(|day| day.to_string()).unwrap_or_default()
}

/// Every duty.
pub(super) fn duties(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.duties()?.into_iter().map(|duty| {
        vec![
            duty.name,
            duty.kind.as_str().to_owned(),
            day(duty.next_day),
            duty.every_months.to_string(),
            duty.day.to_string(),
            duty.remind_days.to_string(),
            day(duty.period_to),
            duty.note,
        ]
    });
    Ok(rows.collect())
}

/// Everything that was done about duties; their proofs go into the folder.
pub(super) fn duties_done(
    book: &Book,
    draft: &mut FolderDraft,
) -> Result<Vec<Vec<String>>, ExportError> {
    let mut done = book.duties_done()?;
    let mut rows = Vec::new();
    for duty in book.duties()? {
        for one in done.remove(&duty.id).unwrap_or_default() {
            let place = rows.len() + 1;
            let [file, name] = proof(book, draft, "duty", place, one.proof.as_ref())?;
            rows.push(vec![
                duty.name.clone(),
                one.due.to_string(),
                one.done_on.to_string(),
                one.amount
                    .map(|amount| book.currency().plain(amount))
                    .unwrap_or_default(),
                day(one.period.map(|period| period.from)),
                day(one.period.map(|period| period.to)),
                one.note,
                file,
                name,
            ]);
        }
    }
    Ok(rows)
}

/// Every paper of the company; copies go into the folder.
pub(super) fn papers(
    book: &Book,
    draft: &mut FolderDraft,
) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for paper in book.company_papers()? {
        let place = rows.len() + 1;
        let [file, name] = proof(book, draft, "paper", place, paper.proof.as_ref())?;
        rows.push(vec![
            paper.name,
            paper.kind.as_str().to_owned(),
            yes_no(paper.is_there),
            day(paper.day),
            paper.kept_at,
            paper.note,
            file,
            name,
        ]);
    }
    Ok(rows)
}

/// Every decision, in the order in which they were written down, so that a correction follows what it corrects.
pub(super) fn decisions(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut list = book.decisions()?;
    list.sort_by_key(|decision| decision.id);
    let rows = list.into_iter().map(|decision| {
        vec![
            decision.id.to_string(),
            decision.day.to_string(),
            decision.what,
            decision.why,
            decision
                .corrects
                .map(|corrected| corrected.to_string())
                .unwrap_or_default(),
        ]
    });
    Ok(rows.collect())
}

/// Every hour, and the timer where one runs.
pub(super) fn hours(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let times = match book.days_worked()? {
        Some(days) => book.work_times(days)?,
        None => Vec::new(),
    };
    let mut rows: Vec<Vec<String>> = times
        .into_iter()
        .map(|time| {
            let at = |minute: Option<u32>| minute.map(clock).unwrap_or_default();
            vec![
                time.day.to_string(),
                time.activity,
                time.minutes.to_string(),
                at(time.span.map(|span| span.starts)),
                at(time.span.map(|span| span.ends)),
                time.item.unwrap_or_default(),
                time.fair,
                time.note,
            ]
        })
        .collect();
    if let Some(timer) = book.running_timer()? {
        rows.push(vec![
            timer.since.date().to_string(),
            timer.activity,
            String::new(),
            timer.since.format("%H:%M").to_string(),
            String::new(),
            timer.item.unwrap_or_default(),
            timer.fair,
            timer.note,
        ]);
    }
    Ok(rows)
}

/// A proof into the folder; answers its file and its name, nothing where there is none.
fn proof(
    book: &Book,
    draft: &mut FolderDraft,
    of: &str,
    place: usize,
    proof: Option<&ProofFile>,
) -> Result<[String; 2], ExportError> {
    let Some(proof) = proof else {
        return Ok([String::new(), String::new()]);
    };
    let file = format!("desk/{of}-{place:04}-{}", file_name(&proof.name));
    draft.file(&file, &book.receipt_bytes(&ReceiptId(proof.hash.clone()))?)?;
    Ok([file, proof.name.clone()])
}
