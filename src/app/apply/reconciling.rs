//! The writes about accounts and their statements: what is ticked, what is finished, what is taken back.
//! Whether a sheet may be finished is the book's to say.

use super::{Written, said};
use crate::app::action::ReconcilingWrite;
use crate::book::{Book, BookError};
use crate::dates::show_day;

/// Makes one change about an account and its statement.
pub(super) fn change(book: &mut Book, write: &ReconcilingWrite) -> Result<Written, BookError> {
    let words = match write {
        ReconcilingWrite::Begin {
            account,
            day,
            balance,
        } => {
            let id = book.begin_reconciliation(*account, *day, *balance)?;
            match book.reconciliation(id)?.ticked.len() {
                0 => "Tick what stands on the statement".to_owned(),
                1 => "1 movement is ticked already".to_owned(),
                count => format!("{count} movements are ticked already"),
            }
        }
        ReconcilingWrite::Tick {
            id,
            entries,
            is_ticked,
        } => {
            book.tick(*id, entries, *is_ticked)?;
            match (entries.as_slice(), is_ticked) {
                ([one], true) => format!("Entry {one} is ticked"),
                ([one], false) => format!("Entry {one} is ticked no more"),
                (several, true) => format!("{} more are ticked", several.len()),
                (several, false) => format!("{} ticks are taken away", several.len()),
            }
        }
        ReconcilingWrite::Finish { id, note } => {
            book.finish_reconciliation(*id, note)?;
            let sheet = book.reconciliation(*id)?;
            let name = book.chart().title(sheet.account);
            format!(
                "{name} agrees with its statement up to {}",
                show_day(sheet.day)
            )
        }
        ReconcilingWrite::TakeBack { id, reason } => {
            book.take_back_reconciliation(*id, reason)?;
            "The sheet is taken back".to_owned()
        }
    };
    Ok(said(words))
}
