//! What is kept at the desk as rows of its sheets: questions for the accountant.

use super::ExportError;
use crate::book::Book;
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
