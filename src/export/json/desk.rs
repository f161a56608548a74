//! What is kept at the desk as JSON: questions for the accountant.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::desk::QuestionState;
use crate::money::Currency;
use crate::reports::QuestionReport;

/// The questions for the accountant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuestionsJson {
    #[serde(flatten)]
    as_of: AsOf,
    open: usize,
    to_apply: usize,
    questions: Vec<QuestionJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct QuestionJson {
    number: i64,
    state: &'static str,
    entry: Option<u64>,
    about: String,
    question: String,
    asked_by: String,
    asked_on: NaiveDate,
    answer: Option<String>,
    answered_by: Option<String>,
    answered_on: Option<NaiveDate>,
    applied: Option<String>,
    applied_entry: Option<u64>,
    applied_on: Option<NaiveDate>,
}

/// The questions for the accountant as JSON.
#[must_use]
pub fn questions(list: &[QuestionReport], as_of: NaiveDate, currency: &Currency) -> QuestionsJson {
    let those = |state| {
        let found = list.iter().filter(|one| one.question.state() == state);
        found.count()
    };
    QuestionsJson {
        as_of: AsOf::new(currency, as_of),
        open: those(QuestionState::Open),
        to_apply: those(QuestionState::Answered),
        questions: list.iter().map(question).collect(),
    }
}

fn question(report: &QuestionReport) -> QuestionJson {
    let question = &report.question;
    let answer = question.answer.as_ref();
    let applied = question.application.as_ref();
    QuestionJson {
        number: question.id,
        state: question.state().as_str(),
        entry: question.entry.map(|entry| entry.0),
        about: report.about.clone(),
        question: question.words.clone(),
        asked_by: question.asked_by.clone(),
        asked_on: question.asked_on,
        answer: answer.map(|answer| answer.words.clone()),
        answered_by: answer.map(|answer| answer.by.clone()),
        answered_on: answer.map(|answer| answer.on),
        applied: applied.map(|applied| applied.what.clone()),
        applied_entry: applied.and_then(|applied| applied.entry.map(|entry| entry.0)),
        applied_on: applied.map(|applied| applied.on),
    }
}
