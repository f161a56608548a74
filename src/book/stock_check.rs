//! The check of stock: what everything is worth against what is posted, and what is posted against the lines.
//! It changes nothing; the other checks are `check`'s.

use std::collections::BTreeMap;

use super::stock_differences::side_of;
use super::{Book, BookError};
use crate::money::Money;
use crate::stock::{Movement, MovementId, MovementKind, millionths};

impl Book {
    /// What is wrong between the stock and the ledger, a sentence each; nothing in a sound book. What everything is worth
    /// is held against what is posted, and what is posted against the lines.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_faults(&self) -> Result<Vec<String>, BookError> {
        let mut faults = self.misplaced_postings()?;
        let movements: Vec<Movement> = self.movements()?.into_iter().map(|(one, _)| one).collect();
        let stocks = match self.costed(&movements) {
            Ok(stocks) => stocks,
            Err(error) => return Ok(vec![error.to_string()]),
        };
        let mut sums: BTreeMap<(String, u64, &str), Money> = BTreeMap::new();
        for posting in &stocks.postings {
            let key = (posting.on.to_string(), posting.of.0, posting.side.as_str());
            *sums.entry(key).or_default() += posting.amount;
        }
        let mut query = self.conn.prepare(
            "SELECT e.date, p.movement, p.side, p.amount FROM stock_posting p JOIN entry e ON e.number = p.entry",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let side = side_of(&row.get::<_, String>(2)?)?.as_str();
            let amount = Money::from_minor(row.get(3)?);
            *sums.entry((row.get(0)?, row.get(1)?, side)).or_default() -= amount;
        }
        let mut changes: BTreeMap<MovementId, i64> = movements
            .iter()
            .map(|movement| (movement.id, movement.change()))
            .collect();
        changes.extend(
            stocks
                .counted
                .iter()
                .map(|(id, found)| (*id, millionths(*found))),
        );
        let mut query = self
            .conn
            .prepare("SELECT id, change FROM movement WHERE is_void = 0")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let id = MovementId(row.get(0)?);
            if changes.get(&id) != Some(&row.get(1)?) {
                faults.push(format!("movement {id} keeps another change than it made"));
            }
        }
        for ((on, movement, _side), amount) in sums {
            if !amount.is_zero() {
                let amount = self.currency().plain(amount);
                faults.push(format!(
                    "movement {movement} is worth {amount} more on {on} than is posted"
                ));
            }
        }
        let mut query = self.conn.prepare(
            "WITH stock (role) AS (VALUES ('materials'), ('bought-in-goods'), ('made-goods'), ('packaging-on-hand')),
             told AS (
               SELECT e.date AS date, i.id AS item, l.amount AS amount
               FROM line l JOIN entry e ON e.number = l.entry JOIN account a ON a.id = l.account
               JOIN stock s ON s.role = a.role JOIN item i ON i.code = l.item
               UNION ALL
               SELECT e.date, m.item, -p.amount FROM stock_posting p
               JOIN entry e ON e.number = p.entry JOIN movement m ON m.id = p.movement WHERE p.side = 'stock')
             SELECT i.code, t.date, sum(t.amount) FROM told t JOIN item i ON i.id = t.item
             GROUP BY t.item, t.date HAVING sum(t.amount) <> 0 ORDER BY t.date, i.code",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (code, on): (String, String) = (row.get(0)?, row.get(1)?);
            let amount = self.currency().plain(Money::from_minor(row.get(2)?));
            faults.push(format!(
                "the ledger has {amount} more of {code} on {on} than its movements"
            ));
        }
        Ok(faults)
    }

    /// Movements and postings that do not stand on their entry's day or their item.
    fn misplaced_postings(&self) -> Result<Vec<String>, BookError> {
        let mut query = self.conn.prepare(
            "SELECT 'movement ' || m.id || ' is of another day than its entry ' || e.number
               FROM movement m JOIN entry e ON e.number = m.entry WHERE m.date <> e.date
             UNION ALL
             SELECT 'what entry ' || e.number || ' posted of movement ' || m.id || ' stands on another day or item'
               FROM stock_posting p JOIN entry e ON e.number = p.entry JOIN movement m ON m.id = p.movement
               WHERE p.date <> e.date OR p.item <> m.item",
        )?;
        let found = query.query_map([], |row| row.get(0))?;
        Ok(found.collect::<Result<_, _>>()?)
    }

    /// What is wrong with items, recipes, sets and what is told beside batches, a sentence each.
    pub(super) fn kept_stock_faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        let mut read = |found: Result<Vec<String>, BookError>| match found {
            Ok(found) => faults.extend(found),
            Err(error) => faults.push(error.to_string()),
        };
        read(self.items().map(|_items| Vec::new()));
        read(self.recipes().map(|_recipes| Vec::new()));
        read(self.bundle_faults());
        read(self.batch_note_faults());
        faults
    }

    fn bundle_faults(&self) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        for bundle in self.bundles()? {
            if let Err(error) = bundle.check() {
                faults.push(format!("set {}: {error}", bundle.code));
            }
            if self.item(&bundle.code)?.is_some() {
                faults.push(format!("set {}: an item has the same code", bundle.code));
            }
        }
        Ok(faults)
    }

    fn batch_note_faults(&self) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        for (number, note) in self.batch_notes()? {
            if let Err(error) = note.check() {
                faults.push(format!("batch of movement {number}: {error}"));
            }
            let made = self.movement(MovementId(number))?;
            if made.is_some_and(|made| made.kind != MovementKind::Make) {
                faults.push(format!(
                    "movement {number} made nothing, and a batch is told of it"
                ));
            }
        }
        Ok(faults)
    }
}
