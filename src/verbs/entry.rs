//! Verbs about entries that are there: amending, taking back, receipts, moving a kind of thing.

use std::path::Path;

use chrono::NaiveDate;

use super::args::{AmendArgs, ReclassifyArgs};
use super::bring::{context, read_file};
use super::outcome::print;
use super::{VerbError, with_book};
use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::export::counted;
use crate::import::{self, Sheet, layouts};
use crate::ledger::{AccountId, EntryNumber, JournalEntry};

/// Keeps a receipt beside an entry.
pub fn attach(path: &Path, entry: u64, file: &Path) -> Result<(), VerbError> {
    let bytes = read_file(file)?;
    let name = file
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    with_book(path, |book| {
        book.attach_receipt(EntryNumber(entry), &name, &bytes)?;
        Ok(())
    })?;
    print(&format!("{name} is kept with entry {entry}."))
}

/// Changes an entry; its earlier version stays in the history.
pub fn amend(args: &AmendArgs) -> Result<(), VerbError> {
    let number = EntryNumber(args.entry);
    let sheet = args
        .lines
        .as_deref()
        .map(|file| Ok::<_, VerbError>((file, read_file(file)?)));
    let sheet = sheet.transpose()?;
    with_book(&args.book, |book| {
        let mut entry = book.entry(number)?.entry;
        if let Some((file, bytes)) = &sheet {
            entry = with_lines_of(book, &entry, file, bytes)?;
        }
        let header = &mut entry.header;
        if let Some(date) = args.date {
            header.date = date;
        }
        for (given, place) in [
            (&args.party, &mut header.party),
            (&args.memo, &mut header.memo),
            (&args.reference, &mut header.reference),
        ] {
            if let Some(given) = given {
                given.clone_into(place);
            }
        }
        book.amend(number, &entry, &args.reason)?;
        Ok(())
    })?;
    print(&format!(
        "Entry {number} is amended; its earlier version is kept."
    ))
}

/// The entry with the lines of the one entry that a sheet holds.
fn with_lines_of(
    book: &Book,
    entry: &JournalEntry,
    file: &Path,
    bytes: &[u8],
) -> Result<JournalEntry, VerbError> {
    let name = file
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let sheet = Sheet::read(&name, bytes, &layouts::ENTRIES)?;
    let rows = import::entries(&sheet, context(book))?;
    let [row] = rows.as_slice() else {
        return Err(VerbError::refused(format!(
            "{name}: it holds {} entries; new lines come as one",
            rows.len()
        )));
    };
    let lines = row.recording.entry.lines().to_vec();
    JournalEntry::new(entry.header.clone(), lines)
        .map_err(|error| VerbError::refused(error.to_string()))
}

/// Takes an entry back.
pub fn reverse(
    path: &Path,
    entry: u64,
    reason: &str,
    on: Option<NaiveDate>,
) -> Result<(), VerbError> {
    let number = EntryNumber(entry);
    let (mirror, releases) = with_book(path, |book| {
        let releases = book.releases_of(number)?;
        let date = match on {
            Some(date) => date,
            None => book.entry(number)?.entry.header.date,
        };
        Ok((book.reverse(number, date, reason)?, releases))
    })?;
    let with_it = match releases.as_slice() {
        [] => String::new(),
        [one] => format!(" Entry {one}, a part of it that was a cost already, is taken back too."),
        [first, .., last] => format!(
            " What it paid ahead and was a cost already, {} from {first} to {last}, is taken back too.",
            counted(releases.len(), "entry", "entries")
        ),
    };
    print(&format!(
        "Entry {mirror} takes back entry {number}.{with_it}"
    ))
}

/// Moves lines of one account to another.
pub fn reclassify(args: &ReclassifyArgs) -> Result<(), VerbError> {
    let done = with_book(&args.book, |book| {
        let from = account(book, &args.from)?;
        let to = account(book, &args.to)?;
        let range = match (args.since, args.until) {
            (None, None) => None,
            (since, until) => Some(
                DateRange::new(
                    since.unwrap_or_else(|| book.first_day()),
                    until.unwrap_or(NaiveDate::MAX),
                )
                .ok_or_else(|| VerbError::Usage("--until lies before --since".to_owned()))?,
            ),
        };
        let filter = EntryFilter {
            range,
            text: args.text.clone().unwrap_or_default(),
            party: args.party.clone(),
            ..EntryFilter::default()
        };
        Ok(book.reclassify(from, to, &filter, &args.reason)?)
    })?;
    print(&format!(
        "{} moved; {} left alone as locked or taken back.",
        counted(done.moved.len(), "entry", "entries"),
        done.left.len()
    ))
}

/// The account of a number or name given on the command line.
pub fn account(book: &Book, text: &str) -> Result<AccountId, VerbError> {
    book.chart()
        .find(text)
        .map(|account| account.id)
        .map_err(|error| VerbError::refused(error.to_string()))
}
