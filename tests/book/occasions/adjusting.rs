//! What is owed, paid ahead or earned at a year's end, and its taking back on the day after. Figures are by hand.

use deckle::ledger::{EntryKind, EntryNumber};

use super::{balance, lines, of, read, refused, shop, tell};
use crate::support::{assert_clean, day};

#[test]
fn what_is_owed_counts_in_its_year_and_is_taken_back_with_it() {
    let mut made = shop();
    let book = &mut made.book;
    let before = book.entry_count().expect("readable");
    let answers = [
        ("amount", "45.00"),
        ("account", "6410"),
        ("date", "2031-12-31"),
        ("party", "Telephone"),
    ];
    let (number, words) = tell(book, "adjusting-owed", &answers);
    assert_eq!(
        lines(book, number),
        of(&[("6410", 4_500), ("2000", -4_500)])
    );
    assert!(
        words.ends_with("It is taken back on 1 Jan 2032."),
        "{words}"
    );
    assert_eq!(balance(book, "2000", "2031-12-31"), -4_500);
    assert_eq!(balance(book, "2000", "2032-01-01"), 0);
    let posted = book.entry(number.expect("an entry")).expect("there");
    assert_eq!(posted.entry.header.kind, EntryKind::Adjusting);
    let back = book
        .entry(posted.reversed_by.expect("a mirror"))
        .expect("there");
    assert_eq!(back.entry.header.date, day("2032-01-01"));
    assert_eq!(back.reverses, number);
    assert_clean(book);
    // Both go together.
    book.undo().expect("undone");
    assert_eq!(book.entry_count().expect("readable"), before);
    book.redo().expect("done again");
    assert_eq!(balance(book, "6410", "2032-01-01"), 0);
    assert_clean(book);
}

#[test]
fn a_part_paid_ahead_and_something_earned_may_stay() {
    let mut made = shop();
    let book = &mut made.book;
    let answers = [
        ("amount", "10.00"),
        ("account", "6400"),
        ("date", "2026-12-31"),
        ("take_back", "no"),
    ];
    let (number, _words) = tell(book, "adjusting-ahead", &answers);
    assert_eq!(
        lines(book, number),
        of(&[("1300", 1_000), ("6400", -1_000)])
    );
    assert_eq!(balance(book, "1300", "2027-01-01"), 1_000);
    let answers = [("amount", "7.00"), ("date", "2026-12-31")];
    let (number, _words) = tell(book, "adjusting-earned", &answers);
    assert_eq!(lines(book, number), of(&[("1100", 700), ("4000", -700)]));
    assert_eq!(balance(book, "1100", "2027-01-01"), 0);
    let answers = [
        ("amount", "4.00"),
        ("account", "6000"),
        ("date", "2026-12-31"),
    ];
    let (number, _words) = tell(book, "adjusting-used", &answers);
    assert_eq!(lines(book, number), of(&[("6000", 400), ("1300", -400)]));
    assert_clean(book);
}

#[test]
fn what_is_locked_or_no_cost_is_refused_beside_its_question() {
    let mut made = shop();
    let book = &mut made.book;
    let answers = [
        ("amount", "5.00"),
        ("account", "1000"),
        ("date", "2026-12-31"),
    ];
    assert_eq!(refused(book, "adjusting-owed", &answers).0, "account");
    book.lock_through(day("2026-12-31")).expect("locked");
    let answers = [
        ("amount", "5.00"),
        ("account", "6400"),
        ("date", "2026-12-31"),
    ];
    assert_eq!(refused(book, "adjusting-owed", &answers).0, "date");
    assert!(
        read(
            book,
            "start-up-used",
            &[("amount", "5"), ("date", "2027-01-02")]
        )
        .is_ok()
    );
    assert!(book.entry(EntryNumber(1)).is_ok());
}
