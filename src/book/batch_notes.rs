//! What is told beside batches, as rows of the file. What a batch moves and posts is `stock`'s.

use std::collections::BTreeMap;

use rusqlite::params;

use super::reading::word;
use super::{Book, BookError};
use crate::ledger::{EntryHeader, EntryNumber, Line};
use crate::money::Quantity;
use crate::stock::{BatchNote, Movement, MovementId, MovementKind};

impl Book {
    /// What is told beside batches, by the movement that made the pieces; of those taken back too.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn batch_notes(&self) -> Result<BTreeMap<u64, BatchNote>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT movement, own_minutes, spoiled, spoiled_why FROM batch_note")?;
        let mut rows = query.query([])?;
        let mut notes = BTreeMap::new();
        let quantity = |text: Option<String>| -> Result<Option<Quantity>, BookError> {
            text.as_deref().map(word).transpose()
        };
        while let Some(row) = rows.next()? {
            let note = BatchNote {
                own_minutes: quantity(row.get(1)?)?,
                spoiled: quantity(row.get(2)?)?,
                spoiled_why: row.get(3)?,
            };
            notes.insert(row.get(0)?, note);
        }
        Ok(notes)
    }

    /// Tells something beside a batch, in the place of what was told before; nothing told is kept as nothing.
    ///
    /// # Errors
    /// When it cannot be, or the movement made no pieces.
    pub fn keep_batch_note(
        &mut self,
        movement: MovementId,
        note: &BatchNote,
    ) -> Result<(), BookError> {
        note.check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        if self.movement(movement)?.map(|made| made.kind) != Some(MovementKind::Make) {
            return Err(BookError::NoSuch {
                what: "batch",
                key: movement.to_string(),
            });
        }
        let label = "Told beside a batch";
        self.write(label, |book| {
            book.note("stock", label, "")?;
            book.side("DELETE FROM batch_note WHERE movement = ?1", [movement.0])?;
            if note.is_empty() {
                return Ok(());
            }
            book.side(
                "INSERT INTO batch_note (movement, own_minutes, spoiled, spoiled_why) VALUES (?1, ?2, ?3, ?4)",
                params![
                    movement.0,
                    note.own_minutes.map(|minutes| minutes.to_string()),
                    note.spoiled.map(|pieces| pieces.to_string()),
                    note.spoiled_why.trim(),
                ],
            )?;
            Ok(())
        })
    }

    /// Moves stock as [`Book::move_stock`] does and tells something beside the batch it makes, in one step.
    ///
    /// # Errors
    /// As those of both.
    pub fn make_batch(
        &mut self,
        header: &EntryHeader,
        lines: &[Line],
        movements: &[Movement],
        note: &BatchNote,
    ) -> Result<Option<EntryNumber>, BookError> {
        let first = self.next_movement_number()?.0;
        let made = (first..)
            .zip(movements)
            .find(|(_id, one)| one.kind == MovementKind::Make);
        let label = format!("{}: {}", header.kind.plain(), header.memo);
        self.group(&label, |book| {
            let number = book.move_stock(header, lines, movements)?;
            if let (Some((id, _made)), false) = (made, note.is_empty()) {
                book.keep_batch_note(MovementId(id), note)?;
            }
            Ok(number)
        })
    }
}
