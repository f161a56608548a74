//! Sheets of what is kept at the desk and never posted: questions for the accountant, duties and what was done about them.
//! Whether what a row names is in the book is for whoever holds the book.

use chrono::{Datelike, NaiveDate};

use super::layouts::{Layout, may, needed};
use super::{Faults, Row, Rows, Sheet};
use crate::dates::DateRange;
use crate::desk::{Duty, DutyDone};
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

/// Duties with their days.
pub const DUTIES: Layout = Layout {
    kind: "duties",
    columns: &[
        needed("duty"),
        needed("kind"),
        may("next_day"),
        may("every_months"),
        may("day"),
        may("remind_days"),
        may("period_to"),
        may("note"),
    ],
};

/// What was done about duties.
pub const DUTIES_DONE: Layout = Layout {
    kind: "duties-done",
    columns: &[
        needed("duty"),
        needed("due"),
        needed("done_on"),
        may("amount"),
        may("period_from"),
        may("period_to"),
        may("note"),
        may("file"),
        may("name"),
    ],
};

/// A duty as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DutyRow {
    /// Its row.
    pub row: u64,
    /// The duty, without a number.
    pub duty: Duty,
}

/// Reads a sheet of duties.
///
/// # Errors
/// Every cell that cannot be, every duty that cannot be.
pub fn duties(sheet: &Sheet, currency: &Currency) -> Result<Vec<DutyRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let name = row.needed("duty");
        let kind = row.value("kind");
        let next_day = row.may_date("next_day");
        let every_months = row.value_or("every_months", 12_u32);
        let first = next_day.map_or(1, |day| day.day());
        let day = row.value_or("day", first);
        let remind_days = row.value_or("remind_days", 30_u32);
        let period_to = row.may_date("period_to");
        if row.has("next_day") != next_day.is_some() || row.has("period_to") != period_to.is_some()
        {
            return None;
        }
        let duty = Duty {
            id: 0,
            name: name?.to_owned(),
            kind: kind?,
            next_day,
            day: day?,
            every_months: every_months?,
            remind_days: remind_days?,
            period_to,
            note: row.text("note").to_owned(),
        };
        if let Err(error) = duty.check() {
            row.fault(error.field(), error.to_string());
            return None;
        }
        Some(DutyRow {
            row: row.number,
            duty,
        })
    })
}

/// Something that was done as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DutyDoneRow {
    /// Its row.
    pub row: u64,
    /// The name of the duty.
    pub duty: String,
    /// What was done, without a number or proof.
    pub done: DutyDone,
    /// The file of its proof with the name it is kept under.
    pub file: Option<(String, String)>,
}

/// Reads a sheet of what was done about duties.
///
/// # Errors
/// Every cell that cannot be, a file outside the sheet's folder.
pub fn duties_done(sheet: &Sheet, currency: &Currency) -> Result<Vec<DutyDoneRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let duty = row.needed("duty");
        let due = row.date("due");
        let done_on = row.date("done_on");
        let amount = row.has("amount").then(|| row.may_amount("amount"));
        let period = period(row);
        let file = file_beside(row);
        Some(DutyDoneRow {
            row: row.number,
            duty: duty?.to_owned(),
            done: DutyDone {
                id: 0,
                due: due?,
                done_on: done_on?,
                amount: match amount {
                    Some(amount) => Some(amount?),
                    None => None,
                },
                period: period?,
                note: row.text("note").to_owned(),
                proof: None,
            },
            file: file?,
        })
    })
}

/// The period of a return: both days or neither.
fn period(row: &mut Row<'_, '_>) -> Option<Option<DateRange>> {
    match (row.has("period_from"), row.has("period_to")) {
        (false, false) => Some(None),
        (true, false) => {
            row.fault("period_to", "is empty");
            None
        }
        (false, true) => {
            row.fault("period_from", "is empty");
            None
        }
        (true, true) => {
            let (from, to) = (row.may_date("period_from"), row.may_date("period_to"));
            let range = DateRange::new(from?, to?);
            if range.is_none() {
                row.fault("period_to", "lies before period_from");
            }
            Some(Some(range?))
        }
    }
}

/// The file that lies beside the sheet, with the name it is kept under; neither when no file is named.
fn file_beside(row: &mut Row<'_, '_>) -> Option<Option<(String, String)>> {
    if !row.has("file") {
        row.refuse("name", "the column file is empty");
        return Some(None);
    }
    let file = row.own_file("file")?;
    let own_name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let name = Some(row.text("name")).filter(|name| !name.is_empty());
    Some(Some((file.to_owned(), name.unwrap_or(own_name).to_owned())))
}
