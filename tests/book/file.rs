//! Making, opening, refusing, holding alone, closing.

use deckle::book::{Book, BookError, backups_beside};

use crate::support::{new_book, raw, recording, test_book};

#[test]
fn a_book_is_there_again_after_closing_with_a_backup() {
    let mut test = test_book();
    let sale = recording(&test.book, "2026-01-05", "6000", "1000", 2_950);
    test.book.record(&sale).expect("recorded");
    let path = test.path();
    let folder = test.folder;
    let backup = test.book.close().expect("closed").expect("a backup");
    for file in [&path, &backup] {
        let book = Book::open(file).expect("opened");
        assert_eq!(book.entry_count().expect("readable"), 1);
    }
    assert_eq!(backups_beside(&path).expect("a list").len(), 1);
    let unchanged = Book::open(&path).expect("opened");
    assert_eq!(unchanged.close().expect("closed"), None);
    drop(folder);
}

#[test]
fn a_second_opener_is_told_plainly() {
    let test = test_book();
    let second = Book::open(test.path()).expect_err("held");
    assert!(matches!(second, BookError::InUse), "{second}");
    assert!(second.to_string().contains("open in another window"));
}

#[test]
fn what_is_no_book_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("notes.deckle");
    assert!(matches!(Book::open(&path), Err(BookError::Missing(_))));
    assert!(matches!(
        Book::open(folder.path()),
        Err(BookError::NotABook(_))
    ));
    std::fs::write(&path, "not a book").expect("written");
    assert!(matches!(Book::open(&path), Err(BookError::NotABook(_))));
    assert!(matches!(
        Book::create(&path, &new_book()),
        Err(BookError::Exists(_))
    ));
    assert_eq!(std::fs::read_to_string(&path).expect("there"), "not a book");
    std::fs::remove_file(&path).expect("removed");
    raw(&path)
        .execute_batch("CREATE TABLE t (x)")
        .expect("another database");
    assert!(matches!(Book::open(&path), Err(BookError::NotABook(_))));
}

#[test]
fn a_newer_book_is_refused() {
    let (folder, path) = test_book().let_go();
    raw(&path)
        .execute_batch("PRAGMA user_version = 99")
        .expect("set");
    let refused = Book::open(&path).expect_err("newer");
    assert!(
        matches!(refused, BookError::Newer { found: 99, .. }),
        "{refused}"
    );
    drop(folder);
}
