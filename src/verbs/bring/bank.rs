//! Statements of banks and cards: what their options answer, and how a file is understood, shown without bringing it.
//! Reading the file is `import::bank`'s.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::Args;

use super::super::entry::account;
use super::super::outcome::{print, print_json};
use super::super::{VerbError, with_book};
use super::{BringArgs, Done};
use crate::bank::{ColumnRole, DateOrder, SignRule, StatementHead, StatementLine};
use crate::book::Book;
use crate::export::{counted, json, tables};
use crate::import;
use crate::import::bank::{Answers, BringError, Look, StatementError, look_for, read};
use crate::ledger::AccountId;
use crate::money::Currency;

/// What can be said about a statement file beforehand.
#[derive(Debug, Default, Args)]
pub struct BankArgs {
    /// A statement's account, by number or name
    #[arg(long)]
    pub account: Option<String>,
    /// Show how the file of a bank or shop is understood and bring nothing
    #[arg(long)]
    pub preview: bool,
    /// In which order the file writes days: dmy, mdy or ymd
    #[arg(long, value_name = "ORDER", value_parser = date_order)]
    pub dates: Option<DateOrder>,
    /// What a statement's positive amounts are: as-written (money in) or charges-positive
    #[arg(long, value_name = "RULE", value_parser = sign_rule)]
    pub sign: Option<SignRule>,
    /// The kept layout to read the file by, or the name for a new one
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// What the file's columns hold: a statement's as "date=Day,amount=Sum,text=Purpose", a column without a name being
    /// #1, #2 ...; a shop's as "order=Order No,date=Sold on,price=Item price"
    #[arg(long, value_name = "COLUMNS")]
    pub columns: Option<String>,
    /// What parts a statement's cells: comma, semicolon, tab or pipe
    #[arg(long, value_name = "WHICH", value_parser = separator)]
    pub separator: Option<char>,
    /// A statement's encoding, as windows-1252
    #[arg(long, value_name = "LABEL")]
    pub encoding: Option<String>,
    /// The file's decimal mark: point or comma
    #[arg(long, value_name = "MARK", value_parser = decimal_mark)]
    pub decimal: Option<char>,
    /// The row of a statement's header; 0 when it has none
    #[arg(long, value_name = "ROW")]
    pub header_row: Option<u64>,
    /// Which account of a statement file with several, as the file names it
    #[arg(long, value_name = "NAME")]
    pub statement_account: Option<String>,
}

fn date_order(text: &str) -> Result<DateOrder, String> {
    DateOrder::of_word(text).ok_or_else(|| "use dmy, mdy or ymd".to_owned())
}

fn sign_rule(text: &str) -> Result<SignRule, String> {
    SignRule::of_word(text).ok_or_else(|| "use as-written or charges-positive".to_owned())
}

fn separator(text: &str) -> Result<char, String> {
    match text {
        "comma" | "," => Ok(','),
        "semicolon" | ";" => Ok(';'),
        "tab" | "\t" => Ok('\t'),
        "pipe" | "|" => Ok('|'),
        _ => Err("use comma, semicolon, tab or pipe".to_owned()),
    }
}

fn decimal_mark(text: &str) -> Result<char, String> {
    match text {
        "point" | "." => Ok('.'),
        "comma" | "," => Ok(','),
        _ => Err("use point or comma".to_owned()),
    }
}

fn columns(text: &str) -> Result<Vec<(ColumnRole, String)>, String> {
    let mut list = Vec::new();
    for part in text.split(',') {
        let (role, name) = part
            .split_once('=')
            .ok_or_else(|| format!("'{part}' is not like date=Day"))?;
        let role = ColumnRole::of_word(role.trim()).ok_or_else(|| {
            let known: Vec<&str> = ColumnRole::ALL.iter().map(|role| role.as_str()).collect();
            format!("'{}' is not one of {}", role.trim(), known.join(", "))
        })?;
        list.push((role, name.trim().to_owned()));
    }
    Ok(list)
}

impl BankArgs {
    /// What was answered.
    ///
    /// # Errors
    /// When the columns cannot be meant.
    fn answers(&self, today: NaiveDate) -> Result<Answers, VerbError> {
        let columns = match &self.columns {
            Some(text) => {
                columns(text).map_err(|error| VerbError::Usage(format!("--columns: {error}")))?
            }
            None => Vec::new(),
        };
        Ok(Answers {
            dates: self.dates,
            sign: self.sign,
            columns,
            separator: self.separator,
            encoding: self.encoding.clone(),
            decimal_mark: self.decimal,
            header_row: self.header_row,
            statement_account: self.statement_account.clone(),
            layout: self.layout.clone(),
            is_card: false,
            today: Some(today),
        })
    }
}

impl From<BringError> for VerbError {
    fn from(error: BringError) -> Self {
        Self::refused(error.to_string())
    }
}

impl From<StatementError> for VerbError {
    fn from(error: StatementError) -> Self {
        Self::refused(error.to_string())
    }
}

