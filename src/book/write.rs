//! The one way in: a transaction, its history, and the step that undoes it.
//! What is written is the other files' business.
//!
//! A step is a list of changes in the order they were made; undoing applies the opposite of each, last one first,
//! and what that writes down is in turn the step that redoes it. Tables beside the entries are watched by temporary
//! triggers that note the opposite statement of every change (the technique is described on sqlite.org, "Automatic
//! Undo/Redo Using SQLite"). Entries are put back through history like any other change, for history is never undone.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rusqlite::{Connection, Params};

use super::history::NewRow;
use super::settings::Settings;
use super::{Book, BookError, accounts, open};
use crate::dates::Month;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry};

/// The tables whose changes are noted for undoing. Receipts are kept whatever happens, history for ever,
/// and month sums follow the entries.
const SIDE_TABLES: &[&str] = &[
    "setting",
    "account",
    "attachment",
    "proof",
    "equipment",
    "equipment_change",
    "remembered_kind",
    "recurring",
    "draft",
    "hold",
    "reported_gross",
    "brought_file",
    "item",
    "recipe",
    "recipe_input",
    "bundle",
    "bundle_part",
    "movement",
    "stock_posting",
    "plan_line",
    "plan_money",
    "plan_purchase",
    "start_up_mark",
    "supplier_order",
    "supplier_order_line",
    "supplier_arrival",
    "supplier_arrival_line",
    "supplier_claim",
    "batch_note",
    "comparison",
    "file_layout",
    "statement_file",
    "bank_match",
    "sorting_rule",
    "sorted_choice",
    "reconciliation",
    "reconciled_entry",
    "shop_record",
    "shop_item",
    "question",
    "duty",
    "duty_done",
    "company_paper",
    "decision",
    "work_time",
    "running_timer",
    "matter_step",
    "trip",
    "odometer",
    "workspace",
    "workspace_bill",
    "shared_bill",
];

/// One change as it was made.
#[derive(Debug)]
pub(super) enum Change {
    /// Something beside the entries; the statement that takes it back.
    Side(String),
    /// A new entry.
    Recorded(EntryNumber),
    /// An entry got a new version; the one before.
    Amended(Box<PostedEntry>),
    /// The newest entry was withdrawn; as it was.
    Withdrawn(Box<PostedEntry>),
}

/// One thing that was done, as undoing names it.
#[derive(Debug)]
struct Step {
    label: String,
    changes: Vec<Change>,
}

/// When each month's entries changed in this run, by the book's revision.
#[derive(Debug, Default)]
pub(super) struct MonthRevisions {
    each: BTreeMap<Month, u64>,
    all: u64,
}

impl MonthRevisions {
    pub(super) fn of(&self, month: Month) -> u64 {
        self.each.get(&month).copied().unwrap_or(0).max(self.all)
    }
}

/// What was done in this run and can be undone or redone, and the write that is under way.
#[derive(Debug, Default)]
pub(super) struct Steps {
    done: Vec<Step>,
    undone: Vec<Step>,
    changes: Vec<Change>,
    depth: u32,
    has_side_changes: bool,
    now: String,
    // The months in which entries were written or taken out.
    touched: BTreeSet<Month>,
    // The first day on which one was, those that close a year left out, and what was finished when the write began.
    first_day_touched: Option<NaiveDate>,
    finished_through: Option<NaiveDate>,
    pub(super) asks_before_finished: bool,
    pub(super) wrote_in_finished: Option<NaiveDate>,
}

impl Steps {
    pub(super) fn now(&self) -> &str {
        &self.now
    }

    /// Whether a write is under way.
    pub(super) fn is_writing(&self) -> bool {
        self.depth > 0
    }

    /// A table beside the entries is about to change without [`Book::side`].
    pub(super) fn expect_side_changes(&mut self) {
        self.has_side_changes = true;
    }

    /// An entry of this day is written or taken out.
    pub(super) fn touch(&mut self, date: NaiveDate, kind: EntryKind) {
        self.touched.insert(Month::of(date));
        if kind != EntryKind::Closing {
            let first = self.first_day_touched.map_or(date, |first| first.min(date));
            self.first_day_touched = Some(first);
        }
    }

    /// The first day that the whole write under way touched in a month that was finished when it began; nothing while it
    /// is part of a larger one.
    pub(super) fn touched_in_finished(&self) -> Option<NaiveDate> {
        let through = self.finished_through.filter(|_| self.depth == 1)?;
        self.first_day_touched.filter(|first| *first <= through)
    }

    pub(super) fn made(&mut self, change: Change) {
        self.changes.push(change);
    }
}

