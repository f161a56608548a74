//! The spaces of the home that the business uses and the home's bills in the file.
//! What each refuses is `crate::workspace`'s, and what a year comes to as well.

use rusqlite::params;

use super::reading::{day, word};
use super::{Book, BookError};
use crate::dates::{Month, show_day};
use crate::money::Money;
use crate::workspace::{HomeBill, Space, WorkspaceError};

fn refused(error: WorkspaceError) -> BookError {
    BookError::refused(error.to_string())
}

impl Book {
    /// The spaces, by the day they began.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn spaces(&self) -> Result<Vec<Space>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, name, area, home_area, used_for, is_exclusive, from_day, until_day
             FROM workspace ORDER BY from_day, id",
        )?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let text = |column: usize| row.get::<_, String>(column);
            let until: Option<String> = row.get(7)?;
            list.push(Space {
                id: row.get(0)?,
                name: text(1)?,
                area: word(&text(2)?)?,
                home_area: word(&text(3)?)?,
                used_for: word(&text(4)?)?,
                is_exclusive: row.get(5)?,
                from: day(&text(6)?)?,
                until: until.map(|text| day(&text)).transpose()?,
            });
        }
        Ok(list)
    }

    /// Keeps a space: new when it has no number, else in the place of the one with its number. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, or a space of that name begins on that day already.
    pub fn keep_space(&mut self, space: &Space) -> Result<i64, BookError> {
        space.check().map_err(refused)?;
        let name = space.name.trim();
        let is_there = self.spaces()?.iter().any(|one| {
            one.id != space.id
                && one.from == space.from
                && one.name.to_lowercase() == name.to_lowercase()
        });
        if is_there {
            return Err(BookError::refused(format!(
                "'{name}' from {} is there already",
                show_day(space.from)
            )));
        }
        let label = format!("Workspace: {name}");
        self.write(&label, |book| {
            book.note("workspace", &label, "")?;
            let values = params![
                name,
                space.area.to_string(),
                space.home_area.to_string(),
                space.used_for.as_str(),
                space.is_exclusive,
                space.from.to_string(),
                space.until.map(|until| until.to_string()),
                Some(space.id).filter(|id| *id != 0),
            ];
            if space.id == 0 {
                book.side(
                    "INSERT INTO workspace (name, area, home_area, used_for, is_exclusive, from_day, until_day, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE workspace SET name = ?1, area = ?2, home_area = ?3, used_for = ?4, is_exclusive = ?5,
                   from_day = ?6, until_day = ?7 WHERE id = ?8",
                values,
            )?;
            if n_changed == 0 {
                return Err(no_such("space", space.id));
            }
            Ok(space.id)
        })
    }

    /// Takes a space out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_space(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Workspace taken out", |book| {
            book.note("workspace", &format!("Workspace {id} taken out"), "")?;
            if book.side("DELETE FROM workspace WHERE id = ?1", [id])? == 0 {
                return Err(no_such("space", id));
            }
            Ok(())
        })
    }

    /// The bills of the home, by day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn home_bills(&self) -> Result<Vec<HomeBill>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, day, what, amount, covers_from, covers_months, paid_by_business
             FROM workspace_bill ORDER BY day, id",
        )?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            let text = |column: usize| row.get::<_, String>(column);
            list.push(HomeBill {
                id: row.get(0)?,
                date: day(&text(1)?)?,
                what: text(2)?,
                amount: Money::from_minor(row.get(3)?),
                covers_from: Month::of(day(&text(4)?)?),
                covers_months: row.get(5)?,
                is_paid_by_business: row.get(6)?,
            });
        }
        Ok(list)
    }

    /// Keeps a bill of the home: new when it has no number, else in the place of the one with its number. Returns its
    /// number. Nothing is posted.
    ///
    /// # Errors
    /// When it cannot be.
    pub fn keep_home_bill(&mut self, bill: &HomeBill) -> Result<i64, BookError> {
        bill.check().map_err(refused)?;
        let label = format!("Bill of the home: {}", bill.what.trim());
        self.write(&label, |book| {
            book.note("workspace", &label, "")?;
            let values = params![
                bill.date.to_string(),
                bill.what.trim(),
                bill.amount.minor(),
                bill.covers_from.first_day().to_string(),
                bill.covers_months,
                bill.is_paid_by_business,
                Some(bill.id).filter(|id| *id != 0),
            ];
            if bill.id == 0 {
                book.side(
                    "INSERT INTO workspace_bill (day, what, amount, covers_from, covers_months, paid_by_business, id)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE workspace_bill SET day = ?1, what = ?2, amount = ?3, covers_from = ?4, covers_months = ?5,
                   paid_by_business = ?6 WHERE id = ?7",
                values,
            )?;
            if n_changed == 0 {
                return Err(no_such("bill", bill.id));
            }
            Ok(bill.id)
        })
    }

    /// Takes a bill out that was a mistake.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_home_bill(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Bill of the home taken out", |book| {
            book.note("workspace", &format!("Bill {id} taken out"), "")?;
            if book.side("DELETE FROM workspace_bill WHERE id = ?1", [id])? == 0 {
                return Err(no_such("bill", id));
            }
            Ok(())
        })
    }
}

fn no_such(what: &'static str, id: i64) -> BookError {
    BookError::NoSuch {
        what,
        key: id.to_string(),
    }
}
