//! Posting the wear of equipment.

use std::path::Path;

use chrono::NaiveDate;
use serde::Serialize;

use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::Book;
use crate::dates::show_day;
use crate::depreciation::DepreciationProposal;
use crate::happenings::Recording;
use crate::ledger::EntryNumber;
use crate::money::Money;
use crate::reports;

#[derive(Serialize)]
struct WearJson {
    currency: String,
    through: NaiveDate,
    posted: bool,
    entries: Vec<WearEntryJson>,
    total: String,
}

#[derive(Serialize)]
struct WearEntryJson {
    entry: Option<u64>,
    date: NaiveDate,
    lines: Vec<WearLineJson>,
}

#[derive(Serialize)]
struct WearLineJson {
    name: String,
    charge: String,
    business_charge: String,
    private_charge: String,
}

/// Posts, or only proposes, what is not charged yet through a day: one entry a month, so that each month bears its own.
pub fn depreciate(
    path: &Path,
    through: NaiveDate,
    propose_only: bool,
    json: bool,
) -> Result<(), VerbError> {
    let (proposals, numbers, currency) = if propose_only {
        let book = open_book(path)?;
        (
            by_month(&book, through)?,
            Vec::new(),
            book.currency().clone(),
        )
    } else {
        with_book(path, |book| {
            let proposals = by_month(book, through)?;
            let numbers = post(book, &proposals)?;
            Ok((proposals, numbers, book.currency().clone()))
        })?
    };
    let total: Money = proposals.iter().map(|one| one.total().whole).sum();
    if json {
        let entries = proposals
            .iter()
            .enumerate()
            .map(|(idx, one)| WearEntryJson {
                entry: numbers.get(idx).map(|number| number.0),
                date: one.through,
                lines: one
                    .lines
                    .iter()
                    .map(|line| WearLineJson {
                        name: line.name.clone(),
                        charge: currency.plain(line.whole),
                        business_charge: currency.plain(line.business),
                        private_charge: currency.plain(line.private),
                    })
                    .collect(),
            });
        return print_json(&WearJson {
            currency: currency.code().to_owned(),
            through,
            posted: !numbers.is_empty(),
            entries: entries.collect(),
            total: currency.plain(total),
        });
    }
    if proposals.is_empty() {
        return print(&format!(
            "Nothing is left to charge up to {}.",
            show_day(through)
        ));
    }
    let what = if propose_only { "would be" } else { "is" };
    print(&format!(
        "Wear of equipment of {} through {} {what} posted in {}.",
        currency.statement(total),
        show_day(through),
        match proposals.len() {
            1 => "one entry".to_owned(),
            count => format!("{count} entries, a month each"),
        }
    ))
}

/// Proposals for each month's end that is still open, the last for the day itself.
fn by_month(book: &Book, through: NaiveDate) -> Result<Vec<DepreciationProposal>, VerbError> {
    let open_from = match book.lock_date() {
        Some(lock) => lock.succ_opt().unwrap_or(lock).max(book.first_day()),
        None => book.first_day(),
    };
    if through < open_from {
        return Err(VerbError::refused(format!(
            "{through} lies before the open part of the book, which begins on {open_from}"
        )));
    }
    Ok(reports::wear_by_month(book, through)?)
}

fn post(
    book: &mut Book,
    proposals: &[DepreciationProposal],
) -> Result<Vec<EntryNumber>, VerbError> {
    let mut recordings = Vec::new();
    for proposal in proposals {
        let entry = proposal
            .entry(book.chart(), "")
            .map_err(|error| VerbError::refused(error.to_string()))?;
        recordings.push(Recording::new(entry));
    }
    if recordings.is_empty() {
        return Ok(Vec::new());
    }
    Ok(book.record_all(&recordings)?)
}
