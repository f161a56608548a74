//! Sheets of unusual happenings: their columns are the questions of `crate::occasions`, each row one of them.
//! What a row means is read there; here its cells become answers.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use super::layouts::{may, needed};
use super::{Column, Faults, Layout, Row, Rows, Sheet};
use crate::matters::{Pieces, Step};
use crate::money::Currency;
use crate::occasions::{self, Occasion};

/// The column that says which of a sheet's occasions a row is.
pub const WHAT: &str = "what";

/// The layouts of all occasions' sheets: `what` where a sheet tells of several, then every question once. A column is
/// needed where each of its occasions needs it.
pub static LAYOUTS: LazyLock<Vec<Layout>> = LazyLock::new(|| {
    let mut layouts: Vec<Layout> = Vec::new();
    for occasion in occasions::all() {
        if layouts.iter().any(|layout| layout.kind == occasion.sheet) {
            continue;
        }
        let same = occasions::of_sheet(occasion.sheet);
        let mut columns: Vec<Column> = Vec::new();
        if same.len() > 1 {
            columns.push(needed(WHAT));
        }
        for ask in same.iter().flat_map(|one| one.asks) {
            if columns.iter().any(|column| column.name == ask.key) {
                continue;
            }
            let by_all = same.iter().all(|one| {
                let mut asks = one.asks.iter();
                asks.any(|other| other.key == ask.key && other.is_needed)
            });
            columns.push(if by_all {
                needed(ask.key)
            } else {
                may(ask.key)
            });
        }
        layouts.push(Layout {
            kind: occasion.sheet,
            // Made once for the whole run of the program.
            columns: columns.leak(),
        });
    }
    layouts
});

/// One row: which occasion, and its answers.
#[derive(Debug)]
pub struct OccasionRow {
    /// Its row.
    pub row: u64,
    /// The occasion.
    pub occasion: &'static Occasion,
    /// The answers.
    pub answers: BTreeMap<String, String>,
}

/// Reads the rows of a sheet of occasions.
///
/// # Errors
/// Every row that is no occasion of the sheet, and every cell that belongs to another.
pub fn occasion_rows(
    sheet: &Sheet,
    kind: &str,
    currency: &Currency,
) -> Result<Vec<OccasionRow>, Faults> {
    let same = occasions::of_sheet(kind);
    let columns: BTreeSet<&'static str> = same
        .iter()
        .flat_map(|occasion| occasion.asks)
        .map(|ask| ask.key)
        .collect();
    Rows::read(sheet, currency, |row| {
        let occasion = the_one(row, &same)?;
        let mut answers = BTreeMap::new();
        for column in &columns {
            if occasion.asks.iter().any(|ask| ask.key == *column) {
                if row.has(column) {
                    answers.insert((*column).to_owned(), row.text(column).to_owned());
                }
            } else {
                row.refuse(column, &format!("it does not go with '{}'", occasion.word));
            }
        }
        Some(OccasionRow {
            row: row.number,
            occasion,
            answers,
        })
    })
}

fn the_one(row: &mut Row<'_, '_>, same: &[&'static Occasion]) -> Option<&'static Occasion> {
    if let [only] = same {
        return Some(only);
    }
    let word = row.needed(WHAT)?;
    let found = same.iter().copied().find(|one| one.word == word);
    if found.is_none() {
        let known: Vec<&str> = same.iter().map(|one| one.word).collect();
        row.fault(WHAT, format!("'{word}' is none of {}", known.join(", ")));
    }
    found
}

/// The steps of what goes on, as a book that was written out has them.
pub const MATTERS: Layout = Layout {
    kind: "matters",
    columns: &[
        needed("matter"),
        needed("key"),
        needed("step"),
        needed("date"),
        may("amount"),
        may("due"),
        may("party"),
        may("about"),
        may("pieces"),
        may("entry"),
        may("answers"),
    ],
};

/// Reads the steps of a written-out book.
///
/// # Errors
/// Every cell that cannot be.
pub fn matters(sheet: &Sheet, currency: &Currency) -> Result<Vec<Step>, Faults> {
    Rows::read(sheet, currency, |row| {
        let matter = row.value("matter");
        let key = row.needed("key").map(str::to_owned);
        let kind = row.value("step");
        let on = row.date("date");
        let amount = row.amount_or_nothing("amount");
        let due = row.may_date("due");
        let pieces = pieces(row);
        let entry = row.may_value::<u64>("entry");
        let answers = answers(row);
        let mut step = Step::new(on?, matter?, key?, kind?, amount?);
        step.due = due;
        row.text("party").clone_into(&mut step.party);
        row.text("about").clone_into(&mut step.about);
        step.pieces = pieces?;
        step.entry = entry.map(crate::ledger::EntryNumber);
        step.answers = answers?;
        Some(step)
    })
}

fn pieces(row: &mut Row<'_, '_>) -> Option<Vec<Pieces>> {
    match crate::matters::read_pieces(row.text("pieces")) {
        Ok(pieces) => Some(pieces),
        Err(words) => {
            row.fault("pieces", words);
            None
        }
    }
}

fn answers(row: &mut Row<'_, '_>) -> Option<BTreeMap<String, String>> {
    let text = row.text("answers");
    if text.is_empty() {
        return Some(BTreeMap::new());
    }
    match serde_json::from_str(text) {
        Ok(answers) => Some(answers),
        Err(error) => {
            row.fault("answers", format!("not the answers of a step: {error}"));
            None
        }
    }
}
