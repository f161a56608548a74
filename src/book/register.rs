//! The equipment register in the file.
//! How equipment wears out, and what the register refuses, is `depreciation`'s.

use rusqlite::types::Value;
use rusqlite::{Row, params, params_from_iter};

use super::entries::given;
use super::reading::{day, word};
use super::{Book, BookError};
use crate::depreciation::{Disposal, Equipment, TermsChange};
use crate::happenings::Recording;
use crate::ledger::{EntryKind, EntryNumber, PostedEntry};
use crate::money::Money;

/// What the register says of a piece, in the order of [`terms`]; its key and its end come apart.
const TERMS: &str = "name, supplier, bought_on, in_service_on, cost, tax_part, delivery_part, residual,
    life_months, business_share, convention, condition, serial, location, purchase_entry, charged_before";

/// The values of [`TERMS`].
fn terms(piece: &Equipment) -> [Value; 16] {
    [
        piece.name.trim().to_owned().into(),
        piece.supplier.trim().to_owned().into(),
        piece.bought_on.to_string().into(),
        piece.in_service_on.to_string().into(),
        piece.cost.minor().into(),
        piece.tax_part.minor().into(),
        piece.delivery_part.minor().into(),
        piece.residual.minor().into(),
        piece.life_months.into(),
        piece.business_share.to_string().into(),
        piece.convention.as_str().to_owned().into(),
        piece.condition.as_str().to_owned().into(),
        piece.serial.trim().to_owned().into(),
        piece.location.trim().to_owned().into(),
        piece
            .purchase_entry
            .map(|number| number.0.cast_signed())
            .into(),
        piece.charged_before.minor().into(),
    ]
}

fn equipment_row(row: &Row<'_>) -> Result<Equipment, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let money = |column: usize| row.get(column).map(Money::from_minor);
    let disposed_on: Option<String> = row.get(17)?;
    let disposal = match disposed_on {
        Some(on) => Some(Disposal {
            on: day(&on)?,
            proceeds: money(18)?,
        }),
        None => None,
    };
    Ok(Equipment {
        key: text(0)?,
        name: text(1)?,
        supplier: text(2)?,
        bought_on: day(&text(3)?)?,
        in_service_on: day(&text(4)?)?,
        cost: money(5)?,
        tax_part: money(6)?,
        delivery_part: money(7)?,
        residual: money(8)?,
        life_months: row.get(9)?,
        business_share: word(&text(10)?)?,
        convention: word(&text(11)?)?,
        condition: word(&text(12)?)?,
        serial: text(13)?,
        location: text(14)?,
        purchase_entry: row.get::<_, Option<u64>>(15)?.map(EntryNumber),
        charged_before: money(16)?,
        changes: Vec::new(),
        disposal,
    })
}

/// A place for each value.
fn places(values: &[Value]) -> String {
    vec!["?"; values.len()].join(", ")
}

