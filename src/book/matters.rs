//! The steps of matters in the file: kept with the entry that they posted, or by themselves.
//! What a step means and what is left of a matter is `crate::matters`'.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use super::reading::{day, word};
use super::{Book, BookError, Told as ToldOne};
use crate::ledger::EntryNumber;
use crate::matters::{MatterKind, Matters, Step, read_pieces, write_pieces};
use crate::money::Money;
use crate::occasions::{Told, What};

const COLUMNS: &str =
    "s.id, s.entry, s.on_day, s.matter, s.key, s.step, s.amount, s.due, s.party, s.about, s.pieces,
    s.answers, EXISTS (SELECT 1 FROM entry r WHERE r.reverses = s.entry)";

fn step_of(row: &Row<'_>) -> Result<Step, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let answers: String = text(11)?;
    let answers: BTreeMap<String, String> = serde_json::from_str(&answers).map_err(|error| {
        BookError::damaged(format!("the answers of a step are unreadable: {error}"))
    })?;
    Ok(Step {
        id: row.get(0)?,
        entry: row.get::<_, Option<u64>>(1)?.map(EntryNumber),
        on: day(&text(2)?)?,
        matter: word(&text(3)?)?,
        key: text(4)?,
        kind: word(&text(5)?)?,
        amount: Money::from_minor(row.get(6)?),
        due: row
            .get::<_, Option<String>>(7)?
            .map(|text| day(&text))
            .transpose()?,
        party: text(8)?,
        about: text(9)?,
        pieces: read_pieces(&text(10)?).map_err(BookError::damaged)?,
        answers,
        is_void: row.get(12)?,
    })
}

impl Book {
    /// Every step that was told, in the order of telling; those whose entries were taken back are marked void.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn matter_steps(&self) -> Result<Vec<Step>, BookError> {
        self.steps_where("1 ORDER BY s.id", [])
    }

    /// Everything that goes on or has ended.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn matters(&self) -> Result<Matters, BookError> {
        Ok(Matters::of_steps(self.matter_steps()?))
    }

    /// The steps that an entry posted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn steps_of(&self, entry: EntryNumber) -> Result<Vec<Step>, BookError> {
        self.steps_where("s.entry = ?1 ORDER BY s.id", [entry.0])
    }

    /// What of a sale's payment is in dispute.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn in_dispute(&self, document: &str) -> Result<Money, BookError> {
        if document.trim().is_empty() {
            return Ok(Money::ZERO);
        }
        let steps = self.steps_where(
            "s.matter = ?1 AND s.key = ?2 ORDER BY s.id",
            params![MatterKind::Dispute.as_str(), document.trim()],
        )?;
        let matters = Matters::of_steps(steps);
        let dispute = matters.find(MatterKind::Dispute, document);
        Ok(dispute.map_or(Money::ZERO, crate::matters::Matter::balance))
    }

    fn steps_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<Step>, BookError> {
        let sql = format!("SELECT {COLUMNS} FROM matter_step s WHERE {condition}");
        let mut query = self.conn.prepare_cached(&sql)?;
        let mut rows = query.query(params)?;
        let mut steps = Vec::new();
        while let Some(row) = rows.next()? {
            steps.push(step_of(row)?);
        }
        Ok(steps)
    }

    /// Writes down what an occasion came to: its entry, its movements of stock and its steps, all of it or nothing.
    /// Returns the number of the entry, where there is one.
    ///
    /// # Errors
    /// As [`Book::record`] and [`Book::move_stock`].
    pub fn tell(&mut self, told: &Told) -> Result<Option<EntryNumber>, BookError> {
        self.write(&told.label, |book| {
            let number = match &told.what {
                What::Nothing => {
                    book.note("matter", &told.label, "")?;
                    None
                }
                What::Entry(recording) => Some(book.record_one(recording)?),
                What::Stock {
                    header,
                    lines,
                    movements,
                } => {
                    let moved = ToldOne::Moved {
                        header,
                        lines,
                        movements,
                    };
                    book.write_each(&[moved])?.into_iter().flatten().next()
                }
            };
            for step in &told.steps {
                let step = Step {
                    entry: number,
                    ..step.clone()
                };
                book.insert_step(&step)?;
            }
            if let (Some(number), Some(day)) = (number, told.take_back_on) {
                let reason = format!("Taken back after the year\u{2019}s end: {}", told.label);
                book.mirror(number, day, &reason)?;
            }
            Ok(number)
        })
    }

    /// Keeps steps as they were written out, with the numbers of their entries.
    ///
    /// # Errors
    /// When the file refuses one, as for an entry that is not there.
    pub fn keep_steps(&mut self, steps: &[Step]) -> Result<(), BookError> {
        let label = format!("{} steps of what goes on", steps.len());
        self.write(&label, |book| {
            book.note("matter", &label, "")?;
            for step in steps {
                if let Some(entry) = step.entry {
                    book.entry(entry)?;
                }
                book.insert_step(step)?;
            }
            Ok(())
        })
    }

    /// Takes out a step that posted nothing; one that posted goes with its entry.
    ///
    /// # Errors
    /// Without a reason, when there is no such step, or when it posted an entry.
    pub fn remove_step(&mut self, id: i64, reason: &str) -> Result<(), BookError> {
        let reason = super::entries::given(reason)?.to_owned();
        let found = self.steps_where("s.id = ?1", [id])?;
        let Some(step) = found.first() else {
            return Err(BookError::NoSuch {
                what: "step",
                key: id.to_string(),
            });
        };
        if let Some(entry) = step.entry {
            return Err(BookError::refused(format!(
                "this step posted entry {entry}; take the entry back, and the step goes with it"
            )));
        }
        let label = format!(
            "{} {}: {} taken out",
            step.matter.plain(),
            step.key,
            step.kind.plain().to_lowercase()
        );
        self.write(&label, |book| {
            book.note("matter", &label, &reason)?;
            book.side("DELETE FROM matter_step WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// Refuses other lines or another day for an entry whose steps say what it was.
    pub(super) fn refuse_other_steps(
        &self,
        posted: &crate::ledger::PostedEntry,
        entry: &crate::ledger::JournalEntry,
    ) -> Result<(), BookError> {
        let amounts = |entry: &crate::ledger::JournalEntry| {
            entry
                .lines()
                .iter()
                .map(|line| (line.account, line.amount))
                .collect::<Vec<_>>()
        };
        let is_same = posted.entry.header.date == entry.header.date
            && amounts(&posted.entry) == amounts(entry);
        if is_same || self.steps_of(posted.number)?.is_empty() {
            return Ok(());
        }
        Err(BookError::refused(format!(
            "entry {} is a step of something that goes on, so its day and amounts stay; take it back and write it down \
             again",
            posted.number
        )))
    }

    fn insert_step(&mut self, step: &Step) -> Result<(), BookError> {
        let answers = serde_json::to_string(&step.answers)
            .map_err(|error| BookError::Sql(error.to_string()))?;
        self.side(
            "INSERT INTO matter_step (entry, on_day, matter, key, step, amount, due, party, about, pieces, answers)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
            params![
                step.entry.map(|number| number.0),
                step.on.to_string(),
                step.matter.as_str(),
                step.key.trim(),
                step.kind.as_str(),
                step.amount.minor(),
                step.due.map(|due| due.to_string()),
                step.party.trim(),
                step.about.trim(),
                write_pieces(&step.pieces),
                answers,
            ],
        )?;
        Ok(())
    }
}
