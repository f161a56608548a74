//! What of catching up is still open in a year, for the cover of its folder: lines, rough answers, what nobody explained.
//! Finding it is `reports`'.

use crate::book::Book;
use crate::dates::DateRange;
use crate::export::{ExportError, counted};
use crate::reports;

/// One sentence each.
pub(super) fn points(book: &Book, days: DateRange) -> Result<Vec<String>, ExportError> {
    let left = reports::left_in_year(book, days)?;
    let currency = book.currency();
    let mut open = Vec::new();
    if left.lines > 0 {
        open.push(format!(
            "{} of the year still to be sorted.",
            counted(left.lines, "statement line is", "statement lines are")
        ));
    }
    if left.not_explained.count > 0 || !left.not_explained_balance.is_zero() {
        open.push(format!(
            "{} not explained yet; together {} stand on their own account.",
            counted(left.not_explained.count, "entry is", "entries are"),
            currency.statement(left.not_explained_balance)
        ));
    }
    if left.rough.count > 0 {
        open.push(format!(
            "{} of {} from a rough answer and to be said more exactly.",
            counted(left.rough.count, "entry is", "entries are"),
            currency.statement(left.rough.sum)
        ));
    }
    Ok(open)
}
