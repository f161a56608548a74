//! What a book of ten full years costs to open, to read and to check. Run with `cargo bench --bench big_book`;
//! `cargo bench --bench big_book -- FILE` leaves the book at FILE, to be opened in the window.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use deckle::book::{Book, Closings, EntryFilter};
use deckle::dates::{DateRange, parse_iso};
use deckle::ledger::EntryKind;
use deckle::statements::profit_statement;

#[path = "common/mod.rs"]
mod common;

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Outcome<()> {
    let folder = tempfile::tempdir()?;
    let kept = std::env::args().skip(1).find(|arg| !arg.starts_with('-'));
    let path = kept.map_or_else(|| folder.path().join("big.deckle"), PathBuf::from);
    build(&path)?;
    let start = Instant::now();
    let mut book = Book::open(&path)?;
    show("open", start.elapsed());
    time_statements(&book)?;
    time_journal(&book)?;
    time_writes(&mut book)?;
    let start = Instant::now();
    let faults = book.check()?;
    show(&format!("check ({} faults)", faults.len()), start.elapsed());
    let start = Instant::now();
    book.close()?;
    show("close with a verified backup", start.elapsed());
    Ok(())
}

fn show(what: &str, took: Duration) {
    println!("{what:<52} {:>10.2} ms", took.as_secs_f64() * 1_000.0);
}

fn build(path: &std::path::Path) -> Outcome<()> {
    let mut book = Book::create(path, &common::new_book()?)?;
    let recordings = common::recordings(&book)?;
    let start = Instant::now();
    book.record_all(&recordings)?;
    show("build", start.elapsed());
    let size = std::fs::metadata(path)?.len() / (1024 * 1024);
    println!("{:<52} {size:>7} MiB", "file");
    Ok(())
}

fn time_statements(book: &Book) -> Outcome<()> {
    let mut worst = Duration::ZERO;
    for ending in 2016..=2025 {
        let year = book.year_start().year_ending_in(ending);
        let start = Instant::now();
        let balances = book.balances(year, Closings::Without)?;
        let statement = profit_statement(book.chart(), &balances, year);
        worst = worst.max(start.elapsed());
        std::hint::black_box(statement);
    }
    show("profit statement of a year, the slowest of ten", worst);
    let part = DateRange {
        from: parse_iso("2020-01-15")?,
        to: parse_iso("2021-03-10")?,
    };
    let start = Instant::now();
    let balances = book.balances(part, Closings::Without)?;
    show(
        "profit statement from mid-month to mid-month",
        start.elapsed(),
    );
    std::hint::black_box(profit_statement(book.chart(), &balances, part));
    let start = Instant::now();
    std::hint::black_box(book.balances_to(parse_iso("2025-06-17")?)?);
    show("balances on a day", start.elapsed());
    let start = Instant::now();
    std::hint::black_box(book.monthly(book.year_start().year_ending_in(2020), Closings::Without)?);
    show("twelve months for a chart", start.elapsed());
    Ok(())
}

fn time_journal(book: &Book) -> Outcome<()> {
    let start = Instant::now();
    let numbers = book.entry_numbers(&EntryFilter::default())?;
    show(
        &format!("numbers of the journal ({})", numbers.len()),
        start.elapsed(),
    );
    let mut taken = Vec::new();
    for chunk in numbers.chunks(50).step_by(19) {
        let start = Instant::now();
        std::hint::black_box(book.entries(chunk)?);
        taken.push(start.elapsed());
    }
    taken.sort();
    show(
        "a screenful of 50 entries, the median",
        taken[taken.len() / 2],
    );
    show(
        "a screenful of 50 entries, the slowest",
        taken[taken.len() - 1],
    );
    let bank = book.chart().find("1000")?.id;
    let year = book.year_start().year_ending_in(2020);
    let start = Instant::now();
    let lines = book.account_lines(bank, year)?;
    show(
        &format!("a year of the bank account ({} lines)", lines.len()),
        start.elapsed(),
    );
    let start = Instant::now();
    let found = book.search("tapes", 100)?;
    show(
        &format!("search for a word ({} shown)", found.len()),
        start.elapsed(),
    );
    let start = Instant::now();
    let found = book.search("no such word", 100)?;
    show(
        &format!("search in vain ({} shown)", found.len()),
        start.elapsed(),
    );
    let start = Instant::now();
    std::hint::black_box(book.suppliers()?);
    show("suppliers", start.elapsed());
    Ok(())
}

fn time_writes(book: &mut Book) -> Outcome<()> {
    let recording = common::recordings(book)?.swap_remove(common::N_ENTRIES - 1);
    let start = Instant::now();
    let number = book.record(&recording)?;
    show("record one entry", start.elapsed());
    let start = Instant::now();
    book.amend(number, &recording.entry, "timed")?;
    show("amend it", start.elapsed());
    let start = Instant::now();
    book.undo()?;
    book.undo()?;
    show("undo both", start.elapsed());
    let start = Instant::now();
    std::hint::black_box(book.last_entry(EntryKind::Purchase, None)?);
    show(
        "last entry of a kind that there is none of",
        start.elapsed(),
    );
    Ok(())
}
