//! What was paid ahead, through the file: found again from tags, proposed on Today, released once, undone as one step.

use deckle::book::Book;
use deckle::happenings::{
    Happening, PaidAhead, Payment, Purchase, PurchaseDetails, PurchaseLine, Recording,
};
use deckle::ledger::EntryNumber;
use deckle::money::Money;
use deckle::needs::NeedKind;
use deckle::reports::{open_needs, paid_ahead_due, release_paid_ahead};

use crate::support::{account, assert_clean, day, test_book};

/// A year of software for 100.00, from March on.
fn software(book: &Book) -> Recording {
    let line = PurchaseLine::new(
        account(book, "6400"),
        Money::from_minor(10_000),
        "Layout software",
    )
    .paid_ahead(PaidAhead {
        from: day("2026-03-01"),
        months: 12,
    });
    let details = PurchaseDetails::new(
        day("2026-02-20"),
        "Elm Software",
        Payment::Account(account(book, "1000")),
        vec![line],
    );
    let purchase = Purchase::new(details).expect("a purchase");
    purchase.recording(book.chart()).expect("a recording")
}

fn net(book: &Book, number: &str) -> i64 {
    let balances = book.balances_to(day("2027-12-31")).expect("readable");
    balances.net(account(book, number)).minor()
}

fn is_proposed(book: &Book) -> bool {
    open_needs(book, day("2026-05-31"))
        .expect("readable")
        .iter()
        .any(|need| matches!(need.kind, NeedKind::PaidAhead(_)))
}

/// By hand: 8.33, 16.67 and 25.00 of 100.00 are used up after one, two and three of twelve months.
#[test]
fn parts_used_up_are_proposed_released_once_and_undone_together() {
    let mut test = test_book();
    let recording = software(&test.book);
    test.book.record(&recording).expect("recorded");
    assert!(is_proposed(&test.book));
    let numbers = release_paid_ahead(&mut test.book, day("2026-05-31")).expect("released");
    assert_eq!(numbers, [EntryNumber(2), EntryNumber(3), EntryNumber(4)]);
    assert_eq!(
        (net(&test.book, "6400"), net(&test.book, "1300")),
        (2_500, 7_500)
    );
    assert!(!is_proposed(&test.book));
    let again = release_paid_ahead(&mut test.book, day("2026-05-31")).expect("nothing to do");
    assert_eq!(again, []);

    test.book.undo().expect("undone");
    assert_eq!(
        (net(&test.book, "6400"), net(&test.book, "1300")),
        (0, 10_000)
    );
    assert!(is_proposed(&test.book));
    assert_clean(&test.book);
}

#[test]
fn a_reopened_book_finds_its_spreads_and_leaves_locked_months_alone() {
    let mut test = test_book();
    let recording = software(&test.book);
    test.book.record(&recording).expect("recorded");
    test.book.lock_through(day("2026-04-30")).expect("locked");
    let path = test.path();
    let deckle_folder = test.folder;
    drop(test.book);
    let mut book = Book::open(&path).expect("opens");
    let due = paid_ahead_due(&book, day("2026-05-31")).expect("readable");
    let days: Vec<String> = due.iter().map(|one| one.date.to_string()).collect();
    assert_eq!(days, ["2026-05-01", "2026-05-01", "2026-05-31"]);
    release_paid_ahead(&mut book, day("2026-05-31")).expect("released");
    assert_eq!(net(&book, "6400"), 2_500);
    assert_clean(&book);
    drop(book);
    drop(deckle_folder);
}

/// By hand: 25.00 of the 100.00 are a cost by 31 May; all of it goes back, June's part on its own later day.
#[test]
fn taking_the_purchase_back_takes_its_parts_back_too() {
    let mut test = test_book();
    let book = &mut test.book;
    let recording = software(book);
    book.record(&recording).expect("recorded");
    release_paid_ahead(book, day("2026-05-31")).expect("released");
    let first = book
        .reverse(EntryNumber(2), day("2026-03-31"), "too early")
        .expect("a part alone");
    assert_eq!(first, EntryNumber(5));
    let standing = book.releases_of(EntryNumber(1)).expect("readable");
    assert_eq!(standing, [EntryNumber(3), EntryNumber(4)]);
    let mirror = book
        .reverse(EntryNumber(1), day("2026-05-10"), "never delivered")
        .expect("taken back");
    assert_eq!(mirror, EntryNumber(8));
    let days: Vec<String> = [6, 7, 8]
        .map(|number| book.entry(EntryNumber(number)).expect("there"))
        .map(|posted| posted.entry.header.date.to_string())
        .to_vec();
    assert_eq!(days, ["2026-05-10", "2026-05-31", "2026-05-10"]);
    for number in ["6400", "1300", "1000"] {
        assert_eq!(net(book, number), 0, "account {number}");
    }
    assert!(
        paid_ahead_due(book, day("2026-12-31"))
            .expect("readable")
            .is_empty()
    );
    assert_clean(book);
    book.undo().expect("undone");
    assert_eq!((net(book, "6400"), net(book, "1300")), (1_667, 8_333));
    assert_clean(book);
}
