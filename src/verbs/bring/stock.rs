//! Sheets of items, recipes and movements of stock.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rust_decimal::Decimal;

use super::around::entry_of;
use super::{Done, Options, VerbError, context, innermost, items_of, row_fault};
use crate::book::{Book, BookError, StoredMovement, Told};
use crate::import::{self, Faults, MovementGroup, Sheet};
use crate::ledger::EntryHeader;
use crate::stock::{BatchNote, Movement, MovementId, MovementKind, in_units};

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
    let mut done = Done {
        count: groups.iter().map(|group| group.movements.len()).sum(),
        ..Done::default()
    };
    let mut last_rows: BTreeMap<String, u64> = BTreeMap::new();
    for group in &groups {
        for (movement, row) in group.movements.iter().zip(&group.rows) {
            let last = last_rows.entry(movement.item.clone()).or_default();
            *last = (*row).max(*last);
        }
    }
    done.entries = write_groups(book, sheet, groups)?;
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

/// Of so many refused rows each is told; a sheet with more is told of these.
const REFUSALS_TOLD: usize = 20;

/// Writes all groups down together. One that the book refuses is left out and the others are tried again, so that every
/// fault is told; with a fault, nothing stays.
fn write_groups(
    book: &mut Book,
    sheet: &Sheet,
    mut groups: Vec<MovementGroup>,
) -> Result<Vec<u64>, VerbError> {
    let mut faults = Faults::new(&sheet.file);
    loop {
        let mut left_out = Vec::new();
        let mut sources = Sources::new(book)?;
        let mut movements = Vec::with_capacity(groups.len());
        for (index, group) in groups.iter_mut().enumerate() {
            match sources.of(group, book, &mut faults)? {
                Some(found) => movements.push(found),
                None => left_out.push(index),
            }
        }
        if left_out.is_empty() {
            let all: Vec<Told<'_>> = groups
                .iter()
                .zip(&movements)
                .map(|(group, movements)| told(group, movements))
                .collect();
            match book.write_down("Movements of stock", &all) {
                Ok(numbers) => {
                    faults.into_result(())?;
                    sources.keep_notes(book)?;
                    return Ok(numbers.into_iter().flatten().map(|one| one.0).collect());
                }
                Err(BookError::AtIndex { index, source }) => {
                    let rows = groups.get(index).map(|group| group.rows.iter());
                    let row = rows.and_then(Iterator::min).copied().unwrap_or_default();
                    faults.row(row, innermost(&source).to_string());
                    left_out.push(index);
                }
                Err(error) => return Err(error.into()),
            }
        }
        let mut index = 0;
        groups.retain(|_group| {
            index += 1;
            !left_out.contains(&(index - 1))
        });
        if faults.list().len() >= REFUSALS_TOLD {
            faults.into_result(())?;
            return Ok(Vec::new());
        }
    }
}

/// What came with a purchase: its movement, and from whom.
type Bought = (MovementId, String);

/// Finds the movements that rows name under `of`: by the key of an earlier row, by their number in the book, or by the
/// key of the purchase they came with.
pub(super) struct Sources {
    keys: HashMap<String, MovementId>,
    /// What came with purchases told before, by their key and the item.
    bought: HashMap<(String, String), Bought>,
    next: u64,
    /// What is told beside batches, by the number that their pieces will have.
    notes: Vec<(MovementId, BatchNote)>,
}

impl Sources {
    pub(super) fn new(book: &Book) -> Result<Self, BookError> {
        Ok(Self {
            keys: HashMap::new(),
            bought: HashMap::new(),
            next: book.next_movement_number()?.0,
            notes: Vec::new(),
        })
    }

    /// So many movements of something else are written down before the next.
    pub(super) fn skip(&mut self, count: usize) -> MovementId {
        let first = self.next;
        self.next += count as u64;
        MovementId(first)
    }

