//! What an accountant sends back: adjusting entries of the year whose pack she had.
//! Posting them is `reports`'.

use super::{Done, VerbError};
use crate::book::Book;
use crate::import::Sheet;
use crate::reports::{self, AdjustmentError};

pub(super) fn adjustments(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    match reports::post_adjustments(book, sheet) {
        Ok(numbers) => Ok(Done::of_entries(&numbers)),
        Err(AdjustmentError::Faults(faults)) => Err(faults.into()),
        Err(AdjustmentError::Book(error)) => Err(error.into()),
        Err(closed @ AdjustmentError::Closed { .. }) => {
            Err(VerbError::refused(format!("{}: {closed}", sheet.file)))
        }
    }
}
