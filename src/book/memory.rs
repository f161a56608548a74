//! What the book remembers to make the next entry quicker: suppliers, kinds of things, usual amounts, files.
//! What is proposed from it is `happenings`' and the forms' business.

use std::collections::HashMap;

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::reading::day;
use super::{Book, BookError};
use crate::happenings::RememberedKind;
use crate::ledger::{AccountId, EntryKind, EntryNumber, PostedEntry};
use crate::money::Money;

/// Somebody the book has bought from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Supplier {
    /// The name as it was written last.
    pub name: String,
    /// How many entries name it.
    pub n_entries: u64,
    /// The day of the last one.
    pub last: NaiveDate,
}

/// A file that was brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtFile {
    /// The hash of its content.
    pub hash: String,
    /// Its name without its folder.
    pub name: String,
    /// What was brought from it, as `purchases`.
    pub kind: String,
}

/// A form that was kept for later.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// Its identity in the book.
    pub id: i64,
    /// Its name: the question of the form and what it is about.
    pub form: String,
    /// What was typed, as the form wrote it down.
    pub content: String,
    /// When it was kept, in UTC.
    pub at: String,
}

impl Book {
    /// Keeps a form for later, in place of what was kept of it before. Leaving a form is nothing that undo takes
    /// back: it would take what was typed with it.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn keep_draft(
        &mut self,
        form: &str,
        content: &str,
        instead_of: Option<i64>,
    ) -> Result<i64, BookError> {
        self.write_beside_undo(|book| {
            book.note("draft", form, "")?;
            if let Some(before) = instead_of {
                book.side("DELETE FROM draft WHERE id = ?1", [before])?;
            }
            let now = book.steps.now().to_owned();
            // A number is never given again in one run, or undoing could meet another draft in its place.
            let newest: i64 =
                book.conn
                    .query_row("SELECT coalesce(max(id), 0) FROM draft", [], |row| {
                        row.get(0)
                    })?;
            let id = newest.max(book.newest_draft) + 1;
            book.side(
                "INSERT INTO draft (id, form, content, at) VALUES (?1, ?2, ?3, ?4)",
                params![id, form, content, now],
            )?;
            book.newest_draft = id;
            Ok(id)
        })
    }

    /// Drops a kept form, because it was recorded or is no longer wanted.
    ///
    /// # Errors
    /// When there is no such form.
    pub fn drop_draft(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Kept form thrown away", |book| {
            book.note("draft", "dropped", "")?;
            if book.side("DELETE FROM draft WHERE id = ?1", [id])? == 0 {
                return Err(BookError::NoSuch {
                    what: "kept form",
                    key: id.to_string(),
                });
            }
            Ok(())
        })
    }

    /// The forms kept for later, oldest first: number and name. What was typed stays in the file.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn draft_names(&self) -> Result<Vec<(i64, String)>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT id, form FROM draft ORDER BY id")?;
        let names = query
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        Ok(names)
    }

    /// A form kept for later, or nothing when it is there no more.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn draft(&self, id: i64) -> Result<Option<Draft>, BookError> {
        let draft = self
            .conn
            .prepare_cached("SELECT id, form, content, at FROM draft WHERE id = ?1")?
            .query_row([id], |row| {
                Ok(Draft {
                    id: row.get(0)?,
                    form: row.get(1)?,
                    content: row.get(2)?,
                    at: row.get(3)?,
                })
            })
            .optional()?;
        Ok(draft)
    }

    /// The suppliers, the most often named first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn suppliers(&self) -> Result<Vec<Supplier>, BookError> {
        self.parties(&[EntryKind::Purchase, EntryKind::SupplierRefund])
    }

    /// The parties of entries of these kinds, the most often named first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn parties(&self, kinds: &[EntryKind]) -> Result<Vec<Supplier>, BookError> {
        // Kind by kind, in the order of the index, so that nothing is sorted in the file.
        let mut query = self.conn.prepare_cached(
            "SELECT party, count(*), max(date) FROM entry WHERE party <> '' AND kind = ?1
             GROUP BY party COLLATE NOCASE",
        )?;
        let mut parties: Vec<Supplier> = Vec::new();
        let mut places: HashMap<String, usize> = HashMap::new();
        for kind in kinds {
            let mut rows = query.query([kind.as_str()])?;
            while let Some(row) = rows.next()? {
                let last: String = row.get(2)?;
                let found = Supplier {
                    name: row.get(0)?,
                    n_entries: row.get(1)?,
                    last: day(&last)?,
                };
                match places.get(&found.name.to_ascii_lowercase()) {
                    Some(idx) => {
                        let known = &mut parties[*idx];
                        known.n_entries += found.n_entries;
                        if found.last > known.last {
                            known.name = found.name;
                            known.last = found.last;
                        }
                    }
                    None => {
                        places.insert(found.name.to_ascii_lowercase(), parties.len());
                        parties.push(found);
                    }
                }
            }
        }
        parties.sort_by(|a, b| {
            b.n_entries
                .cmp(&a.n_entries)
                .then_with(|| a.name.cmp(&b.name))
        });
        Ok(parties)
    }

    /// The totals of the last entries of a kind with this party, newest first: what is usual.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn usual_amounts(&self, kind: EntryKind, party: &str) -> Result<Vec<Money>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT (SELECT sum(max(amount, 0)) FROM line WHERE line.entry = e.number)
             FROM entry e WHERE party <> '' AND party = ?1 COLLATE NOCASE AND kind = ?2
             ORDER BY date DESC, number DESC LIMIT 24",
        )?;
        let amounts = query
            .query_map(params![party.trim(), kind.as_str()], |row| {
                row.get(0).map(Money::from_minor)
            })?
            .collect::<Result<_, _>>()?;
        Ok(amounts)
    }

    /// The newest entry of a kind, with a party when one is given.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_entry(
        &self,
        kind: EntryKind,
        party: Option<&str>,
    ) -> Result<Option<PostedEntry>, BookError> {
        let number: Option<u64> = match party {
            Some(party) => self
                .conn
                .prepare_cached(
                    "SELECT number FROM entry WHERE party <> '' AND party = ?1 COLLATE NOCASE AND kind = ?2
                     ORDER BY number DESC LIMIT 1",
                )?
                .query_row(params![party.trim(), kind.as_str()], |row| row.get(0))
                .optional()?,
            None => self.last_number(kind)?,
        };
        number
            .map(|number| self.entry(EntryNumber(number)))
            .transpose()
    }

    /// The newest number of a kind: looked for among the last entries first, where it mostly is.
    fn last_number(&self, kind: EntryKind) -> Result<Option<u64>, BookError> {
        let recent = self
            .conn
            .prepare_cached(
                "SELECT number FROM entry
                 WHERE number > (SELECT max(number) FROM entry) - 500 AND +kind = ?1
                 ORDER BY number DESC LIMIT 1",
            )?
            .query_row([kind.as_str()], |row| row.get(0))
            .optional()?;
        match recent {
            Some(number) => Ok(Some(number)),
            None => Ok(self
                .conn
                .prepare_cached("SELECT max(number) FROM entry WHERE kind = ?1")?
                .query_row([kind.as_str()], |row| row.get(0))?),
        }
    }

    /// The account that the last entry of a kind was paid from: its last credit line.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_paid_from(&self, kind: EntryKind) -> Result<Option<AccountId>, BookError> {
        let last = self.last_entry(kind, None)?;
        Ok(last.and_then(|posted| {
            let mut credits = posted.entry.lines().iter().rev();
            credits
                .find(|line| line.amount.is_negative())
                .map(|line| line.account)
        }))
    }

    /// The account that the last entry of a kind was paid into: its first debit line.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_paid_into(&self, kind: EntryKind) -> Result<Option<AccountId>, BookError> {
        let last = self.last_entry(kind, None)?;
        Ok(last.and_then(|posted| {
            let mut debits = posted.entry.lines().iter();
            debits
                .find(|line| line.amount.is_positive())
                .map(|line| line.account)
        }))
    }

    /// The account that this thing from this supplier was booked to last time.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn remembered_kind(
        &self,
        supplier: &str,
        thing: &str,
    ) -> Result<Option<AccountId>, BookError> {
        let account = self
            .conn
            .prepare_cached(
                "SELECT account FROM remembered_kind WHERE supplier = ?1 AND thing = ?2",
            )?
            .query_row(params![supplier.trim(), thing.trim()], |row| {
                row.get(0).map(AccountId)
            })
            .optional()?;
        Ok(account)
    }

    /// Everything that is remembered, by supplier and thing.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn remembered_kinds(&self) -> Result<Vec<RememberedKind>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT supplier, thing, account FROM remembered_kind ORDER BY supplier, thing",
        )?;
        let kinds = query
            .query_map([], |row| {
                Ok(RememberedKind {
                    supplier: row.get(0)?,
                    thing: row.get(1)?,
                    account: AccountId(row.get(2)?),
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(kinds)
    }

    /// Keeps which account things from suppliers go to.
    ///
    /// # Errors
    /// When an account is unknown.
    pub fn remember_kinds(&mut self, kinds: &[RememberedKind]) -> Result<(), BookError> {
        let label = format!("{} kinds of things remembered", kinds.len());
        self.write(&label, |book| {
            book.note("remember", &label, "")?;
            kinds.iter().try_for_each(|kind| book.remember_kind(kind))
        })
    }

    pub(super) fn remember_kind(&mut self, kind: &RememberedKind) -> Result<(), BookError> {
        let known = self.remembered_kind(&kind.supplier, &kind.thing)?;
        if known == Some(kind.account) {
            return Ok(());
        }
        self.side(
            "INSERT INTO remembered_kind (supplier, thing, account) VALUES (?1, ?2, ?3)
             ON CONFLICT (supplier, thing) DO UPDATE SET account = excluded.account",
            params![kind.supplier.trim(), kind.thing.trim(), kind.account.0],
        )?;
        Ok(())
    }

    pub(super) fn move_remembered(
        &mut self,
        from: AccountId,
        to: AccountId,
        supplier: Option<&str>,
    ) -> Result<(), BookError> {
        self.side(
            "UPDATE remembered_kind SET account = ?2 WHERE account = ?1 AND (?3 IS NULL OR supplier = ?3)",
            params![from.0, to.0, supplier.map(str::trim)],
        )?;
        Ok(())
    }

    /// Remembers that a file was brought in.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remember_file(&mut self, file: &BroughtFile) -> Result<(), BookError> {
        self.write(&format!("Brought in {}", file.name), |book| {
            book.keep_file(file)
        })
    }

    pub(super) fn keep_file(&mut self, file: &BroughtFile) -> Result<(), BookError> {
        self.note("bring", &format!("{} ({})", file.name, file.kind), "")?;
        let now = self.steps.now().to_owned();
        self.side(
            "INSERT INTO brought_file (hash, name, kind, at) VALUES (?1, ?2, ?3, ?4)",
            params![file.hash, file.name, file.kind, now],
        )?;
        Ok(())
    }

    /// When and under which name a file with this content was brought in before, if it was.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn file_was_brought(
        &self,
        hash: &str,
        kind: &str,
    ) -> Result<Option<(String, String)>, BookError> {
        let found = self
            .conn
            .prepare_cached(
                "SELECT at, name FROM brought_file WHERE hash = ?1 AND kind = ?2 ORDER BY id DESC LIMIT 1",
            )?
            .query_row([hash, kind], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        Ok(found)
    }
}