    /// A purchase whose movements will have numbers from `first` on.
    pub(super) fn bought(&mut self, header: &EntryHeader, moved: &[Movement], first: MovementId) {
        for (movement, id) in moved.iter().zip(first.0..) {
            let key = (header.document.clone(), movement.item.clone());
            let came = || (MovementId(id), header.party.clone());
            self.bought.entry(key).or_insert_with(came);
        }
    }

    /// What came of an item with the purchase of this key: told before, or in the book.
    fn came_with(&self, book: &Book, key: &str, item: &str) -> Result<Option<Bought>, BookError> {
        let told = self.bought.get(&(key.to_owned(), item.to_owned()));
        if told.is_some() {
            return Ok(told.cloned());
        }
        let Some(id) = book.arrival_on(key, item)? else {
            return Ok(None);
        };
        let header = match entry_of(book, key)? {
            Some(number) => book.entry(number)?.entry.header,
            None => return Ok(None),
        };
        Ok(Some((id, header.party)))
    }

    /// The group's movements with the ones they belong to; nothing when one of them is not there. A credit for what came
    /// with a purchase is from its supplier and has its key, as every refund.
    pub(super) fn of(
        &mut self,
        group: &mut MovementGroup,
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
            let known = match (self.keys.get(key), number) {
                (Some(id), _) => Some(*id),
                (None, Some(id)) => book.movement(id)?.map(|found| found.id),
                (None, None) if movement.kind == MovementKind::Return => None,
                (None, None) => self
                    .came_with(book, key, &movement.item)?
                    .map(|(id, from)| {
                        if movement.kind == MovementKind::LaterCredit {
                            group.header.party = from;
                            group.header.document.clone_from(key);
                        }
                        id
                    }),
            };
            if known.is_none() {
                let mut message =
                    format!("there is no movement '{key}' before this row or in the book");
                if number.is_none() && movement.kind != MovementKind::Return {
                    let item = &movement.item;
                    message.push_str(&format!(", and no purchase '{key}' with {item} on it"));
                }
                faults.cell(*row, "of", message);
                is_whole = false;
            }
            movement.of = known;
        }
        if !is_whole {
            return Ok(None);
        }
        let first = self.skip(movements.len());
        let made = (first.0..)
            .zip(&movements)
            .find(|(_id, one)| one.kind == MovementKind::Make);
        if let (Some((id, _made)), false) = (made, group.note.is_empty()) {
            self.notes.push((MovementId(id), group.note.clone()));
        }
        for (key, id) in group.keys.iter().zip(first.0..) {
            if !key.is_empty() {
                self.keys.insert(key.clone(), MovementId(id));
            }
        }
        Ok(Some(movements))
    }
}

impl Sources {
    /// Keeps what is told beside batches, once these are written down.
    pub(super) fn keep_notes(&self, book: &mut Book) -> Result<(), BookError> {
        self.notes
            .iter()
            .try_for_each(|(id, note)| book.keep_batch_note(*id, note))
    }
}

/// An item of which more has gone than ever came.
pub(super) struct Short {
    name: String,
    /// How many are missing, with the unit.
    missing: String,
    /// What stands there, below nothing.
    left: Decimal,
}

impl Short {
    fn sentence(&self, more: &str) -> String {
        format!(
            "{} would stand {} below nothing: more was used or sold than ever came.{more}",
            self.name, self.missing
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
                    missing: in_units(-quantity, &item),
                    name: item.name,
                    left: quantity,
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
    now.retain(|code, one| before.get(code).is_none_or(|before| one.left < before.left));
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
                "{}: {} more sold than the book knows of. Bring what was made or bought; its cost then follows by itself.",
                one.name, one.missing
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

/// A group of rows as the book takes it, with its movements' sources found.
pub(super) fn told<'a>(group: &'a MovementGroup, movements: &'a [Movement]) -> Told<'a> {
    Told::Moved {
        header: &group.header,
        lines: &group.lines,
        movements,
    }
}
