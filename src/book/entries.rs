//! Writing entries: recording, amending, taking back, moving a whole kind to another account.
//! Reading them is `reading`'s business, their rows are `posting`'s.

use chrono::NaiveDate;

use super::finding::EntryFilter;
use super::history::NewRow;
use super::posting::{NewVersion, delete_rows, refuse_day};
use super::write::Change;
use super::{Book, BookError, BroughtFile, Told, content};
use crate::happenings::{Proof, Recording};
use crate::ledger::{AccountId, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry};
use crate::spreading::Spread;

/// What moving a kind of thing to another account did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reclassified {
    /// The entries that were amended.
    pub moved: Vec<EntryNumber>,
    /// The entries left alone because they lie in a locked period or are mirrors.
    pub left: Vec<EntryNumber>,
}

impl Book {
    /// Records one happening: its entry, and with it equipment, proof and remembered kinds.
    ///
    /// # Errors
    /// When its day is locked or before the book, an account is unknown, or the register has the equipment already.
    pub fn record(&mut self, recording: &Recording) -> Result<EntryNumber, BookError> {
        let label = label_of(&recording.entry);
        self.write(&label, |book| book.record_one(recording))
    }

    /// Records many happenings in one transaction: all of them or none.
    ///
    /// # Errors
    /// As [`Book::record`]; [`BookError::AtIndex`] says which one.
    pub fn record_all(&mut self, recordings: &[Recording]) -> Result<Vec<EntryNumber>, BookError> {
        let label = match recordings {
            [one] => label_of(&one.entry),
            several => format!("{} entries at once", several.len()),
        };
        let all: Vec<Told<'_>> = recordings.iter().map(Told::Happened).collect();
        let numbers = self.write_down(&label, &all)?;
        Ok(numbers.into_iter().flatten().collect())
    }

    /// Records what a file held, and that this file was brought in: all of it or nothing.
    ///
    /// # Errors
    /// As [`Book::record_all`].
    pub fn bring(
        &mut self,
        recordings: &[Recording],
        file: &BroughtFile,
    ) -> Result<Vec<EntryNumber>, BookError> {
        let label = format!("Brought in {}", file.name);
        let all: Vec<Told<'_>> = recordings.iter().map(Told::Happened).collect();
        let numbers = self.write(&label, |book| {
            let numbers = book.write_each(&all)?;
            book.keep_file(file)?;
            Ok(numbers)
        })?;
        self.look_over_after(numbers.len())?;
        Ok(numbers.into_iter().flatten().collect())
    }

    /// Gives an entry in an open period new content; the earlier version stays in the history.
    ///
    /// # Errors
    /// Without a reason, when the old or the new day is locked, or when the entry was taken back or takes one back.
    pub fn amend(
        &mut self,
        number: EntryNumber,
        entry: &JournalEntry,
        reason: &str,
    ) -> Result<(), BookError> {
        let reason = given(reason)?;
        let posted = self.entry(number)?;
        refuse_mirrored(&posted)?;
        self.refuse_other_stock(&posted, entry)?;
        self.refuse_other_steps(&posted, entry)?;
        self.write(&format!("Entry {number} amended"), |book| {
            book.replace(number, entry, "amended", reason)
        })
    }

    /// Writes the mirror of an entry, dated in an open period. What it paid ahead and was made a cost since is taken
    /// back with it, on the same day or, where that is later, on its own: see [`Book::releases_of`].
    ///
    /// # Errors
    /// Without a reason, when the day is locked or before the entry's own, or when the entry was taken back already or
    /// takes one back itself.
    pub fn reverse(
        &mut self,
        number: EntryNumber,
        date: NaiveDate,
        reason: &str,
    ) -> Result<EntryNumber, BookError> {
        let releases = self.releases_of(number)?;
        self.reverse_with(number, &releases, date, reason)
    }

    /// As [`Book::reverse`], but of this entry only: for a sheet that lists every mirror itself.
    ///
    /// # Errors
    /// As [`Book::reverse`].
    pub fn reverse_alone(
        &mut self,
        number: EntryNumber,
        date: NaiveDate,
        reason: &str,
    ) -> Result<EntryNumber, BookError> {
        self.reverse_with(number, &[], date, reason)
    }

