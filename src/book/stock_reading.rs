//! Stock looked back on: what lay where on a day, and what each movement of an item posted in which entry.
//! Writing movements and posting them is `stock`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::reading::{day, word};
use super::stock_rows::{MOVEMENT, movement_row};
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::ledger::{EntryKind, EntryNumber, Role};
use crate::money::Money;
use crate::statements::StockFlow;
use crate::stock::{Movement, MovementId, MovementKind, Side, StockKeeping, Stocks, cost};

/// What an entry posted of a movement on its item's stock account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemPosting {
    /// The movement.
    pub movement: Movement,
    /// The entry: the movement's own, or one that put its cost right.
    pub entry: EntryNumber,
    /// The entry's day.
    pub date: NaiveDate,
    /// The entry's kind.
    pub kind: EntryKind,
    /// The entry's party; may be empty.
    pub party: String,
    /// The entry's memo; may be empty.
    pub memo: String,
    /// What it added to the stock, in minor units; what left it is below nothing.
    pub amount: Money,
}

impl Book {
    /// Costs everything that stands up to the end of a day: what lies where, and what counts found.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stocks_on(&self, date: NaiveDate) -> Result<Stocks, BookError> {
        let movements: Vec<Movement> = self
            .movements()?
            .into_iter()
            .map(|(one, _entry)| one)
            .filter(|one| one.date <= date)
            .collect();
        cost(self.settings().costing(), &movements)
            .map_err(|error| BookError::refused(error.to_string()))
    }

    /// All movements that stand, and what each costs whatever of it the book posts.
    pub(super) fn costed_movements(
        &self,
    ) -> Result<(BTreeMap<MovementId, Movement>, Stocks), BookError> {
        let list: Vec<Movement> = self.movements()?.into_iter().map(|(one, _)| one).collect();
        let stocks = cost(self.settings().costing(), &list)
            .map_err(|error| BookError::refused(error.to_string()))?;
        Ok((list.into_iter().map(|one| (one.id, one)).collect(), stocks))
    }

    /// As [`Book::stock_flows`] in a book that counts only: what the movements cost, most of which it does not post.
    fn flows_by_cost(&self, range: DateRange) -> Result<Vec<StockFlow>, BookError> {
        let (movements, stocks) = self.costed_movements()?;
        let mut flows: BTreeMap<(&str, MovementKind, bool, Side), Money> = BTreeMap::new();
        for posting in stocks.postings {
            if range.from <= posting.on
                && posting.on <= range.to
                && let Some(one) = movements.get(&posting.of)
            {
                let key = (
                    one.item.as_str(),
                    one.kind,
                    one.batch.is_some(),
                    posting.side,
                );
                *flows.entry(key).or_default() += posting.amount;
            }
        }
        Ok(flows
            .into_iter()
            .filter(|(_, amount)| !amount.is_zero())
            .map(|((item, kind, has_batch, side), amount)| StockFlow {
                item: item.to_owned(),
                kind,
                has_batch,
                side,
                amount,
            })
            .collect())
    }

    /// What movements posted in a range, summed by item, kind, side and whether they belong to a batch. What was taken
    /// back is in it both ways.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_flows(&self, range: DateRange) -> Result<Vec<StockFlow>, BookError> {
        if self.settings().stock_keeping() == StockKeeping::Periodic {
            return self.flows_by_cost(range);
        }
        let mut query = self.conn.prepare_cached(
            "SELECT i.code, m.kind, m.batch IS NOT NULL, p.side, sum(p.amount) FROM stock_posting p
             JOIN movement m ON m.id = p.movement JOIN item i ON i.id = m.item JOIN entry e ON e.number = p.entry
             WHERE e.date BETWEEN ?1 AND ?2 GROUP BY 1, 2, 3, 4 HAVING sum(p.amount) <> 0 ORDER BY 1, 2, 3, 4",
        )?;
        let mut rows = query.query([range.from.to_string(), range.to.to_string()])?;
        let mut flows = Vec::new();
        while let Some(row) = rows.next()? {
            flows.push(StockFlow {
                item: row.get(0)?,
                kind: word(&row.get::<_, String>(1)?)?,
                has_batch: row.get(2)?,
                side: word(&row.get::<_, String>(3)?)?,
                amount: Money::from_minor(row.get(4)?),
            });
        }
        Ok(flows)
    }

    /// What the standing movements of an item posted on its stock account, by the entries' days.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_postings(&self, code: &str) -> Result<Vec<ItemPosting>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT}, p.entry, e.date, e.kind, e.party, e.memo, p.amount
             FROM movement m JOIN item i ON i.id = m.item JOIN stock_posting p ON p.movement = m.id
             JOIN entry e ON e.number = p.entry
             WHERE i.code = ?1 AND m.is_void = 0 AND p.side = 'stock' ORDER BY e.date, p.id"
        ))?;
        let mut rows = query.query([code.trim()])?;
        let mut postings = Vec::new();
        while let Some(row) = rows.next()? {
            postings.push(ItemPosting {
                movement: movement_row(row)?,
                entry: EntryNumber(row.get(11)?),
                date: day(&row.get::<_, String>(12)?)?,
                kind: word(&row.get::<_, String>(13)?)?,
                party: row.get(14)?,
                memo: row.get(15)?,
                amount: Money::from_minor(row.get(16)?),
            });
        }
        Ok(postings)
    }

    /// Of every item that can be sold: the day up to this one on which it was last sold or used in something that is, or
    /// before the first time, on which it first came. What never came is left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_sold(&self, on: NaiveDate) -> Result<BTreeMap<String, NaiveDate>, BookError> {
        let mut sold = self.conn.prepare_cached(
            "SELECT date FROM movement WHERE item = ?1 AND is_void = 0 AND date <= ?2 AND kind IN ('sell', 'use')
             ORDER BY date DESC LIMIT 1",
        )?;
        let mut came = self.conn.prepare_cached(
            "SELECT date FROM movement WHERE item = ?1 AND is_void = 0 AND date <= ?2 AND kind IN ('receive', 'make')
             ORDER BY date LIMIT 1",
        )?;
        let mut days = BTreeMap::new();
        for (id, item) in self.items_by_row()? {
            if !item.kind.is_sold() {
                continue;
            }
            for query in [&mut sold, &mut came] {
                let found: Option<String> = query
                    .query_row(params![id, on.to_string()], |row| row.get(0))
                    .optional()?;
                if let Some(found) = found {
                    days.insert(item.code, day(&found)?);
                    break;
                }
            }
        }
        Ok(days)
    }

    /// The last arrival of an item on the purchase with this document key; nothing when there is none, or no key.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrival_on(&self, document: &str, code: &str) -> Result<Option<MovementId>, BookError> {
        if document.trim().is_empty() {
            return Ok(None);
        }
        let mut query = self.conn.prepare_cached(
            "SELECT m.id FROM movement m JOIN item i ON i.id = m.item JOIN entry e ON e.number = m.entry
             WHERE e.document = ?1 AND i.code = ?2 AND m.kind = 'receive' AND m.is_void = 0
             ORDER BY m.id DESC LIMIT 1",
        )?;
        let found = query
            .query_row(params![document.trim(), code.trim()], |row| {
                Ok(MovementId(row.get(0)?))
            })
            .optional()?;
        Ok(found)
    }

    /// What each batch's pieces came to when all that is known now is counted, by the movement that made them.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn made_worth(&self) -> Result<BTreeMap<u64, Money>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT p.movement, sum(p.amount) FROM stock_posting p JOIN movement m ON m.id = p.movement
             WHERE m.kind = 'make' AND m.is_void = 0 AND p.side = 'stock' GROUP BY p.movement",
        )?;
        let found = query.query_map([], |row| Ok((row.get(0)?, Money::from_minor(row.get(1)?))))?;
        Ok(found.collect::<Result<BTreeMap<u64, Money>, _>>()?)
    }

    /// What the lines on a stock account that name no kept item come to, up to the end of a day.
    ///
    /// # Errors
    /// When the file cannot be read, or the chart lacks the account.
    pub fn not_itemised(
        &self,
        role: Role,
        date: NaiveDate,
    ) -> Result<Vec<(EntryNumber, Money)>, BookError> {
        let account = self.chart.role(role)?;
        let mut query = self.conn.prepare_cached(
            "SELECT l.entry, sum(l.amount) FROM line l JOIN entry e ON e.number = l.entry
             WHERE l.account = ?1 AND e.date <= ?2
               AND (l.item IS NULL OR NOT EXISTS (SELECT 1 FROM item i WHERE i.code = l.item))
             GROUP BY l.entry HAVING sum(l.amount) <> 0 ORDER BY e.date, l.entry",
        )?;
        let found = query.query_map(rusqlite::params![account.0, date.to_string()], |row| {
            Ok((EntryNumber(row.get(0)?), Money::from_minor(row.get(1)?)))
        })?;
        Ok(found.collect::<Result<Vec<_>, _>>()?)
    }
}
