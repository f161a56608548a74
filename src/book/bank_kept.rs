//! Statement files and lines that another book wrote out: kept as they were, with what became of each line.
//! Bringing in a bank's own file is `bank_lines`'.

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::bank_lines::bank_line;
use super::{Became, Book, BookError, KeptLine, NewStatement};
use crate::money::Money;
use crate::sorting::BankLine;

impl Book {
    /// Keeps a statement file without its lines, under the number that its sheet gives it.
    ///
    /// # Errors
    /// When the key is no number, or is there already.
    pub fn keep_statement_file(
        &mut self,
        key: &str,
        statement: &NewStatement,
        brought_at: &str,
        closing: Option<(NaiveDate, Money)>,
    ) -> Result<(), BookError> {
        let id = file_number(key)?;
        let label = format!("Kept: {}", statement.name);
        self.write(&label, |book| {
            book.note("statement", &label, &statement.hash)?;
            let is_there: bool = book
                .conn
                .prepare_cached("SELECT EXISTS (SELECT 1 FROM statement_file WHERE id = ?1)")?
                .query_row([id], |row| row.get(0))?;
            if is_there {
                return Err(BookError::refused(format!(
                    "there is a statement file {id} already"
                )));
            }
            let at = match brought_at.trim() {
                "" => book.steps.now().to_owned(),
                at => at.to_owned(),
            };
            book.side(
                "INSERT INTO statement_file (id, account, name, hash, format, at, n_lines, closing_day, closing_balance,
                                             bank_account)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0, ?7, ?8, ?9)",
                params![
                    id,
                    statement.account.0,
                    statement.name,
                    statement.hash,
                    statement.format,
                    at,
                    closing.map(|(day, _balance)| day.to_string()),
                    closing.map(|(_day, balance)| balance.minor()),
                    statement.bank_account,
                ],
            )?;
            Ok(())
        })
    }

    /// Keeps the lines of a statement file as they are, with what became of each.
    ///
    /// # Errors
    /// When there is no such file, or a line cannot belong to its entries; [`BookError::AtIndex`] says which one.
    pub fn keep_statement_lines(&mut self, key: &str, lines: &[KeptLine]) -> Result<(), BookError> {
        let file = file_number(key)?;
        let account: Option<i64> = self
            .conn
            .prepare_cached("SELECT account FROM statement_file WHERE id = ?1")?
            .query_row([file], |row| row.get(0))
            .optional()?;
        let Some(account) = account else {
            return Err(BookError::NoSuch {
                what: "statement file",
                key: key.to_owned(),
            });
        };
        let label = format!("{} statement lines kept", lines.len());
        self.write(&label, |book| {
            book.note("statement", &label, "")?;
            for (index, line) in lines.iter().enumerate() {
                book.keep_line(file, account, line)
                    .map_err(|source| BookError::AtIndex {
                        index,
                        source: Box::new(source),
                    })?;
            }
            book.side(
                "UPDATE statement_file SET n_lines = (SELECT count(*) FROM bank_line WHERE file = ?1),
                   first_day = (SELECT min(date) FROM bank_line WHERE file = ?1),
                   last_day = (SELECT max(date) FROM bank_line WHERE file = ?1)
                 WHERE id = ?1",
                [file],
            )?;
            Ok(())
        })
    }

    fn keep_line(&mut self, file: i64, account: i64, line: &KeptLine) -> Result<(), BookError> {
        self.conn
            .prepare_cached(
                "INSERT INTO bank_line (id, file, row, account, date, amount, text, bank_id, balance)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                line.id.map(|id| id.0),
                file,
                line.row,
                account,
                line.date.to_string(),
                line.amount.minor(),
                line.text,
                line.bank_id,
                line.balance.map(Money::minor),
            ])?;
        let id = self.conn.last_insert_rowid();
        match &line.became {
            None => {}
            Some(Became::LeftOut(why)) => {
                self.side(
                    "INSERT INTO bank_match (line, entry, how, why) VALUES (?1, NULL, 'left-out', ?2)",
                    params![id, why],
                )?;
            }
            Some(became @ Became::Entries { numbers, .. }) => {
                for number in numbers {
                    self.entry(*number)?;
                    self.side(
                        "INSERT INTO bank_match (line, entry, how, why) VALUES (?1, ?2, ?3, '')",
                        params![id, number.0, became.as_str()],
                    )?;
                }
            }
        }
        Ok(())
    }

    /// Every line of every statement file, with the file's number and what became of it, in the order they came.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all_bank_lines(&self) -> Result<Vec<(i64, BankLine, Option<Became>)>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT l.id, l.account, l.date, l.amount, l.text, l.bank_id, l.balance, f.name, l.row, f.id
             FROM bank_line l JOIN statement_file f ON f.id = l.file ORDER BY l.file, l.row, l.id",
        )?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push((row.get(9)?, bank_line(row)?, None));
        }
        for (_file, line, became) in &mut list {
            *became = self.became(line.id)?;
        }
        Ok(list)
    }

    /// What is not as it must be about statements: files whose lines went, lines' entries, words that mean nothing.
    ///
    /// # Errors
    /// When the file cannot be read at all.
    pub(super) fn statement_faults(&self) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        let mut query = self.conn.prepare(
            "WITH there AS MATERIALIZED (SELECT file, account, count(*) AS n FROM bank_line GROUP BY file, account)
             SELECT f.name, f.n_lines, coalesce((SELECT n FROM there t WHERE t.file = f.id AND t.account = f.account), 0)
             FROM statement_file f",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (name, told, there): (String, i64, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
            if told != there {
                faults.push(format!("{name} brought {told} lines and has {there}"));
            }
        }
        let mut query = self.conn.prepare(
            "SELECT m.line FROM bank_match m WHERE NOT EXISTS (SELECT 1 FROM bank_line l WHERE l.id = m.line)",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let line: i64 = row.get(0)?;
            faults.push(format!("line {line} belongs to an entry and is not there"));
        }
        for read in [
            self.all_bank_lines().map(|_lines| ()),
            self.sorting_rules().map(|_rules| ()),
            self.sorted_choices().map(|_choices| ()),
            self.reconciliations().map(|_sheets| ()),
        ] {
            if let Err(error) = read {
                faults.push(error.to_string());
            }
        }
        Ok(faults)
    }
}

/// The number that a sheet's key of a file is.
fn file_number(key: &str) -> Result<i64, BookError> {
    key.trim()
        .parse()
        .ok()
        .filter(|number| *number > 0)
        .ok_or_else(|| BookError::refused(format!("'{key}' is not the number of a statement file")))
}
