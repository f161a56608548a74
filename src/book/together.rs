//! Many things written down in one go: what all their movements are worth is worked out once, before the first entry
//! is written, so that a long sheet takes one pass and leaves nothing to be put right among its own rows.
//! What one thing by itself does is `entries`' and `stock`'s.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::entries::is_plain;
use super::stock::ToldStock;
use super::stock_differences::{Difference, Differences};
use super::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::{EntryHeader, EntryNumber, JournalEntry, Line};
use crate::stock::{Movement, MovementId};

/// One of several things to be written down together.
#[derive(Clone, Copy, Debug)]
pub enum Told<'a> {
    /// A happening.
    Happened(&'a Recording),
    /// Movements of stock in an entry of their own, as [`Book::move_stock`] takes them.
    Moved {
        /// The entry's day, kind and words.
        header: &'a EntryHeader,
        /// What else happens in it; not balanced by itself.
        lines: &'a [Line],
        /// The movements.
        movements: &'a [Movement],
    },
}

impl<'a> Told<'a> {
    /// The entry of a happening that brings nothing else along.
    fn plain(self) -> Option<&'a JournalEntry> {
        match self {
            Self::Happened(recording) if is_plain(recording) => Some(&recording.entry),
            _ => None,
        }
    }
}

/// What all the movements are worth, worked out before anything is written.
#[derive(Default)]
struct Costed {
    /// What tells of stock, by its place among all, its movements numbered.
    told: BTreeMap<usize, ToldStock>,
    /// What belongs to each new movement on its own day.
    own: HashMap<MovementId, Vec<Difference>>,
    /// What is left for entries that put costs right.
    rest: Differences,
}

impl Book {
    /// Writes several things down in one transaction: all of them or none. Their movements of stock get their numbers
    /// in this order, from [`Book::next_movement_number`] on, and are costed once, all together. The answer has the
    /// number of each one's entry, or nothing where nothing is worth anything.
    ///
    /// # Errors
    /// As [`Book::record`] and [`Book::move_stock`]; [`BookError::AtIndex`] says which one.
    pub fn write_down(
        &mut self,
        label: &str,
        all: &[Told<'_>],
    ) -> Result<Vec<Option<EntryNumber>>, BookError> {
        let numbers = self.write(label, |book| book.write_each(all))?;
        self.look_over_after(numbers.len())?;
        Ok(numbers)
    }

    /// The movements that a happening will make, not numbered yet.
    ///
    /// # Errors
    /// When it lacks a quantity, or the file cannot be read.
    pub fn movements_told_by(&self, recording: &Recording) -> Result<Vec<Movement>, BookError> {
        let told = self.stock_told_by(recording)?;
        Ok(told.map_or_else(Vec::new, |told| told.movements))
    }

    pub(super) fn write_each(
        &mut self,
        all: &[Told<'_>],
    ) -> Result<Vec<Option<EntryNumber>>, BookError> {
        let mut costed = self.cost_together(all)?;
        let mut numbers = Vec::with_capacity(all.len());
        while numbers.len() < all.len() {
            let rest = all.get(numbers.len()..).unwrap_or_default();
            // Entries that bring nothing else along share one writer.
            let mut writer = self.entry_writer()?;
            for entry in rest.iter().map_while(|one| one.plain()) {
                let number = writer.record(entry, None);
                numbers.push(Some(
                    number.map_err(|error| at_index(numbers.len(), error))?,
                ));
            }
            drop(writer);
            if let Some(one) = all.get(numbers.len()) {
                let number = self.write_one(*one, numbers.len(), &mut costed);
                numbers.push(number.map_err(|error| at_index(numbers.len(), error))?);
            }
        }
        self.put_right(costed.rest, &[], None)?;
        Ok(numbers)
    }

    fn cost_together(&self, all: &[Told<'_>]) -> Result<Costed, BookError> {
        let mut costed = Costed::default();
        let mut new = Vec::new();
        let mut places: HashMap<MovementId, usize> = HashMap::new();
        let first = self.next_movement()?;
        let mut next = first;
        for (index, one) in all.iter().enumerate() {
            let found = self.told_of(*one, next);
            let Some(told) = found.map_err(|error| at_index(index, error))? else {
                continue;
            };
            for (movement, id) in told.movements.iter().zip(next..) {
                places.insert(MovementId(id), index);
                new.push(movement.clone());
            }
            next = first + new.len() as u64;
            costed.told.insert(index, told);
        }
        if costed.told.is_empty() {
            return Ok(costed);
        }
        let found = self.differences(&new, &BTreeSet::new());
        costed.rest = found.map_err(|error| match &error {
            BookError::Costing { movement, .. } => match places.get(movement) {
                Some(index) => at_index(*index, error),
                None => error,
            },
            _ => error,
        })?;
        costed.own = costed.rest.take_own(&new);
        Ok(costed)
    }

    /// What one of them tells of stock, its movements numbered from `first` on.
    fn told_of(&self, one: Told<'_>, first: u64) -> Result<Option<ToldStock>, BookError> {
        let told = match one {
            Told::Happened(recording) if is_plain(recording) => None,
            Told::Happened(recording) => self.stock_told_by(recording)?,
            Told::Moved {
                header,
                lines,
                movements,
            } => Some(ToldStock {
                header: header.clone(),
                lines: lines.to_vec(),
                movements: movements.to_vec(),
                recording: None,
            }),
        };
        let Some(mut told) = told else {
            return Ok(None);
        };
        told.movements = self.numbered(&told, first)?;
        Ok(Some(told))
    }

    fn write_one(
        &mut self,
        one: Told<'_>,
        index: usize,
        costed: &mut Costed,
    ) -> Result<Option<EntryNumber>, BookError> {
        let number = match (costed.told.remove(&index), one) {
            (Some(told), _) => self.write_stock(&told, costed)?,
            (None, Told::Happened(recording)) => {
                Some(self.entry_writer()?.record(&recording.entry, None)?)
            }
            (None, Told::Moved { .. }) => None,
        };
        if let (Told::Happened(recording), Some(number)) = (one, number) {
            self.bring_along(number, recording)?;
        }
        Ok(number)
    }

    /// Writes an entry with the movements it makes and what they are worth on its day.
    fn write_stock(
        &mut self,
        told: &ToldStock,
        costed: &mut Costed,
    ) -> Result<Option<EntryNumber>, BookError> {
        let own: Vec<Difference> = told
            .movements
            .iter()
            .filter_map(|movement| costed.own.remove(&movement.id))
            .flatten()
            .collect();
        let entry = self.entry_of(told, &told.movements, &own, &costed.rest.movements)?;
        let number = match &entry {
            Some(entry) => Some(self.entry_writer()?.record(entry, None)?),
            None if told.recording.is_some() => {
                return Err(BookError::refused("the entry has no lines"));
            }
            None => {
                self.note("stock", &told.label(), "")?;
                None
            }
        };
        for movement in &told.movements {
            self.insert_movement(movement, number, &told.header.reference)?;
        }
        if let Some(number) = number {
            for one in own {
                self.keep_posting(one, number)?;
            }
        }
        Ok(number)
    }
}

fn at_index(index: usize, source: BookError) -> BookError {
    BookError::AtIndex {
        index,
        source: Box::new(source),
    }
}
