//! Books of every layout that was ever released open, are brought up to date, and still say what they said.

use deckle::book::Book;
use deckle::ledger::EntryNumber;
use deckle::money::Money;

use crate::support::{account, assert_clean, day};

#[test]
fn a_book_of_the_first_layout_still_opens() {
    let kept = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/fixtures/books/layout-1.deckle"
    );
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.deckle");
    // Written anew, so that the copy can be written to whatever the checkout's own rights are.
    std::fs::write(&path, std::fs::read(kept).expect("read")).expect("copied");
    let book = Book::open(&path).expect("opened");
    assert_clean(&book);
    assert_eq!(book.entry_count().expect("readable"), 5);
    assert_eq!(book.settings().business_name(), "Fernhollow Bindery");
    assert_eq!(book.lock_date(), Some(day("2026-01-31")));
    assert_eq!(book.receipts(EntryNumber(2)).expect("readable").len(), 1);
    let history = book.history(EntryNumber(3)).expect("readable");
    let earlier = history[1].earlier.as_ref().expect("kept");
    assert_eq!(earlier.header.party, "Paper mill");
    let charged = book.depreciation_charged().expect("readable");
    // By hand: (215.40 with its carriage - 30.00) / 60 months * 2 months.
    assert_eq!(charged["Nipping press"], Money::from_minor(618));
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    // By hand: 800.00 - 21.50 - 210.00 - 5.95.
    assert_eq!(
        balances.net(account(&book, "1000")),
        Money::from_minor(56_255)
    );
    assert!(balances.total().is_zero());
}
