//! Backups: a verified copy under another name, made when a changed book is closed and before anything risky,
//! and thinned by age.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::{Datelike, Duration, NaiveDateTime};
use rusqlite::{Connection, OpenFlags};

use super::open::{APPLICATION_ID, folder_of, quick_check};
use super::{Book, BookError};

const STAMP: &str = "%Y-%m-%d %H-%M-%S";

/// Which backups stay and which go.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Thinned<T> {
    /// Those that stay.
    pub kept: Vec<T>,
    /// Those that go.
    pub dropped: Vec<T>,
}

/// Sorts backups by age: all of the last seven days stay, then the newest of each week for two months,
/// then the newest of each month.
#[must_use]
pub fn thin_out<T>(mut backups: Vec<(NaiveDateTime, T)>, now: NaiveDateTime) -> Thinned<T> {
    backups.sort_by_key(|(made, _)| std::cmp::Reverse(*made));
    let mut thinned = Thinned {
        kept: Vec::new(),
        dropped: Vec::new(),
    };
    let mut seen: BTreeSet<(u8, i32, u32)> = BTreeSet::new();
    for (made, backup) in backups {
        let age = now - made;
        let is_kept = if age <= Duration::days(7) {
            true
        } else if age <= Duration::days(62) {
            let week = made.date().iso_week();
            seen.insert((0, week.year(), week.week()))
        } else {
            seen.insert((1, made.year(), made.month()))
        };
        if is_kept {
            thinned.kept.push(backup);
        } else {
            thinned.dropped.push(backup);
        }
    }
    thinned
}

/// The folder beside a book that its backups go to.
fn folder_for(book: &Path) -> PathBuf {
    let stem = book.file_stem().unwrap_or_default().to_string_lossy();
    folder_of(book).join(format!("{stem} backups"))
}

/// The backups of a book, oldest first, with the time each was made.
///
/// # Errors
/// When their folder cannot be read.
pub fn backups_beside(book: &Path) -> Result<Vec<(NaiveDateTime, PathBuf)>, BookError> {
    let folder = folder_for(book);
    let stem = book
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let entries = match std::fs::read_dir(&folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => {
            return Err(BookError::io(
                format!("reading {}", folder.display()),
                error,
            ));
        }
    };
    let mut backups = Vec::new();
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let stamp = name
            .strip_prefix(&stem)
            .and_then(|rest| rest.strip_suffix(".deckle"))
            .map(str::trim);
        if let Some(Ok(made)) = stamp.map(|stamp| NaiveDateTime::parse_from_str(stamp, STAMP)) {
            backups.push((made, path));
        }
    }
    backups.sort();
    Ok(backups)
}

/// Makes a verified backup in the book's backup folder, named by the time.
pub(super) fn copy_beside(
    conn: &Connection,
    book: &Path,
    now: NaiveDateTime,
) -> Result<PathBuf, BookError> {
    let folder = folder_for(book);
    std::fs::create_dir_all(&folder)
        .map_err(|error| BookError::io(format!("making {}", folder.display()), error))?;
    let stem = book.file_stem().unwrap_or_default().to_string_lossy();
    let target = folder.join(format!("{stem} {}.deckle", now.format(STAMP)));
    copy(conn, &target)?;
    Ok(target)
}

/// Copies the book under a temporary name, verifies the copy by opening it, and only then gives it its name.
pub(super) fn copy(conn: &Connection, target: &Path) -> Result<(), BookError> {
    let mut name = target.as_os_str().to_owned();
    name.push(".part");
    let part = PathBuf::from(name);
    let made = make_copy(conn, &part).and_then(|()| {
        std::fs::rename(&part, target)
            .map_err(|error| BookError::io(format!("naming {}", target.display()), error))
    });
    if made.is_err() {
        // What is left of a failed copy is of no use; the failure itself is what is told.
        let _unimportant = std::fs::remove_file(&part);
    }
    made
}

fn make_copy(conn: &Connection, part: &Path) -> Result<(), BookError> {
    let io = |error| BookError::io(format!("writing {}", part.display()), error);
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options.open(part).map_err(io)?;
    {
        let mut copy = Connection::open(part)?;
        rusqlite::backup::Backup::new(conn, &mut copy)?.step(-1)?;
    }
    file.sync_all().map_err(io)?;
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let copy = Connection::open_with_flags(part, flags)?;
    quick_check(&copy)?;
    let application: i32 = copy.query_row("PRAGMA application_id", [], |row| row.get(0))?;
    if application != APPLICATION_ID || extent(&copy)? != extent(conn)? {
        return Err(BookError::damaged("the backup does not match the book"));
    }
    Ok(())
}

/// How far a book reaches: entries, lines, rows of history, receipts.
fn extent(conn: &Connection) -> Result<[i64; 4], BookError> {
    let counts = conn.query_row(
        "SELECT (SELECT count(*) FROM entry), (SELECT count(*) FROM line),
                (SELECT ifnull(max(seq), 0) FROM history), (SELECT count(*) FROM receipt)",
        [],
        |row| Ok([row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?]),
    )?;
    Ok(counts)
}

impl Book {
    /// Writes a verified copy of the book as it stands.
    ///
    /// # Errors
    /// When a file is there already, or the copy could not be written or verified; nothing is left behind then.
    pub fn backup_to(&self, target: impl AsRef<Path>) -> Result<(), BookError> {
        let target = target.as_ref();
        if target.exists() {
            return Err(BookError::Exists(target.to_owned()));
        }
        copy(&self.conn, target)
    }

    /// Makes a backup in the book's own backup folder and thins the older ones.
    ///
    /// # Errors
    /// When the copy could not be written or verified.
    pub fn back_up_beside(&self, now: NaiveDateTime) -> Result<PathBuf, BookError> {
        let made = copy_beside(&self.conn, &self.path, now)?;
        for old in thin_out(backups_beside(&self.path)?, now).dropped {
            // A backup too many harms nobody; the new one is what counts.
            let _unimportant = std::fs::remove_file(old);
        }
        Ok(made)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, STAMP).expect("a time")
    }

    #[test]
    fn backups_thin_by_age() {
        let now = at("2026-06-30 12-00-00");
        let all = [
            "2026-06-30 11-00-00", // this week: all stay
            "2026-06-30 10-00-00",
            "2026-06-24 10-00-00",
            "2026-06-12 18-00-00", // one week of June: the newest stays
            "2026-06-10 18-00-00",
            "2026-03-20 09-00-00", // March: the newest stays
            "2026-03-02 09-00-00",
        ];
        let thinned = thin_out(all.map(|text| (at(text), text)).to_vec(), now);
        assert_eq!(
            thinned.dropped,
            ["2026-06-10 18-00-00", "2026-03-02 09-00-00"]
        );
        assert_eq!(thinned.kept.len(), 5);
    }
}
