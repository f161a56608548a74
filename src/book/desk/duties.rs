//! Duties in the file, with what was done about each and its proof.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use super::{gone, proof_file, proof_values};
use crate::book::orders::may_day;
use crate::book::reading::{day, word};
use crate::book::{Book, BookError};
use crate::dates::{DateRange, show_day};
use crate::desk::{Duty, DutyDone, DutyKind};
use crate::money::Money;

const DUTY: &str = "id, name, kind, next_day, day, every_months, remind_days, period_to, note";
const DONE: &str =
    "id, duty, due, done_on, amount, period_from, period_to, note, receipt, receipt_name";

fn duty(row: &Row<'_>) -> Result<Duty, BookError> {
    let kind: String = row.get(2)?;
    Ok(Duty {
        id: row.get(0)?,
        name: row.get(1)?,
        kind: word(&kind)?,
        next_day: may_day(row.get(3)?)?,
        day: row.get(4)?,
        every_months: row.get(5)?,
        remind_days: row.get(6)?,
        period_to: may_day(row.get(7)?)?,
        note: row.get(8)?,
    })
}

fn done(row: &Row<'_>) -> Result<(i64, DutyDone), BookError> {
    let (due, done_on): (String, String) = (row.get(2)?, row.get(3)?);
    let period = match (may_day(row.get(5)?)?, may_day(row.get(6)?)?) {
        (Some(from), Some(to)) => DateRange::new(from, to),
        _ => None,
    };
    Ok((
        row.get(1)?,
        DutyDone {
            id: row.get(0)?,
            due: day(&due)?,
            done_on: day(&done_on)?,
            amount: row.get::<_, Option<i64>>(4)?.map(Money::from_minor),
            period,
            note: row.get(7)?,
            proof: proof_file(row, 8)?,
        },
    ))
}

