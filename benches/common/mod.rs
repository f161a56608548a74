//! A book of 100,000 entries and 300,000 lines over ten years: invented, always the same.
//! Measuring is the benches' own.

use chrono::{Duration, NaiveDate};
use deckle::book::{Book, NewBook};
use deckle::dates::parse_iso;
use deckle::happenings::Recording;
use deckle::ledger::{AccountId, EntryHeader, EntryKind, JournalEntry, Line};
use deckle::money::{Currency, Money};

/// How many entries the big book has.
pub const N_ENTRIES: usize = 100_000;

/// The day the big book begins.
#[must_use]
pub fn first_day() -> NaiveDate {
    parse_iso("2016-01-01").unwrap_or_default()
}

/// What the new book of a bench is like.
///
/// # Errors
/// Never, as long as the program knows US dollars.
pub fn new_book() -> Result<NewBook, Box<dyn std::error::Error>> {
    Ok(NewBook::new(Currency::from_code("USD")?, first_day()))
}

/// Sales through a channel with a fee: three lines each, in the order of their days.
///
/// # Errors
/// When the chart lacks an account.
pub fn recordings(book: &Book) -> Result<Vec<Recording>, Box<dyn std::error::Error>> {
    let account = |number: &str| -> Result<AccountId, Box<dyn std::error::Error>> {
        Ok(book.chart().find(number)?.id)
    };
    let due = account("1050")?;
    let into = [due, account("1000")?, account("1020")?];
    let income = [account("4000")?, account("4010")?, account("4090")?];
    let costs = [
        "6000", "6100", "6110", "6200", "6210", "6310", "6400", "6900",
    ]
    .into_iter()
    .map(account)
    .collect::<Result<Vec<_>, _>>()?;
    let mut recordings = Vec::with_capacity(N_ENTRIES);
    for idx in 0..N_ENTRIES {
        let day = i64::try_from(idx * 3650 / N_ENTRIES)?;
        let price = 1_200 + i64::try_from(idx * 7919 % 9_000)?;
        let fee = price / 15;
        let header = EntryHeader::new(first_day() + Duration::days(day), EntryKind::Sale)
            .party(format!("Order {}", 10_000 + idx))
            .memo("Pocket notebook, sewn on tapes")
            .reference(format!("R{idx}"));
        let lines = vec![
            Line::debit(into[idx % into.len()], Money::from_minor(price - fee)),
            Line::debit(costs[idx % costs.len()], Money::from_minor(fee)).memo("fee"),
            Line::credit(income[idx % income.len()], Money::from_minor(price)),
        ];
        recordings.push(Recording::new(JournalEntry::new(header, lines)?));
    }
    Ok(recordings)
}
