//! Why a statement file could not be read: one sentence with file, row and column.
//! What can be answered instead of mended is a question, see `look`.

use super::super::Fault;
use super::Question;

/// Why a statement file could not be read. Nothing is left half done by the reader.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StatementError {
    /// Something in the file is wrong, or the file is not a statement.
    #[error("{0}")]
    Fault(Fault),
    /// Something cannot be known from the file and has not been answered.
    #[error("{file}: {question}")]
    Open {
        /// The file's name.
        file: String,
        /// What is asked.
        question: Box<Question>,
    },
    /// Whoever watched the reading asked for its end.
    #[error("reading the statement was stopped")]
    Stopped,
}

/// What makes faults that name the file.
#[derive(Clone, Copy, Debug)]
pub(in crate::import) struct File<'a>(pub(in crate::import) &'a str);

impl File<'_> {
    /// A fault of the file as a whole.
    pub(super) fn whole(self, message: impl Into<String>) -> StatementError {
        self.fault(None, None, message.into())
    }

    /// A fault of a row.
    pub(super) fn row(self, row: u64, message: impl Into<String>) -> StatementError {
        self.fault(Some(row), None, message.into())
    }

    /// A fault of a cell.
    pub(super) fn cell(self, row: u64, column: &str, message: impl Into<String>) -> StatementError {
        self.fault(Some(row), Some(column.to_owned()), message.into())
    }

    /// A fault of the file system, of the encoding or of a limit that stands behind a reader.
    pub(in crate::import) fn reading(self, error: &std::io::Error) -> StatementError {
        match error
            .get_ref()
            .and_then(|inner| inner.downcast_ref::<Halt>())
        {
            Some(Halt::Stopped) => StatementError::Stopped,
            Some(halt) => self.whole(halt.to_string()),
            None => self.whole(format!("the file cannot be read: {error}")),
        }
    }

    fn fault(self, row: Option<u64>, column: Option<String>, message: String) -> StatementError {
        StatementError::Fault(Fault {
            file: self.0.to_owned(),
            row,
            column,
            message,
        })
    }
}

/// Why a stream of bytes ended before its end.
#[derive(Clone, Debug, thiserror::Error)]
pub(super) enum Halt {
    /// Whoever watched asked for it.
    #[error("stopped")]
    Stopped,
    /// Bytes that the encoding does not have.
    #[error(
        "the file is not whole {encoding} text: it has bytes there that {encoding} does not have, within the first {before} bytes"
    )]
    NotText {
        /// The encoding's label.
        encoding: &'static str,
        /// How much had been read.
        before: u64,
    },
    /// One element or tag that goes on and on.
    #[error("one element of the file is longer than {0} bytes")]
    TooLong(usize),
}

impl From<Halt> for std::io::Error {
    fn from(halt: Halt) -> Self {
        Self::other(halt)
    }
}

/// A cell as it is shown in a message: not endless, on one line.
pub(super) fn shown(text: &str) -> String {
    let mut out: String = text
        .trim()
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(60)
        .collect();
    if text.trim().chars().nth(60).is_some() {
        out.push('\u{2026}');
    }
    out
}
