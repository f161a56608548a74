//! What comes due with time: recurring purchases confirmed or skipped, and what was paid ahead and is used up.

use std::path::Path;

use chrono::NaiveDate;

use super::args::RecurArgs;
use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::Book;
use crate::export::{json, tables};
use crate::happenings::{Happening, Purchase};
use crate::ledger::Origin;
use crate::recurring::Recurring;
use crate::reports::release_paid_ahead;

/// Lists what is due, or confirms or skips one.
pub fn recur(args: &RecurArgs, today: NaiveDate) -> Result<(), VerbError> {
    let day = args.on.unwrap_or(today);
    if let Some(name) = &args.confirm {
        return confirm(args, name, day);
    }
    if let Some(name) = &args.skip {
        let next = with_book(&args.book, |book| {
            let one = due_one(book, name, day)?;
            Ok(book.skip_recurring(one.id)?)
        })?;
        return print(&format!(
            "{name} is skipped this time; it comes again on {next}."
        ));
    }
    let book = open_book(&args.book)?;
    let mut list = book.recurring()?;
    list.retain(|one| one.is_active && !one.due(day).is_empty());
    if args.json {
        return print_json(&json::recurring(&list, day, book.currency()));
    }
    print(&tables::recurring(&list, day).text(book.currency()))
}

fn confirm(args: &RecurArgs, name: &str, day: NaiveDate) -> Result<(), VerbError> {
    let number = with_book(&args.book, |book| {
        let one = due_one(book, name, day)?;
        let details = one.purchase(one.next_due);
        let mut recording = Purchase::new(details)
            .and_then(|purchase| purchase.recording(book.chart()))
            .map_err(|error| VerbError::refused(error.describe(book.currency())))?;
        recording.entry.header.origin = Origin::Recurring;
        Ok(book.confirm_recurring(one.id, &recording)?)
    })?;
    print(&format!("{name} is written down as entry {number}."))
}

fn due_one(book: &Book, name: &str, day: NaiveDate) -> Result<Recurring, VerbError> {
    let wanted = name.trim().to_lowercase();
    let found = book
        .recurring()?
        .into_iter()
        .find(|one| one.name.to_lowercase() == wanted);
    let Some(one) = found else {
        return Err(VerbError::refused(format!(
            "there is no recurring purchase '{name}' in this book"
        )));
    };
    if !one.is_active {
        return Err(VerbError::refused(format!("'{}' has ended", one.name)));
    }
    if one.next_due > day {
        return Err(VerbError::refused(format!(
            "'{}' is due on {}, not by {day}",
            one.name, one.next_due
        )));
    }
    Ok(one)
}

/// Makes what was paid ahead a cost where it is used up by a day.
pub fn release(path: &Path, through: NaiveDate) -> Result<(), VerbError> {
    let numbers = with_book(path, |book| Ok(release_paid_ahead(book, through)?))?;
    print(&match (numbers.first(), numbers.last()) {
        (Some(first), Some(last)) if first != last => {
            format!("What was paid ahead and is used up by {through}: entries {first} to {last}.")
        }
        (Some(one), _) => {
            format!("What was paid ahead and is used up by {through}: entry {one}.")
        }
        _ => format!("Nothing that was paid ahead is used up by {through} and not a cost yet."),
    })
}
