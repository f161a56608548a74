//! Comparisons of making a product with having it made, kept with it. What they come to is `deciding`'s.

use rusqlite::{Row, params};
use rust_decimal::Decimal;

use super::reading::word;
use super::{Book, BookError};
use crate::deciding::{OwnTime, PriceTier, Run, SavedComparison, UnitCost, WaysAsk};
use crate::money::Money;

const COLUMNS: &str = "c.id, i.code, c.name, c.wanted, c.tiers, c.minimum, c.out_design, c.out_run, c.carriage, c.each_cost, \
     c.batch, c.loss, c.minutes, c.own_rate, c.equipment, c.own_time, c.made_again";

fn unit_cost(text: &str) -> Result<UnitCost, BookError> {
    let minor: Decimal = word(text)?;
    UnitCost::from_minor(minor).map_err(|error| BookError::damaged(error.to_string()))
}

fn tiers(text: &str) -> Result<Vec<PriceTier>, BookError> {
    text.split(';')
        .map(|tier| {
            let (from, each) = tier
                .split_once(':')
                .ok_or_else(|| BookError::damaged(format!("'{tier}' is no price of a house")))?;
            Ok(PriceTier {
                from: word(from)?,
                each: unit_cost(each)?,
            })
        })
        .collect()
}

fn comparison(row: &Row<'_>) -> Result<SavedComparison, BookError> {
    let money = |column: usize| row.get(column).map(Money::from_minor);
    let text = |column: usize| row.get::<_, String>(column);
    Ok(SavedComparison {
        id: row.get(0)?,
        item: row.get(1)?,
        name: row.get(2)?,
        ask: WaysAsk {
            wanted: row.get(3)?,
            tiers: tiers(&text(4)?)?,
            minimum: row.get(5)?,
            out_design: money(6)?,
            out_run: money(7)?,
            carriage: money(8)?,
            each: unit_cost(&text(9)?)?,
            batch: row.get(10)?,
            loss: word(&text(11)?)?,
            minutes: word(&text(12)?)?,
            own_rate: money(13)?,
            equipment: money(14)?,
            time: if row.get(15)? {
                OwnTime::Counted
            } else {
                OwnTime::LeftOut
            },
            run: if row.get(16)? {
                Run::Reorder
            } else {
                Run::First
            },
        },
    })
}

impl Book {
    /// The comparisons that are kept, by item and name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn comparisons(&self) -> Result<Vec<SavedComparison>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM comparison c JOIN item i ON i.id = c.item ORDER BY i.code, c.name"
        ))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(comparison(row)?);
        }
        Ok(list)
    }

    /// Keeps a comparison with its product, or changes it when it has a number; returns its number.
    ///
    /// # Errors
    /// When it cannot be, the product is not kept, another of its comparisons has the name, or it is no longer there.
    pub fn keep_comparison(&mut self, comparison: &SavedComparison) -> Result<i64, BookError> {
        comparison
            .check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        let item = self.item_id(&comparison.item)?;
        let name = comparison.name.trim();
        let is_taken = self.comparisons()?.into_iter().any(|other| {
            other.id != comparison.id
                && other.item.eq_ignore_ascii_case(comparison.item.trim())
                && other.name.to_lowercase() == name.to_lowercase()
        });
        if is_taken {
            return Err(BookError::refused(format!(
                "there is a comparison called '{name}' already; give this one another name"
            )));
        }
        let ask = &comparison.ask;
        let tiers: Vec<String> = ask
            .tiers
            .iter()
            .map(|tier| format!("{}:{}", tier.from, tier.each.minor()))
            .collect();
        let label = format!("Comparison kept: {name}");
        self.write(&label, |book| {
            book.note("deciding", &label, "")?;
            let values = params![
                item,
                name,
                ask.wanted,
                tiers.join(";"),
                ask.minimum,
                ask.out_design.minor(),
                ask.out_run.minor(),
                ask.carriage.minor(),
                ask.each.minor().to_string(),
                ask.batch,
                ask.loss.to_string(),
                ask.minutes.to_string(),
                ask.own_rate.minor(),
                ask.equipment.minor(),
                ask.time == OwnTime::Counted,
                ask.run == Run::Reorder,
                comparison.id,
            ];
            if comparison.id == 0 {
                book.side(
                    "INSERT INTO comparison (item, name, wanted, tiers, minimum, out_design, out_run, carriage, each_cost,
                       batch, loss, minutes, own_rate, equipment, own_time, made_again)
                     SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16 WHERE ?17 = 0",
                    values,
                )?;
                return Ok(book.conn.last_insert_rowid());
            }
            let n_changed = book.side(
                "UPDATE comparison SET item = ?1, name = ?2, wanted = ?3, tiers = ?4, minimum = ?5, out_design = ?6,
                   out_run = ?7, carriage = ?8, each_cost = ?9, batch = ?10, loss = ?11, minutes = ?12, own_rate = ?13,
                   equipment = ?14, own_time = ?15, made_again = ?16 WHERE id = ?17",
                values,
            )?;
            if n_changed == 0 {
                return Err(no_comparison(comparison.id));
            }
            Ok(comparison.id)
        })
    }

    /// Keeps a comparison no longer.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_comparison(&mut self, id: i64) -> Result<(), BookError> {
        let Some(gone) = self.comparisons()?.into_iter().find(|one| one.id == id) else {
            return Err(no_comparison(id));
        };
        let label = format!("Comparison removed: {}", gone.name);
        self.write(&label, |book| {
            book.note("deciding", &label, "")?;
            book.side("DELETE FROM comparison WHERE id = ?1", [id])?;
            Ok(())
        })
    }
}

fn no_comparison(id: i64) -> BookError {
    BookError::NoSuch {
        what: "comparison",
        key: id.to_string(),
    }
}
