//! Bringing a shop's file in: its layout and what its words mean are kept, and what follows is written.

use super::Written;
use crate::app::action::ShopFileWrite;
use crate::book::{Book, BookError, ShopItem};
use crate::export::counted;
use crate::ledger::Role;
use crate::reports::{self, ShopFile, ShopFileError};

/// Brings the file in, all of it or nothing.
pub(super) fn bring(book: &mut Book, write: &ShopFileWrite) -> Result<Written, BookError> {
    let label = format!("Brought in {}", write.table.file);
    let numbers = book.group(&label, |book| {
        let channel = book.open_channel(&write.shop)?;
        for (words, item) in &write.ties {
            book.keep_shop_item(&ShopItem {
                channel,
                words: words.clone(),
                item: item.clone(),
            })?;
        }
        let file = ShopFile {
            kind: write.kind,
            table: &write.table,
            name: &write.name,
            layout: &write.layout,
            channel,
            into: book.chart().role(Role::BusinessBank)?,
        };
        let (steps, layout) = reports::shop_steps(book, &file).map_err(|error| match error {
            ShopFileError::Faults(faults) => BookError::refused(faults.to_string()),
            ShopFileError::Report(message) => BookError::refused(message),
        })?;
        let content = serde_json::to_string(&layout)
            .map_err(|error| BookError::refused(error.to_string()))?;
        book.keep_file_layout(&write.name, write.kind.as_str(), &content)?;
        book.take_shop_steps(channel, &steps.steps)
    })?;
    let entries = counted(numbers.len(), "entry", "entries");
    Ok(Written {
        words: format!("{} is brought in: {entries}", write.table.file),
        numbers,
    })
}
