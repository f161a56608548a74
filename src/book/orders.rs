//! Orders to suppliers in the file: what was ordered on which terms, and whether it was closed.
//! What came of them is `arrivals`', what an order refuses and comes to is `crate::ordering`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Row, params};

use super::reading::{day, word};
use super::{Book, BookError};
use crate::deciding::UnitCost;
use crate::money::{AmountError, Money};
use crate::ordering::{OrderLine, SupplierOrder, deals_text, read_deals, read_tiers, tiers_text};

const ORDER: &str =
    "id, key, supplier, ordered_on, deals, carriage, lead_days, wanted_on, over_share, under_share,
    no_unders, billing, reference, note, closed_on";

pub(super) fn may_day(text: Option<String>) -> Result<Option<NaiveDate>, BookError> {
    text.as_deref().map(day).transpose()
}

fn minor_price(text: &str) -> Result<UnitCost, AmountError> {
    let minor = text
        .parse()
        .map_err(|_not_a_number| AmountError::NotANumber(text.to_owned()))?;
    UnitCost::from_minor(minor)
}

fn minor_amount(text: &str) -> Result<Money, AmountError> {
    text.parse()
        .map(Money::from_minor)
        .map_err(|_not_a_number| AmountError::NotANumber(text.to_owned()))
}

fn order_row(row: &Row<'_>) -> Result<SupplierOrder, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    Ok(SupplierOrder {
        id: row.get(0)?,
        key: text(1)?,
        supplier: text(2)?,
        ordered_on: day(&text(3)?)?,
        lines: Vec::new(),
        deals: read_deals(&text(4)?, minor_amount).map_err(BookError::damaged)?,
        carriage: Money::from_minor(row.get(5)?),
        lead_days: row.get(6)?,
        wanted_on: may_day(row.get(7)?)?,
        over: word(&text(8)?)?,
        under: word(&text(9)?)?,
        no_unders: row.get(10)?,
        billing: word(&text(11)?)?,
        reference: text(12)?,
        note: text(13)?,
        closed_on: may_day(row.get(14)?)?,
    })
}

fn line_row(row: &Row<'_>) -> Result<(i64, OrderLine), BookError> {
    let tiers: String = row.get(3)?;
    let line = OrderLine {
        item: row.get(1)?,
        quantity: row.get(2)?,
        tiers: read_tiers(&tiers, minor_price).map_err(BookError::damaged)?,
        minimum: row.get(4)?,
        once_per_design: Money::from_minor(row.get(5)?),
        once_per_run: Money::from_minor(row.get(6)?),
        is_first_run: row.get(7)?,
    };
    Ok((row.get(0)?, line))
}

