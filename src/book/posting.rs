//! The rows of an entry, in the order the safeguards ask for: its row of history, its lines, its header.
//! When an entry may be written, and what undoes it, is `entries`'.

use chrono::NaiveDate;
use rusqlite::{CachedStatement, Connection, params};

use super::history::{APPEND, ChainHead, NewRow};
use super::write::{Change, Steps};
use super::{Book, BookError, Settings, content};
use crate::ledger::{Chart, EntryNumber, JournalEntry};

/// One version of an entry about to be written.
#[derive(Clone, Copy)]
pub(super) struct NewVersion<'a> {
    pub(super) number: EntryNumber,
    pub(super) version: u32,
    pub(super) entry: &'a JournalEntry,
    pub(super) reverses: Option<EntryNumber>,
}

/// Writes entries one after the other with statements that are prepared once.
pub(super) struct EntryWriter<'b> {
    chart: &'b Chart,
    settings: &'b Settings,
    chain: &'b mut ChainHead,
    steps: &'b mut Steps,
    conn: &'b Connection,
    append: CachedStatement<'b>,
    line: CachedStatement<'b>,
    header: CachedStatement<'b>,
}

impl Book {
    /// A writer of entries; what changed beside the entries so far is noted first, so that undo keeps the order.
    pub(super) fn entry_writer(&mut self) -> Result<EntryWriter<'_>, BookError> {
        self.collect_side_changes()?;
        Ok(EntryWriter {
            append: self.conn.prepare_cached(APPEND)?,
            line: self.conn.prepare_cached(
                "INSERT INTO line (entry, position, account, amount, memo, equipment, item, quantity)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?,
            header: self.conn.prepare_cached(
                "INSERT INTO entry (number, version, date, kind, party, memo, reference, document, origin, tags,
                                    tax_by_channel, reverses, written)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
            )?,
            chart: &self.chart,
            settings: &self.settings,
            chain: &mut self.chain,
            steps: &mut self.steps,
            conn: &self.conn,
        })
    }
}

impl EntryWriter<'_> {
    /// Writes the next new entry.
    pub(super) fn record(
        &mut self,
        entry: &JournalEntry,
        reverses: Option<EntryNumber>,
    ) -> Result<EntryNumber, BookError> {
        let number = EntryNumber(self.chain.newest + 1);
        let new = NewVersion {
            number,
            version: 1,
            entry,
            reverses,
        };
        self.put(new, entry.header.kind.plain())?;
        Ok(number)
    }

    /// Writes an entry under a number that has no header: the next one, or one that was withdrawn.
    pub(super) fn put(&mut self, new: NewVersion<'_>, what: &str) -> Result<(), BookError> {
        self.refuse(new.entry)?;
        let text = content::text(new.number, new.entry, new.reverses)?;
        let row = NewRow {
            action: "record",
            entry: Some(new.number),
            version: Some(new.version),
            what,
            digest: Some(content::digest(&text)),
            ..NewRow::default()
        };
        let written = self
            .chain
            .append(&mut self.append, self.steps.now(), &row)?;
        self.insert(new, written)?;
        self.chain.newest = new.number.0;
        self.steps.made(Change::Recorded(new.number));
        Ok(())
    }

    /// Puts a version in the place of an earlier one, whose content goes to history.
    pub(super) fn replace(
        &mut self,
        new: NewVersion<'_>,
        earlier: &JournalEntry,
        what: &str,
        reason: &str,
    ) -> Result<(), BookError> {
        refuse_day(self.settings, earlier.header.date)?;
        self.refuse(new.entry)?;
        let (before, kind) = (earlier.header.date, earlier.header.kind);
        let earlier = content::text(new.number, earlier, new.reverses)?;
        let text = content::text(new.number, new.entry, new.reverses)?;
        let row = NewRow {
            action: "amend",
            entry: Some(new.number),
            version: Some(new.version),
            what,
            reason,
            content: &earlier,
            digest: Some(content::digest(&text)),
        };
        let written = self
            .chain
            .append(&mut self.append, self.steps.now(), &row)?;
        delete_rows(self.conn, new.number)?;
        self.steps.touch(before, kind);
        self.insert(new, written)
    }

    fn refuse(&self, entry: &JournalEntry) -> Result<(), BookError> {
        refuse_day(self.settings, entry.header.date)?;
        for line in entry.lines() {
            self.chart.account(line.account)?;
        }
        Ok(())
    }

    fn insert(&mut self, new: NewVersion<'_>, written: i64) -> Result<(), BookError> {
        let number = new.number.0;
        for (idx, line) in new.entry.lines().iter().enumerate() {
            self.line.execute(params![
                number,
                idx + 1,
                line.account.0,
                line.amount.minor(),
                line.memo,
                line.equipment,
                line.item,
                line.quantity.map(|quantity| quantity.to_string()),
            ])?;
        }
        let header = &new.entry.header;
        self.steps.touch(header.date, header.kind);
        self.header.execute(params![
            number,
            new.version,
            header.date.to_string(),
            header.kind.as_str(),
            header.party,
            header.memo,
            header.reference,
            header.document,
            header.origin.to_string(),
            header.tags.join("\n"),
            header.tax_by_channel.minor(),
            new.reverses.map(|number| number.0),
            written,
        ])?;
        Ok(())
    }
}

/// Takes an entry's rows out, its content being in history. The header goes first: lines of a posted entry are final.
pub(super) fn delete_rows(conn: &Connection, number: EntryNumber) -> Result<(), BookError> {
    conn.prepare_cached("DELETE FROM entry WHERE number = ?1")?
        .execute([number.0])?;
    conn.prepare_cached("DELETE FROM line WHERE entry = ?1")?
        .execute([number.0])?;
    Ok(())
}

/// Refuses a day that is locked or before the book.
pub(super) fn refuse_day(settings: &Settings, date: NaiveDate) -> Result<(), BookError> {
    if let Some(lock) = settings.lock_date().filter(|lock| date <= *lock) {
        return Err(BookError::Locked { date, lock });
    }
    let first_day = settings.first_day();
    if date < first_day {
        return Err(BookError::BeforeFirstDay { date, first_day });
    }
    Ok(())
}
