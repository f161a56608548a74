//! Verbs about the file as a whole: a new book, its settings, writing it out, checking it, copying it.

use std::path::Path;

use serde::Serialize;

use super::args::{CostingArg, NewArgs, PracticeArgs};
use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::{Book, NewBook, practice_beside};
use crate::dates::YearStart;
use crate::export::counted;
use crate::export::written_out;
use crate::money::Currency;
use crate::stock::CostMethod;

/// Makes a new book.
pub fn new(args: &NewArgs) -> Result<(), VerbError> {
    let currency = Currency::from_code(&args.currency)
        .map_err(|error| VerbError::Usage(format!("--currency: {error}")))?;
    let mut new = NewBook::new(currency, args.first_day);
    new.year_start = YearStart::new(args.year_starts).unwrap_or_default();
    new.costing = match args.costing {
        CostingArg::Average => CostMethod::Average,
        CostingArg::Fifo => CostMethod::Fifo,
    };
    new.business_name.clone_from(&args.name);
    Book::create(&args.book, &new)?.close()?;
    print(&format!(
        "{} is a new book in {} from {}.",
        args.book.display(),
        new.currency.code(),
        args.first_day
    ))
}

/// Changes settings, all or none.
pub fn set(path: &Path, settings: &[String]) -> Result<(), VerbError> {
    let mut changes = Vec::new();
    for setting in settings {
        let Some((key, value)) = setting.split_once('=') else {
            return Err(VerbError::Usage(format!(
                "'{setting}' is not KEY=VALUE; nothing was changed"
            )));
        };
        changes.push((key.trim(), value.trim()));
    }
    with_book(path, |book| Ok(book.set_settings(&changes)?))?;
    let lines: Vec<String> = changes
        .iter()
        .map(|(key, value)| match *value {
            "" => format!("{key} is taken back"),
            value => format!("{key} = {value}"),
        })
        .collect();
    print(&lines.join("\n"))
}

/// Writes the whole book as sheets and receipts.
pub fn write_out(path: &Path, folder: &Path) -> Result<(), VerbError> {
    let book = open_book(path)?;
    let files = written_out::write_out(&book, folder)?;
    print(&format!(
        "{} written into {}; deckle bring BOOK written-out {} reads them into a new book.",
        counted(files.len(), "file", "files"),
        folder.display(),
        folder.display()
    ))
}

#[derive(Serialize)]
struct CheckJson {
    sound: bool,
    entries: u64,
    faults: Vec<FaultJson>,
}

#[derive(Serialize)]
struct FaultJson {
    part: &'static str,
    entry: Option<u64>,
    what: String,
}

/// Checks the book and names each fault.
pub fn check(path: &Path, json: bool) -> Result<(), VerbError> {
    let book = open_book(path)?;
    let faults = book.check()?;
    let entries = book.entry_count()?;
    if json {
        print_json(&CheckJson {
            sound: faults.is_empty(),
            entries,
            faults: faults
                .iter()
                .map(|fault| FaultJson {
                    part: fault.part,
                    entry: fault.entry.map(|number| number.0),
                    what: fault.what.clone(),
                })
                .collect(),
        })?;
    }
    if !faults.is_empty() {
        return Err(VerbError::Refused(
            faults.iter().map(ToString::to_string).collect(),
        ));
    }
    if json {
        return Ok(());
    }
    print(&format!(
        "{} is sound: {}, the history is whole, the sums and receipts agree.",
        path.display(),
        counted(entries, "entry balances", "entries balance")
    ))
}

/// Copies the book and opens the copy to be sure.
pub fn backup(path: &Path, to: Option<&Path>) -> Result<(), VerbError> {
    let book = open_book(path)?;
    let copy = match to {
        Some(to) => {
            book.backup_to(to)?;
            to.to_owned()
        }
        None => book.back_up_beside(chrono::Local::now().naive_local())?,
    };
    let what = if book.is_practice() {
        "a copy of the practice copy and no backup of the real book"
    } else {
        "a copy of the book"
    };
    print(&format!(
        "{} is {what}; it was opened and found whole.",
        copy.display()
    ))
}

#[derive(Serialize)]
struct PracticeJson {
    practice: bool,
    of: String,
    file: String,
}

/// Makes a practice copy.
pub fn practice(args: &PracticeArgs) -> Result<(), VerbError> {
    let book = open_book(&args.book)?;
    let to = args
        .to
        .clone()
        .unwrap_or_else(|| practice_beside(&args.book));
    book.make_practice_copy(&to, args.afresh)
        .map_err(|error| match error {
            crate::book::BookError::Refused(words) if !args.afresh && to.exists() => {
                VerbError::refused(format!("{words}; --afresh does that"))
            }
            other => other.into(),
        })?;
    if args.json {
        return print_json(&PracticeJson {
            practice: true,
            of: args.book.display().to_string(),
            file: to.display().to_string(),
        });
    }
    print(&format!(
        "{} is a practice copy of {}. Whatever is done in it, the real book stays as it is; the copy says everywhere \
         that it is one.",
        to.display(),
        args.book.display()
    ))
}