impl Book {
    /// The orders to suppliers, by day and as they were written.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn supplier_orders(&self) -> Result<Vec<SupplierOrder>, BookError> {
        let mut lines: BTreeMap<i64, Vec<OrderLine>> = BTreeMap::new();
        let mut query = self.conn.prepare_cached(
            "SELECT l.of_order, i.code, l.quantity, l.tiers, l.minimum, l.once_per_design, l.once_per_run,
               l.is_first_run
             FROM supplier_order_line l JOIN item i ON i.id = l.item ORDER BY l.id",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (of, line) = line_row(row)?;
            lines.entry(of).or_default().push(line);
        }
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {ORDER} FROM supplier_order ORDER BY ordered_on, id"
        ))?;
        let mut rows = query.query([])?;
        let mut orders = Vec::new();
        while let Some(row) = rows.next()? {
            let mut order = order_row(row)?;
            order.lines = lines.remove(&order.id).unwrap_or_default();
            orders.push(order);
        }
        Ok(orders)
    }

    /// An order by its key, in any case.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn supplier_order(&self, key: &str) -> Result<Option<SupplierOrder>, BookError> {
        let key = key.trim();
        Ok(self
            .supplier_orders()?
            .into_iter()
            .find(|order| order.key.eq_ignore_ascii_case(key)))
    }

    /// An order by its number.
    pub(super) fn order_of(&self, id: i64) -> Result<SupplierOrder, BookError> {
        self.supplier_orders()?
            .into_iter()
            .find(|order| order.id == id)
            .ok_or_else(|| no_order(id))
    }

    /// Keeps an order: a new one, or in the place of the one with its number. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, an item is unknown, another order has its key, or something came of it that would not fit.
    pub fn keep_supplier_order(&mut self, order: &SupplierOrder) -> Result<i64, BookError> {
        order
            .check()
            .map_err(|error| BookError::refused(error.message))?;
        for line in &order.lines {
            self.item_id(&line.item)?;
        }
        if order.id != 0 {
            let before = self.order_of(order.id)?;
            for arrival in self.arrivals_of(order.id)? {
                if arrival.is_void {
                    continue;
                }
                arrival.check(order).map_err(|error| {
                    BookError::refused(format!("arrival {}: {error}", arrival.key))
                })?;
                if before.key.trim() != order.key.trim() {
                    return Err(BookError::refused(
                        "an order of which something came keeps its key: its receipts have it",
                    ));
                }
            }
        }
        let label = if order.id == 0 {
            format!("Ordered: {}", order.key.trim())
        } else {
            format!("Order changed: {}", order.key.trim())
        };
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            let id = book.put_order_row(order)?;
            book.put_order_lines(id, order)?;
            Ok(id)
        })
    }

    fn put_order_row(&mut self, order: &SupplierOrder) -> Result<i64, BookError> {
        let deals = deals_text(&order.deals, |amount| amount.minor().to_string());
        let values = params![
            (order.id != 0).then_some(order.id),
            order.key.trim(),
            order.supplier.trim(),
            order.ordered_on.to_string(),
            deals,
            order.carriage.minor(),
            order.lead_days,
            order.wanted_on.map(|day| day.to_string()),
            order.over.to_string(),
            order.under.to_string(),
            order.no_unders,
            order.billing.as_str(),
            order.reference.trim(),
            order.note.trim(),
            order.closed_on.map(|day| day.to_string()),
        ];
        if order.id == 0 {
            self.side(
                &format!(
                    "INSERT INTO supplier_order ({ORDER})
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15)"
                ),
                values,
            )?;
            return Ok(self.conn.last_insert_rowid());
        }
        self.side(
            "UPDATE supplier_order SET key = ?2, supplier = ?3, ordered_on = ?4, deals = ?5, carriage = ?6,
               lead_days = ?7, wanted_on = ?8, over_share = ?9, under_share = ?10, no_unders = ?11, billing = ?12,
               reference = ?13, note = ?14, closed_on = ?15 WHERE id = ?1",
            values,
        )?;
        Ok(order.id)
    }

    fn put_order_lines(&mut self, id: i64, order: &SupplierOrder) -> Result<(), BookError> {
        self.side("DELETE FROM supplier_order_line WHERE of_order = ?1", [id])?;
        for line in &order.lines {
            let item = self.item_id(&line.item)?;
            self.side(
                "INSERT INTO supplier_order_line (of_order, item, quantity, tiers, minimum, once_per_design,
                   once_per_run, is_first_run)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                params![
                    id,
                    item,
                    line.quantity,
                    tiers_text(&line.tiers, |each| each.minor().to_string()),
                    line.minimum,
                    line.once_per_design.minor(),
                    line.once_per_run.minor(),
                    line.is_first_run,
                ],
            )?;
        }
        Ok(())
    }

    /// Takes an order out of the book of which nothing came.
    ///
    /// # Errors
    /// When it is not there, or something came of it.
    pub fn remove_supplier_order(&mut self, id: i64) -> Result<(), BookError> {
        let order = self.order_of(id)?;
        if !self.arrivals_of(id)?.is_empty() {
            return Err(BookError::refused(format!(
                "something came of order {}; close it instead, or take its arrivals back",
                order.key
            )));
        }
        let label = format!("Order taken out: {}", order.key);
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            book.side("DELETE FROM supplier_order_line WHERE of_order = ?1", [id])?;
            book.side("DELETE FROM supplier_order WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// Closes an order although not everything came, or opens it again.
    ///
    /// # Errors
    /// When it is not there, or the day is before the order.
    pub fn close_supplier_order(
        &mut self,
        id: i64,
        on: Option<NaiveDate>,
    ) -> Result<(), BookError> {
        let mut order = self.order_of(id)?;
        order.closed_on = on;
        order
            .check()
            .map_err(|error| BookError::refused(error.message))?;
        let label = if on.is_some() {
            format!("Order closed short: {}", order.key)
        } else {
            format!("Order opened again: {}", order.key)
        };
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            book.side(
                "UPDATE supplier_order SET closed_on = ?2 WHERE id = ?1",
                params![id, on.map(|day| day.to_string())],
            )?;
            Ok(())
        })
    }

    /// A key for the next order that no other has: `4`.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn next_order_key(&self) -> Result<String, BookError> {
        self.free_key("", "supplier_order")
    }

    /// A word, or none, and the first number from the count of rows on that no row has as its key.
    pub(super) fn free_key(&self, word: &str, table: &str) -> Result<String, BookError> {
        let count: u64 =
            self.conn
                .query_row(&format!("SELECT count(*) FROM {table}"), [], |row| {
                    row.get(0)
                })?;
        let mut number = count + 1;
        loop {
            let key = format!("{word} {number}").trim().to_owned();
            let is_taken: Option<i64> = self
                .conn
                .query_row(
                    &format!("SELECT id FROM {table} WHERE key = ?1"),
                    [&key],
                    |row| row.get(0),
                )
                .optional()?;
            if is_taken.is_none() {
                return Ok(key);
            }
            number += 1;
        }
    }
}

pub(super) fn no_order(id: i64) -> BookError {
    BookError::NoSuch {
        what: "order",
        key: id.to_string(),
    }
}
