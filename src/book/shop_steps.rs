//! What follows from a shop's file, written down: entries, entries that say more than before, records, holds.
//! What follows is worked out by `shops`; here it is done, all of it or nothing.

use rusqlite::params;

use super::{Book, BookError, Told};
use crate::happenings::Recording;
use crate::ledger::{AccountId, EntryNumber};
use crate::shops::Step;

impl Book {
    /// Does what follows from a shop's file in one transaction, and answers with the entries it wrote.
    ///
    /// # Errors
    /// As [`Book::record_all`], [`Book::amend`] and [`Book::reverse`]; [`BookError::AtIndex`] says which step.
    pub fn take_shop_steps(
        &mut self,
        channel: AccountId,
        steps: &[Step],
    ) -> Result<Vec<EntryNumber>, BookError> {
        let name = self.chart.account(channel)?.name.clone();
        let label = format!("Brought in what {name} told");
        let numbers = self.write(&label, |book| {
            book.note("shop-file", &label, "")?;
            let mut numbers = book.write_new(channel, steps)?;
            for (index, step) in steps.iter().enumerate() {
                let written = book.take_step(channel, step);
                numbers.extend(written.map_err(|error| BookError::AtIndex {
                    index,
                    source: Box::new(error),
                })?);
            }
            Ok(numbers)
        })?;
        self.look_over_after(numbers.len())?;
        Ok(numbers)
    }

    /// The new entries, costed together, with their records.
    fn write_new(
        &mut self,
        channel: AccountId,
        steps: &[Step],
    ) -> Result<Vec<EntryNumber>, BookError> {
        let new: Vec<(usize, &Recording, &[String])> = steps
            .iter()
            .enumerate()
            .filter_map(|(index, step)| match step {
                Step::Write {
                    recording, keys, ..
                } => Some((index, recording.as_ref(), keys.as_slice())),
                _ => None,
            })
            .collect();
        let all: Vec<Told<'_>> = new
            .iter()
            .map(|(_, recording, _)| Told::Happened(recording))
            .collect();
        let written = self.write_each(&all).map_err(|error| match error {
            BookError::AtIndex { index, source } => BookError::AtIndex {
                index: new.get(index).map_or(index, |(place, ..)| *place),
                source,
            },
            other => other,
        })?;
        for ((_, _, keys), number) in new.iter().zip(&written) {
            for key in *keys {
                self.put_shop_record(channel, key, *number)?;
            }
        }
        Ok(written.into_iter().flatten().collect())
    }

    fn take_step(
        &mut self,
        channel: AccountId,
        step: &Step,
    ) -> Result<Option<EntryNumber>, BookError> {
        match step {
            Step::Write { .. } => {}
            Step::Rewrite {
                entry,
                recording,
                keys,
                reason,
                ..
            } => {
                let (number, new) = self.write_anew(channel, *entry, recording, reason)?;
                for key in keys {
                    self.put_shop_record(channel, key, Some(number))?;
                }
                return Ok(new);
            }
            Step::TakeBack { entry, reason } => {
                let day = self.entry(*entry)?.entry.header.date;
                self.reverse(*entry, day, reason)?;
            }
            Step::Tie { key, entry } => self.put_shop_record(channel, key, *entry)?,
            Step::Hold {
                amount,
                since,
                released,
            } => {
                let id = self.add_hold(channel, *amount, *since, None, "")?;
                if let Some(on) = released {
                    self.release_hold(id, *on)?;
                }
            }
            Step::Release { id, on } => self.release_hold(*id, *on)?,
        }
        Ok(None)
    }

    /// Gives an entry what it should say: amended where it may be, and where stock moved or will move with it taken
    /// back on its own day and written again. The entry that stands, and the new one if one was written.
    fn write_anew(
        &mut self,
        channel: AccountId,
        entry: EntryNumber,
        recording: &Recording,
        reason: &str,
    ) -> Result<(EntryNumber, Option<EntryNumber>), BookError> {
        let posted = self.entry(entry)?;
        if self.refuse_other_stock(&posted, &recording.entry).is_ok() {
            self.amend(entry, &recording.entry, reason)?;
            return Ok((entry, None));
        }
        self.reverse(entry, posted.entry.header.date, reason)?;
        let number = self.record(recording)?;
        self.side(
            "UPDATE shop_record SET entry = ?3 WHERE channel = ?1 AND entry = ?2",
            params![channel.0, entry.0, number.0],
        )?;
        Ok((number, Some(number)))
    }

    /// Keeps a record, in the place of what it was before.
    fn put_shop_record(
        &mut self,
        channel: AccountId,
        key: &str,
        entry: Option<EntryNumber>,
    ) -> Result<(), BookError> {
        let number = entry.map(|entry| entry.0);
        let changed = self.side(
            "UPDATE shop_record SET entry = ?3 WHERE channel = ?1 AND key = ?2",
            params![channel.0, key, number],
        )?;
        if changed == 0 {
            self.side(
                "INSERT INTO shop_record (channel, key, entry) VALUES (?1, ?2, ?3)",
                params![channel.0, key, number],
            )?;
        }
        Ok(())
    }
}
