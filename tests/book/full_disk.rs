//! A disk that runs full, simulated on a small file system in memory; skipped where none can be mounted.

use std::process::Command;

use deckle::book::{Book, BookError};

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
