//! Sheets of the equipment register: what was bought, what wore out by other terms, what has gone.

use std::collections::BTreeMap;

use super::{Done, VerbError, context, row_fault};
use crate::book::{Book, BookError, EntryFilter};
use crate::depreciation::{Disposal, Equipment, EquipmentError, propose};
use crate::happenings::Recording;
use crate::import::{self, EquipmentRow, Faults, Sheet};
use crate::ledger::{AccountId, EntryNumber, Role};
use crate::money::Money;

pub(super) fn equipment(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::equipment(sheet, context(book))?;
    let mut numbers = Vec::new();
    for row in &list {
        numbers.extend(one(book, sheet, row)?);
    }
    let mut done = Done::of_entries(&numbers);
    done.count = list.len();
    Ok(done)
}

fn one(book: &mut Book, sheet: &Sheet, row: &EquipmentRow) -> Result<Vec<EntryNumber>, VerbError> {
    let refused = |error: BookError| row_fault(sheet, row.row, &error);
    let mut numbers = Vec::new();
    let key = match &row.bought {
        Some(recording) => {
            numbers.push(book.record(recording).map_err(refused)?);
            row.equipment.key.clone()
        }
        None => register_row(book, row).map_err(refused)?,
    };
    if let Some((disposal, into)) = &row.end {
        let piece = book.piece(&key).map_err(refused)?;
        if piece.disposal.as_ref() == Some(disposal) {
            return Ok(numbers);
        }
        let recordings = if ledger_let_go(book, &key).map_err(refused)? {
            Vec::new()
        } else {
            refuse_closed_day(book, sheet, row, disposal)?;
            let charged = book.depreciation_charged().map_err(refused)?;
            last_entries(book, &piece, disposal, *into, charged).map_err(|error| {
                let mut faults = Faults::new(&sheet.file);
                match error {
                    EquipmentError::Field { field, message } => {
                        faults.cell(row.row, field, message);
                    }
                    other => faults.cell(row.row, "disposed_on", other.to_string()),
                }
                VerbError::from(faults)
            })?
        };
        numbers.extend(book.dispose(&key, disposal, &recordings).map_err(refused)?);
    }
    Ok(numbers)
}

/// Adds the row to the register, or brings the row of a piece that is there up to date. Returns its key.
fn register_row(book: &mut Book, row: &EquipmentRow) -> Result<String, BookError> {
    let mut piece = row.equipment.clone();
    if let Ok(known) = book.piece(&piece.name) {
        piece.key.clone_from(&known.key);
        piece.purchase_entry = known.purchase_entry;
        piece.changes.clone_from(&known.changes);
        piece.disposal.clone_from(&known.disposal);
        if !row.says_charged_before {
            piece.charged_before = known.charged_before;
        }
        if piece != known {
            book.update_equipment(&piece)?;
        }
        return Ok(piece.key);
    }
    if !row.says_charged_before {
        // What wore out before the book began is no cost of its first period.
        piece.charged_before = piece.scheduled_before(book.first_day(), book.year_start());
    }
    piece.purchase_entry = match row.purchase_entry {
        Some(number) => Some(EntryNumber(number)),
        None => bought_by(book, &piece.key)?,
    };
    book.add_equipment(&piece)?;
    Ok(piece.key)
}

/// The first entry that names the piece on the account of equipment at cost.
fn bought_by(book: &Book, key: &str) -> Result<Option<EntryNumber>, BookError> {
    let numbers = book.entry_numbers(&EntryFilter {
        equipment: Some(key.to_owned()),
        account: Some(book.chart().role(Role::Equipment)?),
        ..EntryFilter::default()
    })?;
    Ok(numbers.into_iter().min())
}

/// Whether an entry that stands takes the piece out of equipment at cost already.
fn ledger_let_go(book: &Book, key: &str) -> Result<bool, BookError> {
    let cost = book.chart().role(Role::Equipment)?;
    let numbers = book.entry_numbers(&EntryFilter {
        equipment: Some(key.to_owned()),
        account: Some(cost),
        ..EntryFilter::default()
    })?;
    let entries = book.entries(&numbers)?;
    Ok(entries.iter().any(|posted| {
        posted.reversed_by.is_none()
            && posted.reverses.is_none()
            && posted.entry.lines().iter().any(|line| {
                line.account == cost
                    && line.amount.is_negative()
                    && line.equipment.as_deref() == Some(key)
            })
    }))
}

fn refuse_closed_day(
    book: &Book,
    sheet: &Sheet,
    row: &EquipmentRow,
    disposal: &Disposal,
) -> Result<(), VerbError> {
    let message = match book.lock_date() {
        Some(lock) if disposal.on <= lock => {
            format!(
                "{} lies in a locked period; everything up to {lock} is locked",
                disposal.on
            )
        }
        _ if disposal.on < book.first_day() => format!(
            "{} is before the book's first day {}",
            disposal.on,
            book.first_day()
        ),
        _ => return Ok(()),
    };
    let mut faults = Faults::new(&sheet.file);
    faults.cell(row.row, "disposed_on", message);
    Err(faults.into())
}

/// The entries of an end: wear of each earlier financial year that is still open on that year's last day,
/// so that it counts where it belongs, then the end itself.
fn last_entries(
    book: &Book,
    piece: &Equipment,
    disposal: &Disposal,
    into: Option<AccountId>,
    mut charged: BTreeMap<String, Money>,
) -> Result<Vec<Recording>, EquipmentError> {
    let years = book.year_start();
    let mut recordings = Vec::new();
    for year in years.year_of(piece.in_service_on)..years.year_of(disposal.on) {
        let end = years.year_ending_in(year).to;
        let is_closed = book.lock_date().is_some_and(|lock| end <= lock);
        if end < book.first_day() || is_closed {
            continue;
        }
        let proposal = propose(std::slice::from_ref(piece), &charged, end, years);
        if proposal.is_empty() {
            continue;
        }
        let entry = proposal.entry(book.chart(), "")?;
        *charged.entry(piece.key.clone()).or_default() += proposal.total().whole;
        recordings.push(Recording::new(entry));
    }
    let already = charged.get(&piece.key).copied().unwrap_or(Money::ZERO);
    let plan = piece.plan_disposal(disposal, already, years)?;
    let entry = plan.entry(book.chart(), into, "")?;
    recordings.push(Recording::new(entry));
    Ok(recordings)
}

pub(super) fn equipment_changes(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::equipment_changes(sheet, context(book))?;
    for row in &list {
        let key = book
            .piece(&row.equipment)
            .map_err(|error| row_fault(sheet, row.row, &error))?
            .key;
        book.change_terms(&key, &row.change)
            .map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}