impl Book {
    /// The register in the order things were bought.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn equipment(&self) -> Result<Vec<Equipment>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT key, {TERMS}, disposed_on, proceeds FROM equipment ORDER BY bought_on, id"
        ))?;
        let mut rows = query.query([])?;
        let mut register = Vec::new();
        while let Some(row) = rows.next()? {
            register.push(equipment_row(row)?);
        }
        let mut query = self.conn.prepare_cached(
            "SELECT equipment, from_day, life_months, residual, business_share, reason
             FROM equipment_change ORDER BY from_day",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let key: String = row.get(0)?;
            let from: String = row.get(1)?;
            let share: String = row.get(4)?;
            let change = TermsChange {
                from: day(&from)?,
                life_months: row.get(2)?,
                residual: Money::from_minor(row.get(3)?),
                business_share: word(&share)?,
                reason: row.get(5)?,
            };
            if let Some(piece) = register.iter_mut().find(|piece| piece.key == key) {
                piece.changes.push(change);
            }
        }
        Ok(register)
    }

    /// One piece by its key, or by its name in any case.
    ///
    /// # Errors
    /// When the register does not hold it.
    pub fn piece(&self, key_or_name: &str) -> Result<Equipment, BookError> {
        let wanted = key_or_name.trim();
        let mut register = self.equipment()?;
        register
            .iter()
            .position(|piece| piece.key == wanted)
            .or_else(|| {
                let wanted = wanted.to_lowercase();
                register
                    .iter()
                    .position(|piece| piece.name.to_lowercase() == wanted)
            })
            .map(|place| register.swap_remove(place))
            .ok_or_else(|| BookError::NoSuch {
                what: "equipment",
                key: wanted.to_owned(),
            })
    }

    /// Adds a piece whose cost is in the ledger already.
    ///
    /// # Errors
    /// When its key or name is taken, or its figures cannot be.
    pub fn add_equipment(&mut self, equipment: &Equipment) -> Result<(), BookError> {
        let label = format!("Equipment added: {}", equipment.name);
        self.write(&label, |book| {
            book.note("equipment", &label, "")?;
            book.insert_equipment(equipment)
        })
    }

    /// Changes what the register says about a piece; its key, changed terms and disposal have their own ways.
    ///
    /// # Errors
    /// When it is not in the register, or its new name is taken.
    pub fn update_equipment(&mut self, equipment: &Equipment) -> Result<(), BookError> {
        let before = self.piece(&equipment.key)?;
        equipment.check()?;
        let label = format!("Equipment changed: {}", before.name);
        self.write(&label, |book| {
            book.note("equipment", &format!("{label}; it was {before:?}"), "")?;
            let values = terms(equipment);
            book.side(
                &format!(
                    "UPDATE equipment SET ({TERMS}) = ({}) WHERE key = ?",
                    places(&values)
                ),
                params_from_iter(values.into_iter().chain([equipment.key.clone().into()])),
            )?;
            Ok(())
        })
    }

    /// Gives a piece new terms from a day on.
    ///
    /// # Errors
    /// Without a reason, when the day is locked, or when that day has new terms already.
    pub fn change_terms(&mut self, key: &str, change: &TermsChange) -> Result<(), BookError> {
        let piece = self.piece(key)?;
        piece.check_new_terms(change)?;
        let reason = given(&change.reason)?.to_owned();
        if let Some(lock) = self.lock_date().filter(|lock| change.from <= *lock) {
            return Err(BookError::Locked {
                date: change.from,
                lock,
            });
        }
        let label = format!("New terms for {} from {}", piece.name, change.from);
        self.write(&label, |book| {
            book.note("equipment", &label, &reason)?;
            book.insert_change(&piece.key, change)
        })
    }

    /// Lets a piece go, together with the entries that say so.
    ///
    /// # Errors
    /// When it is gone already, or an entry is refused.
    pub fn dispose(
        &mut self,
        key: &str,
        disposal: &Disposal,
        recordings: &[Recording],
    ) -> Result<Vec<EntryNumber>, BookError> {
        let piece = self.piece(key)?;
        if let Some(gone) = &piece.disposal {
            return Err(BookError::refused(format!(
                "'{}' went on {} already",
                piece.name, gone.on
            )));
        }
        piece.check_disposal(disposal)?;
        let label = format!("Equipment gone: {}", piece.name);
        self.write(&label, |book| {
            book.note("equipment", &label, "")?;
            let mut numbers = Vec::new();
            for recording in recordings {
                numbers.push(book.record_one(recording)?);
            }
            book.side(
                "UPDATE equipment SET disposed_on = ?2, proceeds = ?3 WHERE key = ?1",
                params![
                    piece.key,
                    disposal.on.to_string(),
                    disposal.proceeds.minor()
                ],
            )?;
            Ok(numbers)
        })
    }

    /// Takes a piece out of the register that never belonged there: nothing may be left of it in the ledger.
    ///
    /// # Errors
    /// When lines that name it do not cancel out, or it is not in the register.
    pub fn remove_equipment(&mut self, key: &str) -> Result<(), BookError> {
        let piece = self.piece(key)?;
        if !self.leaves_nothing(&piece.key)? {
            return Err(BookError::refused(format!(
                "entries name '{}'; let it go as sold or scrapped, or take its purchase back",
                piece.name
            )));
        }
        let label = format!("Equipment taken off the register: {}", piece.name);
        self.write(&label, |book| {
            book.note("equipment", &label, "")?;
            book.delete_equipment(&piece.key)
        })
    }

    fn delete_equipment(&mut self, key: &str) -> Result<(), BookError> {
        self.side("DELETE FROM equipment_change WHERE equipment = ?1", [key])?;
        self.side("DELETE FROM equipment WHERE key = ?1", [key])?;
        Ok(())
    }

    /// Whether the lines that name a piece cancel out on every account.
    fn leaves_nothing(&self, key: &str) -> Result<bool, BookError> {
        let is_left = self
            .conn
            .prepare_cached(
                "SELECT 1 FROM line WHERE equipment = ?1 GROUP BY account HAVING sum(amount) <> 0",
            )?
            .exists([key])?;
        Ok(!is_left)
    }

    /// Keeps the register in step when an entry was taken back: what it disposed of is here again, and what it bought
    /// leaves the register when nothing of it is left in the ledger.
    pub(super) fn follow_reversal(&mut self, reversed: &PostedEntry) -> Result<(), BookError> {
        let header = &reversed.entry.header;
        for piece in self.equipment()? {
            let mut lines = reversed.entry.lines().iter();
            if !lines.any(|line| line.equipment.as_deref() == Some(&piece.key)) {
                continue;
            }
            let went = piece.disposal.as_ref().map(|disposal| disposal.on);
            if header.kind == EntryKind::Disposal && went == Some(header.date) {
                self.note("equipment", &format!("Here again: {}", piece.name), "")?;
                self.side(
                    "UPDATE equipment SET disposed_on = NULL, proceeds = NULL WHERE key = ?1",
                    [&piece.key],
                )?;
            } else if piece.purchase_entry == Some(reversed.number)
                && self.leaves_nothing(&piece.key)?
            {
                let what = format!("Equipment taken off the register: {}", piece.name);
                self.note("equipment", &what, "")?;
                self.delete_equipment(&piece.key)?;
            }
        }
        Ok(())
    }

    pub(super) fn insert_equipment(&mut self, equipment: &Equipment) -> Result<(), BookError> {
        equipment.check()?;
        let disposal = equipment.disposal.as_ref();
        let mut values = vec![
            equipment.key.clone().into(),
            disposal.map(|disposal| disposal.on.to_string()).into(),
            disposal.map(|disposal| disposal.proceeds.minor()).into(),
        ];
        values.extend(terms(equipment));
        self.side(
            &format!(
                "INSERT INTO equipment (key, disposed_on, proceeds, {TERMS}) VALUES ({})",
                places(&values)
            ),
            params_from_iter(values),
        )?;
        for change in &equipment.changes {
            self.insert_change(&equipment.key, change)?;
        }
        Ok(())
    }

    fn insert_change(&mut self, key: &str, change: &TermsChange) -> Result<(), BookError> {
        self.side(
            "INSERT INTO equipment_change (equipment, from_day, life_months, residual, business_share, reason)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                key,
                change.from.to_string(),
                change.life_months,
                change.residual.minor(),
                change.business_share.to_string(),
                change.reason.trim(),
            ],
        )?;
        Ok(())
    }
}
