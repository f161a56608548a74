//! A disk that runs full, simulated on a small file system in memory; skipped where none can be mounted.

use std::process::Command;

use deckle::book::{Book, BookError};
use deckle::export::{ExportError, year_end};

use crate::support::{assert_clean, new_book, recording};

struct SmallDisk(tempfile::TempDir);

impl SmallDisk {
    fn mount(kilobytes: u32) -> Option<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={kilobytes}k"), "tmpfs"])
            .arg(folder.path())
            .output();
        match mounted {
            Ok(output) if output.status.success() => Some(Self(folder)),
            _ => None,
        }
    }
}

impl SmallDisk {
    fn read_only(&self) {
        let mounted = Command::new("mount")
            .args(["-o", "remount,ro"])
            .arg(self.0.path())
            .output();
        assert!(mounted.is_ok_and(|output| output.status.success()));
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _gone_with_the_test = Command::new("umount").arg(self.0.path()).output();
    }
}

#[test]
fn a_full_disk_is_told_plainly_and_the_book_stays_as_it_was() {
    let Some(disk) = SmallDisk::mount(800) else {
        return;
    };
    let path = disk.0.path().join("book.deckle");
    let mut book = Book::create(&path, &new_book()).expect("a book");
    let sale = recording(&book, "2026-01-05", "6000", "1000", 2_950);
    book.record(&sale).expect("recorded");
    let many = vec![sale.clone(); 5_000];
    let refused = book.record_all(&many).expect_err("full");
    let cause = match &refused {
        BookError::AtIndex { source, .. } => source,
        other => other,
    };
    assert!(matches!(cause, BookError::Full), "{refused}");
    assert!(refused.to_string().contains("disk is full"));
    assert_eq!(book.entry_count().expect("readable"), 1);
    let backup = book.backup_to(disk.0.path().join("copy.deckle"));
    if let Err(error) = backup {
        assert!(matches!(error, BookError::Full), "{error}");
    }
    assert_clean(&book);
    drop(book);
    let book = Book::open(&path).expect("opened");
    assert_eq!(book.entry_count().expect("readable"), 1);
    assert_clean(&book);
    drop(book);
}

/// A pack that has no room, or no leave to be written, is told plainly and leaves nothing behind; the year stays open.
#[test]
fn a_pack_without_room_or_leave_leaves_nothing_behind() {
    let Some(disk) = SmallDisk::mount(160) else {
        return;
    };
    let folder = tempfile::tempdir().expect("a folder");
    let mut book = Book::create(folder.path().join("book.deckle"), &new_book()).expect("a book");
    let sale = recording(&book, "2026-01-05", "6000", "1000", 2_950);
    book.record(&sale).expect("recorded");
    let year = book.year_start().year_ending_in(2026);
    let target = disk.0.path().join("pack");
    let make = |book: &mut Book| {
        let today = crate::support::day("2027-01-10");
        year_end::make(book, 2026, &target, today, &mut |_done, _whole| true)
    };
    let left = || std::fs::read_dir(disk.0.path()).expect("a folder").count();
    let refused = make(&mut book).expect_err("has no room");
    assert!(matches!(refused, ExportError::Io { .. }), "{refused}");
    assert!(
        refused.to_string().contains("nothing was left behind"),
        "{refused}"
    );
    assert_eq!(left(), 0, "{refused}");
    disk.read_only();
    let refused = make(&mut book).expect_err("may not be written");
    assert!(matches!(refused, ExportError::Io { .. }), "{refused}");
    assert_eq!(left(), 0, "{refused}");
    assert!(book.packs(year).expect("readable").is_empty());
    assert_clean(&book);
}

/// A pack is handed out and kept in the book, or neither: a folder that its book does not know would not be proven by it.
#[test]
fn a_pack_that_the_book_cannot_keep_leaves_nothing_behind() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.deckle");
    let mut book = Book::create(&path, &new_book()).expect("a book");
    let sale = recording(&book, "2026-01-05", "6000", "1000", 2_950);
    book.record(&sale).expect("recorded");
    let year = book.year_start().year_ending_in(2026);
    let target = folder.path().join("pack");
    let today = crate::support::day("2027-01-10");
    // Somebody moves the book away while its pack is made.
    let elsewhere = folder.path().join("moved.deckle");
    let mut is_moved = false;
    let refused = year_end::make(&mut book, 2026, &target, today, &mut |_done, _whole| {
        if !is_moved {
            is_moved = true;
            std::fs::rename(&path, &elsewhere).expect("moved");
        }
        true
    })
    .expect_err("the book is gone");
    assert!(
        matches!(refused, ExportError::Book(BookError::Gone(_))),
        "{refused}"
    );
    assert!(!target.exists());
    assert!(!folder.path().join("pack.zip").exists());
    assert!(book.packs(year).expect("readable").is_empty());
}
