//! Sets sold under one name: kept, changed, read.
//! What a sold set takes out of the stock is `stock`'s.

use rusqlite::{OptionalExtension, params};

use super::reading::word;
use super::{Book, BookError};
use crate::money::Money;
use crate::stock::{Bundle, BundlePart};

impl Book {
    /// The sets, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn bundles(&self) -> Result<Vec<Bundle>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, code, name, price, is_active FROM bundle ORDER BY name, code",
        )?;
        let mut parts = self.conn.prepare_cached(
            "SELECT i.code, p.quantity FROM bundle_part p JOIN item i ON i.id = p.item WHERE p.bundle = ?1 ORDER BY p.id",
        )?;
        let mut rows = query.query([])?;
        let mut bundles = Vec::new();
        while let Some(row) = rows.next()? {
            let mut bundle = Bundle {
                code: row.get(1)?,
                name: row.get(2)?,
                price: row.get::<_, Option<i64>>(3)?.map(Money::from_minor),
                parts: Vec::new(),
                is_active: row.get(4)?,
            };
            let mut of = parts.query([row.get::<_, i64>(0)?])?;
            while let Some(part) = of.next()? {
                bundle.parts.push(BundlePart {
                    item: part.get(0)?,
                    quantity: word(&part.get::<_, String>(1)?)?,
                });
            }
            bundles.push(bundle);
        }
        Ok(bundles)
    }

    /// The set with this code; capitals do not matter.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn bundle(&self, code: &str) -> Result<Option<Bundle>, BookError> {
        let code = code.trim();
        let is_there = self
            .conn
            .prepare_cached("SELECT 1 FROM bundle WHERE code = ?1")?
            .exists([code])?;
        if !is_there {
            return Ok(None);
        }
        let bundles = self.bundles()?;
        Ok(bundles
            .into_iter()
            .find(|bundle| bundle.code.eq_ignore_ascii_case(code)))
    }

    /// Keeps a set, in the place of the one with the same code. What sets sold before took stays as it was.
    ///
    /// # Errors
    /// When it cannot be, an item has its code or a part is not kept.
    pub fn put_bundle(&mut self, bundle: &Bundle) -> Result<(), BookError> {
        bundle
            .check()
            .map_err(|error| BookError::refused(format!("set {}: {error}", bundle.code)))?;
        if self.item(&bundle.code)?.is_some() {
            return Err(BookError::refused(format!(
                "{} is the code of an item; give the set another",
                bundle.code.trim()
            )));
        }
        let items = bundle
            .parts
            .iter()
            .map(|part| self.item_id(&part.item))
            .collect::<Result<Vec<i64>, _>>()?;
        let label = format!("Set kept: {}", bundle.name.trim());
        self.write(&label, |book| {
            book.note("stock", &label, "")?;
            book.side(
                "INSERT INTO bundle (code, name, price, is_active) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (code) DO UPDATE SET name = excluded.name, price = excluded.price,
                   is_active = excluded.is_active",
                params![
                    bundle.code.trim(),
                    bundle.name.trim(),
                    bundle.price.map(Money::minor),
                    bundle.is_active
                ],
            )?;
            let id: i64 = book
                .conn
                .prepare_cached("SELECT id FROM bundle WHERE code = ?1")?
                .query_row([bundle.code.trim()], |row| row.get(0))?;
            book.side("DELETE FROM bundle_part WHERE bundle = ?1", [id])?;
            for (part, item) in bundle.parts.iter().zip(&items) {
                book.side(
                    "INSERT INTO bundle_part (bundle, item, quantity) VALUES (?1, ?2, ?3)",
                    params![id, item, part.quantity.to_string()],
                )?;
            }
            Ok(())
        })
    }

    /// Refuses an item whose code is a set's.
    pub(super) fn refuse_bundle_code(&self, code: &str) -> Result<(), BookError> {
        let name: Option<String> = self
            .conn
            .prepare_cached("SELECT name FROM bundle WHERE code = ?1")?
            .query_row([code.trim()], |row| row.get(0))
            .optional()?;
        match name {
            None => Ok(()),
            Some(name) => Err(BookError::refused(format!(
                "{} is the code of the set '{name}'; give the item another",
                code.trim()
            ))),
        }
    }
}
