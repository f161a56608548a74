//! The check: recomputes everything the book says about itself and names each fault.
//! It changes nothing and repairs nothing.

use std::collections::{BTreeMap, HashMap};

use rusqlite::Row;

use super::history::{NewRow, seal};
use super::{Book, BookError, ReceiptId, content};
use crate::dates::Month;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry};

/// Something that is not as it must be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Which part of the book: `file`, `entries`, `history`, `month balances`, `receipts`, `equipment`, `stock`, `plan`,
    /// `orders`, `deciding`, `lock`.
    pub part: &'static str,
    /// The entry it is about, where there is one.
    pub entry: Option<EntryNumber>,
    /// What is wrong, one sentence without a full stop.
    pub what: String,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.entry {
            Some(entry) => write!(f, "{}: entry {entry}: {}", self.part, self.what),
            None => write!(f, "{}: {}", self.part, self.what),
        }
    }
}

/// What the history says about the newest version of an entry.
struct Written {
    entry: u64,
    version: u32,
    digest: Vec<u8>,
}

type Sums = BTreeMap<(i32, i64, bool), (i128, i128)>;

#[derive(Default)]
struct Faults(Vec<Fault>);

impl Faults {
    fn add(&mut self, part: &'static str, what: impl Into<String>) {
        self.0.push(Fault {
            part,
            entry: None,
            what: what.into(),
        });
    }

    fn about(&mut self, part: &'static str, entry: u64, what: impl Into<String>) {
        self.0.push(Fault {
            part,
            entry: Some(EntryNumber(entry)),
            what: what.into(),
        });
    }
}

impl Book {
    /// Recomputes everything and returns what is not as it must be: nothing, for a sound book.
    ///
    /// # Errors
    /// When the file cannot be read at all.
    pub fn check(&self) -> Result<Vec<Fault>, BookError> {
        let mut faults = Faults::default();
        self.check_file(&mut faults)?;
        self.check_triggers(&mut faults)?;
        let written = self.check_history(&mut faults)?;
        let sums = self.check_entries(&written, &mut faults)?;
        self.check_month_balances(&sums, &mut faults)?;
        self.check_receipts(&mut faults)?;
        self.check_equipment(&mut faults)?;
        for what in self.stock_faults()? {
            faults.add("stock", what);
        }
        for what in self.kept_stock_faults() {
            faults.add("stock", what);
        }
        self.check_plan(&mut faults);
        match self.order_faults() {
            Ok(found) => found
                .into_iter()
                .for_each(|what| faults.add("orders", what)),
            Err(error) => faults.add("orders", error.to_string()),
        }
        self.check_deciding(&mut faults);
        match self.statement_faults() {
            Ok(found) => found
                .into_iter()
                .for_each(|what| faults.add("statements", what)),
            Err(error) => faults.add("statements", error.to_string()),
        }
        Ok(faults.0)
    }

