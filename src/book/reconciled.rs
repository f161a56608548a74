//! Reconciliations as they are kept: open ones that are worked on, finished ones that later changes do not alter.
//! Their figures are `reconciling`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::reading::day;
use super::{Book, BookError};
use crate::ledger::{AccountId, EntryHeader, EntryKind, EntryNumber};
use crate::money::Money;
use crate::reconciling::{Broken, Reconciliation, Ticked};
use crate::sorting::LedgerMovement;

impl Book {
    /// Every reconciliation, the oldest first by account and day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn reconciliations(&self) -> Result<Vec<Reconciliation>, BookError> {
        self.reconciliations_where("1 ORDER BY account, day, id", [])
    }

    fn reconciliations_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<Reconciliation>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT id, account, day, balance, opening, finished_at, note FROM reconciliation WHERE {condition}"
        ))?;
        let mut rows = query.query(params)?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let on: String = row.get(2)?;
            let id = row.get(0)?;
            list.push(Reconciliation {
                id,
                account: AccountId(row.get(1)?),
                day: day(&on)?,
                balance: Money::from_minor(row.get(3)?),
                opening: Money::from_minor(row.get(4)?),
                finished_at: row.get(5)?,
                note: row.get(6)?,
                ticked: self.kept_entries(id, true)?,
                outstanding: self.kept_entries(id, false)?,
            });
        }
        Ok(list)
    }

    /// A reconciliation.
    ///
    /// # Errors
    /// When there is none with this number.
    pub fn reconciliation(&self, id: i64) -> Result<Reconciliation, BookError> {
        self.reconciliations_where("id = ?1", [id])?
            .pop()
            .ok_or_else(|| BookError::NoSuch {
                what: "reconciliation",
                key: id.to_string(),
            })
    }

    /// The reconciliation of an account that is being worked on, if any.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn open_reconciliation(
        &self,
        account: AccountId,
    ) -> Result<Option<Reconciliation>, BookError> {
        Ok(self
            .reconciliations_where("account = ?1 AND finished_at IS NULL", [account.0])?
            .pop())
    }

    fn kept_entries(&self, reconciliation: i64, is_ticked: bool) -> Result<Vec<Ticked>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT entry, date, amount FROM reconciled_entry WHERE reconciliation = ?1 AND is_ticked = ?2
             ORDER BY date, entry",
        )?;
        let mut rows = query.query(params![reconciliation, is_ticked])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let date: String = row.get(1)?;
            list.push(Ticked {
                entry: EntryNumber(row.get(0)?),
                date: day(&date)?,
                amount: Money::from_minor(row.get(2)?),
            });
        }
        Ok(list)
    }

    /// What entries moved on an account up to a day and no finished reconciliation has, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements_to_reconcile(
        &self,
        account: AccountId,
        by: NaiveDate,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        let mut movements = self.ledger_movements(
            account,
            "AND NOT EXISTS (SELECT 1 FROM reconciled_entry t JOIN reconciliation c ON c.id = t.reconciliation
                             WHERE t.entry = e.number AND t.is_ticked = 1 AND c.account = ?1 AND c.finished_at IS NOT NULL)",
        )?;
        movements.retain(|one| one.date <= by);
        Ok(movements)
    }

    /// The movements that a sheet is about: up to its day, in no sheet finished before it, ticked or not; oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements_of_sheet(
        &self,
        sheet: &Reconciliation,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        if sheet.finished_at.is_none() {
            return self.movements_to_reconcile(sheet.account, sheet.day);
        }
        let mut movements = Vec::new();
        for one in sheet.ticked.iter().chain(&sheet.outstanding) {
            // The words are those of today, what it moved is what it moved then; an entry may be gone altogether.
            let header = self.entry(one.entry).ok().map(|posted| posted.entry.header);
            let words = |of: fn(&EntryHeader) -> &String| {
                header.as_ref().map(of).cloned().unwrap_or_default()
            };
            movements.push(LedgerMovement {
                entry: one.entry,
                date: one.date,
                amount: one.amount,
                kind: header
                    .as_ref()
                    .map_or(EntryKind::Manual, |header| header.kind),
                party: words(|header| &header.party),
                memo: words(|header| &header.memo),
                reference: words(|header| &header.reference),
            });
        }
        movements.sort_by_key(|one| (one.date, one.entry));
        Ok(movements)
    }

    /// Begins to bring an account into agreement with a statement, or changes what is being worked on: the day and the
    /// closing balance that it shows, signed as the ledger has it. What statement lines cover up to the day is ticked.
    ///
    /// # Errors
    /// When a sheet of that day or later is finished already.
    pub fn begin_reconciliation(
        &mut self,
        account: AccountId,
        on: NaiveDate,
        balance: Money,
    ) -> Result<i64, BookError> {
        let name = self.chart.account(account)?.name.clone();
        let earlier: Vec<Reconciliation> = self
            .reconciliations()?
            .into_iter()
            .filter(|one| one.account == account)
            .collect();
        let last = earlier.iter().rfind(|one| one.finished_at.is_some());
        if let Some(last) = last.filter(|last| last.day >= on) {
            return Err(BookError::refused(format!(
                "{name} agrees with its statement up to {}; the next one must be of a later day",
                last.day
            )));
        }
        let opening = last.map_or(Money::ZERO, |last| last.balance);
        let open = earlier.iter().find(|one| one.finished_at.is_none());
        let label = format!("{name} against its statement of {on}");
        self.write(&label, |book| {
            book.note("reconcile", &label, "")?;
            let id = match open {
                Some(open) => {
                    book.side(
                        "UPDATE reconciliation SET day = ?2, balance = ?3, opening = ?4 WHERE id = ?1",
                        params![open.id, on.to_string(), balance.minor(), opening.minor()],
                    )?;
                    book.side(
                        "DELETE FROM reconciled_entry WHERE reconciliation = ?1 AND date > ?2",
                        params![open.id, on.to_string()],
                    )?;
                    open.id
                }
                None => {
                    book.side(
                        "INSERT INTO reconciliation (account, day, balance, opening, note) VALUES (?1, ?2, ?3, ?4, '')",
                        params![account.0, on.to_string(), balance.minor(), opening.minor()],
                    )?;
                    book.conn.last_insert_rowid()
                }
            };
            book.tick_what_lines_cover(id, account, on)?;
            Ok(id)
        })
    }

    fn tick_what_lines_cover(
        &mut self,
        id: i64,
        account: AccountId,
        by: NaiveDate,
    ) -> Result<(), BookError> {
        let covered = self.days_of_lines(account)?;
        let ticked: Vec<EntryNumber> = self
            .kept_entries(id, true)?
            .iter()
            .map(|one| one.entry)
            .collect();
        for movement in self.movements_to_reconcile(account, by)? {
            let is_covered = covered
                .get(&movement.entry)
                .is_some_and(|on_statement| *on_statement <= by);
            // Opening balances stand on no statement; they are what it began with.
            let is_opening = movement.kind == EntryKind::Opening;
            if (is_covered || is_opening) && !ticked.contains(&movement.entry) {
                self.insert_tick(id, &movement)?;
            }
        }
        Ok(())
    }

    /// The day on which the statement shows each entry that a line covers.
    fn days_of_lines(
        &self,
        account: AccountId,
    ) -> Result<std::collections::HashMap<EntryNumber, NaiveDate>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT m.entry, max(l.date) FROM bank_match m JOIN bank_line l ON l.id = m.line
             JOIN statement_file f ON f.id = l.file
             WHERE l.account = ?1 AND m.entry IS NOT NULL GROUP BY m.entry",
        )?;
        let mut rows = query.query([account.0])?;
        let mut days = std::collections::HashMap::new();
        while let Some(row) = rows.next()? {
            let on: String = row.get(1)?;
            days.insert(EntryNumber(row.get(0)?), day(&on)?);
        }
        Ok(days)
    }

    fn insert_tick(&mut self, id: i64, movement: &LedgerMovement) -> Result<(), BookError> {
        let one = Ticked {
            entry: movement.entry,
            date: movement.date,
            amount: movement.amount,
        };
        self.insert_kept(id, one, true)
    }

    fn insert_kept(&mut self, id: i64, one: Ticked, is_ticked: bool) -> Result<(), BookError> {
        self.side(
            "INSERT INTO reconciled_entry (reconciliation, entry, date, amount, is_ticked)
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                id,
                one.entry.0,
                one.date.to_string(),
                one.amount.minor(),
                is_ticked
            ],
        )?;
        Ok(())
    }

    fn refuse_finished(&self, id: i64) -> Result<Reconciliation, BookError> {
        let found = self.reconciliation(id)?;
        if found.finished_at.is_some() {
            return Err(BookError::refused(
                "this sheet is finished and kept as it is; take it back first",
            ));
        }
        Ok(found)
    }

    /// Ticks movements of an open reconciliation, or takes their ticks away.
    ///
    /// # Errors
    /// When it is finished, or an entry does not move the account up to its day or is in an earlier sheet.
    pub fn tick(
        &mut self,
        id: i64,
        entries: &[EntryNumber],
        is_ticked: bool,
    ) -> Result<(), BookError> {
        let found = self.refuse_finished(id)?;
        let movements = self.movements_to_reconcile(found.account, found.day)?;
        let label = match (entries, is_ticked) {
            ([one], true) => format!("Entry {one} ticked"),
            ([one], false) => format!("Entry {one} no longer ticked"),
            (several, _) => format!("{} ticks", several.len()),
        };
        self.write(&label, |book| {
            book.note("reconcile", &label, "")?;
            for entry in entries {
                let movement = movements.iter().find(|one| one.entry == *entry);
                let Some(movement) = movement else {
                    return Err(BookError::refused(format!(
                        "entry {entry} does not move this account by {}, or an earlier sheet has it",
                        found.day
                    )));
                };
                book.side(
                    "DELETE FROM reconciled_entry WHERE reconciliation = ?1 AND entry = ?2",
                    params![id, entry.0],
                )?;
                if is_ticked {
                    book.insert_tick(id, movement)?;
                }
            }
            Ok(())
        })
    }

    /// Finishes a reconciliation: from now on it is kept as it is.
    ///
    /// # Errors
    /// When the difference is not nothing, or it is finished already.
    pub fn finish_reconciliation(&mut self, id: i64, note: &str) -> Result<(), BookError> {
        let found = self.refuse_finished(id)?;
        let movements = self.movements_to_reconcile(found.account, found.day)?;
        let broken = found.broken(&as_ticked(&movements));
        if let Some(broken) = broken.first() {
            return Err(BookError::refused(broken.sentence(self.currency())));
        }
        let difference = found.agreement(&movements).difference;
        if !difference.is_zero() {
            return Err(BookError::refused(format!(
                "the difference is still {}; a sheet is finished at nothing",
                self.currency().show(difference)
            )));
        }
        let name = self.chart.account(found.account)?.name.clone();
        let label = format!("{name} agrees with its statement of {}", found.day);
        self.write(&label, |book| {
            book.note("reconcile", &label, "")?;
            let now = book.steps.now().to_owned();
            book.side(
                "UPDATE reconciliation SET finished_at = ?2, note = ?3 WHERE id = ?1",
                params![id, now, note.trim()],
            )?;
            for one in as_ticked(&movements) {
                if !found.ticked.iter().any(|was| was.entry == one.entry) {
                    book.insert_kept(id, one, false)?;
                }
            }
            Ok(())
        })
    }

    /// Takes a reconciliation out: an open one for good, the last finished one of its account to be done again.
    ///
    /// # Errors
    /// When a later sheet of the account is finished, or a finished one comes without a reason.
    pub fn take_back_reconciliation(&mut self, id: i64, reason: &str) -> Result<(), BookError> {
        let found = self.reconciliation(id)?;
        if found.finished_at.is_some() {
            if reason.trim().is_empty() {
                return Err(BookError::ReasonMissing);
            }
            let later: Option<String> = self
                .conn
                .query_row(
                    "SELECT day FROM reconciliation WHERE account = ?1 AND finished_at IS NOT NULL AND day > ?2
                     ORDER BY day DESC",
                    params![found.account.0, found.day.to_string()],
                    |row| row.get(0),
                )
                .optional()?;
            if let Some(later) = later {
                return Err(BookError::refused(format!(
                    "the sheet of {later} builds on this one; take that back first"
                )));
            }
        }
        let name = self.chart.account(found.account)?.name.clone();
        let label = format!("{name}: sheet of {} taken back", found.day);
        self.write(&label, |book| {
            book.note("reconcile", &label, reason)?;
            book.side(
                "DELETE FROM reconciled_entry WHERE reconciliation = ?1",
                [id],
            )?;
            book.side("DELETE FROM reconciliation WHERE id = ?1", [id])?;
            // What is being worked on after it begins where the sheet before ended.
            let before: Option<i64> = book
                .conn
                .query_row(
                    "SELECT balance FROM reconciliation WHERE account = ?1 AND finished_at IS NOT NULL
                     ORDER BY day DESC LIMIT 1",
                    [found.account.0],
                    |row| row.get(0),
                )
                .optional()?;
            book.side(
                "UPDATE reconciliation SET opening = ?2 WHERE account = ?1 AND finished_at IS NULL",
                params![found.account.0, before.unwrap_or(0)],
            )?;
            Ok(())
        })
    }

    /// Keeps a sheet that another book wrote out, as it is, under its number there when it has one.
    ///
    /// # Errors
    /// When the number is taken, or the account has an open sheet and this one is open too.
    pub fn keep_reconciliation(&mut self, sheet: &Reconciliation) -> Result<(), BookError> {
        let label = format!("Sheet of {}", sheet.day);
        self.write(&label, |book| {
            book.note("reconcile", &label, "")?;
            book.side(
                "INSERT INTO reconciliation (id, account, day, balance, opening, finished_at, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    (sheet.id > 0).then_some(sheet.id),
                    sheet.account.0,
                    sheet.day.to_string(),
                    sheet.balance.minor(),
                    sheet.opening.minor(),
                    sheet.finished_at,
                    sheet.note,
                ],
            )?;
            let id = book.conn.last_insert_rowid();
            for (list, is_ticked) in [(&sheet.ticked, true), (&sheet.outstanding, false)] {
                for one in list {
                    book.insert_kept(id, *one, is_ticked)?;
                }
            }
            Ok(())
        })
    }

    /// What of each finished sheet no longer holds; sheets that hold are left away. Only an amended entry can have
    /// changed: undoing takes a sheet back before the entries that it was made of.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn broken_reconciliations(&self) -> Result<Vec<(Reconciliation, Vec<Broken>)>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT c.id, e.number, e.date,
               (SELECT coalesce(sum(l.amount), 0) FROM line l WHERE l.entry = e.number AND l.account = c.account)
             FROM entry e JOIN reconciled_entry t ON t.entry = e.number
             JOIN reconciliation c ON c.id = t.reconciliation
             WHERE e.version > 1 AND t.is_ticked = 1 AND c.finished_at IS NOT NULL ORDER BY c.id, e.number",
        )?;
        let mut rows = query.query([])?;
        let mut now: BTreeMap<i64, Vec<Ticked>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let date: String = row.get(2)?;
            now.entry(row.get(0)?).or_default().push(Ticked {
                entry: EntryNumber(row.get(1)?),
                date: day(&date)?,
                amount: Money::from_minor(row.get(3)?),
            });
        }
        if now.is_empty() {
            return Ok(Vec::new());
        }
        let mut found = Vec::new();
        for sheet in self.reconciliations()? {
            let Some(now) = now.get(&sheet.id) else {
                continue;
            };
            let mut amended = sheet.clone();
            amended
                .ticked
                .retain(|one| now.iter().any(|is| is.entry == one.entry));
            let broken = amended.broken(now);
            if !broken.is_empty() {
                found.push((sheet, broken));
            }
        }
        Ok(found)
    }
}

fn as_ticked(movements: &[LedgerMovement]) -> Vec<Ticked> {
    movements
        .iter()
        .map(|one| Ticked {
            entry: one.entry,
            date: one.date,
            amount: one.amount,
        })
        .collect()
}
