//! Sheets of what is kept at the desk and never posted: questions for the accountant, duties and what was done
//! about them, papers, decisions, hours.
//! Whether what a row names is in the book is for whoever holds the book.

use chrono::{Datelike, NaiveDate};

use super::layouts::{Layout, may, needed};
use super::{Faults, Items, Row, Rows, Sheet};
use crate::dates::DateRange;
use crate::desk::{
    CompanyPaper, Decision, Duty, DutyDone, HoursError, PaperError, PaperKind, Span, Timer,
    WorkTime, read_clock, read_minutes,
};
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

/// Papers of the company.
pub const PAPERS: Layout = Layout {
    kind: "papers",
    columns: &[
        needed("paper"),
        needed("kind"),
        may("there"),
        may("day"),
        may("kept_at"),
        may("note"),
        may("file"),
        may("name"),
    ],
};

/// Decisions, each with its reason.
pub const DECISIONS: Layout = Layout {
    kind: "decisions",
    columns: &[
        may("number"),
        needed("day"),
        needed("what"),
        needed("why"),
        may("corrects"),
    ],
};

/// The owner's hours; a row with a start and no end is the timer that runs.
pub const HOURS: Layout = Layout {
    kind: "hours",
    columns: &[
        needed("date"),
        needed("activity"),
        may("minutes"),
        may("start"),
        may("end"),
        may("item"),
        may("fair"),
        may("note"),
    ],
};

/// A paper as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperRow {
    /// Its row.
    pub row: u64,
    /// The paper, without a number or a copy.
    pub paper: CompanyPaper,
    /// The file of its copy with the name it is kept under.
    pub file: Option<(String, String)>,
}

/// Reads a sheet of company papers.
///
/// # Errors
/// Every cell that cannot be, what looks like a tax number, a file outside the sheet's folder.
pub fn papers(sheet: &Sheet, currency: &Currency) -> Result<Vec<PaperRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let name = row.needed("paper");
        let kind = row.value("kind");
        let is_there = row.yes_no("there", true);
        let day = row.may_date("day");
        if row.has("day") != day.is_some() {
            return None;
        }
        let file = file_beside(row);
        let (kind, file) = (kind?, file?);
        let paper = CompanyPaper {
            id: 0,
            name: name?.to_owned(),
            kind,
            is_there: is_there?,
            day,
            kept_at: row.text("kept_at").to_owned(),
            note: row.text("note").to_owned(),
            proof: None,
        };
        let checked = paper.check().and_then(|()| match &file {
            Some(_) if kind == PaperKind::TaxNumber => Err(PaperError::CopyOfNumber),
            _ => Ok(()),
        });
        if let Err(error) = checked {
            row.fault(error.field(), error.to_string());
            return None;
        }
        Some(PaperRow {
            row: row.number,
            paper,
            file,
        })
    })
}

/// Reads a sheet of decisions, each with its row.
///
/// # Errors
/// Every cell that cannot be.
pub fn decisions(sheet: &Sheet, currency: &Currency) -> Result<Vec<(u64, Decision)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let mut number = |column| match row.has(column) {
            true => row.count(column, 1).map(|number| Some(i64::from(number))),
            false => Some(None),
        };
        let (id, corrects) = (number("number"), number("corrects"));
        let day = row.date("day");
        let (what, why) = (row.needed("what"), row.needed("why"));
        Some((
            row.number,
            Decision {
                id: id?.unwrap_or(0),
                day: day?,
                what: what?.to_owned(),
                why: why?.to_owned(),
                corrects: corrects?,
            },
        ))
    })
}

/// Time as a sheet gives it: done, or running.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HoursRow {
    /// Time that was worked, with its row.
    Worked(u64, WorkTime),
    /// The timer that runs, with its row.
    Running(u64, Timer),
}

/// Reads a sheet of hours.
///
/// # Errors
/// Every cell that cannot be.
pub fn hours(sheet: &Sheet, currency: &Currency, items: &Items) -> Result<Vec<HoursRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let day = row.date("date");
        let activity = row.needed("activity").map(str::to_owned);
        let item = match row.has("item") {
            true => items
                .needed(row, "item")
                .map(|item| Some(item.code.clone())),
            false => Some(None),
        };
        let clock = |row: &mut Row<'_, '_>, column| match row.has(column) {
            true => told(row, column, read_clock(row.text(column))).map(Some),
            false => Some(None),
        };
        let starts = clock(row, "start");
        let ends = clock(row, "end");
        let minutes = match row.has("minutes") {
            true => told(row, "minutes", read_minutes(row.text("minutes"))).map(Some),
            false => Some(None),
        };
        let (fair, note) = (row.text("fair").to_owned(), row.text("note").to_owned());
        let (day, activity, item) = (day?, activity?, item?);
        let time = match (starts?, ends?, minutes?) {
            (Some(starts), None, None) => {
                let since = day.and_hms_opt(starts / 60, starts % 60, 0);
                let Some(since) = since else {
                    row.fault("start", "a day ends before 24:00");
                    return None;
                };
                let timer = Timer {
                    item,
                    fair,
                    note,
                    ..Timer::new(since, activity)
                };
                return Some(HoursRow::Running(row.number, timer));
            }
            (Some(starts), Some(ends), minutes) => {
                let span = told(row, "end", Span::new(starts, ends))?;
                let by_clock = WorkTime::by_clock(day, activity, span);
                WorkTime {
                    minutes: minutes.unwrap_or(by_clock.minutes),
                    ..by_clock
                }
            }
            (None, None, Some(minutes)) => WorkTime::new(day, activity, minutes),
            (None, None, None) => {
                row.fault("minutes", "is empty; give minutes, or start and end");
                return None;
            }
            (None, Some(_), _) => {
                row.fault("start", "is empty");
                return None;
            }
            (Some(_), None, Some(_)) => {
                row.fault("end", "is empty");
                return None;
            }
        };
        let time = WorkTime {
            item,
            fair,
            note,
            ..time
        };
        if let Err(error) = time.check() {
            row.fault(error.field(), error.to_string());
            return None;
        }
        Some(HoursRow::Worked(row.number, time))
    })
}

fn told<T>(row: &mut Row<'_, '_>, column: &str, read: Result<T, HoursError>) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(error) => {
            row.fault(column, error.to_string());
            None
        }
    }
}
