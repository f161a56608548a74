//! What the window reads after each write in a book of ten full years: every room and the forms' facts, for one year
//! and for all of them. Run with `cargo bench --bench rooms`; what takes longer than a frame has a star.

use std::time::{Duration, Instant};

use chrono::NaiveDate;
use deckle::app::forms::facts::{Facts, Question};
use deckle::app::navigation::Room;
use deckle::app::preferences::Preferences;
use deckle::app::screen::{Screen, ViewContext};
use deckle::app::screens;
use deckle::book::Book;
use deckle::dates::{DateRange, parse_iso};
use deckle::happenings::Recording;
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line};

#[path = "common/mod.rs"]
mod common;

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

/// A frame at 120 a second.
const FRAME: Duration = Duration::from_millis(8);

fn main() -> Outcome<()> {
    let folder = tempfile::tempdir()?;
    let mut book = Book::create(folder.path().join("big.deckle"), &common::new_book()?)?;
    let recordings = mixed(&book)?;
    book.record_all(&recordings)?;
    let today = parse_iso("2025-12-20")?;
    let spans = [
        (
            "one year",
            DateRange {
                from: parse_iso("2025-01-01")?,
                to: parse_iso("2025-12-31")?,
            },
        ),
        (
            "ten years",
            DateRange {
                from: common::first_day(),
                to: parse_iso("2025-12-31")?,
            },
        ),
    ];
    for (span, period) in spans {
        for room in Room::ALL {
            if let Some(mut screen) = screens::room(room) {
                time(&format!("{}, {span}", room.name()), || {
                    refresh(screen.as_mut(), &book, period, today)
                })?;
            }
        }
        let bank = book.chart().find("1000")?.id;
        if let Some(mut screen) = screens::account(bank) {
            time(&format!("an account's ledger, {span}"), || {
                refresh(screen.as_mut(), &book, period, today)
            })?;
        }
    }
    if let Some(mut screen) = screens::entry(EntryNumber(50_000)) {
        time("an entry's page", || {
            refresh(screen.as_mut(), &book, spans[0].1, today)
        })?;
    }
    time("facts of the forms", || {
        Ok(Facts::read(&book, today).map(|_facts| ())?)
    })?;
    let mut facts = Facts::read(&book, today)?;
    let question = |party: &str, search: Option<&str>| Question {
        kind: Some(EntryKind::Purchase),
        party: party.to_owned(),
        around: Some(today),
        search: search.map(str::to_owned),
        ..Question::default()
    };
    let mut round = 0;
    time("what a purchase asks", || {
        round += 1;
        Ok(facts.look_up(&book, question(&format!("supplier {round}"), None))?)
    })?;
    time("what a refund asks, a frame", || {
        round += 1;
        Ok(facts.look_up(&book, question("", Some(&format!("no such {round}"))))?)
    })?;
    time("recording an entry", || {
        Ok(book
            .record(&recordings[recordings.len() - 1])
            .map(|_number| ())?)
    })?;
    Ok(())
}

fn refresh(
    screen: &mut dyn Screen,
    book: &Book,
    period: DateRange,
    today: NaiveDate,
) -> Outcome<()> {
    let preferences = Preferences::default();
    let cx = ViewContext {
        chart: book.chart(),
        settings: book.settings(),
        currency: book.currency(),
        period,
        period_label: "",
        today,
        now: today.and_time(chrono::NaiveTime::MIN),
        revision: book.revision(),
        preferences: &preferences,
    };
    Ok(screen.refresh(book, &cx)?)
}

/// The shortest of three, so that another program's work counts for little.
fn time(what: &str, mut act: impl FnMut() -> Outcome<()>) -> Outcome<()> {
    let mut best = Duration::MAX;
    for _round in 0..3 {
        let start = Instant::now();
        act()?;
        best = best.min(start.elapsed());
    }
    let mark = if best > FRAME { "*" } else { "" };
    println!(
        "{what:<40} {:>10.2} ms {mark}",
        best.as_secs_f64() * 1_000.0
    );
    Ok(())
}

/// The sales of the other benches, every fifth of them a purchase from one of forty suppliers instead.
fn mixed(book: &Book) -> Outcome<Vec<Recording>> {
    let bank = book.chart().find("1000")?.id;
    let mut recordings = common::recordings(book)?;
    for (idx, recording) in recordings.iter_mut().enumerate().step_by(5) {
        let entry = &recording.entry;
        let lines = entry
            .lines()
            .iter()
            .filter(|line| line.amount.is_positive() && line.account != bank)
            .cloned();
        let mut lines: Vec<Line> = lines.collect();
        let cost = lines.iter().map(|line| line.amount).sum();
        lines.push(Line::credit(bank, cost));
        let header = EntryHeader::new(entry.header.date, EntryKind::Purchase)
            .party(format!("Supplier {}", idx / 5 % 40))
            .reference(format!("P{idx}"));
        *recording = Recording::new(JournalEntry::new(header, lines)?);
    }
    Ok(recordings)
}