    fn check_file(&self, faults: &mut Faults) -> Result<(), BookError> {
        let mut query = self.conn.prepare("PRAGMA integrity_check(20)")?;
        let said = query.query_map([], |row| row.get::<_, String>(0))?;
        for said in said {
            let said = said?;
            if said != "ok" {
                faults.add("file", said);
            }
        }
        let mut query = self.conn.prepare("PRAGMA foreign_key_check")?;
        let broken = query.query_map([], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, String>(2)?))
        })?;
        for broken in broken {
            let (table, parent) = broken?;
            faults.add(
                "file",
                format!("a row of {table} refers to a row of {parent} that is not there"),
            );
        }
        Ok(())
    }

    /// The safeguards inside the file must be those of a fresh book.
    fn check_triggers(&self, faults: &mut Faults) -> Result<(), BookError> {
        let fresh = rusqlite::Connection::open_in_memory()?;
        for layout in super::open::MIGRATIONS {
            fresh.execute_batch(layout)?;
        }
        let expected = schema_of(&fresh)?;
        let found = schema_of(&self.conn)?;
        for (name, sql) in &expected {
            match found.get(name) {
                None => faults.add(
                    "file",
                    format!("the safeguard or table '{name}' was taken out"),
                ),
                Some(other) if other != sql => {
                    faults.add(
                        "file",
                        format!("the safeguard or table '{name}' was altered"),
                    );
                }
                Some(_) => {}
            }
        }
        for name in found.keys().filter(|name| !expected.contains_key(*name)) {
            faults.add("file", format!("'{name}' does not belong to a book"));
        }
        Ok(())
    }

    fn check_history(&self, faults: &mut Faults) -> Result<HashMap<i64, Written>, BookError> {
        let mut written = HashMap::new();
        let mut before = [0_u8; 32];
        let mut expected_seq = 1_i64;
        let mut query = self.conn.prepare(
            "SELECT seq, at, action, entry, version, what, reason, content, digest, hash FROM history ORDER BY seq",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let seq: i64 = row.get(0)?;
            if seq != expected_seq {
                faults.add(
                    "history",
                    format!("rows {expected_seq} to {} are missing", seq - 1),
                );
            }
            expected_seq = seq + 1;
            let kept: Vec<u8> = row.get(9)?;
            let sealed = seal_of(row, &before, seq)?;
            if kept != sealed {
                faults.add(
                    "history",
                    format!("row {seq} or the one before it was altered: its seal does not fit"),
                );
            }
            // The kept seal is the one the next row was sealed with: one altered row is one fault, not a thousand.
            before = kept.try_into().unwrap_or(sealed);
            if let (Some(entry), Some(version), Some(digest)) =
                (row.get(3)?, row.get(4)?, row.get(8)?)
            {
                let sealed_entry = Written {
                    entry,
                    version,
                    digest,
                };
                written.insert(seq, sealed_entry);
            }
        }
        Ok(written)
    }

    fn check_entries(
        &self,
        written: &HashMap<i64, Written>,
        faults: &mut Faults,
    ) -> Result<Sums, BookError> {
        let mut sums = Sums::new();
        let mut expected = 1_u64;
        let mut query = self
            .conn
            .prepare("SELECT number, written, version FROM entry ORDER BY number")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let number: u64 = row.get(0)?;
            if number != expected {
                faults.add(
                    "entries",
                    format!("the numbers {expected} to {} are missing", number - 1),
                );
            }
            expected = number + 1;
            let posted = match self.entry(EntryNumber(number)) {
                Ok(posted) => posted,
                Err(error) => {
                    faults.about("entries", number, error.to_string());
                    continue;
                }
            };
            let seal = written.get(&row.get(1)?);
            check_entry_seal(&posted, seal, faults)?;
            if posted.entry.header.date < self.first_day() {
                faults.about("lock", number, "its day lies before the book's first day");
            }
            add_up(&posted, &mut sums);
        }
        drop(rows);
        self.check_loose_lines(faults)?;
        self.check_newest_versions(faults)?;
        Ok(sums)
    }

    fn check_loose_lines(&self, faults: &mut Faults) -> Result<(), BookError> {
        let mut query = self.conn.prepare(
            "SELECT DISTINCT entry FROM line WHERE entry NOT IN (SELECT number FROM entry)",
        )?;
        let loose = query.query_map([], |row| row.get::<_, u64>(0))?;
        for number in loose {
            faults.about("entries", number?, "its lines have no entry");
        }
        Ok(())
    }

    /// The last thing history says about a number must be what stands in the book.
    fn check_newest_versions(&self, faults: &mut Faults) -> Result<(), BookError> {
        let mut query = self.conn.prepare(
            "SELECT h.entry, h.action, e.written, h.seq FROM history h
             LEFT JOIN entry e ON e.number = h.entry
             WHERE h.entry IS NOT NULL
               AND h.seq = (SELECT max(seq) FROM history n WHERE n.entry = h.entry)",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let number: u64 = row.get(0)?;
            let action: String = row.get(1)?;
            let stands: Option<i64> = row.get(2)?;
            let seq: i64 = row.get(3)?;
            match (action.as_str(), stands) {
                ("withdraw", Some(_)) => {
                    faults.about(
                        "entries",
                        number,
                        "history says it was withdrawn, and it is here",
                    );
                }
                ("withdraw", None) => {}
                (_, None) => faults.about("entries", number, "history has it, and it is not here"),
                (_, Some(stands)) if stands != seq => {
                    faults.about(
                        "entries",
                        number,
                        "it is not the version that history wrote last",
                    );
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn check_month_balances(&self, sums: &Sums, faults: &mut Faults) -> Result<(), BookError> {
        let mut kept = Sums::new();
        let mut query = self
            .conn
            .prepare("SELECT month, account, closing, debit, credit FROM month_balance")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let sum = (row.get::<_, i64>(3)?.into(), row.get::<_, i64>(4)?.into());
            kept.insert((row.get(0)?, row.get(1)?, row.get(2)?), sum);
        }
        let keys: std::collections::BTreeSet<_> = sums.keys().chain(kept.keys()).collect();
        for key in keys {
            let right = sums.get(key).copied().unwrap_or_default();
            if kept.get(key).copied().unwrap_or_default() != right {
                let account = self.chart.title(crate::ledger::AccountId(key.1));
                let month = Month::from_index(key.0);
                faults.add(
                    "month balances",
                    format!("{account} in {month} is not the sum of its lines"),
                );
            }
        }
        Ok(())
    }

    fn check_receipts(&self, faults: &mut Faults) -> Result<(), BookError> {
        let mut query = self.conn.prepare("SELECT hash, bytes FROM receipt")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let hash: String = row.get(0)?;
            let bytes = row.get_ref(1)?;
            let found = ReceiptId::of(bytes.as_blob().unwrap_or_default());
            if found.0 != hash {
                faults.add("receipts", format!("receipt {hash} was altered"));
            }
        }
        let mut query = self.conn.prepare(
            "SELECT entry, name FROM attachment WHERE receipt NOT IN (SELECT hash FROM receipt)",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let name: String = row.get(1)?;
            faults.about(
                "receipts",
                row.get(0)?,
                format!("its receipt '{name}' is gone"),
            );
        }
        let mut query = self.conn.prepare(
            "SELECT entry FROM proof p WHERE state = 'complete'
               AND NOT EXISTS (SELECT 1 FROM attachment a WHERE a.entry = p.entry)",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            faults.about(
                "receipts",
                row.get(0)?,
                "it counts as complete and has no receipt",
            );
        }
        Ok(())
    }

    fn check_equipment(&self, faults: &mut Faults) -> Result<(), BookError> {
        let mut query = self.conn.prepare(
            "SELECT DISTINCT entry, equipment FROM line
             WHERE equipment NOT IN (SELECT key FROM equipment) AND equipment IN
               (SELECT equipment FROM line WHERE equipment IS NOT NULL
                GROUP BY equipment, account HAVING sum(amount) <> 0)",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let key: String = row.get(1)?;
            faults.about(
                "equipment",
                row.get(0)?,
                format!("it names '{key}', which is not in the register"),
            );
        }
        if let Err(error) = self.equipment() {
            faults.add("equipment", error.to_string());
        }
        Ok(())
    }
}

