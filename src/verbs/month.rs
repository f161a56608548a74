//! The card of a month, and saying that a month is finished or open again.
//! What the card says is `reports`'.

use std::path::Path;

use chrono::NaiveDate;

use super::outcome::{print, print_json};
use super::{VerbError, with_book};
use crate::book::Book;
use crate::dates::Month;
use crate::export::{json, tables};
use crate::plan::read_month;
use crate::reports;

/// Shows a month, or the last one that is over.
pub fn show(
    book: &Book,
    month: Option<Month>,
    today: NaiveDate,
    as_json: bool,
) -> Result<(), VerbError> {
    let Some(card) = reports::month_card(book, month, today)? else {
        return Err(VerbError::refused(
            match reports::months_over(book, today) {
                Some((first, last)) => {
                    format!("the months that are over go from {first} to {last}")
                }
                None => "no month of this book is over yet".to_owned(),
            },
        ));
    };
    let currency = book.currency();
    if as_json {
        let through = book.settings().finished_through();
        print_json(&json::month(&card, through, currency))
    } else {
        print(&tables::month(&card).text(currency))
    }
}

/// Says that a month is finished, or opens it again.
pub fn finish(path: &Path, month: Month, opens_again: bool) -> Result<(), VerbError> {
    with_book(path, |book| {
        if opens_again {
            book.open_month_again(month)?;
        } else {
            book.finish_month(month)?;
        }
        Ok(())
    })?;
    print(&if opens_again {
        format!("{month} is open again.")
    } else {
        format!("{month} is finished. Nothing is locked: what is written there later is noted.")
    })
}

/// A month on the command line.
pub fn month(text: &str) -> Result<Month, String> {
    read_month(text)
}
