//! What is kept at the desk as rows of its sheets, with the files that prove something beside them.

use chrono::NaiveDate;

use super::ExportError;
use super::folder::{FolderDraft, file_name};
use crate::book::{Book, ReceiptId};
use crate::desk::ProofFile;
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
