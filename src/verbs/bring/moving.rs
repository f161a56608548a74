//! The sheets of a folder that move stock, brought together: purchases, movements, sales and refunds of all days are
//! costed once, so that each entry has its own cost from the start whichever sheet came first.
//! What one sheet by itself does is `ledger`'s and `stock`'s.

use std::collections::HashMap;

use super::ledger::{read_purchases, read_sales, sale_found};
use super::stock::{Sources, note_short, short_now, told};
use super::{Done, Files, Options, VerbError, context, innermost, items_of};
use crate::book::{Book, BookError, BroughtFile, ReceiptId, Told};
use crate::import::{self, Brought, Faults, MovementGroup, SaleFound, Sheet, layouts};
use crate::ledger::EntryKind;
use crate::stock::{Movement, MovementId};

/// The kinds of sheets, in the order in which the entries of one day count.
pub(super) const KINDS: [&str; 4] = ["purchases", "movements", "sales", "refunds"];

/// A folder's sheets are told apart by the book being empty.
const OPTIONS: Options = Options {
    today: None,
    again: true,
    allow_lookalikes: false,
    allow_short: true,
    leave_open: true,
    is_written_out: false,
};

/// Brings those of the sheets that are there.
///
/// # Errors
/// Every fault of a sheet; the caller takes back what was written.
pub(super) fn bring(book: &mut Book, files: &Files) -> Result<Vec<Done>, VerbError> {
    let mut done = Vec::new();
    let mut told_all = Gathered::new(book)?;
    for kind in KINDS {
        let name = format!("{kind}.csv");
        let (Ok(bytes), Some(layout)) = (files.read(&name), layouts::of_kind(kind)) else {
            continue;
        };
        let sheet = Sheet::read(&name, &bytes, layout)?;
        let mut one = Done {
            file: name.clone(),
            kind: kind.to_owned(),
            ..Done::default()
        };
        one.notes = told_all.read(book, kind, &sheet)?;
        done.push(one);
        book.remember_file(&BroughtFile {
            hash: ReceiptId::of(&bytes).0,
            name,
            kind: kind.to_owned(),
        })?;
    }
    let before = short_now(book)?;
    told_all.write(book, &mut done)?;
    if let Some(last) = done.last_mut() {
        last.notes.extend(note_short(book, &before)?);
    }
    Ok(done)
}

/// One thing that a sheet told.
enum One {
    Happened(Box<Brought>),
    Moved(Box<MovementGroup>, Vec<Movement>),
}

/// Everything that the sheets told so far, with the file each is from.
struct Gathered {
    all: Vec<(String, One)>,
    sources: Sources,
    /// The sales by their keys: where among all, and the number of their first movement.
    sales: HashMap<String, Vec<(usize, MovementId)>>,
}

impl Gathered {
    fn new(book: &Book) -> Result<Self, BookError> {
        Ok(Self {
            all: Vec::new(),
            sources: Sources::new(book)?,
            sales: HashMap::new(),
        })
    }

    /// Reads a sheet; answers what is to be said of it.
    fn read(
        &mut self,
        book: &mut Book,
        kind: &str,
        sheet: &Sheet,
    ) -> Result<Vec<String>, VerbError> {
        match kind {
            "purchases" => {
                let list = read_purchases(book, sheet, OPTIONS)?;
                self.add(book, sheet, list)?;
            }
            "movements" => {
                let groups = import::movements(sheet, context(book), &items_of(book)?)?;
                let mut faults = Faults::new(&sheet.file);
                for mut group in groups {
                    if let Some(movements) = self.sources.of(&mut group, book, &mut faults)? {
                        let one = One::Moved(Box::new(group), movements);
                        self.all.push((sheet.file.clone(), one));
                    }
                }
                faults.into_result(())?;
            }
            "sales" => {
                let (list, notes) = read_sales(book, sheet, OPTIONS)?;
                self.add(book, sheet, list)?;
                return Ok(notes);
            }
            _ => {
                let list = import::refunds(sheet, context(book), |key| self.sales_of(book, key))??;
                self.add(book, sheet, list)?;
            }
        }
        Ok(Vec::new())
    }

    fn add(&mut self, book: &Book, sheet: &Sheet, list: Vec<Brought>) -> Result<(), VerbError> {
        for brought in list {
            let moved = book.movements_told_by(&brought.recording)?;
            let first = self.sources.skip(moved.len());
            let header = &brought.recording.entry.header;
            if header.kind == EntryKind::Purchase {
                self.sources.bought(header, &moved, first);
            }
            let key = header.document.clone();
            self.sales
                .entry(key)
                .or_default()
                .push((self.all.len(), first));
            let one = One::Happened(Box::new(brought));
            self.all.push((sheet.file.clone(), one));
        }
        Ok(())
    }

    /// The sales of a key among what was told, each with the numbers that its movements will have.
    fn sales_of(&self, book: &Book, key: &str) -> Result<Vec<SaleFound>, BookError> {
        let mut found = Vec::new();
        for (place, first) in self.sales.get(key).into_iter().flatten() {
            let Some((_file, One::Happened(sale))) = self.all.get(*place) else {
                continue;
            };
            if sale.recording.entry.header.kind != EntryKind::Sale {
                continue;
            }
            let mut moved = book.movements_told_by(&sale.recording)?;
            for (movement, id) in moved.iter_mut().zip(first.0..) {
                movement.id = MovementId(id);
            }
            let entry = sale.recording.entry.clone();
            found.push(sale_found(book, entry, Vec::new(), moved)?);
        }
        Ok(found)
    }

    /// Writes everything down and tells each sheet's part of it.
    fn write(&self, book: &mut Book, done: &mut [Done]) -> Result<(), VerbError> {
        let all: Vec<Told<'_>> = self
            .all
            .iter()
            .map(|(_file, one)| match one {
                One::Happened(brought) => Told::Happened(&brought.recording),
                One::Moved(group, movements) => told(group, movements),
            })
            .collect();
        let numbers = book
            .write_down("Brought in sheets that move stock", &all)
            .map_err(|error| self.fault(error))?;
        self.sources.keep_notes(book)?;
        for ((file, one), number) in self.all.iter().zip(numbers) {
            let Some(of) = done.iter_mut().find(|of| of.file == *file) else {
                continue;
            };
            of.count += match one {
                One::Happened(_) => 1,
                One::Moved(_, movements) => movements.len(),
            };
            of.entries.extend(number.map(|number| number.0));
        }
        Ok(())
    }

    /// A refusal of the book as a fault of the row it is about.
    fn fault(&self, error: BookError) -> VerbError {
        let BookError::AtIndex { index, .. } = &error else {
            return error.into();
        };
        let Some((file, one)) = self.all.get(*index) else {
            return error.into();
        };
        let row = match one {
            One::Happened(brought) => brought.row,
            One::Moved(group, _) => group.rows.iter().min().copied().unwrap_or_default(),
        };
        let mut faults = Faults::new(file);
        faults.row(row, innermost(&error).to_string());
        faults.into()
    }
}