    /// The entries that stand and made a part of what an entry paid ahead a cost.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn releases_of(&self, number: EntryNumber) -> Result<Vec<EntryNumber>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT number FROM entry e WHERE kind = 'release' AND document GLOB ?1 AND document <> ''
               AND reverses IS NULL AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)
             ORDER BY number",
        )?;
        let releases = query
            .query_map([format!("{}*", Spread::keys_of(number))], |row| {
                row.get(0).map(EntryNumber)
            })?
            .collect::<Result<_, _>>()?;
        Ok(releases)
    }

    fn reverse_with(
        &mut self,
        number: EntryNumber,
        releases: &[EntryNumber],
        date: NaiveDate,
        reason: &str,
    ) -> Result<EntryNumber, BookError> {
        let reason = given(reason)?.to_owned();
        let posted = self.entry(number)?;
        refuse_mirrored(&posted)?;
        let written = posted.entry.header.date;
        if date < written {
            return Err(BookError::refused(format!(
                "entry {number} is dated {written} and cannot be taken back before that day"
            )));
        }
        self.write(&format!("Entry {number} taken back"), |book| {
            for release in releases {
                let its_own = book.entry(*release)?.entry.header.date;
                book.mirror(*release, its_own.max(date), &reason)?;
            }
            book.mirror(number, date, &reason)
        })
    }

    /// Moves the lines that entries matching the filter have on one account to another, and what is remembered
    /// about that kind of thing with them. Entries in locked periods stay.
    ///
    /// # Errors
    /// Without a reason, or when an account is unknown.
    pub fn reclassify(
        &mut self,
        from: AccountId,
        to: AccountId,
        filter: &EntryFilter,
        reason: &str,
    ) -> Result<Reclassified, BookError> {
        let reason = given(reason)?.to_owned();
        let (old, new) = (self.chart.account(from)?, self.chart.account(to)?);
        if from == to {
            return Err(BookError::refused("both are the same account"));
        }
        let label = format!("Moved from {} to {}", old.title(), new.title());
        let filter = EntryFilter {
            account: Some(from),
            ..filter.clone()
        };
        self.write(&label, |book| {
            let mut done = Reclassified::default();
            for number in book.entry_numbers(&filter)? {
                let posted = book.entry(number)?;
                let is_locked = book
                    .lock_date()
                    .is_some_and(|lock| posted.entry.header.date <= lock);
                if is_locked || refuse_mirrored(&posted).is_err() || book.has_stock(number)? {
                    done.left.push(number);
                    continue;
                }
                let lines = posted.entry.lines().iter().map(|line| Line {
                    account: if line.account == from {
                        to
                    } else {
                        line.account
                    },
                    ..line.clone()
                });
                let entry = JournalEntry::new(posted.entry.header.clone(), lines.collect())?;
                book.replace(number, &entry, &label, &reason)?;
                done.moved.push(number);
            }
            book.move_remembered(from, to, filter.party.as_deref())?;
            Ok(done)
        })
    }

    /// After a large import the planner needs fresh statistics.
    pub(super) fn look_over_after(&self, n_entries: usize) -> Result<(), BookError> {
        if n_entries >= 1000 && self.conn.is_autocommit() {
            self.conn
                .execute_batch("PRAGMA analysis_limit = 1000; ANALYZE;")?;
        }
        Ok(())
    }

    pub(super) fn record_one(&mut self, recording: &Recording) -> Result<EntryNumber, BookError> {
        let number = match self.stock_told_by(recording)? {
            Some(told) => self.record_with_stock(told)?,
            None => self.entry_writer()?.record(&recording.entry, None)?,
        };
        self.bring_along(number, recording)?;
        Ok(number)
    }

    /// Keeps what a happening leaves in the book beside its entry.
    pub(super) fn bring_along(
        &mut self,
        number: EntryNumber,
        recording: &Recording,
    ) -> Result<(), BookError> {
        if recording.proof != Proof::default() {
            self.put_proof(number, &recording.proof)?;
        }
        for equipment in &recording.equipment {
            let mut equipment = equipment.clone();
            equipment.purchase_entry = Some(number);
            self.insert_equipment(&equipment)?;
        }
        for kind in &recording.remembered {
            self.remember_kind(kind)?;
        }
        Ok(())
    }

    /// Puts another version in an entry's place; its number, attachments and proof stay.
    pub(super) fn replace(
        &mut self,
        number: EntryNumber,
        entry: &JournalEntry,
        what: &str,
        reason: &str,
    ) -> Result<(), BookError> {
        let before = self.entry(number)?;
        let new = NewVersion {
            number,
            version: before.version + 1,
            entry,
            reverses: before.reverses,
        };
        self.entry_writer()?
            .replace(new, &before.entry, what, reason)?;
        self.steps.made(Change::Amended(Box::new(before)));
        Ok(())
    }

    /// Takes the newest entry out of the book again; its content stays in the history.
    pub(super) fn withdraw(&mut self, number: EntryNumber, what: &str) -> Result<(), BookError> {
        self.collect_side_changes()?;
        let before = self.entry(number)?;
        refuse_day(&self.settings, before.entry.header.date)?;
        let earlier = content::text(number, &before.entry, before.reverses)?;
        self.append_history(&NewRow {
            action: "withdraw",
            entry: Some(number),
            version: Some(before.version),
            what,
            content: &earlier,
            ..NewRow::default()
        })?;
        delete_rows(&self.conn, number)?;
        let header = &before.entry.header;
        self.steps.touch(header.date, header.kind);
        self.chain.newest = number.0 - 1;
        self.steps.made(Change::Withdrawn(Box::new(before)));
        Ok(())
    }

    /// Puts a withdrawn entry back under its number.
    pub(super) fn put_back(&mut self, posted: &PostedEntry, what: &str) -> Result<(), BookError> {
        let new = NewVersion {
            number: posted.number,
            version: posted.version,
            entry: &posted.entry,
            reverses: posted.reverses,
        };
        self.entry_writer()?.put(new, what)
    }

    pub(super) fn mirror(
        &mut self,
        number: EntryNumber,
        date: NaiveDate,
        reason: &str,
    ) -> Result<EntryNumber, BookError> {
        let posted = self.entry(number)?;
        if let Some(by) = posted.reversed_by {
            return Err(BookError::AlreadyReversed { entry: number, by });
        }
        let mut mirror = posted.entry.reversal(date, reason);
        if posted.entry.header.kind == EntryKind::Closing {
            // Statements leave closing entries out, so what takes one back must be left out with it.
            mirror.header.kind = EntryKind::Closing;
        }
        let moves_stock = self.refuse_stock_elsewhere(&posted, date)?;
        let by = self.entry_writer()?.record(&mirror, Some(number))?;
        if moves_stock {
            self.take_back_stock(number, by)?;
        }
        self.follow_reversal(&posted)?;
        Ok(by)
    }
}

