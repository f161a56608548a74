//! The headless verbs: thin over the library, for scripts, tests and machines without a display.
//! Start reading at [`run`]; the command line is `args`, what a verb prints and how it ends is `outcome`.

mod adjusting;
mod args;
mod bring;
mod catching_up;
mod closing_down;
mod deciding;
mod demo;
mod desk;
mod entry;
mod equipment;
mod file;
mod free;
mod going_on;
mod log;
mod month;
mod outcome;
mod profit;
mod reconcile;
mod recur;
mod show;
mod sort;
mod what;
mod year;
mod years;

use std::ffi::OsString;
use std::path::Path;

use chrono::NaiveDate;
use clap::Parser;

use crate::book::Book;
use crate::dates::Month;
use args::{CommandLine, Verb};
pub use bring::bring_written_out;
pub use demo::{build_sample, fresh_sample};
pub use outcome::VerbError;

/// Opens the window on a book, or on the first-run page, and returns when it is closed.
/// The sample's name says that the book may be thrown away.
pub type OpenWindow = fn(Option<&Path>) -> Result<(), String>;

/// Does what the arguments ask and returns the exit code: 0 done, 1 the data says no, 2 the command cannot be meant.
#[must_use]
pub fn run(arguments: impl IntoIterator<Item = OsString>, window: Option<OpenWindow>) -> u8 {
    outcome::begin();
    let line = match CommandLine::try_parse_from(arguments) {
        Ok(line) => line,
        Err(error) if !error.use_stderr() => {
            // Help and version come this way and belong on standard output.
            let _nobody_listens = error.print();
            return 0;
        }
        Err(error) => {
            VerbError::Usage(first_sentence(&error)).say();
            return 2;
        }
    };
    match act(line, window) {
        Ok(()) => 0,
        Err(error) => {
            error.say();
            error.code()
        }
    }
}

/// What is wrong with a command line, on one line; the rest of what clap says is its help.
fn first_sentence(error: &clap::Error) -> String {
    let text = error.render().to_string();
    let words: Vec<&str> = text
        .trim_start_matches("error: ")
        .lines()
        .take_while(|line| !line.trim().is_empty())
        .map(str::trim)
        .collect();
    format!("{}; see deckle --help", words.join(" "))
}

fn act(line: CommandLine, window: Option<OpenWindow>) -> Result<(), VerbError> {
    let Some(verb) = line.verb else {
        return open_window(line.book.as_deref(), window);
    };
    match verb {
        Verb::Demo { out, no_window } => {
            let window = window.filter(|_| !no_window && has_display());
            demo::demo(out.as_deref(), window, today())
        }
        Verb::New(args) => file::new(&args),
        Verb::Set { book, settings } => file::set(&book, &settings),
        Verb::Bring(args) => bring::bring(&args, today()),
        Verb::WriteOut { book, folder } => file::write_out(&book, &folder),
        Verb::Show(args) => show::show(&args, today()),
        Verb::YearEnd {
            book,
            year,
            out,
            close,
            json,
        } => years::year_end(&book, year, &out, close, json, today()),
        Verb::Verify { folder, book, json } => years::verify(&folder, book.as_deref(), json),
        Verb::Check { book, json } => file::check(&book, json),
        Verb::Practice(args) => file::practice(&args),
        Verb::Invoice { book, number, out } => going_on::invoice(&book, &number, &out),
        Verb::Backup { book, to } => file::backup(&book, to.as_deref()),
        Verb::Depreciate {
            book,
            through,
            propose,
            json,
        } => equipment::depreciate(&book, through, propose, json),
        Verb::Adjust {
            book,
            year,
            only,
            json,
        } => adjusting::adjust(&book, year, only.as_deref(), json),
        Verb::Release { book, through } => recur::release(&book, through),
        Verb::Reclassify(args) => entry::reclassify(&args),
        Verb::Attach { book, entry, file } => entry::attach(&book, entry, &file),
        Verb::Amend(args) => entry::amend(&args),
        Verb::Reverse {
            book,
            entry,
            reason,
            on,
        } => entry::reverse(&book, entry, &reason, on),
        Verb::Lock { book, through } => years::lock(&book, through),
        Verb::FinishMonth {
            book,
            month,
            open_again,
        } => month::finish(&book, month, open_again),
        Verb::Unlock { book, reason } => years::unlock(&book, &reason),
        Verb::Close {
            book,
            year,
            early,
            unexplained,
        } => years::close(&book, year, early, unexplained, today()),
        Verb::SettleOwner { book, on } => closing_down::settle_owner(&book, on),
        Verb::Reopen { book, year, reason } => years::reopen(&book, year, &reason),
        Verb::Recur(args) => recur::recur(&args, today()),
        Verb::Sort(args) => sort::sort(&args, today()),
        Verb::Reconcile(args) => reconcile::reconcile(&args, today()),
    }
}

fn open_window(book: Option<&Path>, window: Option<OpenWindow>) -> Result<(), VerbError> {
    let Some(window) = window else {
        return Err(VerbError::Usage(
            "this build has no window; see deckle --help for the verbs".to_owned(),
        ));
    };
    if !has_display() {
        return Err(VerbError::Usage(
            "there is no display for the window; see deckle --help for the verbs that need none"
                .to_owned(),
        ));
    }
    window(book).map_err(VerbError::refused)
}

/// Whether a window can be shown. Only on Unix can this be known before trying.
fn has_display() -> bool {
    if cfg!(any(windows, target_os = "macos")) {
        return true;
    }
    ["DISPLAY", "WAYLAND_DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}

fn today() -> NaiveDate {
    chrono::Local::now().date_naive()
}

/// Opens a book; what is printed from then on says when it is a practice copy.
fn open_book(path: &Path) -> Result<Book, VerbError> {
    let book = Book::open(path)?;
    outcome::working_on(&book);
    Ok(book)
}

/// Opens a book, lets the verb write, and closes it with a backup when something changed.
fn with_book<T>(
    path: &Path,
    act: impl FnOnce(&mut Book) -> Result<T, VerbError>,
) -> Result<T, VerbError> {
    let mut book = open_book(path)?;
    let done = act(&mut book);
    if let (Ok(_), Some(date)) = (&done, book.take_wrote_in_finished()) {
        let month = Month::of(date);
        outcome::note(&format!(
            "{month} is finished; this was written in it all the same, and the history says so"
        ));
    }
    // What was brought in may have made it a practice copy.
    outcome::working_on(&book);
    let closed = book.close();
    let value = done?;
    if let Err(error) = closed {
        // The change is safe in the book; only its copy is missing, which the owner should hear of.
        VerbError::refused(format!("done, but without a backup: {error}")).say();
    }
    Ok(value)
}
