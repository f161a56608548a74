//! Questions for the accountant in the file, with the steps they took.

use rusqlite::{Row, params};

use super::gone;
use crate::book::orders::may_day;
use crate::book::reading::day;
use crate::book::{Book, BookError};
use crate::desk::{Answer, Application, Question, QuestionState};
use crate::ledger::EntryNumber;

const COLUMNS: &str = "id, entry, words, asked_by, asked_on, answer, answered_by, answered_on, applied, applied_entry, \
     applied_on";

fn question(row: &Row<'_>) -> Result<Question, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let entry = |column: usize| {
        row.get::<_, Option<u64>>(column)
            .map(|number| number.map(EntryNumber))
    };
    let answered_on = may_day(row.get(7)?)?;
    let applied_on = may_day(row.get(10)?)?;
    Ok(Question {
        id: row.get(0)?,
        entry: entry(1)?,
        words: text(2)?,
        asked_by: text(3)?,
        asked_on: day(&text(4)?)?,
        answer: match answered_on {
            Some(on) => Some(Answer {
                words: text(5)?,
                by: text(6)?,
                on,
            }),
            None => None,
        },
        application: match applied_on {
            Some(on) => Some(Application {
                what: text(8)?,
                entry: entry(9)?,
                on,
            }),
            None => None,
        },
    })
}

impl Book {
    /// The questions for the accountant, in the order in which they were asked.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn questions(&self) -> Result<Vec<Question>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {COLUMNS} FROM question ORDER BY id"))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(question(row)?);
        }
        Ok(list)
    }

    /// Keeps a question with the steps it took: a new one when it has no number, in the place of the one with its number,
    /// or under its number where there is none. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, or an entry it names is not there.
    pub fn keep_question(&mut self, question: &Question) -> Result<i64, BookError> {
        question
            .check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        let applied_by = question.application.as_ref().and_then(|done| done.entry);
        for entry in question.entry.into_iter().chain(applied_by) {
            self.refuse_no_entry(entry)?;
        }
        let about = question
            .entry
            .map(|entry| format!(" about entry {entry}"))
            .unwrap_or_default();
        let (done, words) = match (&question.answer, &question.application) {
            (_, Some(applied)) => ("applied", &applied.what),
            (Some(answer), None) => ("answered", &answer.words),
            (None, None) => ("asked", &question.words),
        };
        self.write(&format!("Question{about} {done}"), |book| {
            book.note("question", &format!("Question{about} {done}: {words}"), "")?;
            let answer = question.answer.as_ref();
            let applied = question.application.as_ref();
            let day = |day: chrono::NaiveDate| day.to_string();
            let values = params![
                question.entry.map(|entry| entry.0),
                question.words.trim(),
                question.asked_by.trim(),
                day(question.asked_on),
                answer.map_or("", |answer| answer.words.trim()),
                answer.map_or("", |answer| answer.by.trim()),
                answer.map(|answer| day(answer.on)),
                applied.map_or("", |applied| applied.what.trim()),
                applied_by.map(|entry| entry.0),
                applied.map(|applied| day(applied.on)),
                Some(question.id).filter(|id| *id != 0),
            ];
            let n_changed = book.side(
                "UPDATE question SET entry = ?1, words = ?2, asked_by = ?3, asked_on = ?4, answer = ?5, answered_by = ?6,
                   answered_on = ?7, applied = ?8, applied_entry = ?9, applied_on = ?10 WHERE id = ?11",
                values,
            )?;
            if n_changed > 0 {
                return Ok(question.id);
            }
            book.side(
                "INSERT INTO question (entry, words, asked_by, asked_on, answer, answered_by, answered_on, applied,
                   applied_entry, applied_on, id)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
                values,
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Takes a question out that was a mistake. One with an answer stays: what was said is kept.
    ///
    /// # Errors
    /// When it is not there or was answered.
    pub fn remove_question(&mut self, id: i64) -> Result<(), BookError> {
        let found = self.questions()?.into_iter().find(|one| one.id == id);
        let question = found.ok_or_else(|| gone("question", id))?;
        if question.state() != QuestionState::Open {
            return Err(BookError::refused(
                "the question was answered, and what was said is kept",
            ));
        }
        self.write("Question taken out", |book| {
            book.note(
                "question",
                &format!("Question taken out: {}", question.words),
                "",
            )?;
            book.side("DELETE FROM question WHERE id = ?1", [id])?;
            Ok(())
        })
    }
}
