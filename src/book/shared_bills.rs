//! The business's shares of bills and things used privately too, in the file.
//! What is refused and which share holds is `crate::shared_bills`'.

use rusqlite::params;

use super::reading::{day, word};
use super::{Book, BookError};
use crate::dates::show_day;
use crate::shared_bills::SharedBill;

impl Book {
    /// The shares, by what they are of and the day from which they hold.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shared_bills(&self) -> Result<Vec<SharedBill>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, what, party, share, basis, sampled_from, sampled_to, since, note
             FROM shared_bill ORDER BY what, party, since, id",
        )?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let text = |column: usize| row.get::<_, String>(column);
            let may_day = |column: usize| -> Result<_, BookError> {
                let text: Option<String> = row.get(column)?;
                text.map(|text| day(&text)).transpose()
            };
            let sampled = SharedBill::sample(may_day(5)?, may_day(6)?)
                .map_err(|error| BookError::damaged(error.to_string()))?;
            list.push(SharedBill {
                id: row.get(0)?,
                what: text(1)?,
                party: text(2)?,
                share: word(&text(3)?)?,
                basis: text(4)?,
                sampled,
                since: day(&text(7)?)?,
                note: text(8)?,
            });
        }
        Ok(list)
    }

    /// Keeps a share: new when it has no number, else in the place of the one with its number. Returns its number. Nothing is
    /// posted, and what was posted stays.
    ///
    /// # Errors
    /// When it cannot be, or a share of that bill holds from that day already.
    pub fn keep_shared_bill(&mut self, bill: &SharedBill) -> Result<i64, BookError> {
        bill.check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        let is_there = self
            .shared_bills()?
            .iter()
            .any(|one| one.id != bill.id && one.since == bill.since && one.is_same_bill(bill));
        let what = bill.what.trim();
        if is_there {
            return Err(BookError::refused(format!(
                "a share of '{what}' from {} is there already",
                show_day(bill.since)
            )));
        }
        let label = format!("Business share: {what}, {} %", bill.share);
        self.write(&label, |book| {
            book.note("shared-bill", &label, "")?;
            let values = params![
                what,
                bill.party.trim(),
                bill.share.to_string(),
                bill.basis.trim(),
                bill.sampled.map(|days| days.from.to_string()),
                bill.sampled.map(|days| days.to.to_string()),
                bill.since.to_string(),
                bill.note.trim(),
                Some(bill.id).filter(|id| *id != 0),
            ];
            if bill.id == 0 {
                book.side(
                    "INSERT INTO shared_bill (what, party, share, basis, sampled_from, sampled_to, since, note, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE shared_bill SET what = ?1, party = ?2, share = ?3, basis = ?4, sampled_from = ?5,
                   sampled_to = ?6, since = ?7, note = ?8 WHERE id = ?9",
                values,
            )?;
            if n_changed == 0 {
                return Err(no_such(bill.id));
            }
            Ok(bill.id)
        })
    }

    /// Takes a share out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_shared_bill(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Business share taken out", |book| {
            book.note("shared-bill", &format!("Business share {id} taken out"), "")?;
            if book.side("DELETE FROM shared_bill WHERE id = ?1", [id])? == 0 {
                return Err(no_such(id));
            }
            Ok(())
        })
    }
}

fn no_such(id: i64) -> BookError {
    BookError::NoSuch {
        what: "share of a bill",
        key: id.to_string(),
    }
}
