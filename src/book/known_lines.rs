//! Which lines of a statement just inserted are in the book already, and are taken out of it again.
//! Inserting them is `bank_lines`'.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use rusqlite::params;

use super::{Book, BookError, NewStatement};

/// A short stand-in for a number of the bank's; two numbers may share one.
pub(super) fn hash_of(number: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    number.hash(&mut hasher);
    hasher.finish()
}

/// The lines of a file that were just inserted: all that have a number above the highest there was.
#[derive(Clone, Copy, Debug)]
pub(super) struct JustInserted {
    pub(super) file: i64,
    pub(super) after: i64,
}

impl Book {
    /// A line whose number, day, amount and words the same file has twice is one line written down twice.
    pub(super) fn drop_lines_named_twice(&self, new: JustInserted) -> Result<usize, BookError> {
        let dropped = self
            .conn
            .prepare_cached(
                "DELETE FROM bank_line WHERE id IN (
                   SELECT id FROM (
                     SELECT id, row_number() OVER (PARTITION BY bank_id, date, amount, text ORDER BY id) AS n
                     FROM bank_line WHERE id > ?2 AND file = ?1 AND bank_id IS NOT NULL)
                   WHERE n > 1)",
            )?
            .execute([new.file, new.after])?;
        Ok(dropped)
    }

    /// Takes out of a file just inserted the lines that earlier files brought.
    pub(super) fn drop_known_lines(
        &self,
        lines: JustInserted,
        new: &NewStatement,
    ) -> Result<usize, BookError> {
        let JustInserted { file, after } = lines;
        let account = new.account.0;
        let by_number = self.drop_lines_of_known_number(lines, account)?;
        // Words too, against files of the same format. Where both have the bank's number, that alone decides.
        let by_words = self
            .conn
            .prepare_cached(
                "DELETE FROM bank_line WHERE id IN (
                   SELECT id FROM (
                     SELECT l.id,
                       row_number() OVER (PARTITION BY l.date, l.amount, l.text, l.bank_id IS NULL ORDER BY l.id) AS n,
                       (SELECT count(*) FROM bank_line o JOIN statement_file f ON f.id = o.file
                        WHERE o.account = ?2 AND o.date = l.date AND o.amount = l.amount AND o.text = l.text
                          AND f.format = ?3
                          AND (l.bank_id IS NULL OR o.bank_id IS NULL OR o.bank_id = l.bank_id)) AS known
                     FROM bank_line l WHERE l.id > ?4 AND l.file = ?1)
                   WHERE n <= known)",
            )?
            .execute(params![file, account, new.format, after])?;
        // Day and amount alone, against files of other formats.
        let by_amount = self
            .conn
            .prepare_cached(
                "DELETE FROM bank_line WHERE id IN (
                   SELECT id FROM (
                     SELECT l.id,
                       row_number() OVER (PARTITION BY l.date, l.amount ORDER BY l.id) AS n,
                       (SELECT count(*) FROM bank_line o JOIN statement_file f ON f.id = o.file
                        WHERE o.account = ?2 AND o.date = l.date AND o.amount = l.amount AND f.format <> ?3) AS known
                     FROM bank_line l WHERE l.id > ?4 AND l.file = ?1)
                   WHERE n <= known)",
            )?
            .execute(params![file, account, new.format, after])?;
        Ok(by_number + by_words + by_amount)
    }

    /// Takes out lines with the bank's own number and the amount of one that is there, within ten days. A number that
    /// the file gives to several lines tells nothing.
    fn drop_lines_of_known_number(
        &self,
        lines: JustInserted,
        account: i64,
    ) -> Result<usize, BookError> {
        let JustInserted { file, after } = lines;
        /// A line of the file that alone has its number.
        struct Alone {
            id: i64,
            amount: i64,
            day: i64,
        }
        let mut by_number: HashMap<u64, Option<Alone>> = HashMap::new();
        let mut query = self.conn.prepare_cached(
            "SELECT id, bank_id, amount, CAST(julianday(date) + 0.5 AS INTEGER) FROM bank_line
             WHERE id > ?2 AND file = ?1 AND bank_id IS NOT NULL",
        )?;
        let mut rows = query.query([file, after])?;
        while let Some(row) = rows.next()? {
            let number = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
            let alone = Alone {
                id: row.get(0)?,
                amount: row.get(2)?,
                day: row.get(3)?,
            };
            by_number
                .entry(hash_of(number))
                .and_modify(|known| *known = None)
                .or_insert(Some(alone));
        }
        if by_number.is_empty() {
            return Ok(0);
        }
        let mut known = self.conn.prepare_cached(
            "SELECT id, bank_id, amount, CAST(julianday(date) + 0.5 AS INTEGER) FROM bank_line
             WHERE account = ?2 AND file <> ?1 AND bank_id IS NOT NULL
               AND date BETWEEN (SELECT date(min(date), '-10 days') FROM bank_line WHERE id > ?3 AND file = ?1)
                            AND (SELECT date(max(date), '+10 days') FROM bank_line WHERE id > ?3 AND file = ?1)",
        )?;
        let mut rows = known.query([file, account, after])?;
        // The numbers themselves are compared once more, for two may have one hash.
        let mut drop = self.conn.prepare_cached(
            "DELETE FROM bank_line WHERE id = ?1
               AND bank_id = (SELECT bank_id FROM bank_line WHERE id = ?2)",
        )?;
        let mut pairs = Vec::new();
        while let Some(row) = rows.next()? {
            let number = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
            let Some(Some(line)) = by_number.get(&hash_of(number)) else {
                continue;
            };
            let (amount, day): (i64, i64) = (row.get(2)?, row.get(3)?);
            if amount == line.amount && (day - line.day).abs() <= 10 {
                pairs.push((line.id, row.get::<_, i64>(0)?));
            }
        }
        let mut dropped = 0;
        for (line, other) in pairs {
            dropped += drop.execute([line, other])?;
        }
        Ok(dropped)
    }
}
