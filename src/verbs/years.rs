//! Closing, locking and reopening, and the year's folder.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Serialize;

use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::Book;
use crate::dates::{DateRange, show_day};
use crate::export::counted;
use crate::export::year_end::{Pack, make, verify as hold_against};
use crate::ledger::EntryNumber;
use crate::reports;
use crate::statements::{ClosingError, closing_entry};

/// Locks every day up to and including one.
pub fn lock(path: &Path, through: NaiveDate) -> Result<(), VerbError> {
    with_book(path, |book| Ok(book.lock_through(through)?))?;
    print(&format!(
        "Everything up to and including {} is locked.",
        show_day(through)
    ))
}

/// Opens the lock.
pub fn unlock(path: &Path, reason: &str) -> Result<(), VerbError> {
    with_book(path, |book| Ok(book.unlock(reason)?))?;
    print("The lock is open; the reason is kept.")
}

/// Closes a financial year. One that still runs is closed only when that is meant, for its remaining days are locked.
pub fn close(
    path: &Path,
    year: i32,
    is_early: bool,
    is_unexplained_fine: bool,
    today: NaiveDate,
) -> Result<(), VerbError> {
    let (number, days) = with_book(path, |book| {
        let days = book.year_start().year_ending_in(year);
        if days.to >= today && !is_early {
            return Err(VerbError::refused(format!(
                "the year {} to {} is not over; closing it would lock its remaining days. \
                 Close it after {}, or with --early if nothing more will happen in it",
                show_day(days.from),
                show_day(days.to),
                show_day(days.to)
            )));
        }
        Ok((close_year(book, days, is_unexplained_fine)?, days))
    })?;
    let entry = number.map_or_else(
        || "there was nothing to close".to_owned(),
        |number| format!("entry {number} closes it"),
    );
    print(&format!(
        "The year {} to {} is closed and locked: {entry}.",
        show_day(days.from),
        show_day(days.to)
    ))
}

/// A year that ended before the book began has nothing to close or to hand over.
fn refuse_before_the_book(book: &Book, days: DateRange) -> Result<(), VerbError> {
    if days.to >= book.first_day() {
        return Ok(());
    }
    Err(VerbError::refused(format!(
        "the book begins on {}; there is no year to {} in it",
        show_day(book.first_day()),
        show_day(days.to)
    )))
}

/// What nobody explained yet would be closed in with everything else.
fn refuse_not_explained(book: &Book, days: DateRange) -> Result<(), VerbError> {
    let left = reports::left_in_year(book, days)?.not_explained_balance;
    if left.is_zero() {
        return Ok(());
    }
    Err(VerbError::refused(format!(
        "{} stands not yet explained at the end of {}; explain it, or close all the same with --unexplained and let the \
         pack say so",
        book.currency().show(left),
        show_day(days.to)
    )))
}

fn close_year(
    book: &mut Book,
    days: DateRange,
    is_unexplained_fine: bool,
) -> Result<Option<EntryNumber>, VerbError> {
    refuse_before_the_book(book, days)?;
    if !is_unexplained_fine {
        refuse_not_explained(book, days)?;
    }
    let balances = book.balances_to(days.to)?;
    let entry = match closing_entry(book.chart(), &balances, days) {
        Ok(entry) => Some(entry),
        Err(ClosingError::NothingToClose(_)) => None,
        Err(error) => return Err(VerbError::refused(error.to_string())),
    };
    Ok(book.close_year_with(entry.as_ref(), days)?)
}

/// Reopens the year that was closed last.
pub fn reopen(path: &Path, year: Option<i32>, reason: &str) -> Result<(), VerbError> {
    let number = with_book(path, |book| {
        let closed = book.lock_date().map(|lock| book.year_start().year_of(lock));
        if let (Some(year), Some(closed)) = (year, closed)
            && year != closed
        {
            return Err(VerbError::refused(format!(
                "the year that was closed last is {closed}; {year} can be reopened after it"
            )));
        }
        Ok(book.reopen(reason)?)
    })?;
    print(&match number {
        Some(number) => {
            format!("The year is open again; entry {number} takes its closing entry back.")
        }
        None => "The year is open again.".to_owned(),
    })
}

/// Where the archive of a pack lies.
fn archive_of(folder: &Path) -> PathBuf {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    folder.with_file_name(format!("{name}.zip"))
}

/// Holds a pack against its list of files, and against a book where one is given.
pub fn verify(folder: &Path, book: Option<&Path>, json: bool) -> Result<(), VerbError> {
    let book = book.map(open_book).transpose()?;
    let found = hold_against(folder, book.as_ref())?;
    if json {
        print_json(&found)?;
    } else {
        for proven in &found.proven {
            print(&format!("Holds: {proven}."))?;
        }
    }
    match found.faults.as_slice() {
        [] => Ok(()),
        faults => Err(VerbError::refused(format!(
            "the pack does not hold: {}",
            faults.join("; ")
        ))),
    }
}

#[derive(Serialize)]
struct PackJson {
    folder: String,
    from: NaiveDate,
    to: NaiveDate,
    closed: bool,
    open: Vec<String>,
    ties: Vec<TieJson>,
    files: Vec<FileJson>,
}

#[derive(Serialize)]
struct TieJson {
    what: String,
    agreed: bool,
}

#[derive(Serialize)]
struct FileJson {
    file: String,
    bytes: usize,
    sha256: String,
}

/// Writes a year's folder, after closing the year when asked: both or neither.
pub fn year_end(
    path: &Path,
    year: i32,
    out: &Path,
    is_closing: bool,
    json: bool,
    today: NaiveDate,
) -> Result<(), VerbError> {
    let mut pack = with_book(path, |book| {
        let days = book.year_start().year_ending_in(year);
        refuse_before_the_book(book, days)?;
        let watch = &mut |_done, _whole| true;
        if !is_closing || book.closing_entry_of(days)?.is_some() {
            return Ok(make(book, year, out, today, watch)?);
        }
        book.group(
            &format!("Year {year} closed and its pack written"),
            |book| {
                close_year(book, days, false)?;
                Ok::<Pack, VerbError>(make(book, year, out, today, watch)?)
            },
        )
    })?;
    if is_closing && pack.year.to >= today {
        pack.open.push(format!(
            "the year runs to {} and was closed early: its remaining days are locked; deckle reopen opens them again",
            show_day(pack.year.to)
        ));
    }
    if json {
        return print_json(&PackJson {
            folder: out.display().to_string(),
            from: pack.year.from,
            to: pack.year.to,
            closed: is_closing,
            open: pack.open,
            ties: pack
                .ties
                .into_iter()
                .map(|tie| TieJson {
                    agreed: tie.agrees(),
                    what: tie.what,
                })
                .collect(),
            files: pack
                .files
                .into_iter()
                .map(|file| FileJson {
                    file: file.name,
                    bytes: file.bytes,
                    sha256: file.sha256,
                })
                .collect(),
        });
    }
    let mut text = format!(
        "The year {} to {} is in {}: {}; begin with year-end-{year}.pdf. The same as one file: {}.",
        show_day(pack.year.from),
        show_day(pack.year.to),
        out.display(),
        counted(pack.files.len(), "file", "files"),
        archive_of(out).display()
    );
    let n_ties = pack.ties.len();
    let n_agreed = pack.ties.iter().filter(|tie| tie.agrees()).count();
    text.push_str(&format!("\nWhat must agree: {n_agreed} of {n_ties} agree."));
    for point in &pack.open {
        text.push_str("\nStill open: ");
        text.push_str(point);
    }
    print(&text)
}
