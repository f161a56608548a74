//! Papers of the company and decisions in the file.

use rusqlite::{Row, params};

use super::{gone, proof_file, proof_values};
use crate::book::orders::may_day;
use crate::book::reading::{day, word};
use crate::book::{Book, BookError};
use crate::desk::{CompanyPaper, Decision, PaperError, PaperKind};

const PAPER: &str = "id, name, kind, is_there, day, kept_at, note, receipt, receipt_name";

fn paper(row: &Row<'_>) -> Result<CompanyPaper, BookError> {
    let kind: String = row.get(2)?;
    Ok(CompanyPaper {
        id: row.get(0)?,
        name: row.get(1)?,
        kind: word(&kind)?,
        is_there: row.get(3)?,
        day: may_day(row.get(4)?)?,
        kept_at: row.get(5)?,
        note: row.get(6)?,
        proof: proof_file(row, 7)?,
    })
}

impl Book {
    /// The papers of the company, in the order in which they were first written down.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn company_papers(&self) -> Result<Vec<CompanyPaper>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("SELECT {PAPER} FROM company_paper ORDER BY id"))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(paper(row)?);
        }
        Ok(list)
    }

    /// Keeps a paper: a new one when it has no number, else in the place of the one with its number; with a copy in the
    /// place of the one before where one is given. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, holds a tax number, another has its name, it is not there, or the copy cannot be kept.
    pub fn keep_company_paper(
        &mut self,
        paper: &CompanyPaper,
        copy: Option<(&str, &[u8])>,
    ) -> Result<i64, BookError> {
        let checked = paper.check().and_then(|()| match copy {
            Some(_) if paper.kind == PaperKind::TaxNumber => Err(PaperError::CopyOfNumber),
            _ => Ok(()),
        });
        checked.map_err(|error| BookError::refused(error.to_string()))?;
        let name = paper.name.trim();
        let is_taken = self
            .company_papers()?
            .into_iter()
            .any(|other| other.id != paper.id && other.name.to_lowercase() == name.to_lowercase());
        if is_taken {
            return Err(BookError::refused(format!(
                "there is a paper called '{name}' already; give this one another name"
            )));
        }
        let label = format!("Paper kept: {name}");
        self.write(&label, |book| {
            let kept = match copy {
                Some((name, bytes)) => Some(book.keep_receipt(name, bytes)?),
                None => paper.proof.clone(),
            };
            book.note("paper", &label, &paper.note)?;
            let (hash, copy_name) = proof_values(kept.as_ref());
            let values = params![
                name,
                paper.kind.as_str(),
                paper.is_there,
                paper.day.map(|day| day.to_string()),
                paper.kept_at.trim(),
                paper.note.trim(),
                hash,
                copy_name,
                Some(paper.id).filter(|id| *id != 0),
            ];
            if paper.id == 0 {
                book.side(
                    "INSERT INTO company_paper (name, kind, is_there, day, kept_at, note, receipt, receipt_name, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE company_paper SET name = ?1, kind = ?2, is_there = ?3, day = ?4, kept_at = ?5, note = ?6,
                   receipt = ?7, receipt_name = ?8 WHERE id = ?9",
                values,
            )?;
            if n_changed == 0 {
                return Err(gone("paper", paper.id));
            }
            Ok(paper.id)
        })
    }

    /// Takes a paper off the list.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_company_paper(&mut self, id: i64) -> Result<(), BookError> {
        let found = self.company_papers()?.into_iter().find(|one| one.id == id);
        let paper = found.ok_or_else(|| gone("paper", id))?;
        let label = format!("Paper taken off the list: {}", paper.name);
        self.write(&label, |book| {
            book.note("paper", &label, "")?;
            book.side("DELETE FROM company_paper WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// The decisions by their day, those of a day as they were written down.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn decisions(&self) -> Result<Vec<Decision>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT id, day, what, why, corrects FROM decision ORDER BY day, id")?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let text: String = row.get(1)?;
            list.push(Decision {
                id: row.get(0)?,
                day: day(&text)?,
                what: row.get(2)?,
                why: row.get(3)?,
                corrects: row.get(4)?,
            });
        }
        Ok(list)
    }

    /// Writes a decision down, under its number when it has one that is free. Returns its number.
    ///
    /// # Errors
    /// When it says nothing, its number is taken, or the line it corrects is not there or was corrected already.
    pub fn decide(&mut self, decision: &Decision) -> Result<i64, BookError> {
        decision
            .check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        let before = self.decisions()?;
        if let Some(corrected) = decision.corrects {
            if !before.iter().any(|one| one.id == corrected) {
                return Err(gone("decision", corrected));
            }
            if before.iter().any(|one| one.corrects == Some(corrected)) {
                return Err(BookError::refused(
                    "that line was corrected already; correct its correction",
                ));
            }
        }
        if decision.id != 0 && before.iter().any(|one| one.id == decision.id) {
            return Err(BookError::refused(format!(
                "there is a decision {} already, and a line is never changed",
                decision.id
            )));
        }
        let label = format!("Decided: {}", decision.what.trim());
        self.write(&label, |book| {
            book.note("decision", &label, decision.why.trim())?;
            book.side(
                "INSERT INTO decision (id, day, what, why, corrects) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    Some(decision.id).filter(|id| *id != 0),
                    decision.day.to_string(),
                    decision.what.trim(),
                    decision.why.trim(),
                    decision.corrects,
                ],
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }
}
