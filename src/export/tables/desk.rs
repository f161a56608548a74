//! What is kept at the desk as tables: questions for the accountant.

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::desk::QuestionState;
use crate::export::{Cell, Table};
use crate::reports::QuestionReport;

/// The questions for the accountant, as text.
#[must_use]
pub fn questions(list: &[QuestionReport], as_of: NaiveDate) -> Table {
    let mut table = Table::new(
        "Questions for the accountant",
        format!("On {}", show_day(as_of)),
    )
    .column("number", "No.")
    .column("state", "")
    .column("question", "Question")
    .column("about", "About")
    .column("answer", "Answer")
    .column("applied", "What was done");
    for report in list {
        let question = &report.question;
        let dated = |words: &str, on: NaiveDate| Cell::from(format!("{words} ({})", show_day(on)));
        let answer = question.answer.as_ref();
        let applied = question.application.as_ref();
        table.line(vec![
            Cell::Number(question.id.to_string()),
            question.state().as_str().into(),
            dated(&question.words, question.asked_on),
            report.about.as_str().into(),
            answer.map_or(Cell::Empty, |answer| dated(&answer.words, answer.on)),
            applied.map_or(Cell::Empty, |applied| dated(&applied.what, applied.on)),
        ]);
    }
    if list.is_empty() {
        table.note("None is asked.");
    }
    table
}

/// The questions as the sheet that goes to the accountant and comes back with her answers.
#[must_use]
pub fn questions_sheet(list: &[QuestionReport]) -> Table {
    let mut table = Table::new("Questions for the accountant", "")
        .column("number", "No.")
        .column("entry", "Entry")
        .column("about", "About")
        .column("question", "Question")
        .column("asked_by", "Asked by")
        .column("asked_on", "Asked on")
        .column("answer", "Answer")
        .column("answered_by", "Answered by")
        .column("answered_on", "Answered on")
        .column("applied", "What was done")
        .column("applied_entry", "By entry")
        .column("applied_on", "Done on");
    for state in [
        QuestionState::Open,
        QuestionState::Answered,
        QuestionState::Applied,
    ] {
        for report in list.iter().filter(|one| one.question.state() == state) {
            let cells = crate::export::written_desk::question_row(report);
            table.line(cells.into_iter().map(Cell::from).collect());
        }
    }
    table
}