impl Book {
    /// The duties, in the order in which they were first written down.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn duties(&self) -> Result<Vec<Duty>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {DUTY} FROM duty ORDER BY id"))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(duty(row)?);
        }
        Ok(list)
    }

    /// What was done about each duty, by its number, the oldest day first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn duties_done(&self) -> Result<BTreeMap<i64, Vec<DutyDone>>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {DONE} FROM duty_done ORDER BY duty, due"))?;
        let mut rows = query.query([])?;
        let mut all: BTreeMap<i64, Vec<DutyDone>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let (of, one) = done(row)?;
            all.entry(of).or_default().push(one);
        }
        Ok(all)
    }

    fn duty_of(&self, id: i64) -> Result<Duty, BookError> {
        let found = self.duties()?.into_iter().find(|duty| duty.id == id);
        found.ok_or_else(|| gone("duty", id))
    }

    fn done_about(&self, id: i64) -> Result<Vec<DutyDone>, BookError> {
        Ok(self.duties_done()?.remove(&id).unwrap_or_default())
    }

    /// Keeps a duty: a new one when it has no number, else in the place of the one with its number. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, another has its name, it is not there, or it was done for its next day already.
    pub fn keep_duty(&mut self, duty: &Duty) -> Result<i64, BookError> {
        duty.check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        let name = duty.name.trim();
        let is_taken = self
            .duties()?
            .into_iter()
            .any(|other| other.id != duty.id && other.name.to_lowercase() == name.to_lowercase());
        if is_taken {
            return Err(BookError::refused(format!(
                "there is a duty called '{name}' already; give this one another name"
            )));
        }
        if let Some(next) = duty.next_day
            && self.done_about(duty.id)?.iter().any(|one| one.due == next)
        {
            return Err(BookError::refused(format!(
                "{name} was done for {} already",
                show_day(next)
            )));
        }
        let label = format!("Duty kept: {name}");
        self.write(&label, |book| {
            book.note("duty", &label, &duty.note)?;
            let values = params![
                name,
                duty.kind.as_str(),
                duty.next_day.map(|day| day.to_string()),
                duty.day,
                duty.every_months,
                duty.remind_days,
                duty.period_to.map(|day| day.to_string()),
                duty.note.trim(),
                Some(duty.id).filter(|id| *id != 0),
            ];
            if duty.id == 0 {
                book.side(
                    "INSERT INTO duty (name, kind, next_day, day, every_months, remind_days, period_to, note, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE duty SET name = ?1, kind = ?2, next_day = ?3, day = ?4, every_months = ?5, remind_days = ?6,
                   period_to = ?7, note = ?8 WHERE id = ?9",
                values,
            )?;
            if n_changed == 0 {
                return Err(gone("duty", duty.id));
            }
            Ok(duty.id)
        })
    }

    /// Takes a duty out of which nothing was done yet.
    ///
    /// # Errors
    /// When it is not there, or something was done about it.
    pub fn remove_duty(&mut self, id: i64) -> Result<(), BookError> {
        let duty = self.duty_of(id)?;
        if !self.done_about(id)?.is_empty() {
            return Err(BookError::refused(
                "what was done about it is kept; leave its next day empty to end it",
            ));
        }
        let label = format!("Duty taken out: {}", duty.name);
        self.write(&label, |book| {
            book.note("duty", &label, "")?;
            book.side("DELETE FROM duty WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// Writes down that a duty was done for a day, with its proof if there is one. Done for its next day, it moves on to
    /// the one after.
    ///
    /// # Errors
    /// When it is not there, was done for that day already, or the proof cannot be kept.
    pub fn do_duty(
        &mut self,
        id: i64,
        done: &DutyDone,
        proof: Option<(&str, &[u8])>,
    ) -> Result<(), BookError> {
        let duty = self.duty_of(id)?;
        if self.done_about(id)?.iter().any(|one| one.due == done.due) {
            return Err(BookError::refused(format!(
                "{} was done for {} already",
                duty.name,
                show_day(done.due)
            )));
        }
        if done.period.is_some() && duty.kind != DutyKind::SalesTax {
            return Err(BookError::refused("only a sales-tax return has a period"));
        }
        if done.amount.is_some_and(|amount| !amount.is_within_limit()) {
            return Err(BookError::refused("the amount is more than a book takes"));
        }
        let due = show_day(done.due);
        let label = format!("Done: {}, due {due}", duty.name);
        self.write(&label, |book| {
            let kept = proof
                .map(|(name, bytes)| book.keep_receipt(name, bytes))
                .transpose()?;
            book.note("duty", &label, &done.note)?;
            let (hash, name) = proof_values(kept.as_ref());
            book.side(
                "INSERT INTO duty_done (duty, due, done_on, amount, period_from, period_to, note, receipt, receipt_name)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                params![
                    id,
                    done.due.to_string(),
                    done.done_on.to_string(),
                    done.amount.map(Money::minor),
                    done.period.map(|period| period.from.to_string()),
                    done.period.map(|period| period.to.to_string()),
                    done.note.trim(),
                    hash,
                    name,
                ],
            )?;
            if duty.next_day == Some(done.due) {
                let next = duty
                    .moved_on()
                    .map_err(|error| BookError::refused(error.to_string()))?;
                book.side(
                    "UPDATE duty SET next_day = ?1, period_to = ?2 WHERE id = ?3",
                    params![
                        next.next_day.map(|day| day.to_string()),
                        next.period_to.map(|day| day.to_string()),
                        id
                    ],
                )?;
            }
            Ok(())
        })
    }

    /// Takes back that a duty was done, when that was the latest of its days: it is due for that day again.
    ///
    /// # Errors
    /// When nothing was done about it.
    pub fn take_back_duty(&mut self, id: i64) -> Result<(), BookError> {
        let mut duty = self.duty_of(id)?;
        let latest = self.done_about(id)?.pop();
        let latest = latest.ok_or_else(|| BookError::refused("nothing was done about it yet"))?;
        let label = format!(
            "Not done after all: {}, due {}",
            duty.name,
            show_day(latest.due)
        );
        if let Some(period) = latest.period {
            duty.period_to = Some(period.to);
        }
        self.write(&label, |book| {
            book.note("duty", &label, "")?;
            book.side("DELETE FROM duty_done WHERE id = ?1", [latest.id])?;
            book.side(
                "UPDATE duty SET next_day = ?1, period_to = ?2 WHERE id = ?3",
                params![
                    latest.due.to_string(),
                    duty.period_to.map(|day| day.to_string()),
                    id
                ],
            )?;
            Ok(())
        })
    }

    /// Keeps the proof of something that was done, in the place of the one before.
    ///
    /// # Errors
    /// When that is not there, or the proof cannot be kept.
    pub fn prove_duty(&mut self, done: i64, name: &str, bytes: &[u8]) -> Result<(), BookError> {
        let label = format!("Proof {} of a duty kept", name.trim());
        self.write(&label, |book| {
            let kept = book.keep_receipt(name, bytes)?;
            book.note("duty", &format!("{label} ({})", kept.hash), "")?;
            let n_changed = book.side(
                "UPDATE duty_done SET receipt = ?1, receipt_name = ?2 WHERE id = ?3",
                params![kept.hash, kept.name, done],
            )?;
            if n_changed == 0 {
                return Err(gone("done duty", done));
            }
            Ok(())
        })
    }
}
