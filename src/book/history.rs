//! The history: an append-only list of every change, each row sealed with the hash of the one before.
//! What was changed is the other files' business; finding a broken seal is `check`'s.

use rusqlite::{Connection, OptionalExtension, Row, Statement, params};
use sha2::{Digest, Sha256};

use super::content;
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::ledger::{EntryNumber, JournalEntry};

/// Where the book goes on: the last row of history, which the next one joins on to, and the newest entry.
#[derive(Clone, Debug, Default)]
pub(super) struct ChainHead {
    pub(super) seq: i64,
    pub(super) hash: [u8; 32],
    pub(super) newest: u64,
}

impl ChainHead {
    pub(super) fn load(conn: &Connection) -> Result<Self, BookError> {
        let last = conn
            .query_row(
                "SELECT seq, hash FROM history ORDER BY seq DESC LIMIT 1",
                [],
                |row| Ok((row.get(0)?, row.get::<_, Vec<u8>>(1)?)),
            )
            .optional()?;
        let Some((seq, hash)) = last else {
            return Ok(Self::default());
        };
        let newest = conn.query_row("SELECT ifnull(max(number), 0) FROM entry", [], |row| {
            row.get(0)
        })?;
        let hash = hash
            .try_into()
            .map_err(|_wrong_length| BookError::damaged("a seal of its history is unreadable"))?;
        Ok(Self { seq, hash, newest })
    }

    /// Seals a row onto the history with the prepared [`APPEND`] and returns its place.
    pub(super) fn append(
        &mut self,
        append: &mut Statement<'_>,
        at: &str,
        row: &NewRow<'_>,
    ) -> Result<i64, BookError> {
        let seq = self.seq + 1;
        let hash = seal(&self.hash, seq, at, row);
        append.execute(params![
            seq,
            at,
            row.action,
            row.entry.map(|number| number.0),
            row.version,
            row.what,
            row.reason,
            row.content,
            row.digest,
            hash,
        ])?;
        self.seq = seq;
        self.hash = hash;
        Ok(seq)
    }
}

/// Writes a row of history.
pub(super) const APPEND: &str =
    "INSERT INTO history (seq, at, action, entry, version, what, reason, content, digest, hash)
     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";

/// A row that is about to be written.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct NewRow<'a> {
    pub(super) action: &'a str,
    pub(super) entry: Option<EntryNumber>,
    pub(super) version: Option<u32>,
    pub(super) what: &'a str,
    pub(super) reason: &'a str,
    /// The earlier version of the entry, when it is replaced or withdrawn.
    pub(super) content: &'a str,
    /// The digest of the version written.
    pub(super) digest: Option<[u8; 32]>,
}

/// The seal of a row: SHA-256 over the seal before and every field, each led by its length.
pub(super) fn seal(before: &[u8; 32], seq: i64, at: &str, row: &NewRow<'_>) -> [u8; 32] {
    let mut sha = Sha256::new();
    sha.update(before);
    sha.update(seq.to_le_bytes());
    sha.update(row.entry.map_or(0, |number| number.0).to_le_bytes());
    sha.update(row.version.unwrap_or(0).to_le_bytes());
    for field in [at, row.action, row.what, row.reason, row.content] {
        sha.update((field.len() as u64).to_le_bytes());
        sha.update(field);
    }
    sha.update(row.digest.unwrap_or_default());
    sha.finalize().into()
}

/// One row of the history, as it is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HistoryRow {
    /// Its place in the history, from 1.
    pub seq: i64,
    /// When, in UTC: `2026-01-31T09:30:00.000Z`.
    pub at: String,
    /// What kind of change: `record`, `amend`, `withdraw`, `settings`, `lock`, …
    pub action: String,
    /// The entry it is about.
    pub entry: Option<EntryNumber>,
    /// The version of the entry that it wrote, or withdrew.
    pub version: Option<u32>,
    /// What was done, in plain words.
    pub what: String,
    /// Why, where a reason was asked for.
    pub reason: String,
    /// The earlier version of the entry that this change replaced or withdrew.
    pub earlier: Option<JournalEntry>,
}

const COLUMNS: &str = "seq, at, action, entry, version, what, reason, content";

fn history_row(row: &Row<'_>) -> Result<(HistoryRow, String), rusqlite::Error> {
    let entry: Option<i64> = row.get(3)?;
    let shown = HistoryRow {
        seq: row.get(0)?,
        at: row.get(1)?,
        action: row.get(2)?,
        entry: entry.map(|number| EntryNumber(number.unsigned_abs())),
        version: row.get(4)?,
        what: row.get(5)?,
        reason: row.get(6)?,
        earlier: None,
    };
    Ok((shown, row.get(7)?))
}

fn with_earlier((mut row, content): (HistoryRow, String)) -> Result<HistoryRow, BookError> {
    if !content.is_empty() {
        row.earlier = Some(content::read(&content)?);
    }
    Ok(row)
}

impl Book {
    /// Seals a row onto the history and returns its place.
    pub(super) fn append_history(&mut self, row: &NewRow<'_>) -> Result<i64, BookError> {
        let mut append = self.conn.prepare_cached(APPEND)?;
        self.chain.append(&mut append, self.steps.now(), row)
    }

    /// What happened to one entry, oldest first: its recording, and each amendment with the version it replaced.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn history(&self, number: EntryNumber) -> Result<Vec<HistoryRow>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM history WHERE entry = ?1 ORDER BY seq"
        ))?;
        let rows = query
            .query_map([number.0], history_row)?
            .collect::<Result<Vec<_>, _>>()?;
        rows.into_iter().map(with_earlier).collect()
    }

    /// The newest rows of the whole history, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn recent_history(&self, limit: usize) -> Result<Vec<HistoryRow>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM history ORDER BY seq DESC LIMIT ?1"
        ))?;
        let rows = query
            .query_map([limit], history_row)?
            .collect::<Result<Vec<_>, _>>()?;
        rows.into_iter().map(with_earlier).collect()
    }

    /// Every change that was not simply a new entry, since a moment (UTC, as in the history), oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn changes_since(&self, moment: &str) -> Result<Vec<HistoryRow>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM history WHERE at >= ?1 AND action <> 'record' ORDER BY seq"
        ))?;
        let rows = query
            .query_map([moment], history_row)?
            .collect::<Result<Vec<_>, _>>()?;
        rows.into_iter().map(with_earlier).collect()
    }

    /// What happened to the entries of some days after a row of the history, oldest first: those dated in them now, and
    /// those that were before they were amended; locks too.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn history_of_days_since(
        &self,
        days: DateRange,
        seq: i64,
    ) -> Result<Vec<HistoryRow>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM history WHERE seq > ?1
               AND (action IN ('lock', 'unlock') OR content <> ''
                 OR entry IN (SELECT number FROM entry WHERE date BETWEEN ?2 AND ?3))
             ORDER BY seq"
        ))?;
        let rows = query
            .query_map(
                params![seq, days.from.to_string(), days.to.to_string()],
                history_row,
            )?
            .collect::<Result<Vec<_>, _>>()?;
        let mut list = Vec::new();
        for row in rows {
            let row = with_earlier(row)?;
            // An entry with an earlier version may be of other days, before and now.
            let is_of_days = match (&row.earlier, row.entry) {
                (Some(earlier), Some(number)) => {
                    days.contains(earlier.header.date)
                        || self
                            .entry(number)
                            .is_ok_and(|posted| days.contains(posted.entry.header.date))
                }
                _ => true,
            };
            if is_of_days {
                list.push(row);
            }
        }
        Ok(list)
    }
}
