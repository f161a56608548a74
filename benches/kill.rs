//! Kills a writing program at random moments and looks at the book it leaves: it must open, its check must be clean,
//! and every entry that was reported as saved must be there. Run with `cargo bench --bench kill -- 200`.

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant, SystemTime};

use deckle::book::{Book, NewBook};
use deckle::dates::parse_iso;
use deckle::happenings::Recording;
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line};
use deckle::money::{Currency, Money};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Outcome<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    if let [first, path] = args.as_slice()
        && first == "--write"
    {
        return write_until_killed(Path::new(path));
    }
    let runs: u32 = args.iter().find_map(|arg| arg.parse().ok()).unwrap_or(20);
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("killed.deckle");
    let currency = Currency::from_code("USD")?;
    Book::create(&path, &NewBook::new(currency, parse_iso("2026-01-01")?))?.close()?;
    let mut saved_in_all = 0;
    let mut hot = 0;
    let started = Instant::now();
    for run in 1..=runs {
        let (saved, was_cut_off) = kill_once(&path)?;
        let book = Book::open(&path).map_err(|error| format!("run {run}: {error}"))?;
        let faults = book.check()?;
        if let Some(fault) = faults.first() {
            return Err(format!("run {run}: {fault}").into());
        }
        for (number, minor) in &saved {
            let entry = book.entry(EntryNumber(*number))?;
            if entry.entry.total() != Money::from_minor(*minor) {
                return Err(
                    format!("run {run}: entry {number} is not the one that was reported").into(),
                );
            }
        }
        saved_in_all += saved.len();
        hot += u32::from(was_cut_off);
    }
    println!(
        "{runs} runs killed in {:.0} s; {saved_in_all} writes reported as saved, all there; \
         {hot} times in the middle of a write; every check clean",
        started.elapsed().as_secs_f64()
    );
    Ok(())
}

/// Starts a writer, kills it after a random while, and returns what it reported as saved, and whether it left a
/// rollback journal behind.
fn kill_once(path: &Path) -> Outcome<(Vec<(u64, i64)>, bool)> {
    let mut child = Command::new(std::env::current_exe()?)
        .arg("--write")
        .arg(path)
        .stdout(Stdio::piped())
        .spawn()?;
    let out = child.stdout.take().ok_or("no output")?;
    let reader = std::thread::spawn(move || -> Vec<(u64, i64)> {
        BufReader::new(out)
            .lines()
            .map_while(Result::ok)
            .filter_map(|line| {
                let (number, minor) = line.split_once(' ')?;
                Some((number.parse().ok()?, minor.parse().ok()?))
            })
            .collect()
    });
    std::thread::sleep(Duration::from_micros(20_000 + chance() % 180_000));
    child.kill()?;
    child.wait()?;
    let saved = reader.join().map_err(|_panic| "the reader failed")?;
    let mut journal = path.as_os_str().to_owned();
    journal.push("-journal");
    // The journal is kept and blanked between writes, so only one with content says that a write was cut off.
    let journal = std::fs::read(PathBuf::from(journal)).unwrap_or_default();
    Ok((saved, journal.iter().take(8).any(|byte| *byte != 0)))
}

/// A number that differs from moment to moment; which ones come up does not matter.
fn chance() -> u64 {
    let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
    now.map_or(1, |now| {
        u64::from(now.subsec_nanos()).wrapping_mul(6_364_136_223_846_793_005) >> 20
    })
}

/// Writes single entries, batches, amendments, receipts and undos, and reports each entry once it is saved.
fn write_until_killed(path: &Path) -> Outcome<()> {
    let mut book = Book::open(path)?;
    let mut out = std::io::stdout();
    for turn in 0_i64.. {
        let minor = 100 + turn % 5_000;
        let recording = recording(&book, minor)?;
        let number = book.record(&recording)?;
        writeln!(out, "{} {minor}", number.0)?;
        out.flush()?;
        if turn % 5 == 1 {
            book.amend(number, &recording.entry, "a second look")?;
        }
        if turn % 7 == 2 {
            book.attach_receipt(
                number,
                "slip.png",
                turn.to_string().repeat(2_000).as_bytes(),
            )?;
        }
        if turn % 9 == 3 {
            // Undone at once, and never reported: whether it is there does not matter.
            book.record(&recording)?;
            book.undo()?;
        }
        if turn % 11 == 4 {
            for number in book.record_all(&vec![recording.clone(); 50])? {
                writeln!(out, "{} {minor}", number.0)?;
            }
            out.flush()?;
        }
    }
    Ok(())
}

fn recording(book: &Book, minor: i64) -> Outcome<Recording> {
    let amount = Money::from_minor(minor);
    let header = EntryHeader::new(parse_iso("2026-03-02")?, EntryKind::Sale).party("Order");
    let lines = vec![
        Line::debit(book.chart().find("1000")?.id, amount),
        Line::credit(book.chart().find("4000")?.id, amount),
    ];
    Ok(Recording::new(JournalEntry::new(header, lines)?))
}