/// Sets up the noting of opposite statements; it lives as long as the connection.
pub(super) fn watch_side_tables(conn: &Connection) -> Result<(), BookError> {
    let mut sql =
        String::from("CREATE TEMP TABLE undo_log (id INTEGER PRIMARY KEY, sql TEXT NOT NULL);");
    for table in SIDE_TABLES {
        let mut query = conn.prepare("SELECT name FROM pragma_table_info(?1)")?;
        let columns: Vec<String> = query
            .query_map([table], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let names = columns.join(", ");
        let olds: Vec<String> = columns
            .iter()
            .map(|column| format!("quote(OLD.{column})"))
            .collect();
        let sets: Vec<String> = columns
            .iter()
            .map(|column| format!("{column} = ' || quote(OLD.{column}) || '"))
            .collect();
        sql.push_str(&format!(
            "CREATE TEMP TRIGGER {table}_undo_insert AFTER INSERT ON main.{table} BEGIN
               INSERT INTO undo_log (sql) VALUES ('DELETE FROM {table} WHERE id = ' || NEW.id);
             END;
             CREATE TEMP TRIGGER {table}_undo_update AFTER UPDATE ON main.{table} BEGIN
               INSERT INTO undo_log (sql) VALUES ('UPDATE {table} SET {sets} WHERE id = ' || OLD.id);
             END;
             CREATE TEMP TRIGGER {table}_undo_delete AFTER DELETE ON main.{table} BEGIN
               INSERT INTO undo_log (sql) VALUES ('INSERT INTO {table} ({names}) VALUES (' || {olds} || ')');
             END;",
            sets = sets.join(", "),
            olds = olds.join(" || ', ' || "),
        ));
    }
    conn.execute_batch(&sql)?;
    Ok(())
}

impl Book {
    /// Does one thing as a whole or not at all, and remembers how to undo it under this label.
    pub(super) fn write<T>(
        &mut self,
        label: &str,
        act: impl FnOnce(&mut Self) -> Result<T, BookError>,
    ) -> Result<T, BookError> {
        self.group(label, act)
    }

    /// Several writes as one: all of them or none, in one transaction and one step that is undone together.
    ///
    /// # Errors
    /// When `act` fails or the file refuses; the book is then as it was before.
    pub fn group<T, E: From<BookError>>(
        &mut self,
        label: &str,
        act: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let value = self.transact(|book| {
            let value = act(book)?;
            book.mind_finished()?;
            Ok::<T, E>(value)
        })?;
        if self.steps.depth == 0 {
            let changes = std::mem::take(&mut self.steps.changes);
            self.steps.undone.clear();
            if !changes.is_empty() {
                self.steps.done.push(Step {
                    label: label.to_owned(),
                    changes,
                });
            }
        }
        Ok(value)
    }

    /// A write that undo leaves alone, unless it is part of a larger one: what can be undone and redone stays as it is.
    pub(super) fn write_beside_undo<T, E: From<BookError>>(
        &mut self,
        act: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let value = self.transact(act)?;
        if self.steps.depth == 0 {
            self.steps.changes.clear();
        }
        Ok(value)
    }

    /// Runs `act` in a transaction, or inside the one under way. The changes it made wait in `steps.changes`.
    fn transact<T, E: From<BookError>>(
        &mut self,
        act: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let is_outermost = self.steps.depth == 0;
        let chain = self.chain.clone();
        let mark = self.steps.changes.len();
        if is_outermost {
            if open::identity_of(&self.path) != self.identity {
                return Err(BookError::Gone(self.path.clone()).into());
            }
            let now = chrono::Utc::now();
            self.steps.now = now.format("%Y-%m-%dT%H:%M:%S%.3fZ").to_string();
            self.steps.first_day_touched = None;
            self.steps.finished_through = self.settings.finished_through();
        }
        let (begin, end) = if is_outermost {
            ("BEGIN IMMEDIATE", "COMMIT")
        } else {
            ("SAVEPOINT part", "RELEASE part")
        };
        self.conn.execute_batch(begin).map_err(BookError::from)?;
        self.steps.depth += 1;
        let result = act(self).and_then(|value| {
            self.collect_side_changes()?;
            self.reload_stale()?;
            self.conn.execute_batch(end).map_err(BookError::from)?;
            Ok(value)
        });
        self.steps.depth -= 1;
        match &result {
            Ok(_) if is_outermost => {
                self.revision += 1;
                self.has_changed = true;
                for month in std::mem::take(&mut self.steps.touched) {
                    self.months.each.insert(month, self.revision);
                }
            }
            Ok(_) => {}
            Err(_) => {
                self.roll_back(is_outermost);
                self.chain = chain;
                self.steps.changes.truncate(mark);
            }
        }
        result
    }

    fn roll_back(&mut self, is_outermost: bool) {
        // A full disk makes SQLite roll back by itself; then there is nothing left to take back.
        if !self.conn.is_autocommit() {
            let sql = if is_outermost {
                "ROLLBACK"
            } else {
                "ROLLBACK TO part; RELEASE part"
            };
            let _told_already = self.conn.execute_batch(sql);
        }
        self.steps.has_side_changes = false;
        self.stale_chart = true;
        self.stale_settings = true;
        let _told_already = self.reload_stale();
    }

    pub(super) fn reload_stale(&mut self) -> Result<(), BookError> {
        if self.stale_chart {
            let chart = accounts::load_chart(&self.conn)?;
            if chart != self.chart {
                self.months.all = self.revision + 1;
            }
            self.chart = chart;
            self.stale_chart = false;
        }
        if self.stale_settings {
            self.settings = Settings::load(&self.conn)?;
            self.stale_settings = false;
        }
        Ok(())
    }

    /// Runs a statement on a table beside the entries and returns how many rows it changed.
    pub(super) fn side(&mut self, sql: &str, params: impl Params) -> Result<usize, BookError> {
        self.steps.has_side_changes = true;
        Ok(self.conn.prepare_cached(sql)?.execute(params)?)
    }

    /// Takes what the watching triggers noted, so that its place among the changes of entries is kept.
    pub(super) fn collect_side_changes(&mut self) -> Result<(), BookError> {
        if !self.steps.has_side_changes {
            return Ok(());
        }
        self.steps.has_side_changes = false;
        let mut query = self
            .conn
            .prepare_cached("SELECT sql FROM undo_log ORDER BY id")?;
        let noted = query.query_map([], |row| row.get(0).map(Change::Side))?;
        self.steps
            .changes
            .extend(noted.collect::<Result<Vec<_>, _>>()?);
        self.conn
            .prepare_cached("DELETE FROM undo_log")?
            .execute([])?;
        Ok(())
    }

    /// Writes a row of history that is about no entry.
    pub(super) fn note(&mut self, action: &str, what: &str, reason: &str) -> Result<(), BookError> {
        self.append_history(&NewRow {
            action,
            what,
            reason,
            ..NewRow::default()
        })?;
        Ok(())
    }

    /// Undoes the last thing done in this run and returns its name, or nothing when there is none.
    ///
    /// # Errors
    /// When the file refuses, as it does for an entry in a period that was locked since; nothing changes then.
    pub fn undo(&mut self) -> Result<Option<String>, BookError> {
        let Some(step) = self.steps.done.pop() else {
            return Ok(None);
        };
        match self.take_back(&step, "undo") {
            Ok(changes) => {
                let label = step.label.clone();
                self.steps.undone.push(Step {
                    label: step.label,
                    changes,
                });
                Ok(Some(label))
            }
            Err(error) => {
                self.steps.done.push(step);
                Err(error)
            }
        }
    }

    /// Does again what was undone last and returns its name, or nothing when there is none.
    ///
    /// # Errors
    /// When the file refuses; nothing changes then.
    pub fn redo(&mut self) -> Result<Option<String>, BookError> {
        let Some(step) = self.steps.undone.pop() else {
            return Ok(None);
        };
        match self.take_back(&step, "redo") {
            Ok(changes) => {
                let label = step.label.clone();
                self.steps.done.push(Step {
                    label: step.label,
                    changes,
                });
                Ok(Some(label))
            }
            Err(error) => {
                self.steps.undone.push(step);
                Err(error)
            }
        }
    }

    /// How many steps can be undone.
    #[must_use]
    pub fn undo_count(&self) -> usize {
        self.steps.done.len()
    }

    /// The name of what undo would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.steps.done.last().map(|step| step.label.as_str())
    }

    /// The name of what redo would do again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.steps.undone.last().map(|step| step.label.as_str())
    }

    fn take_back(&mut self, step: &Step, action: &str) -> Result<Vec<Change>, BookError> {
        self.transact(|book| {
            book.note(action, &step.label, "")?;
            for change in step.changes.iter().rev() {
                book.take_back_change(change, action)?;
            }
            book.stale_chart = true;
            book.stale_settings = true;
            Ok::<(), BookError>(())
        })?;
        Ok(std::mem::take(&mut self.steps.changes))
    }

    fn take_back_change(&mut self, change: &Change, action: &str) -> Result<(), BookError> {
        match change {
            Change::Side(sql) => {
                let is_setting = sql.contains(" setting ");
                if is_setting {
                    // The lock moves back only right after a row of history that says so.
                    self.note(action, "a setting as it was", "")?;
                }
                // Each statement runs once, so it would only crowd the cache of prepared ones.
                self.steps.has_side_changes = true;
                self.conn.execute(sql, [])?;
                if is_setting {
                    self.stale_settings = true;
                    self.reload_stale()?;
                }
                Ok(())
            }
            Change::Recorded(number) => self.withdraw(*number, action),
            Change::Withdrawn(posted) => self.put_back(posted, action),
            Change::Amended(before) => {
                self.replace(before.number, &before.entry, action, "")?;
                Ok(())
            }
        }
    }
}
