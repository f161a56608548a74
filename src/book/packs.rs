//! Which year-end packs were handed out, and what proves that a pack belongs to this book: the row of the history that
//! it joins on to, and a digest of the rows of each table. What is in a pack is `export`'s business.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::types::ValueRef;
use rusqlite::{OptionalExtension, Row, params};
use sha2::{Digest, Sha256};

use super::reading::day as day_of;
use super::{Book, BookError};
use crate::dates::DateRange;

/// The last row of the history that is not itself about a pack: the state of the book that a pack shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BookHead {
    /// The row's place in the history, from 1.
    pub seq: i64,
    /// Its seal, which rests on every row before it.
    pub hash: [u8; 32],
    /// When it was written, in UTC.
    pub at: String,
}

/// A pack that was handed out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackRecord {
    /// The days of its year.
    pub year: DateRange,
    /// The day of making that stands in it.
    pub made_on: NaiveDate,
    /// The row of the history that it joins on to.
    pub head_seq: i64,
    /// That row's seal.
    pub head_hash: [u8; 32],
    /// The seal of its list of files, in hexadecimal.
    pub seal: String,
    /// Its main sums, a JSON object of amounts in minor units.
    pub figures: BTreeMap<String, i64>,
}

/// Tables whose rows change without anything being said about the books: forms kept for later, a running clock, the
/// list of packs itself. The history is proven by its own seals, the month balances by recomputing them.
const NOT_DIGESTED: &[&str] = &[
    "draft",
    "history",
    "month_balance",
    "pack",
    "running_timer",
    "undo_log",
];

impl Book {
    /// The state of the book, packs apart.
    ///
    /// # Errors
    /// When nothing was ever written in it, or the file cannot be read.
    pub fn head(&self) -> Result<BookHead, BookError> {
        let row = self
            .conn
            .prepare_cached(
                "SELECT seq, hash, at FROM history WHERE action NOT IN ('pack', 'draft') ORDER BY seq DESC LIMIT 1",
            )?
            .query_row([], |row| {
                Ok((row.get(0)?, row.get::<_, Vec<u8>>(1)?, row.get(2)?))
            })
            .optional()?;
        let row = row.ok_or_else(|| {
            BookError::refused(
                "nothing was ever written in this book: there is nothing to hand over yet",
            )
        })?;
        Ok(BookHead {
            seq: row.0,
            hash: hash_of(row.1)?,
            at: row.2,
        })
    }

