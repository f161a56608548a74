//! What a book knows of shops and of files that others write, as rows of their sheets.

use super::ExportError;
use crate::book::Book;
use crate::ledger::AccountId;

/// The purposes of layouts of files.
const PURPOSES: [&str; 4] = ["bank", "orders", "payouts", "bridge"];

fn number(book: &Book, account: AccountId) -> String {
    book.chart()
        .account(account)
        .map(|account| account.number.clone())
        .unwrap_or_default()
}

/// The layouts of files.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn file_layouts(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    for purpose in PURPOSES {
        for layout in book.file_layouts(purpose)? {
            rows.push(vec![layout.name, layout.purpose, layout.content]);
        }
    }
    Ok(rows)
}

/// Which products words mean.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn shop_items(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.shop_items()?.into_iter();
    Ok(rows
        .map(|one| vec![number(book, one.channel), one.words, one.item])
        .collect())
}

/// What of shops' files became which entry.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn shop_records(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.all_shop_records()?.into_iter().map(|one| {
        let entry = one.entry.map(|entry| entry.to_string());
        vec![
            number(book, one.channel),
            one.key,
            entry.unwrap_or_default(),
        ]
    });
    Ok(rows.collect())
}
