//! How long a year-end pack takes, beside a bare pass of SQLite over the same book's lines in the same run, and the longest
//! time without a word of progress. Run with `cargo bench --bench pack`; `-- --large` takes 100,000 entries.

use std::path::Path;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use deckle::book::{Book, NewBook};
use deckle::export::year_end;
use deckle::happenings::Recording;
use deckle::ledger::{EntryHeader, EntryKind, JournalEntry, Line};
use deckle::money::{Currency, Money};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Outcome<()> {
    let is_large = std::env::args().any(|argument| argument == "--large");
    let entries = if is_large { 100_000 } else { 5_000 };
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("book.deckle");
    let mut book = filled(&path, entries)?;
    let bare = bare_pass(&path)?;
    let today = NaiveDate::from_ymd_opt(2026, 1, 15).ok_or("a day")?;
    let (begun, mut last, mut longest) = (Instant::now(), Instant::now(), Duration::ZERO);
    let mut watch = |_done, _whole| {
        longest = longest.max(last.elapsed());
        last = Instant::now();
        true
    };
    let pack = year_end::make(
        &mut book,
        2025,
        &folder.path().join("pack"),
        today,
        &mut watch,
    )?;
    let took = begun.elapsed();
    println!(
        "{entries} entries, {} files: {:.1} s, {:.0} times a bare pass over the lines ({:.0} ms); longest silence {:.2} s",
        pack.files.len(),
        took.as_secs_f64(),
        took.as_secs_f64() / bare.as_secs_f64(),
        bare.as_secs_f64() * 1_000.0,
        longest.as_secs_f64()
    );
    Ok(())
}

/// A book of invented purchases and sales over a year.
fn filled(path: &Path, entries: u32) -> Outcome<Book> {
    let first = NaiveDate::from_ymd_opt(2025, 1, 1).ok_or("a day")?;
    let mut book = Book::create(path, &NewBook::new(Currency::from_code("USD")?, first))?;
    let account = |book: &Book, number: &str| book.chart().find(number).map(|one| one.id);
    let (bank, sales) = (account(&book, "1000")?, account(&book, "4000")?);
    let costs = [
        account(&book, "6000")?,
        account(&book, "6100")?,
        account(&book, "6900")?,
    ];
    let mut all = Vec::new();
    for place in 0..entries {
        let date = first + chrono::Days::new(u64::from(place) * 364 / u64::from(entries));
        let amount = Money::from_minor(i64::from(place % 9_000) + 100);
        let (header, debit, credit) = if place % 3 == 0 {
            let header = EntryHeader::new(date, EntryKind::Manual).party(format!("Order {place}"));
            (header, bank, sales)
        } else {
            let header = EntryHeader::new(date, EntryKind::Manual)
                .party(format!("Supplier {}", place % 200));
            let cost = costs[place as usize % costs.len()];
            (header, cost, bank)
        };
        let lines = vec![Line::debit(debit, amount), Line::credit(credit, amount)];
        all.push(Recording::new(JournalEntry::new(header, lines)?));
    }
    book.record_all(&all)?;
    Ok(book)
}

fn bare_pass(path: &Path) -> Outcome<Duration> {
    let copy = path.with_extension("copy");
    std::fs::copy(path, &copy)?;
    let conn = rusqlite::Connection::open(&copy)?;
    let begun = Instant::now();
    let mut query = conn.prepare("SELECT e.number, e.date, e.party, e.memo, l.account, l.amount FROM entry e JOIN line l ON l.entry = e.number")?;
    let mut rows = query.query([])?;
    let mut letters = 0;
    while let Some(row) = rows.next()? {
        letters += row.get_ref(2)?.as_str()?.len();
    }
    assert!(letters > 0);
    Ok(begun.elapsed())
}
