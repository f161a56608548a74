//! What was sold out of stock, by day and item: pieces and what they cost. What they were sold for is the entries'.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::reading::day;
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::money::Money;

/// Pieces of an item that were sold on a day, less those that came back, and what they cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoldOnDay {
    /// The day.
    pub day: NaiveDate,
    /// The item's code.
    pub item: String,
    /// How many.
    pub pieces: Decimal,
    /// What they cost, with what was put right on that day.
    pub cost: Money,
}

impl Book {
    /// What was sold out of stock in a range, by day and item.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_sold(&self, range: DateRange) -> Result<Vec<SoldOnDay>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT day, code, sum(pieces), sum(cost) FROM (
               SELECT m.date AS day, i.code AS code, -m.change AS pieces, 0 AS cost
               FROM movement m JOIN item i ON i.id = m.item
               WHERE m.is_void = 0 AND m.kind IN ('sell', 'return') AND m.date BETWEEN ?1 AND ?2
               UNION ALL
               SELECT p.date, i.code, 0, -p.amount
               FROM stock_posting p JOIN movement m ON m.id = p.movement JOIN item i ON i.id = p.item
               WHERE p.side = 'stock' AND m.kind IN ('sell', 'return') AND p.date BETWEEN ?1 AND ?2
             ) GROUP BY day, code HAVING sum(pieces) <> 0 OR sum(cost) <> 0 ORDER BY day, code",
        )?;
        let mut rows = query.query([range.from.to_string(), range.to.to_string()])?;
        let mut sold = Vec::new();
        while let Some(row) = rows.next()? {
            sold.push(SoldOnDay {
                day: day(&row.get::<_, String>(0)?)?,
                item: row.get(1)?,
                pieces: Decimal::new(row.get(2)?, 6).normalize(),
                cost: Money::from_minor(row.get(3)?),
            });
        }
        Ok(sold)
    }
}