    /// The seal of a row of the history, if there is such a row. When it is the one that was known, everything up to it
    /// is as it was.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn head_hash(&self, seq: i64) -> Result<Option<[u8; 32]>, BookError> {
        let found: Option<Vec<u8>> = self
            .conn
            .prepare_cached("SELECT hash FROM history WHERE seq = ?1")?
            .query_row([seq], |row| row.get(0))
            .optional()?;
        found.map(hash_of).transpose()
    }

    /// A SHA-256 of all rows of each table, in the order of their keys. Any row that is altered, by whatever program,
    /// alters its table's digest.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn table_digests(&self) -> Result<BTreeMap<String, String>, BookError> {
        let names: Vec<String> = self
            .conn
            .prepare_cached(
                "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name",
            )?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let mut digests = BTreeMap::new();
        for name in names {
            if NOT_DIGESTED.contains(&name.as_str()) {
                continue;
            }
            let digest = self.digest_of(&name)?;
            digests.insert(name, digest);
        }
        Ok(digests)
    }

    fn digest_of(&self, table: &str) -> Result<String, BookError> {
        // Every table has columns that order it wholly: its key, or all of them together.
        let n_columns = self
            .conn
            .prepare(&format!("SELECT * FROM \"{table}\" LIMIT 0"))?
            .column_count();
        let keys: Vec<String> = self
            .conn
            .prepare("SELECT name FROM pragma_table_info(?1) WHERE pk > 0 ORDER BY pk")?
            .query_map([table], |row| row.get::<_, String>(0))?
            .collect::<Result<_, _>>()?;
        let order: Vec<String> = if keys.is_empty() {
            (1..=n_columns).map(|place| place.to_string()).collect()
        } else {
            keys.iter().map(|key| format!("\"{key}\"")).collect()
        };
        let sql = format!("SELECT * FROM \"{table}\" ORDER BY {}", order.join(", "));
        let mut query = self.conn.prepare(&sql)?;
        let mut rows = query.query([])?;
        let mut sha = Sha256::new();
        while let Some(row) = rows.next()? {
            for column in 0..n_columns {
                take_in(&mut sha, row.get_ref(column)?);
            }
            sha.update([b'\n']);
        }
        let digest = sha.finalize();
        Ok(digest.iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// Keeps that a pack was handed out, and hands it out by `hand_out`: both are done, or neither. The same pack made
    /// again is not kept twice.
    ///
    /// # Errors
    /// When the file refuses, or `hand_out` fails.
    pub fn record_pack<T, E: From<BookError>>(
        &mut self,
        pack: &PackRecord,
        hand_out: impl FnOnce() -> Result<T, E>,
    ) -> Result<T, E> {
        let known = self
            .packs(pack.year)?
            .iter()
            .any(|known| known.seal == pack.seal && known.head_seq == pack.head_seq);
        if known {
            return hand_out();
        }
        let figures = serde_json::to_string(&pack.figures)
            .map_err(|error| BookError::refused(error.to_string()))?;
        self.write_beside_undo(|book| {
            let what = format!("pack of the year through {}", pack.year.to);
            book.note("pack", &what, &pack.seal)?;
            book.keep_pack_row(pack, &figures)?;
            hand_out()
        })
    }

    fn keep_pack_row(&self, pack: &PackRecord, figures: &str) -> Result<(), BookError> {
        self.conn
            .prepare_cached(
                "INSERT INTO pack (year_from, year_to, made_on, head_seq, head_hash, seal, figures)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                pack.year.from.to_string(),
                pack.year.to.to_string(),
                pack.made_on.to_string(),
                pack.head_seq,
                pack.head_hash,
                pack.seal,
                figures,
            ])?;
        Ok(())
    }

    /// The packs of a year that were handed out, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn packs(&self, year: DateRange) -> Result<Vec<PackRecord>, BookError> {
        let packs = self.all_packs()?;
        Ok(packs
            .into_iter()
            .filter(|pack| pack.year.to == year.to)
            .collect())
    }

    /// The pack that was handed out last, of whatever year.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn newest_pack(&self) -> Result<Option<PackRecord>, BookError> {
        Ok(self.all_packs()?.pop())
    }

    fn all_packs(&self) -> Result<Vec<PackRecord>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT year_from, year_to, made_on, head_seq, head_hash, seal, figures FROM pack ORDER BY id",
        )?;
        let rows = query
            .query_map([], pack_row)?
            .collect::<Result<Vec<_>, _>>()?;
        rows.into_iter().map(pack_of).collect()
    }
}

type PackRow = (String, String, String, i64, Vec<u8>, String, String);

fn pack_row(row: &Row<'_>) -> Result<PackRow, rusqlite::Error> {
    Ok((
        row.get(0)?,
        row.get(1)?,
        row.get(2)?,
        row.get(3)?,
        row.get(4)?,
        row.get(5)?,
        row.get(6)?,
    ))
}

fn pack_of(row: PackRow) -> Result<PackRecord, BookError> {
    let (from, to, made_on, head_seq, head_hash, seal, figures) = row;
    let (from, to) = (day_of(&from)?, day_of(&to)?);
    let year = DateRange::new(from, to)
        .ok_or_else(|| BookError::damaged("a pack's year is unreadable"))?;
    Ok(PackRecord {
        year,
        made_on: day_of(&made_on)?,
        head_seq,
        head_hash: hash_of(head_hash)?,
        seal,
        figures: serde_json::from_str(&figures)
            .map_err(|_unreadable| BookError::damaged("a pack's figures are unreadable"))?,
    })
}

fn hash_of(bytes: Vec<u8>) -> Result<[u8; 32], BookError> {
    bytes
        .try_into()
        .map_err(|_wrong_length| BookError::damaged("a seal of its history is unreadable"))
}

/// A value, led by its kind and its length, so that no two rows give the same bytes.
fn take_in(sha: &mut Sha256, value: ValueRef<'_>) {
    match value {
        ValueRef::Null => sha.update([0]),
        ValueRef::Integer(number) => {
            sha.update([1]);
            sha.update(number.to_le_bytes());
        }
        ValueRef::Real(number) => {
            sha.update([2]);
            sha.update(number.to_bits().to_le_bytes());
        }
        ValueRef::Text(bytes) => {
            sha.update([3]);
            sha.update((bytes.len() as u64).to_le_bytes());
            sha.update(bytes);
        }
        ValueRef::Blob(bytes) => {
            sha.update([4]);
            sha.update((bytes.len() as u64).to_le_bytes());
            sha.update(bytes);
        }
    }
}
