//! Why a file or folder could not be written.

use std::path::{Path, PathBuf};

use crate::book::BookError;
use crate::reports::ReportError;

/// What went wrong on the way out. Whatever was there before is still there.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The folder has something in it.
    #[error("the folder is not empty and was left alone: {}", .0.display())]
    NotEmpty(PathBuf),
    /// The system refused a file.
    #[error("{} could not be written: {source}; nothing was left behind", path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The book refused.
    #[error(transparent)]
    Book(#[from] BookError),
    /// A page to read could not be made.
    #[error("the page could not be made: {0}; nothing was left behind")]
    Pdf(String),
    /// Something is in the archive's place.
    #[error("there is a file already and it was left alone: {}", .0.display())]
    Taken(PathBuf),
    /// The work was stopped.
    #[error("stopped; nothing was left behind")]
    Stopped,
    /// The figures refused.
    #[error("{0}")]
    Figures(String),
}

impl ExportError {
    /// An error of the system about a path.
    #[must_use]
    pub fn io(path: &Path, source: std::io::Error) -> Self {
        Self::Io {
            path: path.to_owned(),
            source,
        }
    }
}

impl From<ReportError> for ExportError {
    fn from(error: ReportError) -> Self {
        match error {
            ReportError::Book(error) => Self::Book(error),
            other => Self::Figures(other.to_string()),
        }
    }
}

impl From<csv::Error> for ExportError {
    fn from(error: csv::Error) -> Self {
        Self::Figures(format!("a sheet could not be written: {error}"))
    }
}
