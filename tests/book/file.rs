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

#[test]
fn a_read_only_book_or_folder_is_refused() {
    let (folder, path) = test_book().let_go();
    let set = |file: &std::path::Path, is_read_only: bool| {
        let mut permissions = std::fs::metadata(file).expect("there").permissions();
        permissions.set_readonly(is_read_only);
        std::fs::set_permissions(file, permissions).expect("set");
    };
    set(&path, true);
    let refused = Book::open(&path).expect_err("read-only");
    assert!(matches!(refused, BookError::ReadOnly { .. }), "{refused}");
    set(&path, false);
    set(folder.path(), true);
    let refused = Book::open(&path).expect_err("read-only");
    let other = folder.path().join("other.deckle");
    let not_made = Book::create(&other, &new_book()).expect_err("read-only");
    set(folder.path(), false);
    assert!(matches!(refused, BookError::ReadOnly { .. }), "{refused}");
    assert!(matches!(not_made, BookError::ReadOnly { .. }), "{not_made}");
    assert!(!other.exists());
    assert!(Book::open(&path).is_ok());
}

#[test]
fn a_book_in_a_missing_folder_is_not_made() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("nowhere").join("book.deckle");
    let refused = Book::create(&path, &new_book()).expect_err("no folder");
    assert!(matches!(refused, BookError::Missing(_)), "{refused}");
}

#[test]
fn only_the_owner_may_read_the_file() {
    use std::os::unix::fs::PermissionsExt;
    let mut test = test_book();
    let sale = recording(&test.book, "2026-01-05", "6000", "1000", 2_950);
    test.book.record(&sale).expect("recorded");
    let path = test.path();
    let _folder = test.folder;
    let backup = test.book.close().expect("closed").expect("a backup");
    for file in [path, backup] {
        let mode = std::fs::metadata(file).expect("there").permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}

#[test]
fn a_cut_off_book_is_refused_and_left_alone() {
    let mut test = test_book();
    let many: Vec<_> = (0..200)
        .map(|_| recording(&test.book, "2026-01-05", "6000", "1000", 2_950))
        .collect();
    test.book.record_all(&many).expect("recorded");
    let (folder, path) = test.let_go();
    let whole = std::fs::read(&path).expect("read");
    for length in [50, 2_000, whole.len() / 2] {
        std::fs::write(&path, &whole[..length]).expect("cut");
        match Book::open(&path) {
            Err(BookError::NotABook(_) | BookError::Damaged { .. }) => {}
            Err(other) => panic!("{length}: {other}"),
            Ok(book) => {
                let found = book.check().map(|faults| faults.len());
                assert!(!matches!(found, Ok(0)), "{length}: the check found nothing");
            }
        }
        assert_eq!(std::fs::read(&path).expect("there").len(), length);
    }
    drop(folder);
}

#[test]
fn a_backup_never_overwrites_and_opens_as_a_book() {
    let mut test = test_book();
    let sale = recording(&test.book, "2026-01-05", "6000", "1000", 2_950);
    test.book.record(&sale).expect("recorded");
    let copy = test.folder.path().join("copy.deckle");
    test.book.backup_to(&copy).expect("copied");
    assert!(matches!(
        test.book.backup_to(&copy),
        Err(BookError::Exists(_))
    ));
    let copy = Book::open(&copy).expect("opened");
    crate::support::assert_clean(&copy);
    assert_eq!(copy.entry_count().expect("readable"), 1);
    let nowhere = test.folder.path().join("nowhere").join("copy.deckle");
    assert!(test.book.backup_to(&nowhere).is_err());
    // The book goes on being usable after a backup that failed.
    test.book.record(&sale).expect("recorded");
}

#[test]
fn a_book_that_was_moved_away_while_open_takes_nothing_more() {
    let mut test = test_book();
    let sale = recording(&test.book, "2026-01-05", "6000", "1000", 2_950);
    test.book.record(&sale).expect("recorded");
    let elsewhere = test.folder.path().join("elsewhere.deckle");
    std::fs::rename(test.path(), &elsewhere).expect("moved");
    let refused = test.book.record(&sale).expect_err("moved");
    assert!(
        refused.to_string().contains("moved or deleted"),
        "{refused}"
    );
    assert_eq!(test.book.entry_count().expect("readable"), 1);
    std::fs::rename(&elsewhere, test.path()).expect("moved back");
    test.book.record(&sale).expect("recorded");
    crate::support::assert_clean(&test.book);
}

#[test]
fn a_second_program_is_told_plainly() {
    let test = test_book();
    let check = || {
        std::process::Command::new(env!("CARGO_BIN_EXE_deckle"))
            .arg("check")
            .arg(test.path())
            .output()
            .expect("run")
    };
    let said = check();
    let message = String::from_utf8_lossy(&said.stderr).into_owned();
    assert_eq!(said.status.code(), Some(1), "{message}");
    assert!(message.contains("open in another window"), "{message}");
    assert_eq!(message.trim().lines().count(), 1, "{message}");
}
