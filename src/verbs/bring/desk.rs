//! Sheets of what is kept at the desk: questions asked and answered, duties and what was done about them,
//! papers, decisions, hours.

use chrono::NaiveDate;

use super::around::entry_of;
use super::{Done, Files, Options, VerbError, innermost, items_of, row_fault};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::desk::{Answer, Application, Duty, Question, QuestionState};
use crate::export::counted;
use crate::import::{self, Faults, HoursRow, QuestionRow, Sheet};
use crate::ledger::EntryNumber;

/// Questions: new ones are asked, those of the book take the answers that the sheet has.
pub(super) fn questions(
    book: &mut Book,
    sheet: &Sheet,
    options: Options,
) -> Result<Done, VerbError> {
    let list = import::questions(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    let (mut n_asked, mut n_answered, mut n_changed) = (0, 0, 0);
    for row in &list {
        let before = found(book, row, options, &mut faults)?;
        let Some(after) = merged(book, row, before.as_ref(), options.today, &mut faults)? else {
            continue;
        };
        if before.as_ref() == Some(&after) {
            continue;
        }
        if let Err(error) = after.check() {
            faults.cell(row.row, error.field(), error.to_string());
            continue;
        }
        match book.keep_question(&after) {
            Err(error) => faults.row(row.row, innermost(&error).to_string()),
            Ok(_number) => {
                n_changed += 1;
                n_asked += usize::from(before.is_none());
                let was_open =
                    before.is_none_or(|question| question.state() == QuestionState::Open);
                n_answered += usize::from(was_open && after.state() == QuestionState::Answered);
            }
        }
    }
    faults.into_result(())?;
    let mut notes = vec![format!(
        "{} asked, {} brought back.",
        counted(n_asked, "question", "questions"),
        counted(n_answered, "answer", "answers")
    )];
    if n_changed < list.len() {
        let rest = counted(list.len() - n_changed, "row says", "rows say");
        notes.push(format!("{rest} what the book has already."));
    }
    Ok(Done {
        notes,
        ..Done::of_count(n_changed)
    })
}

/// The question of the book that a row is about.
fn found(
    book: &Book,
    row: &QuestionRow,
    options: Options,
    faults: &mut Faults,
) -> Result<Option<Question>, BookError> {
    let known = book.questions()?;
    let Some(number) = row.number else {
        let entry = match row.entry.as_str() {
            "" => None,
            key => entry_of(book, key)?,
        };
        let same = known
            .into_iter()
            .find(|one| one.words == row.question.trim() && one.entry == entry);
        return Ok(same);
    };
    let found = known.into_iter().find(|one| one.id == number);
    if let Some(question) = &found
        && question.words != row.question.trim()
    {
        let message = format!("question {number} of the book is '{}'", question.words);
        faults.cell(row.row, "question", message);
    }
    if found.is_none() && !options.is_written_out {
        let message = format!(
            "there is no question {number} in the book; leave the number out to ask a new one"
        );
        faults.cell(row.row, "number", message);
    }
    Ok(found)
}

/// The question with what the row adds to it.
fn merged(
    book: &Book,
    row: &QuestionRow,
    before: Option<&Question>,
    today: Option<NaiveDate>,
    faults: &mut Faults,
) -> Result<Option<Question>, BookError> {
    let mut question = match before {
        Some(before) => before.clone(),
        None => {
            let Some(asked_on) = row.asked_on.or(today) else {
                faults.cell(row.row, "asked_on", "is empty");
                return Ok(None);
            };
            let mut new = Question::new(row.question.trim(), asked_on);
            new.id = row.number.unwrap_or(0);
            new.asked_by.clone_from(&row.asked_by);
            new
        }
    };
    let entry = entry_named(book, row, "entry", &row.entry, faults)?;
    match (before.map(|question| question.entry), entry) {
        (Some(Some(is)), Some(other)) if is != other => {
            let message = format!("the question of the book is about entry {is}");
            faults.cell(row.row, "entry", message);
        }
        (_, Some(entry)) => question.entry = Some(entry),
        (_, None) => {}
    }
    if !row.answer.is_empty() {
        let before = question.answer.as_ref();
        let is_other = before.is_some_and(|answer| answer.words != row.answer);
        if is_other && question.application.is_some() {
            let message = "its answer is applied already and stays as it was";
            faults.cell(row.row, "answer", message);
        }
        let on = before.map(|answer| answer.on).filter(|_on| !is_other);
        let by = before.map(|answer| answer.by.clone()).unwrap_or_default();
        question.answer = Some(Answer {
            words: row.answer.clone(),
            by: given(&row.answered_by).unwrap_or(by),
            on: row
                .answered_on
                .or(on)
                .or(today)
                .unwrap_or(question.asked_on),
        });
    }
    if !row.applied.is_empty() {
        let on = question.application.as_ref().map(|applied| applied.on);
        let answered_on = question.answer.as_ref().map(|answer| answer.on);
        question.application = Some(Application {
            what: row.applied.clone(),
            entry: entry_named(book, row, "applied_entry", &row.applied_entry, faults)?,
            on: row
                .applied_on
                .or(on)
                .or(today)
                .or(answered_on)
                .unwrap_or(question.asked_on),
        });
    }
    Ok(Some(question))
}

fn given(text: &str) -> Option<String> {
    Some(text.to_owned()).filter(|text| !text.is_empty())
}

fn entry_named(
    book: &Book,
    row: &QuestionRow,
    column: &str,
    key: &str,
    faults: &mut Faults,
) -> Result<Option<EntryNumber>, BookError> {
    if key.is_empty() {
        return Ok(None);
    }
    let entry = entry_of(book, key)?;
    if entry.is_none() {
        let message = format!("there is no entry or document '{key}' in the book");
        faults.cell(row.row, column, message);
    }
    Ok(entry)
}

/// Duties: a row whose name is known changes that duty.
pub(super) fn duties(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::duties(sheet, book.currency())?;
    for row in &list {
        let known = duty_named(book, &row.duty.name)?;
        let duty = Duty {
            id: known.map_or(0, |known| known.id),
            ..row.duty.clone()
        };
        book.keep_duty(&duty)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// What was done about duties, with the proofs that lie beside the sheet.
pub(super) fn duties_done(
    book: &mut Book,
    sheet: &Sheet,
    files: &Files,
) -> Result<Done, VerbError> {
    let list = import::duties_done(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        let Some(duty) = duty_named(book, &row.duty)? else {
            let message = format!("there is no duty called '{}' in the book", row.duty);
            faults.cell(row.row, "duty", message);
            continue;
        };
        let Some(proof) = proof_beside(row.row, row.file.as_ref(), files, &mut faults) else {
            continue;
        };
        let proof = proof
            .as_ref()
            .map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
        if let Err(error) = book.do_duty(duty.id, &row.done, proof) {
            faults.row(row.row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

fn duty_named(book: &Book, name: &str) -> Result<Option<Duty>, BookError> {
    let name = name.trim().to_lowercase();
    let mut known = book.duties()?.into_iter();
    Ok(known.find(|duty| duty.name.to_lowercase() == name))
}

/// The file that a row names, with its name; neither where it names none, and a fault where it cannot be read.
fn proof_beside(
    row: u64,
    file: Option<&(String, String)>,
    files: &Files,
    faults: &mut Faults,
) -> Option<Option<(String, Vec<u8>)>> {
    let Some((file, name)) = file else {
        return Some(None);
    };
    match files.read(file) {
        Ok(bytes) => Some(Some((name.clone(), bytes))),
        Err(message) => {
            faults.cell(row, "file", message);
            None
        }
    }
}

/// Papers of the company: a row whose name is known changes that paper; a copy that is not given stays.
pub(super) fn papers(book: &mut Book, sheet: &Sheet, files: &Files) -> Result<Done, VerbError> {
    let list = import::papers(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        let Some(copy) = proof_beside(row.row, row.file.as_ref(), files, &mut faults) else {
            continue;
        };
        let copy = copy
            .as_ref()
            .map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
        let name = row.paper.name.to_lowercase();
        let mut known = book.company_papers()?.into_iter();
        let known = known.find(|paper| paper.name.to_lowercase() == name);
        let mut paper = row.paper.clone();
        if let Some(known) = known {
            paper.id = known.id;
            paper.proof = known.proof;
        }
        if let Err(error) = book.keep_company_paper(&paper, copy) {
            faults.row(row.row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

/// Decisions: each row is a new line.
pub(super) fn decisions(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::decisions(sheet, book.currency())?;
    for (row, decision) in &list {
        book.decide(decision)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// Hours, and the timer where one runs.
pub(super) fn hours(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::hours(sheet, book.currency(), &items_of(book)?)?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        match row {
            HoursRow::Worked(row, time) => {
                let beside = book.work_times(DateRange {
                    from: time.day,
                    to: time.day,
                })?;
                if let Err(error) = time.check_beside(&beside) {
                    faults.cell(*row, error.field(), error.to_string());
                    continue;
                }
                if let Err(error) = book.keep_work_time(time) {
                    faults.row(*row, innermost(&error).to_string());
                }
            }
            HoursRow::Running(row, timer) => {
                if let Err(error) = book.start_timer(timer) {
                    faults.cell(*row, "end", innermost(&error).to_string());
                }
            }
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}
