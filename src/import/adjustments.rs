//! A sheet of adjusting entries that an accountant sends back: entries as in their own sheet, all dated in one open year.
//! Posting them is the book's.

use chrono::NaiveDate;

use super::{Context, Faults, Rows, Sheet, entries};
use crate::dates::{DateRange, show_day};
use crate::happenings::Recording;
use crate::ledger::{EntryKind, JournalEntry};

/// The tag of entries that an accountant sent.
pub const FROM_ACCOUNTANT: &str = "accountant";

/// An adjusting entry as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdjustmentRow {
    /// Its first row.
    pub row: u64,
    /// What it leaves in the book.
    pub recording: Recording,
    /// Whether it is taken back on the first day of the next year.
    pub is_back_next_year: bool,
}

/// Reads adjusting entries of a year.
///
/// # Errors
/// Every cell that cannot be, every entry that does not balance or is dated outside the year.
pub fn adjustments(
    sheet: &Sheet,
    context: Context<'_>,
    year: DateRange,
) -> Result<Vec<AdjustmentRow>, Faults> {
    let list = entries(sheet, context)?;
    let back = marked(sheet, context)?;
    let mut faults = Faults::new(&sheet.file);
    let mut rows = Vec::new();
    for one in list {
        let entry = one.recording.entry;
        let mut header = entry.header.clone();
        if !year.contains(header.date) {
            faults.cell(
                one.row,
                "date",
                format!(
                    "{} is not in the year that is adjusted, {} to {}",
                    header.date,
                    show_day(year.from),
                    show_day(year.to)
                ),
            );
            continue;
        }
        header.kind = EntryKind::Adjusting;
        header.tags.push(FROM_ACCOUNTANT.to_owned());
        if header.memo.is_empty() {
            "The accountant's adjustment".clone_into(&mut header.memo);
        }
        match JournalEntry::new(header, entry.lines().to_vec()) {
            Ok(entry) => rows.push(AdjustmentRow {
                row: one.row,
                recording: Recording::new(entry),
                is_back_next_year: back.contains(&one.key),
            }),
            Err(error) => faults.row(one.row, error.to_string()),
        }
    }
    faults.into_result(rows)
}

/// The day of the sheet's first entry.
///
/// # Errors
/// When its cell holds no day, or the sheet has no row.
pub fn first_day_in(sheet: &Sheet, context: Context<'_>) -> Result<NaiveDate, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let day = rows.at(0).and_then(|mut row| row.date("date"));
    match day {
        Some(day) => Ok(day),
        None => {
            if rows.faults.list().is_empty() {
                rows.faults.file("the sheet has no entry");
            }
            Err(rows.faults)
        }
    }
}

/// The keys of the entries that are to be taken back on the first day of the next year.
fn marked(sheet: &Sheet, context: Context<'_>) -> Result<Vec<String>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut keys = Vec::new();
    for (key, places) in rows.groups("entry") {
        for idx in places {
            if let Some(mut row) = rows.at(idx)
                && row.yes_no("back_next_year", false) == Some(true)
                && !keys.contains(&key)
            {
                keys.push(key.clone());
            }
        }
    }
    rows.faults.into_result(keys)
}
