//! Recording, amending, taking back, undoing.

use deckle::book::{BookError, Closings};
use deckle::dates::DateRange;
use deckle::ledger::{EntryKind, EntryNumber};
use deckle::money::Money;

use crate::support::{account, assert_clean, day, entry, recording, test_book};

#[test]
fn an_entry_is_read_back_as_it_was_written() {
    let mut test = test_book();
    let book = &mut test.book;
    let written = recording(book, "2026-01-05", "6000", "1000", 2_950);
    assert_eq!(book.record(&written).expect("recorded"), EntryNumber(1));
    let posted = book.entry(EntryNumber(1)).expect("there");
    assert_eq!(posted.entry, written.entry);
    assert_eq!((posted.version, posted.reversed_by), (1, None));
    assert_clean(book);
}

/// Entries are read many at a time; each is the one that is read alone, in the order asked for.
#[test]
fn entries_read_together_are_those_read_one_by_one() {
    let mut test = test_book();
    let book = &mut test.book;
    let many: Vec<_> = (0..2_300)
        .map(|place| recording(book, "2026-01-05", "6000", "1000", 100 + place))
        .collect();
    book.record_all(&many).expect("recorded");
    book.reverse(EntryNumber(7), day("2026-01-06"), "told twice")
        .expect("taken back");
    let mut numbers: Vec<EntryNumber> = (1..=2_301).map(EntryNumber).collect();
    numbers.reverse();
    numbers.push(EntryNumber(7));
    let together = book.entries(&numbers).expect("read");
    let alone: Vec<_> = numbers
        .iter()
        .map(|number| book.entry(*number).expect("there"))
        .collect();
    assert_eq!(together, alone);
    assert_eq!(together[2_301].reversed_by, Some(EntryNumber(2_301)));
    let refused = book.entries(&[EntryNumber(1), EntryNumber(9_999), EntryNumber(2)]);
    assert!(matches!(
        refused,
        Err(BookError::NoSuchEntry(EntryNumber(9_999)))
    ));
}

#[test]
fn an_amendment_keeps_the_earlier_version_with_its_reason() {
    let mut test = test_book();
    let book = &mut test.book;
    let number = book
        .record(&recording(book, "2026-01-05", "6000", "1000", 2_950))
        .expect("recorded");
    let second = entry(book, "2026-01-06", "6100", "1000", 2_900);
    assert!(matches!(
        book.amend(number, &second, " "),
        Err(BookError::ReasonMissing)
    ));
    book.amend(number, &second, "it was packaging")
        .expect("amended");
    assert_eq!(book.entry(number).expect("there").entry, second);
    assert_eq!(book.entry(number).expect("there").version, 2);
    let history = book.history(number).expect("readable");
    assert_eq!(history.len(), 2);
    assert_eq!(history[1].reason, "it was packaging");
    let earlier = history[1].earlier.as_ref().expect("kept");
    assert_eq!(earlier.header.date, day("2026-01-05"));
    assert_clean(book);
}

#[test]
fn an_entry_is_taken_back_once() {
    let mut test = test_book();
    let book = &mut test.book;
    let number = book
        .record(&recording(book, "2026-01-05", "6000", "1000", 2_950))
        .expect("recorded");
    let mirror = book
        .reverse(number, day("2026-02-01"), "sent back")
        .expect("reversed");
    assert_eq!(book.entry(mirror).expect("there").reverses, Some(number));
    assert_eq!(book.entry(number).expect("there").reversed_by, Some(mirror));
    let again = book.reverse(number, day("2026-02-02"), "sent back");
    assert!(
        matches!(again, Err(BookError::AlreadyReversed { .. })),
        "{again:?}"
    );
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    assert_eq!(balances.net(account(book, "6000")), Money::ZERO);
    assert_clean(book);
}

#[test]
fn undo_and_redo_walk_back_and_forth() {
    let mut test = test_book();
    let book = &mut test.book;
    let number = book
        .record(&recording(book, "2026-01-05", "6000", "1000", 2_950))
        .expect("recorded");
    let second = entry(book, "2026-01-06", "6100", "1000", 2_900);
    book.amend(number, &second, "it was packaging")
        .expect("amended");
    book.set_settings(&[("equipment_threshold", "200.00")])
        .expect("set");
    book.lock_through(day("2026-01-31")).expect("locked");
    for _step in 0..4 {
        assert!(book.undo().expect("undone").is_some());
    }
    assert_eq!(book.undo().expect("nothing left"), None);
    assert_eq!(book.entry_count().expect("readable"), 0);
    assert_eq!(book.lock_date(), None);
    assert_eq!(book.settings().equipment_threshold(), None);
    assert_clean(book);
    for _step in 0..4 {
        assert!(book.redo().expect("redone").is_some());
    }
    assert_eq!(book.entry(number).expect("there").entry, second);
    assert_eq!(book.lock_date(), Some(day("2026-01-31")));
    assert_clean(book);
}

