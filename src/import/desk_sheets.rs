//! Sheets of what is kept at the desk and never posted: questions for the accountant.
//! Whether what a row names is in the book is for whoever holds the book.

use chrono::NaiveDate;

use super::layouts::{Layout, may, needed};
use super::{Faults, Rows, Sheet};
use crate::money::Currency;

/// Questions for the accountant, their answers and what was done about them.
pub const QUESTIONS: Layout = Layout {
    kind: "questions",
    columns: &[
        may("number"),
        may("entry"),
        may("about"),
        needed("question"),
        may("asked_by"),
        may("asked_on"),
        may("answer"),
        may("answered_by"),
        may("answered_on"),
        may("applied"),
        may("applied_entry"),
        may("applied_on"),
    ],
};

/// A question as a sheet gives it: what is not given is as it is in the book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuestionRow {
    /// Its row.
    pub row: u64,
    /// Its number in the book, unless it is new.
    pub number: Option<i64>,
    /// The entry it is about: the key of its document, or `#` and its number; may be empty.
    pub entry: String,
    /// What is asked.
    pub question: String,
    /// Who asks; may be empty.
    pub asked_by: String,
    /// When it was asked.
    pub asked_on: Option<NaiveDate>,
    /// What was answered; may be empty.
    pub answer: String,
    /// By whom; may be empty.
    pub answered_by: String,
    /// When it was answered.
    pub answered_on: Option<NaiveDate>,
    /// What was done about it; may be empty.
    pub applied: String,
    /// The entry that did it; may be empty.
    pub applied_entry: String,
    /// When it was done.
    pub applied_on: Option<NaiveDate>,
}

/// Reads a sheet of questions.
///
/// # Errors
/// Every cell that cannot be.
pub fn questions(sheet: &Sheet, currency: &Currency) -> Result<Vec<QuestionRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let number = row.has("number").then(|| row.count("number", 1));
        let question = row.needed("question");
        let [asked_on, answered_on, applied_on] =
            ["asked_on", "answered_on", "applied_on"].map(|column| row.may_date(column));
        for (column, answer) in [
            ("answered_by", "answer"),
            ("answered_on", "answer"),
            ("applied_on", "applied"),
            ("applied_entry", "applied"),
        ] {
            if !row.has(answer) {
                row.refuse(column, &format!("the column {answer} is empty"));
            }
        }
        let text = |column: &str| row.text(column).to_owned();
        Some(QuestionRow {
            row: row.number,
            number: match number {
                Some(number) => Some(number?.into()),
                None => None,
            },
            entry: text("entry"),
            question: question?.to_owned(),
            asked_by: text("asked_by"),
            asked_on,
            answer: text("answer"),
            answered_by: text("answered_by"),
            answered_on,
            applied: text("applied"),
            applied_entry: text("applied_entry"),
            applied_on,
        })
    })
}
