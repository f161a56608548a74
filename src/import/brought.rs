//! A recording that a sheet gave, with the row it came from.

use super::Rows;
use crate::happenings::Recording;
use crate::ledger::Origin;

/// A recording that a sheet gave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Brought {
    /// Its first row.
    pub row: u64,
    /// What it leaves in the book.
    pub recording: Recording,
}

impl Brought {
    /// A recording of the row at this position, which becomes the entry's origin.
    pub(super) fn of(rows: &mut Rows<'_>, idx: usize, mut recording: Recording) -> Self {
        let row = rows.at(idx).map_or(0, |row| row.number);
        recording.entry.header.origin = Origin::Brought {
            file: rows.file().to_owned(),
            row,
        };
        Self { row, recording }
    }
}
