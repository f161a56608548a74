//! How fast entries are brought in, held against a bare loop that inserts the same rows with the same pragmas and
//! indexes and none of the safeguards. Run with `cargo bench --bench bring`.

use std::path::Path;
use std::time::{Duration, Instant};

use deckle::book::Book;
use deckle::happenings::Recording;
use rusqlite::{Connection, params};

#[path = "common/mod.rs"]
mod common;

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

const ROUNDS: usize = 3;

fn main() -> Outcome<()> {
    let folder = tempfile::tempdir()?;
    let mut bare = Duration::MAX;
    let mut bare_with_history = Duration::MAX;
    let mut ours = Duration::MAX;
    for round in 0..ROUNDS {
        let path = folder.path().join(format!("ours-{round}.deckle"));
        let mut book = Book::create(&path, &common::new_book()?)?;
        let recordings = common::recordings(&book)?;
        let start = Instant::now();
        book.record_all(&recordings)?;
        ours = ours.min(start.elapsed());
        drop(book);
        let plain = folder.path().join(format!("bare-{round}.db"));
        bare = bare.min(bare_loop(&path, &plain, &recordings, false)?);
        let plain = folder.path().join(format!("bare-history-{round}.db"));
        bare_with_history = bare_with_history.min(bare_loop(&path, &plain, &recordings, true)?);
    }
    let rate = |took: Duration| common::N_ENTRIES as f64 / took.as_secs_f64();
    println!(
        "entries, one transaction, best of {ROUNDS}: {} with 3 lines each",
        common::N_ENTRIES
    );
    println!(
        "bare loop, entries and lines:           {:>9.0} entries/s",
        rate(bare)
    );
    println!(
        "bare loop, and a row of history:        {:>9.0} entries/s",
        rate(bare_with_history)
    );
    println!(
        "book, record_all:                       {:>9.0} entries/s",
        rate(ours)
    );
    println!(
        "ratio to the bare loop:                 {:>9.3}",
        rate(ours) / rate(bare)
    );
    println!(
        "ratio to the bare loop with history:    {:>9.3}",
        rate(ours) / rate(bare_with_history)
    );
    Ok(())
}

/// Inserts the same rows into the same tables and indexes, without triggers.
fn bare_loop(
    book: &Path,
    plain: &Path,
    recordings: &[Recording],
    with_history: bool,
) -> Outcome<Duration> {
    let mut conn = Connection::open(plain)?;
    conn.execute_batch(
        "PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA;
         PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON;",
    )?;
    copy_layout(book, &conn)?;
    let start = Instant::now();
    let tx = conn.transaction()?;
    {
        let mut history = tx.prepare(
            "INSERT INTO history VALUES (?1, '2026-01-01T00:00:00.000Z', 'record', ?1, 1, 'Sold', '', '', ?2, ?2)",
        )?;
        let mut entry = tx.prepare(
            "INSERT INTO entry VALUES (?1, 1, ?2, ?3, ?4, ?5, ?6, '', 'typed', '', 0, NULL, ?7)",
        )?;
        let mut line =
            tx.prepare("INSERT INTO line VALUES (?1, ?2, ?3, ?4, ?5, NULL, NULL, NULL)")?;
        for (idx, recording) in recordings.iter().enumerate() {
            let number = i64::try_from(idx + 1)?;
            if with_history || idx == 0 {
                history.execute(params![number, [7_u8; 32]])?;
            }
            let header = &recording.entry.header;
            entry.execute(params![
                number,
                header.date.to_string(),
                header.kind.as_str(),
                header.party,
                header.memo,
                header.reference,
                if with_history { number } else { 1 },
            ])?;
            for (place, one) in recording.entry.lines().iter().enumerate() {
                line.execute(params![
                    number,
                    place + 1,
                    one.account.0,
                    one.amount.minor(),
                    one.memo
                ])?;
            }
        }
    }
    tx.commit()?;
    Ok(start.elapsed())
}

/// Tables, indexes and accounts of a book, without its triggers.
fn copy_layout(book: &Path, conn: &Connection) -> Outcome<()> {
    let source = Connection::open(book)?;
    let mut query = source.prepare(
        "SELECT sql FROM sqlite_schema WHERE type IN ('table', 'index') AND sql IS NOT NULL
           AND name NOT LIKE 'sqlite_%'",
    )?;
    let layout = query.query_map([], |row| row.get::<_, String>(0))?;
    for sql in layout {
        conn.execute_batch(&sql?)?;
    }
    let mut query = source.prepare("SELECT id, number, name, class, heading FROM account")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        conn.execute(
            "INSERT INTO account VALUES (?1, ?2, ?3, ?4, ?5, 0, NULL, NULL, 1)",
            params![
                row.get::<_, i64>(0)?,
                row.get::<_, String>(1)?,
                row.get::<_, String>(2)?,
                row.get::<_, String>(3)?,
                row.get::<_, String>(4)?
            ],
        )?;
    }
    Ok(())
}