/// Shows how a statement file is understood; the book stays as it is.
///
/// # Errors
/// When the file cannot be read as a statement of the account, or leaves something open.
pub(super) fn preview(args: &BringArgs, today: NaiveDate) -> Result<(), VerbError> {
    let Some(named) = &args.bank.account else {
        return Err(VerbError::Usage(
            "say which account the statement is of with --account".to_owned(),
        ));
    };
    let (mut file, name) = opened(args.one_file()?)?;
    let (seen, currency) = with_book(&args.book, |book| {
        let id = account(book, named)?;
        let answers = args.bank.answers(today)?;
        let seen = look_for(book, id, &mut file, &name, &answers)?;
        Ok((seen, book.currency().clone()))
    })?;
    if let Some(question) = seen.questions.first() {
        if args.json {
            write_json(&name, &seen, &seen.head, &currency, |_row| Ok(()))?;
        }
        return Err(VerbError::refused(format!("{name}: {question}")));
    }
    // Once to see that every line is sound, so that nothing is printed of a file that is not.
    let head = read::<StatementError>(&mut file, &name, &seen, &currency, &mut |_line| Ok(()))?;
    if args.json {
        return write_json(&name, &seen, &head, &currency, |row| {
            read::<Shown>(&mut file, &name, &seen, &currency, &mut |line| {
                row(&line).map_err(Shown::Output)
            })
            .map(|_head| ())
        });
    }
    let mut text = tables::statement_head(&name, &head, &currency);
    read::<StatementError>(&mut file, &name, &seen, &currency, &mut |line| {
        text.push_str(&tables::statement_line(&line, &currency));
        Ok(())
    })?;
    print(&text)
}

/// Brings statements of an account in, each file whole or not at all; a folder stands for the files in it. Whatever
/// was good before a file that is refused stays.
///
/// # Errors
/// Of the first file that cannot be brought in.
pub(super) fn bring(args: &BringArgs, today: NaiveDate) -> Result<(), VerbError> {
    let Some(named) = &args.bank.account else {
        return Err(VerbError::Usage(
            "say which account the statement is of with --account".to_owned(),
        ));
    };
    let paths = files_of(&args.file)?;
    let answers = args.bank.answers(today)?;
    let mut done = Vec::new();
    let ended = with_book(&args.book, |book| {
        let id = account(book, named)?;
        for path in &paths {
            match bring_one(book, id, path, &answers, args.again) {
                Ok(one) => done.push(one),
                Err(error) => return Ok(Some(error)),
            }
        }
        Ok(None)
    })?;
    if !done.is_empty() {
        if args.json {
            match done.as_slice() {
                [one] => print_json(one)?,
                several => print_json(&several)?,
            }
        } else {
            let sentences: Vec<String> = done.iter().map(Done::sentence).collect();
            print(&sentences.join("\n"))?;
        }
    }
    ended.map_or(Ok(()), Err)
}

/// The files meant: those of a folder by name, its own folders and hidden files left away.
fn files_of(given: &[PathBuf]) -> Result<Vec<PathBuf>, VerbError> {
    let mut paths = Vec::new();
    for path in given {
        if !path.is_dir() {
            paths.push(path.clone());
            continue;
        }
        let unreadable = |error: io::Error| {
            VerbError::refused(format!("{}: it cannot be read: {error}", path.display()))
        };
        let mut inside = Vec::new();
        for entry in std::fs::read_dir(path).map_err(unreadable)? {
            let entry = entry.map_err(unreadable)?.path();
            let is_hidden = entry
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with('.'));
            if entry.is_file() && !is_hidden {
                inside.push(entry);
            }
        }
        inside.sort();
        if inside.is_empty() {
            return Err(VerbError::refused(format!(
                "{}: there is no file in this folder",
                path.display()
            )));
        }
        paths.extend(inside);
    }
    Ok(paths)
}

fn bring_one(
    book: &mut Book,
    id: AccountId,
    path: &Path,
    answers: &Answers,
    again: bool,
) -> Result<Done, VerbError> {
    let (mut file, name) = opened(path)?;
    let outcome = import::bank::bring(book, id, &mut file, &name, answers, again)?;
    let brought = outcome.brought;
    let mut notes = outcome.head.notes.clone();
    if brought.n_new < brought.n_lines {
        notes.push(format!(
            "{} of its {} lines were in the book already.",
            brought.n_lines - brought.n_new,
            brought.n_lines
        ));
    }
    if let Some(layout) = &outcome.kept_layout {
        notes.push(format!(
            "How it is laid out is kept as '{layout}' and recognised next time."
        ));
    }
    let (to_sort, _oldest) = book.count_lines_to_sort(Some(id))?;
    if to_sort > 0 {
        notes.push(format!(
            "{} of {} to sort: deckle sort.",
            counted(to_sort, "line", "lines"),
            book.chart().title(id)
        ));
    }
    Ok(Done {
        file: name,
        kind: "bank".to_owned(),
        count: brought.n_new,
        entries: Vec::new(),
        notes,
    })
}

/// A file and its name without its folder.
fn opened(path: &Path) -> Result<(File, String), VerbError> {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let file = File::open(path).map_err(|error| {
        let why = match error.kind() {
            io::ErrorKind::NotFound => "there is no such file".to_owned(),
            _ => format!("it cannot be read: {error}"),
        };
        VerbError::refused(format!("{}: {why}; nothing was changed", path.display()))
    })?;
    Ok((file, name))
}

/// Why showing lines ended early.
enum Shown {
    Statement(StatementError),
    Output(io::Error),
}

impl From<StatementError> for Shown {
    fn from(error: StatementError) -> Self {
        Self::Statement(error)
    }
}

/// Writes the preview as JSON, a row at a time, so that a long statement takes no room.
fn write_json(
    name: &str,
    seen: &Look,
    head: &StatementHead,
    currency: &Currency,
    rows: impl FnOnce(&mut dyn FnMut(&StatementLine) -> io::Result<()>) -> Result<(), Shown>,
) -> Result<(), VerbError> {
    let mut out = BufWriter::new(io::stdout().lock());
    let written = json::statement(&mut out, name, seen, head, currency, rows)
        .and_then(|()| out.flush().map_err(Shown::Output));
    written.map_err(|error| match error {
        Shown::Statement(error) => error.into(),
        Shown::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => {
            VerbError::NobodyListens
        }
        Shown::Output(error) => {
            VerbError::refused(format!("the output could not be written: {error}"))
        }
    })
}

impl From<io::Error> for Shown {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}
