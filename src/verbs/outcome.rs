//! How a verb ends: what it prints, what it says went wrong, and the exit code for either.
//! Nothing else writes to the terminal.

use std::cell::Cell;
use std::io::{self, Write};

use serde::Serialize;

use crate::book::{Book, BookError};
use crate::export::ExportError;
use crate::import::Faults;
use crate::reports::ReportError;

/// Why a verb did not do what was asked. The book is as it was.
#[derive(Debug)]
pub enum VerbError {
    /// The data says no: exit code 1. One line each.
    Refused(Vec<String>),
    /// The command cannot be meant: exit code 2.
    Usage(String),
    /// The terminal or pipe is gone: nobody is there to be told.
    NobodyListens,
}

impl VerbError {
    /// A refusal in one line.
    pub fn refused(message: impl Into<String>) -> Self {
        Self::Refused(vec![message.into()])
    }

    /// The exit code.
    #[must_use]
    pub const fn code(&self) -> u8 {
        match self {
            Self::Refused(_) => 1,
            Self::Usage(_) => 2,
            Self::NobodyListens => 0,
        }
    }

    /// The first line of it, as a window shows it.
    #[must_use]
    pub fn line(&self) -> String {
        match self {
            Self::Refused(lines) => lines.first().cloned().unwrap_or_default(),
            Self::Usage(line) => line.clone(),
            Self::NobodyListens => String::new(),
        }
    }

    /// Says it on standard error, each line after the program's name.
    pub fn say(&self) {
        let mut err = io::stderr().lock();
        let lines: Vec<&str> = match self {
            Self::Refused(lines) => lines.iter().map(String::as_str).collect(),
            Self::Usage(line) => vec![line],
            Self::NobodyListens => Vec::new(),
        };
        for line in lines {
            let line = line.replace(['\n', '\r'], " ");
            // When standard error is gone too there is nobody left to tell.
            let _nobody_left = writeln!(err, "deckle: {line}");
        }
    }
}

impl From<Faults> for VerbError {
    fn from(faults: Faults) -> Self {
        Self::Refused(faults.list().iter().map(ToString::to_string).collect())
    }
}

impl From<BookError> for VerbError {
    fn from(error: BookError) -> Self {
        Self::refused(error.to_string())
    }
}

impl From<ReportError> for VerbError {
    fn from(error: ReportError) -> Self {
        Self::refused(error.to_string())
    }
}

impl From<ExportError> for VerbError {
    fn from(error: ExportError) -> Self {
        Self::refused(error.to_string())
    }
}

/// Says something beside the answer on standard error, after the program's name.
pub fn note(words: &str) {
    // When standard error is gone there is nobody left to tell.
    let _nobody_left = writeln!(io::stderr().lock(), "deckle: note: {words}");
}

/// What a verb that works on a practice copy says before anything else.
const PRACTICE: &str = "PRACTICE COPY: what follows is not from the real book.";

thread_local! {
    // A verb works on one book and prints from many places; each of them says when it is a practice copy.
    static IS_PRACTICE: Cell<bool> = const { Cell::new(false) };
    static IS_SAID: Cell<bool> = const { Cell::new(false) };
}

/// A new command begins: no book is open yet.
pub fn begin() {
    IS_PRACTICE.set(false);
    IS_SAID.set(false);
}

/// From now on what is printed is of this book, and says so when it is a practice copy.
pub fn working_on(book: &Book) {
    IS_PRACTICE.set(book.is_practice());
}

/// Prints text as it is; before the first of a practice copy, that it is one.
///
/// # Errors
/// When nobody listens any more.
pub fn print(text: &str) -> Result<(), VerbError> {
    if IS_PRACTICE.get() && !IS_SAID.replace(true) {
        put(PRACTICE)?;
    }
    put(text)
}

fn put(text: &str) -> Result<(), VerbError> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| {
            if text.ends_with('\n') {
                Ok(())
            } else {
                out.write_all(b"\n")
            }
        })
        .and_then(|()| out.flush())
        .map_err(|error| match error.kind() {
            io::ErrorKind::BrokenPipe => VerbError::NobodyListens,
            _ => VerbError::refused(format!("the output could not be written: {error}")),
        })
}

/// Prints a value as JSON; of a practice copy with `"practice": true` in each object.
///
/// # Errors
/// When nobody listens any more.
pub fn print_json<T: Serialize>(value: &T) -> Result<(), VerbError> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| VerbError::refused(format!("the answer could not be written: {error}")))?;
    if IS_PRACTICE.get() {
        return put(&with_practice(&text));
    }
    put(&text)
}

/// Well-set JSON with a first key in the object, or in each object of a list.
fn with_practice(json: &str) -> String {
    if json.starts_with('[') {
        return json.replace("\n  {\n", "\n  {\n    \"practice\": true,\n");
    }
    json.replacen("{\n", "{\n  \"practice\": true,\n", 1)
}

#[cfg(test)]
mod tests {
    use super::with_practice;

    #[test]
    fn each_object_says_that_it_is_of_a_practice_copy() {
        let text = |value: &serde_json::Value| serde_json::to_string_pretty(value).expect("text");
        let one = serde_json::json!({"deep": {"of": "a\n  {\n"}, "rows": [{"n": 1}]});
        let marked: serde_json::Value =
            serde_json::from_str(&with_practice(&text(&one))).expect("still JSON");
        assert_eq!(marked["practice"], true);
        assert_eq!(marked["deep"], one["deep"]);
        assert_eq!(marked["rows"], one["rows"]);
        let several = serde_json::json!([{"n": 1}, {"n": 2, "in": [{"m": 3}]}]);
        let marked: serde_json::Value =
            serde_json::from_str(&with_practice(&text(&several))).expect("still JSON");
        assert_eq!(
            marked,
            serde_json::json!([{"practice": true, "n": 1}, {"practice": true, "n": 2, "in": [{"m": 3}]}])
        );
    }
}
