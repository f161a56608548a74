//! The list of what is in a pack: each file with its SHA-256, the state of the book that it shows, and a seal over all of
//! it. Holding a pack against its list and its book is `verify`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::book::{Book, BookHead};
use crate::dates::DateRange;
use crate::export::ExportError;
use crate::export::folder::{WrittenFile, hex};

/// The name of the list within a pack.
pub const MANIFEST: &str = "manifest.json";

/// What is in a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// What this is, for whoever finds the file alone.
    pub about: String,
    /// The first day of the year.
    pub from: NaiveDate,
    /// Its last day.
    pub to: NaiveDate,
    /// The day of making that stands in the pack.
    pub made_on: NaiveDate,
    /// The state of the book.
    pub book: BookState,
    /// Every file but this one.
    pub files: Vec<ListedFile>,
    /// SHA-256 over all of the above.
    pub seal: String,
}

/// The state of a book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BookState {
    /// The last row of its history.
    pub history_row: i64,
    /// That row's seal, which rests on every row before it.
    pub history_head: String,
    /// A SHA-256 of all rows of each table.
    pub tables: BTreeMap<String, String>,
}

/// A file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListedFile {
    /// Its name within the pack.
    pub file: String,
    /// How many bytes it has.
    pub bytes: usize,
    /// Its SHA-256 in hexadecimal.
    pub sha256: String,
}

impl Manifest {
    /// The list of these files of this book, sealed.
    pub(super) fn new(
        book: &Book,
        head: &BookHead,
        days: DateRange,
        made_on: NaiveDate,
        files: &[WrittenFile],
    ) -> Result<Self, ExportError> {
        let mut manifest = Self {
            about: "A year-end pack: every file with its SHA-256, and the state of the book it was made from. \
                    'deckle verify FOLDER' holds the files against this list, 'deckle verify FOLDER --book BOOK' the \
                    book too."
                .to_owned(),
            from: days.from,
            to: days.to,
            made_on,
            book: BookState {
                history_row: head.seq,
                history_head: hex(&head.hash),
                tables: book.table_digests()?,
            },
            files: files
                .iter()
                .map(|file| ListedFile {
                    file: file.name.clone(),
                    bytes: file.bytes,
                    sha256: file.sha256.clone(),
                })
                .collect(),
            seal: String::new(),
        };
        manifest
            .files
            .sort_by(|one, other| one.file.cmp(&other.file));
        manifest.seal = manifest.sealed()?;
        Ok(manifest)
    }

    /// The seal that its contents ask for.
    pub(super) fn sealed(&self) -> Result<String, ExportError> {
        let unsealed = Self {
            seal: String::new(),
            ..self.clone()
        };
        let bytes = unsealed.bytes()?;
        Ok(hex(&Sha256::digest(bytes)))
    }

    /// The list as it is written.
    pub(super) fn bytes(&self) -> Result<Vec<u8>, ExportError> {
        let mut bytes = serde_json::to_vec_pretty(self)
            .map_err(|error| ExportError::Figures(error.to_string()))?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}
