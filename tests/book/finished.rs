//! Months the owner says are finished: asked about, noted, undone; never the lock.

use deckle::book::BookError;
use deckle::dates::Month;

use crate::support::{assert_clean, day, recording, test_book};

fn september() -> Month {
    Month::new(2026, 9)
}

#[test]
fn a_finished_month_asks_once_and_then_takes_it_and_notes_it() {
    let mut test = test_book();
    let book = &mut test.book;
    let of = |book: &deckle::book::Book, date: &str| recording(book, date, "6000", "1000", 980);
    let first = book.record(&of(book, "2026-09-14")).expect("kept");
    book.finish_month(september()).expect("finished");
    assert_eq!(book.settings().finished_through(), Some(day("2026-09-30")));

    book.ask_before_finished(true);
    let refused = book.record(&of(book, "2026-09-30"));
    assert!(
        matches!(refused, Err(BookError::Finished { date }) if date == day("2026-09-30")),
        "{refused:?}"
    );
    let changed = recording(book, "2026-10-02", "6000", "1000", 990).entry;
    let refused = book.amend(first, &changed, "another day");
    assert!(matches!(refused, Err(BookError::Finished { .. })));
    let refused = book.reverse(first, day("2026-09-14"), "twice");
    assert!(matches!(refused, Err(BookError::Finished { .. })));
    // A correction dated later leaves the month as it was, and so does any other day.
    book.reverse(first, day("2026-10-01"), "twice")
        .expect("taken back");
    book.record(&of(book, "2026-10-01")).expect("kept");
    assert_eq!(book.take_wrote_in_finished(), None);

    book.ask_before_finished(false);
    book.record(&of(book, "2026-09-30"))
        .expect("kept all the same");
    assert_eq!(book.take_wrote_in_finished(), Some(day("2026-09-30")));
    let newest = &book.recent_history(1).expect("readable")[0];
    assert_eq!(newest.action, "finished");
    assert_eq!(
        newest.what,
        "written on 2026-09-30 although September 2026 was finished"
    );
    assert_clean(book);
}

#[test]
fn finishing_is_undone_and_opened_again_and_locks_nothing() {
    let mut test = test_book();
    let book = &mut test.book;
    book.finish_month(september()).expect("finished");
    assert_eq!(book.undo_label(), Some("September 2026 is finished"));
    assert_eq!(book.lock_date(), None);
    let again = book.finish_month(Month::new(2026, 8));
    assert!(again.is_err(), "August lies before September");
    book.undo().expect("undone");
    assert_eq!(book.settings().finished_through(), None);
    book.redo().expect("done again");
    book.open_month_again(september()).expect("open");
    assert_eq!(book.settings().finished_through(), Some(day("2026-08-31")));
    // The book begins in January, so before it nothing is left to be finished.
    book.open_month_again(Month::new(2026, 1)).expect("open");
    assert_eq!(book.settings().finished_through(), None);
    assert!(book.open_month_again(september()).is_err());
    assert!(book.finish_month(Month::new(2025, 12)).is_err());
    assert_clean(book);
}

#[test]
fn undoing_in_a_finished_month_asks_nothing_and_several_writes_ask_as_one() {
    let mut test = test_book();
    let book = &mut test.book;
    let of = |book: &deckle::book::Book, date: &str| recording(book, date, "6000", "1000", 980);
    book.finish_month(september()).expect("finished");
    let both = [of(book, "2026-10-01"), of(book, "2026-09-01")];
    book.ask_before_finished(true);
    assert!(book.record_all(&both).is_err());
    assert_eq!(book.entry_count().expect("a count"), 0);
    book.ask_before_finished(false);
    book.record_all(&both).expect("kept");
    let notes = book.recent_history(10).expect("readable");
    let notes = notes.iter().filter(|row| row.what.contains("although"));
    assert_eq!(notes.count(), 1);
    book.ask_before_finished(true);
    book.undo().expect("undone without a question");
    assert_eq!(book.entry_count().expect("a count"), 0);
    assert_clean(book);
}