impl Book {
    fn check_deciding(&self, faults: &mut Faults) {
        match self.comparisons() {
            Ok(list) => {
                for one in list {
                    if let Err(error) = one.check() {
                        let what = format!("{}, comparison '{}': {error}", one.item, one.name);
                        faults.add("deciding", what);
                    }
                }
            }
            Err(error) => faults.add("deciding", error.to_string()),
        }
    }

    fn check_plan(&self, faults: &mut Faults) {
        match self.plan() {
            Ok(plan) => {
                if let Err((idx, error)) = plan.check() {
                    let name = plan.lines.get(idx).map_or("", |line| line.name.as_str());
                    faults.add("plan", format!("'{name}': {} {error}", error.field));
                }
            }
            Err(error) => faults.add("plan", error.to_string()),
        }
        for read in [
            self.plan_purchases().map(|_links| ()),
            self.start_up_marks().map(|_marks| ()),
        ] {
            if let Err(error) = read {
                faults.add("plan", error.to_string());
            }
        }
    }
}

fn schema_of(conn: &rusqlite::Connection) -> Result<BTreeMap<String, String>, BookError> {
    let mut query = conn.prepare(
        "SELECT name, sql FROM main.sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'",
    )?;
    let schema = query
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    Ok(schema)
}

/// The seal that a row of history must have after the one before it.
fn seal_of(row: &Row<'_>, before: &[u8; 32], seq: i64) -> Result<[u8; 32], BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let (at, action, what, reason, earlier) = (text(1)?, text(2)?, text(5)?, text(6)?, text(7)?);
    let digest: Option<Vec<u8>> = row.get(8)?;
    let kept = NewRow {
        action: &action,
        entry: row.get::<_, Option<u64>>(3)?.map(EntryNumber),
        version: row.get(4)?,
        what: &what,
        reason: &reason,
        content: &earlier,
        digest: digest.and_then(|digest| digest.try_into().ok()),
    };
    Ok(seal(before, seq, &at, &kept))
}

fn check_entry_seal(
    posted: &PostedEntry,
    written: Option<&Written>,
    faults: &mut Faults,
) -> Result<(), BookError> {
    let number = posted.number.0;
    let Some(written) = written else {
        faults.about("entries", number, "history does not know it");
        return Ok(());
    };
    let text = content::text(posted.number, &posted.entry, posted.reverses)?;
    let is_same = written.entry == number
        && written.version == posted.version
        && written.digest == content::digest(&text);
    if !is_same {
        faults.about("entries", number, "it was altered after it was written");
    }
    Ok(())
}

fn add_up(posted: &PostedEntry, sums: &mut Sums) {
    let header = &posted.entry.header;
    let month = Month::of(header.date).index();
    let is_closing = header.kind == EntryKind::Closing;
    for line in posted.entry.lines() {
        let sum = sums.entry((month, line.account.0, is_closing)).or_default();
        sum.0 += i128::from(line.debit_amount().minor());
        sum.1 += i128::from(line.credit_amount().minor());
    }
}
