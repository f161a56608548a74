//! A shop's file cut into a header and rows of text. What a cell means is the layout's.

use std::io::Cursor;

use crate::import::Faults;
use crate::import::bank::StatementError;
use crate::import::bank::decoding::{decoded, detect};
use crate::import::bank::fault::File;
use crate::import::bank::records::{Record, Records};
use crate::import::bank::separated::SEPARATORS;
use crate::shops::{ColumnMeaning, ShopLayout};

/// A shop's file as rows of text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopTable {
    /// The file's name, without its folder.
    pub file: String,
    /// Its header.
    pub header: Vec<String>,
    /// Its rows, each with its number; the header is row 1.
    pub rows: Vec<(u64, Vec<String>)>,
}

impl ShopTable {
    /// Reads a file in any encoding, its cells parted by whatever parts its first row best. The first row is the
    /// header; rows of nothing are passed over.
    ///
    /// # Errors
    /// When it has no header, or cannot be read as rows of text.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Faults> {
        let mut best = (0, ',');
        for separator in SEPARATORS {
            let first = rows(file, bytes, separator, 1).unwrap_or_default();
            let cells = first.first().map_or(0, Record::filled);
            if cells > best.0 {
                best = (cells, separator);
            }
        }
        let mut table = Self {
            file: file.to_owned(),
            ..Self::default()
        };
        let records = rows(file, bytes, best.1, usize::MAX);
        for record in records.map_err(|error| faults(file, &error))? {
            let cells = record.cells().into_iter();
            let cells: Vec<String> = cells.map(|cell| cell.trim().to_owned()).collect();
            if table.header.is_empty() {
                table.header = cells;
            } else {
                table.rows.push((record.row, cells));
            }
        }
        if table.header.is_empty() {
            let mut faults = Faults::new(file);
            faults.file("the file is empty; its first row must name the columns");
            return Err(faults);
        }
        Ok(table)
    }

    /// The places of the columns of a meaning.
    pub(super) fn places(&self, layout: &ShopLayout, meaning: ColumnMeaning) -> Vec<usize> {
        let named = |name: &String| layout.meaning(name) == Some(meaning);
        let mut places = Vec::new();
        for (place, name) in self.header.iter().enumerate() {
            // Of two columns with the same header the first is meant.
            if named(name) && !self.header[..place].contains(name) {
                places.push(place);
            }
        }
        places
    }
}

/// The cell at a place, empty where the row ends before it.
pub(super) fn cell(cells: &[String], place: usize) -> &str {
    cells.get(place).map(String::as_str).unwrap_or_default()
}

/// The first so many rows that hold something.
fn rows(
    file: &str,
    bytes: &[u8],
    separator: char,
    at_most: usize,
) -> Result<Vec<Record>, StatementError> {
    let file = File(file);
    let mut source = Cursor::new(bytes);
    let encoding = detect(&mut source).map_err(|error| file.reading(&error))?;
    let text = decoded(&mut source, encoding).map_err(|error| file.reading(&error))?;
    let mut records = Records::new(text, file, separator);
    let mut rows = Vec::new();
    let mut record = Record::default();
    while rows.len() < at_most && records.read(&mut record)? {
        if !record.is_blank() {
            rows.push(record.clone());
        }
    }
    Ok(rows)
}

/// What a reader of rows found wrong.
fn faults(file: &str, error: &StatementError) -> Faults {
    let mut faults = Faults::new(file);
    match error {
        StatementError::Fault(fault) => match fault.row {
            Some(row) => faults.row(row, &fault.message),
            None => faults.file(&fault.message),
        },
        other => faults.file(other.to_string()),
    }
    faults
}
