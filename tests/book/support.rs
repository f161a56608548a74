//! Builders that keep the cases short.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use deckle::book::{Book, NewBook};
use deckle::dates::parse_iso;
use deckle::happenings::Recording;
use deckle::ledger::{AccountId, EntryHeader, EntryKind, JournalEntry, Line};
use deckle::money::{Currency, Money};

/// A book in a folder that goes away with it.
pub struct TestBook {
    pub folder: tempfile::TempDir,
    pub book: Book,
}

impl TestBook {
    pub fn path(&self) -> PathBuf {
        self.folder.path().join("Fernhollow.deckle")
    }

    /// Lets the file go without a backup, so that another connection can reach it.
    pub fn let_go(self) -> (tempfile::TempDir, PathBuf) {
        let path = self.path();
        (self.folder, path)
    }
}

pub fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

pub fn new_book() -> NewBook {
    NewBook::new(
        Currency::from_code("USD").expect("a currency"),
        day("2026-01-01"),
    )
}

pub fn test_book() -> TestBook {
    let folder = tempfile::tempdir().expect("a folder");
    let book = Book::create(folder.path().join("Fernhollow.deckle"), &new_book()).expect("a book");
    TestBook { folder, book }
}

pub fn account(book: &Book, number: &str) -> AccountId {
    book.chart().find(number).expect("an account").id
}

/// An entry that moves minor units from one account to another.
pub fn entry(book: &Book, date: &str, debit: &str, credit: &str, minor: i64) -> JournalEntry {
    let header = EntryHeader::new(day(date), EntryKind::Manual)
        .party("Paper mill")
        .memo("rag paper");
    let amount = Money::from_minor(minor);
    let lines = vec![
        Line::debit(account(book, debit), amount),
        Line::credit(account(book, credit), amount),
    ];
    JournalEntry::new(header, lines).expect("balances")
}

pub fn recording(book: &Book, date: &str, debit: &str, credit: &str, minor: i64) -> Recording {
    Recording::new(entry(book, date, debit, credit, minor))
}

#[track_caller]
pub fn assert_clean(book: &Book) {
    let faults: Vec<String> = book
        .check()
        .expect("readable")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// The file through a connection that knows nothing of this program.
pub fn raw(path: &Path) -> rusqlite::Connection {
    rusqlite::Connection::open(path).expect("a connection")
}
