//! Sheets of the start-up plan.

use super::around::entry_of;
use super::{Done, VerbError, context, innermost, row_fault};
use crate::book::Book;
use crate::import::{self, Faults, Sheet};

pub(super) fn lines(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::plan(sheet, book.currency(), &book.plan()?)?;
    if !list.is_empty() {
        book.add_plan_lines(&list)?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn money(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::plan_money(sheet, book.currency())?;
    for money in &list {
        book.add_plan_money(money)?;
    }
    Ok(Done::of_count(list.len()))
}

pub(super) fn purchases(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::plan_purchases(sheet, book.currency())?;
    let plan = book.plan()?;
    let mut faults = Faults::new(&sheet.file);
    for row in &list {
        let line = plan.line(&row.plan).map(|line| line.id);
        if line.is_none() {
            let message = format!("there is no '{}' in the plan", row.plan);
            faults.cell(row.row, "plan", message);
        }
        let number = entry_of(book, &row.entry)?;
        if number.is_none() {
            faults.cell(
                row.row,
                "entry",
                format!("there is no entry or document '{}' in the book", row.entry),
            );
        }
        if let (Some(line), Some(number)) = (line, number)
            && let Err(error) = book.link_plan(line, number, &row.what)
        {
            faults.row(row.row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

pub(super) fn marks(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::start_up_marks(sheet, context(book))?;
    for (row, account, group) in &list {
        book.mark_start_up(*account, Some(*group))
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}
