//! Sheets of unusual happenings, told one after the other, for each may stand on the ones before.
//! What each means is `crate::occasions`'.

use std::collections::BTreeSet;

use super::{Done, VerbError, innermost};
use crate::book::Book;
use crate::import::{self, Faults, Layout, OccasionRow, Sheet};
use crate::ledger::EntryNumber;
use crate::occasions::Reading;
use crate::reports::{OccasionFacts, refunded_sales};

/// Tells every row of a sheet; when one cannot be, all faults are named and the caller takes everything back.
pub(super) fn tell(book: &mut Book, sheet: &Sheet, layout: &Layout) -> Result<Done, VerbError> {
    let rows = import::occasion_rows(sheet, layout.kind, book.currency())?;
    let mut facts = OccasionFacts::read(book)?;
    let mut faults = Faults::new(&sheet.file);
    let mut failed: BTreeSet<String> = BTreeSet::new();
    let mut numbers: Vec<EntryNumber> = Vec::new();
    let mut notes = Vec::new();
    let count = rows.len();
    for row in rows {
        // What follows a step that could not be would only repeat its fault.
        let key = key_of(&row);
        if failed.contains(&key) {
            continue;
        }
        let sales = refunded_sales(book, row.answers.get("order").map_or("", String::as_str))?;
        let told = Reading::new(row.occasion, &row.answers, facts.known(book, &sales)).tell();
        match told {
            Ok(told) => match book.tell(&told) {
                Ok(number) => {
                    numbers.extend(number);
                    notes.push(format!("Row {}: {}", row.row, told.explains));
                    facts.reread(book)?;
                }
                Err(error) => {
                    faults.row(row.row, innermost(&error).to_string());
                    failed.insert(key);
                }
            },
            Err(wrong) => {
                for one in wrong {
                    if one.field.is_empty() {
                        faults.row(row.row, one.message);
                    } else {
                        faults.cell(row.row, one.field, one.message);
                    }
                }
                failed.insert(key);
            }
        }
    }
    faults.into_result(())?;
    Ok(Done {
        count,
        entries: numbers.iter().map(|number| number.0).collect(),
        notes,
        ..Done::default()
    })
}

/// What a row is about, as far as its first answer says.
fn key_of(row: &OccasionRow) -> String {
    let first = row.occasion.asks.first();
    first
        .and_then(|ask| row.answers.get(ask.key))
        .map(|key| key.to_lowercase())
        .unwrap_or_default()
}

/// Keeps the steps of a written-out book.
pub(super) fn matters(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let steps = import::matters(sheet, book.currency())?;
    book.keep_steps(&steps)?;
    Ok(Done::of_count(steps.len()))
}
