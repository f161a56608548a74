//! Named layouts of files that banks and shops write, and what of a shop's files became which entry.
//! What a layout's JSON says is the readers' business.

use std::collections::HashMap;

use rusqlite::{OptionalExtension, params};

use super::{Book, BookError};
use crate::ledger::{AccountId, EntryNumber};

/// A layout that is kept by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileLayout {
    /// Its number in the book.
    pub id: i64,
    /// Its name, by the owner.
    pub name: String,
    /// What it reads: `bank`, `orders`, `payouts`, or `bridge` for what a shop's report includes.
    pub purpose: String,
    /// How, as JSON.
    pub content: String,
}

/// Words of a shop's file and the product that they mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopItem {
    /// The shop's account.
    pub channel: AccountId,
    /// The words, as the shop's file has them.
    pub words: String,
    /// The product's code; empty when they mean none.
    pub item: String,
}

/// A record of a shop's file and the entry that it became.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopRecord {
    /// The shop's account.
    pub channel: AccountId,
    /// The record's key, made of the shop's own numbers.
    pub key: String,
    /// Its entry; nothing where the record needs none.
    pub entry: Option<EntryNumber>,
}

impl Book {
    /// The layouts kept for a purpose, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn file_layouts(&self, purpose: &str) -> Result<Vec<FileLayout>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, name, purpose, content FROM file_layout WHERE purpose = ?1 ORDER BY name",
        )?;
        let list = query
            .query_map([purpose], |row| {
                Ok(FileLayout {
                    id: row.get(0)?,
                    name: row.get(1)?,
                    purpose: row.get(2)?,
                    content: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(list)
    }

    /// Keeps a layout under a name, in the place of an earlier one of that name and purpose.
    ///
    /// # Errors
    /// When the name is empty, or the purpose is none.
    pub fn keep_file_layout(
        &mut self,
        name: &str,
        purpose: &str,
        content: &str,
    ) -> Result<i64, BookError> {
        let name = name.trim();
        if name.is_empty() {
            return Err(BookError::refused("give the layout a name"));
        }
        let label = format!("Layout kept: {name}");
        self.write(&label, |book| {
            book.note("layout", &label, "")?;
            let there: Option<i64> = book
                .conn
                .prepare_cached("SELECT id FROM file_layout WHERE purpose = ?1 AND name = ?2")?
                .query_row(params![purpose, name], |row| row.get(0))
                .optional()?;
            if let Some(id) = there {
                book.side(
                    "UPDATE file_layout SET name = ?2, content = ?3 WHERE id = ?1",
                    params![id, name, content],
                )?;
                return Ok(id);
            }
            book.side(
                "INSERT INTO file_layout (name, purpose, content) VALUES (?1, ?2, ?3)",
                params![name, purpose, content],
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Forgets a layout.
    ///
    /// # Errors
    /// When there is no such layout.
    pub fn forget_file_layout(&mut self, id: i64) -> Result<(), BookError> {
        let label = "Layout forgotten";
        self.write(label, |book| {
            book.note("layout", label, "")?;
            if book.side("DELETE FROM file_layout WHERE id = ?1", [id])? == 0 {
                return Err(BookError::NoSuch {
                    what: "layout",
                    key: id.to_string(),
                });
            }
            Ok(())
        })
    }

    /// What of a shop's files became which entry, by the records' keys.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shop_records(
        &self,
        channel: AccountId,
    ) -> Result<HashMap<String, Option<EntryNumber>>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT key, entry FROM shop_record WHERE channel = ?1")?;
        let records = query
            .query_map([channel.0], |row| {
                Ok((row.get(0)?, row.get::<_, Option<u64>>(1)?.map(EntryNumber)))
            })?
            .collect::<Result<_, _>>()?;
        Ok(records)
    }

    /// Every record of every shop, by shop and key.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn all_shop_records(&self) -> Result<Vec<ShopRecord>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT channel, key, entry FROM shop_record ORDER BY channel, key")?;
        let records = query
            .query_map([], |row| {
                Ok(ShopRecord {
                    channel: AccountId(row.get(0)?),
                    key: row.get(1)?,
                    entry: row.get::<_, Option<u64>>(2)?.map(EntryNumber),
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(records)
    }

    /// Notes which entry a record of a shop's file became.
    ///
    /// # Errors
    /// When the record is noted already.
    pub fn note_shop_record(&mut self, record: &ShopRecord) -> Result<(), BookError> {
        let label = format!("Noted of a shop's file: {}", record.key);
        self.write(&label, |book| {
            book.side(
                "INSERT INTO shop_record (channel, key, entry) VALUES (?1, ?2, ?3)",
                params![
                    record.channel.0,
                    record.key,
                    record.entry.map(|number| number.0)
                ],
            )?;
            Ok(())
        })
    }

    /// Which words of shops' files mean which product, by shop and words.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shop_items(&self) -> Result<Vec<ShopItem>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT channel, words, item FROM shop_item ORDER BY channel, words")?;
        let items = query
            .query_map([], |row| {
                Ok(ShopItem {
                    channel: AccountId(row.get(0)?),
                    words: row.get(1)?,
                    item: row.get(2)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(items)
    }

    /// Keeps which product words of a shop's file mean, in the place of what they meant before.
    ///
    /// # Errors
    /// When there are no words.
    pub fn keep_shop_item(&mut self, kept: &ShopItem) -> Result<(), BookError> {
        let words = kept.words.trim();
        if words.is_empty() {
            return Err(BookError::refused(
                "say which words of the shop's file are meant",
            ));
        }
        let label = format!("'{words}' tied to a product");
        self.write(&label, |book| {
            book.note("shop-item", &label, "")?;
            book.side(
                "DELETE FROM shop_item WHERE channel = ?1 AND words = ?2",
                params![kept.channel.0, words],
            )?;
            book.side(
                "INSERT INTO shop_item (channel, words, item) VALUES (?1, ?2, ?3)",
                params![kept.channel.0, words, kept.item.trim()],
            )?;
            Ok(())
        })
    }
}