#[test]
fn a_locked_day_is_refused_and_nothing_changes() {
    let mut test = test_book();
    let book = &mut test.book;
    let number = book
        .record(&recording(book, "2026-01-05", "6000", "1000", 2_950))
        .expect("recorded");
    book.lock_through(day("2026-01-31")).expect("locked");
    let revision = book.revision();
    let late = recording(book, "2026-01-31", "6000", "1000", 100);
    let refused = book.record(&late).expect_err("locked");
    assert!(matches!(refused, BookError::Locked { .. }), "{refused}");
    let amended = book.amend(number, &late.entry, "why not");
    assert!(
        matches!(amended, Err(BookError::Locked { .. })),
        "{amended:?}"
    );
    let early = recording(book, "2025-12-31", "6000", "1000", 100);
    assert!(book.record(&early).is_err());
    assert_eq!(book.revision(), revision);
    assert_eq!(book.entry_count().expect("readable"), 1);
    assert_clean(book);
}

#[test]
fn many_recordings_are_kept_whole_or_not_at_all() {
    let mut test = test_book();
    let book = &mut test.book;
    let good = recording(book, "2026-01-05", "6000", "1000", 2_950);
    let bad = recording(book, "2025-01-05", "6000", "1000", 2_950);
    let refused = book
        .record_all(&[good.clone(), good.clone(), bad])
        .expect_err("too early");
    assert!(
        matches!(refused, BookError::AtIndex { index: 2, .. }),
        "{refused}"
    );
    assert_eq!(book.entry_count().expect("readable"), 0);
    assert_eq!(
        book.record_all(&[good.clone(), good])
            .expect("recorded")
            .len(),
        2
    );
    assert_clean(book);
}

#[test]
fn a_year_is_closed_once_from_what_the_ledger_holds() {
    let mut test = test_book();
    let book = &mut test.book;
    book.record(&recording(book, "2026-03-05", "1000", "4000", 9_000))
        .expect("recorded");
    book.record(&recording(book, "2026-03-06", "3100", "1000", 500))
        .expect("recorded");
    let number = book.close_year(2026).expect("closed").expect("an entry");
    let year = book.year_start().year_ending_in(2026);
    assert_eq!(book.closing_entry_of(year).expect("readable"), Some(number));
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    let net = |number: &str| balances.net(account(book, number));
    assert_eq!(net("4000"), Money::ZERO);
    assert_eq!(net("3100"), Money::ZERO);
    assert_eq!(net("3900"), Money::from_minor(-9_000));
    assert_eq!(net("3000"), Money::from_minor(500));
    let again = book.close_year(2026).expect_err("twice");
    assert!(again.to_string().contains("closed already"), "{again}");
    assert_eq!(book.close_year(2027).expect("nothing to close"), None);
    assert_eq!(book.lock_date(), Some(day("2027-12-31")));
    assert_clean(book);
}

#[test]
fn a_year_is_closed_and_reopened_with_a_reason() {
    let mut test = test_book();
    let book = &mut test.book;
    book.record(&recording(book, "2026-03-05", "1000", "4000", 9_000))
        .expect("recorded");
    let year = book.year_start().year_ending_in(2026);
    let mut closing = entry(book, "2026-12-31", "4000", "3900", 9_000);
    closing.header.kind = EntryKind::Closing;
    book.close_year_with(Some(&closing), year).expect("closed");
    assert_eq!(book.lock_date(), Some(day("2026-12-31")));
    let sales = account(book, "4000");
    let net = |book: &deckle::book::Book, closings| {
        let range = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("in order");
        book.balances(range, closings).expect("readable").net(sales)
    };
    assert_eq!(net(book, Closings::Without), Money::from_minor(-9_000));
    assert_eq!(net(book, Closings::With), Money::ZERO);
    book.reopen("a receipt turned up").expect("reopened");
    assert_eq!(book.lock_date(), None);
    assert_eq!(net(book, Closings::Without), Money::from_minor(-9_000));
    assert_eq!(net(book, Closings::With), Money::from_minor(-9_000));
    assert_clean(book);
    book.undo().expect("undone");
    assert_eq!(book.lock_date(), Some(day("2026-12-31")));
    book.redo().expect("redone");
    assert_eq!(book.lock_date(), None);
    book.undo().expect("undone");
    book.undo().expect("undone");
    assert_eq!(net(book, Closings::With), Money::from_minor(-9_000));
    assert_clean(book);
}