/// A reason with something in it.
pub(super) fn given(reason: &str) -> Result<&str, BookError> {
    let reason = reason.trim();
    if reason.is_empty() {
        Err(BookError::ReasonMissing)
    } else {
        Ok(reason)
    }
}

fn refuse_mirrored(posted: &PostedEntry) -> Result<(), BookError> {
    match (posted.reversed_by, posted.reverses) {
        (Some(by), _) => Err(BookError::AlreadyReversed {
            entry: posted.number,
            by,
        }),
        (None, Some(_)) => Err(BookError::IsReversal(posted.number)),
        (None, None) => Ok(()),
    }
}

/// Whether a recording is an entry and nothing else.
pub(super) fn is_plain(recording: &Recording) -> bool {
    recording.equipment.is_empty()
        && recording.movements.is_empty()
        && !recording
            .entry
            .lines()
            .iter()
            .any(|line| line.item.is_some())
        && recording.remembered.is_empty()
        && recording.proof == Proof::default()
}

/// How undo names an entry: `Bought: Paper mill`.
fn label_of(entry: &JournalEntry) -> String {
    let header = &entry.header;
    let plain = header.kind.plain();
    let about = [&header.party, &header.memo]
        .into_iter()
        .find(|text| !text.is_empty());
    about.map_or_else(|| plain.to_owned(), |about| format!("{plain}: {about}"))
}
