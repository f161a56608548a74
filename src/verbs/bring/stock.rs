//! Sheets of items, recipes and movements of stock.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rust_decimal::Decimal;

use super::{Done, Options, VerbError, context, innermost, items_of, row_fault};
use crate::book::{Book, BookError, StoredMovement};
use crate::import::{self, Faults, MovementGroup, Sheet};
use crate::stock::{Movement, MovementId};

pub(super) fn items(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::items(sheet, context(book))?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        if let Err(error) = book.put_item(&row.item) {
            faults.row(row.row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

pub(super) fn recipes(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::recipes(sheet, context(book), &items_of(book)?, &book.recipes()?)?;
    for row in &list {
        book.put_recipe(&row.recipe)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn bundles(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::bundles(sheet, context(book), &items_of(book)?)?;
    for row in &list {
        book.put_bundle(&row.bundle)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn comparisons(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::comparisons(sheet, context(book), &items_of(book)?)?;
    for row in &list {
        book.keep_comparison(&row.comparison)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// Movements, each group of rows in an entry of its own; those of a written-out book as they were posted there.
pub(super) fn movements(
    book: &mut Book,
    sheet: &Sheet,
    options: Options,
) -> Result<Done, VerbError> {
    if options.is_written_out {
        return restore(book, sheet);
    }
    let groups = import::movements(sheet, context(book), &items_of(book)?)?;
    let before = short_now(book)?;
    let mut faults = Faults::new(&sheet.file);
    let mut keys: HashMap<String, MovementId> = HashMap::new();
    let mut done = Done::default();
    let mut last_rows: BTreeMap<String, u64> = BTreeMap::new();
    for group in groups {
        done.count += group.movements.len();
        for (movement, row) in group.movements.iter().zip(&group.rows) {
            let last = last_rows.entry(movement.item.clone()).or_default();
            *last = (*row).max(*last);
        }
        let Some(movements) = with_sources(&group, &keys, book, &mut faults)? else {
            continue;
        };
        let first = book.next_movement_number()?;
        match book.make_batch(&group.header, &group.lines, &movements, &group.note) {
            Ok(number) => done.entries.extend(number.map(|number| number.0)),
            Err(error) => {
                let row = group.rows.iter().min().copied().unwrap_or_default();
                faults.row(row, innermost(&error).to_string());
                continue;
            }
        }
        for (key, id) in group.keys.into_iter().zip(first.0..) {
            if !key.is_empty() {
                keys.insert(key, MovementId(id));
            }
        }
    }
    faults.into_result(())?;
    let short = grown_short(book, &before)?;
    if options.allow_short {
        done.notes = short
            .values()
            .map(|one| {
                one.sentence(" It is on the list of what wants doing until it is put right.")
            })
            .collect();
        return Ok(done);
    }
    let mut faults = Faults::new(&sheet.file);
    for (code, one) in &short {
        let row = last_rows.get(code).copied().unwrap_or_default();
        faults.cell(
            row,
            "quantity",
            one.sentence(" Bring what came first, or add --allow-short to take it and count later")
                .trim_end_matches('.'),
        );
    }
    faults.into_result(())?;
    Ok(done)
}

/// The group's movements with the ones they belong to, found by the key of an earlier row or by number.
fn with_sources(
    group: &MovementGroup,
    keys: &HashMap<String, MovementId>,
    book: &Book,
    faults: &mut Faults,
) -> Result<Option<Vec<Movement>>, BookError> {
    let mut movements = group.movements.clone();
    let mut is_whole = true;
    for ((movement, of), row) in movements.iter_mut().zip(&group.of).zip(&group.rows) {
        let Some(key) = of else {
            continue;
        };
        let number = key.parse().ok().map(MovementId);
        let known = match (keys.get(key), number) {
            (Some(id), _) => Some(*id),
            (None, Some(id)) => book.movement(id)?.map(|found| found.id),
            (None, None) => None,
        };
        if known.is_none() {
            faults.cell(
                *row,
                "of",
                format!("there is no movement '{key}' before this row or in the book"),
            );
            is_whole = false;
        }
        movement.of = known;
    }
    Ok(is_whole.then_some(movements))
}

/// An item of which more has gone than ever came.
pub(super) struct Short {
    name: String,
    unit: String,
    missing: Decimal,
}

impl Short {
    fn sentence(&self, more: &str) -> String {
        format!(
            "{} would stand {} {} below nothing: more was used or sold than ever came.{more}",
            self.name,
            self.missing.normalize(),
            self.unit
        )
    }
}

/// The items that stand below nothing, by code.
pub(super) fn short_now(book: &Book) -> Result<BTreeMap<String, Short>, BookError> {
    let items: Vec<_> = book.items()?;
    if items.is_empty() {
        return Ok(BTreeMap::new());
    }
    let stocks = book.stocks()?;
    Ok(items
        .into_iter()
        .filter_map(|item| {
            let quantity = stocks.on_hand.get(&item.code)?.quantity.value();
            (quantity < Decimal::ZERO).then(|| {
                let short = Short {
                    name: item.name,
                    unit: item.unit.to_string(),
                    missing: -quantity,
                };
                (item.code, short)
            })
        })
        .collect())
}

/// Those that stand further below nothing than before.
fn grown_short(
    book: &Book,
    before: &BTreeMap<String, Short>,
) -> Result<BTreeMap<String, Short>, BookError> {
    let mut now = short_now(book)?;
    now.retain(|code, one| {
        before
            .get(code)
            .is_none_or(|before| one.missing > before.missing)
    });
    Ok(now)
}

/// Sales often come before the batches they were made in, so what they leave short is told and not refused.
pub(super) fn note_short(
    book: &Book,
    before: &BTreeMap<String, Short>,
) -> Result<Vec<String>, BookError> {
    Ok(grown_short(book, before)?
        .values()
        .map(|one| {
            format!(
                "{}: {} {} more sold than the book knows of. Bring what was made or bought; its cost then follows by itself.",
                one.name,
                one.missing.normalize(),
                one.unit
            )
        })
        .collect())
}

/// The movements of a written-out book with what was posted of them, held against the entries that are there.
fn restore(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::kept_movements(sheet, context(book), &items_of(book)?)?;
    let mut faults = Faults::new(&sheet.file);
    let entries = book.entry_count()?;
    let mut seen = BTreeSet::new();
    for one in &list {
        if !seen.insert(one.movement.id) {
            faults.cell(one.row, "id", "stands there twice");
        }
        let known = |number: u64| (1..=entries).contains(&number);
        if one.entry.is_some_and(|number| !known(number.0)) {
            faults.cell(
                one.row,
                "entry",
                "there is no such entry in the sheet of entries",
            );
        }
        if one.postings.iter().any(|(number, ..)| !known(number.0)) {
            faults.cell(
                one.row,
                "posted",
                "names an entry that is not in the sheet of entries",
            );
        }
    }
    faults.into_result(())?;
    let count = list.len();
    for one in list {
        let row = one.row;
        let (id, note) = (one.movement.id, one.note);
        let stored = StoredMovement {
            movement: one.movement,
            entry: one.entry,
            reference: one.reference,
            is_void: one.is_void,
            postings: one.postings,
        };
        book.restore_movement(&stored)
            .map_err(|error| row_fault(sheet, row, &error))?;
        if !note.is_empty() {
            book.keep_batch_note(id, &note)
                .map_err(|error| row_fault(sheet, row, &error))?;
        }
    }
    book.settle_counts()?;
    let wrong = book.stock_faults()?;
    if !wrong.is_empty() {
        let mut faults = Faults::new(&sheet.file);
        for message in wrong {
            faults.file(message);
        }
        return Err(faults.into());
    }
    Ok(Done::of_count(count))
}
