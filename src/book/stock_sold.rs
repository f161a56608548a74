//! What was sold out of stock, by day and item: pieces and what they cost. What they were sold for is the entries'.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::reading::day;
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::money::Money;
use crate::stock::{Movement, MovementKind, Side, StockKeeping, of_millionths};

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
        if self.settings().stock_keeping() == StockKeeping::Periodic {
            return self.sold_by_cost(range);
        }
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

    /// As [`Book::stock_sold`] in a book that counts only: what the pieces cost, which it does not post when they are sold.
    fn sold_by_cost(&self, range: DateRange) -> Result<Vec<SoldOnDay>, BookError> {
        let (movements, stocks) = self.costed_movements()?;
        let is_in = |day: NaiveDate| range.from <= day && day <= range.to;
        let sold = |one: &Movement| matches!(one.kind, MovementKind::Sell | MovementKind::Return);
        let mut sums: BTreeMap<(NaiveDate, &str), (Decimal, Money)> = BTreeMap::new();
        for one in movements
            .values()
            .filter(|one| sold(one) && is_in(one.date))
        {
            let sum = sums.entry((one.date, &one.item)).or_default();
            sum.0 += of_millionths(-one.change()).value();
        }
        for posting in stocks.postings {
            if let Some(of) = movements.get(&posting.of)
                && posting.side == Side::Stock
                && sold(of)
                && is_in(posting.on)
            {
                sums.entry((posting.on, &of.item)).or_default().1 -= posting.amount;
            }
        }
        Ok(sums
            .into_iter()
            .filter(|(_, (pieces, cost))| !pieces.is_zero() || !cost.is_zero())
            .map(|((day, item), (pieces, cost))| SoldOnDay {
                day,
                item: item.to_owned(),
                pieces: pieces.normalize(),
                cost,
            })
            .collect())
    }
}
