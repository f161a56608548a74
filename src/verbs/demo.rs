//! The sample book: in the window, or its statements on the terminal and its years' folders on the disk.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::bring::{Files, SHEETS_IN_ORDER, bring_files};
use super::outcome::print;
use super::{OpenWindow, VerbError};
use crate::book::{Book, BookError, NewBook};
use crate::dates::{YearStart, show_day};
use crate::export::{counted, tables, year_end};
use crate::import::{Sheet, layouts, settings};
use crate::ledger::Role;
use crate::money::Currency;
use crate::reports;

/// The sheets and receipts of the sample book, by their names within its folder.
mod sample {
    include!(concat!(env!("OUT_DIR"), "/sample.rs"));
}

/// Shows the sample book.
pub fn demo(
    out: Option<&Path>,
    window: Option<OpenWindow>,
    today: NaiveDate,
) -> Result<(), VerbError> {
    if let Some(window) = window {
        let book = fresh_sample()?;
        let path = book.path().to_owned();
        book.close()?;
        return window(Some(&path)).map_err(VerbError::refused);
    }
    let folder = match out {
        Some(folder) => folder.to_owned(),
        None => fresh_folder()?,
    };
    if folder.exists() && std::fs::read_dir(&folder).is_ok_and(|mut files| files.next().is_some()) {
        return Err(VerbError::refused(format!(
            "the folder is not empty and was left alone: {}",
            folder.display()
        )));
    }
    std::fs::create_dir_all(&folder).map_err(|error| {
        VerbError::refused(format!("{} cannot be made: {error}", folder.display()))
    })?;
    let path = folder.join("fernhollow.deckle");
    let mut book = build_sample(&path)?;
    let covered = book.days_covered()?;
    let years = book.year_start();
    let last = covered.map_or(today, |covered| covered.to);
    let first = covered.map_or(today, |covered| covered.from);
    let mut places = String::new();
    for year in years.year_of(first)..=years.year_of(last) {
        let pack = folder.join(format!("year-end-{year}"));
        year_end::make(&mut book, year, &pack, today, &mut |_done, _whole| true)?;
        let place = pack.display();
        places.push_str(&format!("The year-end pack of {year}: {place}\n"));
    }
    statements(&book, today)?;
    print(&format!(
        "{places}The sample book itself: {}\nEverything in it is invented.",
        path.display()
    ))
}

/// A fresh copy of the sample book in a folder of its own, open.
///
/// # Errors
/// When the system refuses.
pub fn fresh_sample() -> Result<Book, VerbError> {
    build_sample(&fresh_folder()?.join("Fernhollow Bindery (sample).deckle"))
}

fn statements(book: &Book, today: NaiveDate) -> Result<(), VerbError> {
    let currency = book.currency();
    let year = reports::usual_year(book, today)?;
    let last = book.days_covered()?.map_or(year.to, |covered| covered.to);
    print(&format!(
        "{}, a sample book of {} up to {}\n",
        book.settings().business_name(),
        counted(book.entry_count()?, "entry", "entries"),
        show_day(last)
    ))?;
    let profit = reports::profit(book, year)?;
    let before = reports::profit(book, year.a_year_before())?;
    let estimate = reports::estimate_of_year(book, book.year_start().year_of(year.to), None)?;
    for table in [
        tables::profit(&profit, Some(&before), book.chart(), currency),
        tables::balance(&reports::balance(book, last)?, currency),
        tables::capital(&reports::capital(book, year)?, currency),
        tables::channels(
            &reports::channels_that_moved(book, year, today)?,
            year,
            book.chart(),
        ),
        tables::equipment(&book.equipment()?, last, book.year_start()),
        tables::set_aside(&estimate, currency),
        tables::needs(&reports::open_needs(book, today)?, today),
    ] {
        print(&table.text(currency))?;
        print("")?;
    }
    Ok(())
}

/// Builds the sample book from its sheets, through the same door as any other sheet.
///
/// # Errors
/// When a file is there already, or the system refuses.
pub fn build_sample(path: &Path) -> Result<Book, VerbError> {
    let mut book = Book::create(path, &new_book()?)?;
    let files = Files::Within(sample::FILES);
    bring_files(&mut book, &files, SHEETS_IN_ORDER)?;
    reports::accept_covered(&mut book, None)?;
    agree_with_statements(&mut book)?;
    // Its first year is over and handed in; the second one is open.
    book.close_year(FIRST_YEAR)?;
    Ok(book)
}

/// The year of the sample that is closed.
const FIRST_YEAR: i32 = 2025;

/// The days at which the sample's owner brought her accounts into agreement; what came since is still to be sorted.
const AGREED: &[(Role, &str)] = &[
    (Role::BusinessBank, "2025-12-31"),
    (Role::BusinessBank, "2026-03-31"),
    (Role::BusinessBank, "2026-06-30"),
    (Role::BusinessBank, "2026-09-30"),
    (Role::CreditCard, "2025-12-31"),
    (Role::CreditCard, "2026-06-30"),
];

fn agree_with_statements(book: &mut Book) -> Result<(), VerbError> {
    for (role, day) in AGREED {
        let account = book.chart().role(*role).map_err(BookError::from)?;
        let day =
            crate::dates::parse_iso(day).map_err(|error| VerbError::refused(error.to_string()))?;
        // Without its statements the sample has nothing to agree with.
        let Some((on, balance)) = book.last_statement_balance(account, Some(day))? else {
            continue;
        };
        let id = book.begin_reconciliation(account, on, balance)?;
        book.finish_reconciliation(id, "")?;
    }
    Ok(())
}

/// What a new book is asked, from the sample's own settings.
fn new_book() -> Result<NewBook, VerbError> {
    let wrong = |what: &str| VerbError::refused(format!("the sample's settings lack {what}"));
    let currency =
        |code: &str| Currency::from_code(code).map_err(|_unreadable| wrong("their currency"));
    let bytes = sample::FILES
        .iter()
        .find(|(name, _bytes)| *name == "settings.csv")
        .map(|(_name, bytes)| *bytes)
        .ok_or_else(|| wrong("their sheet"))?;
    let sheet = Sheet::read("settings.csv", bytes, &layouts::SETTINGS)?;
    let rows = settings(&sheet, &currency("USD")?)?;
    let value = |key: &str| {
        rows.iter()
            .find(|row| row.key == key)
            .map(|row| row.value.as_str())
            .unwrap_or_default()
    };
    let first_day =
        crate::dates::parse_iso(value("first_day")).map_err(|_unreadable| wrong("a first day"))?;
    let mut new = NewBook::new(currency(value("currency"))?, first_day);
    new.year_start = value("year_starts")
        .parse()
        .ok()
        .and_then(YearStart::new)
        .unwrap_or_default();
    value("business_name").clone_into(&mut new.business_name);
    Ok(new)
}

/// A folder of our own among the system's temporary files.
fn fresh_folder() -> Result<PathBuf, VerbError> {
    let parent = std::env::temp_dir();
    let now = chrono::Local::now().format("%Y%m%d-%H%M%S");
    for attempt in 0..100_u32 {
        let folder = parent.join(format!(
            "deckle-demo-{now}-{}-{attempt}",
            std::process::id()
        ));
        match std::fs::create_dir(&folder) {
            Ok(()) => return Ok(folder),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => {
                return Err(VerbError::refused(format!(
                    "{} cannot be made: {error}",
                    folder.display()
                )));
            }
        }
    }
    Err(VerbError::refused(format!(
        "no folder could be made in {}",
        parent.display()
    )))
}
