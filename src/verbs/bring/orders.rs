//! Sheets of orders to suppliers, of what came of them, and of claims.

use super::around::entry_of;
use super::{Done, VerbError, context, innermost, items_of};
use crate::book::{Book, BookError};
use crate::import::{self, ArrivalRow, ClaimRow, Faults, Sheet};
use crate::ledger::{EntryKind, EntryNumber};
use crate::ordering::{Arrival, ClaimState, Credit, SupplierOrder};
use crate::reports::{self, ReportError};

pub(super) fn orders(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::supplier_orders(sheet, context(book), &items_of(book)?)?;
    let mut faults = Faults::new(&sheet.file);
    for one in &list {
        if let Err(error) = book.keep_supplier_order(&one.order) {
            faults.row(one.row, innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

pub(super) fn arrivals(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::supplier_arrivals(sheet, context(book), &items_of(book)?)?;
    let mut faults = Faults::new(&sheet.file);
    let mut done = Done::of_count(list.len());
    for one in &list {
        let Some(order) = order_of(book, &one.order, one.row, &mut faults)? else {
            continue;
        };
        match arrived(book, &order, one, &mut faults) {
            Ok(entry) => done.entries.extend(entry.map(|number| number.0)),
            Err(error) => faults.row(one.row, said(&error, book)),
        }
    }
    faults.into_result(done).map_err(Into::into)
}

/// The order of a key, or a fault that says that there is none.
fn order_of(
    book: &Book,
    key: &str,
    row: u64,
    faults: &mut Faults,
) -> Result<Option<SupplierOrder>, BookError> {
    let order = book.supplier_order(key)?;
    if order.is_none() {
        let message = format!("there is no order '{key}' in the book");
        faults.cell(row, "order", message);
    }
    Ok(order)
}

fn said(error: &ReportError, book: &Book) -> String {
    match error {
        ReportError::Happening(error) => error.describe(book.currency()),
        ReportError::Book(error) => innermost(error).to_string(),
        other => other.to_string(),
    }
}

/// Records what came, or puts it beside its order where the entry is in the book.
fn arrived(
    book: &mut Book,
    order: &SupplierOrder,
    one: &ArrivalRow,
    faults: &mut Faults,
) -> Result<Option<EntryNumber>, ReportError> {
    let Some(bill) = &one.bill else {
        let mut arrival = one.arrival.clone();
        if let Some(key) = &one.entry {
            arrival.entry = found(book, key, one.row, faults)?;
            if arrival.entry.is_none() {
                return Ok(None);
            }
        }
        book.restore_arrival(order.id, &arrival)?;
        return Ok(None);
    };
    let recording = reports::arrival_recording(book, order, &one.arrival, bill)?;
    let (_id, entry) = book.record_arrival(order.id, &one.arrival, recording.as_ref())?;
    Ok(entry)
}

fn found(
    book: &Book,
    key: &str,
    row: u64,
    faults: &mut Faults,
) -> Result<Option<EntryNumber>, BookError> {
    let number = entry_of(book, key)?;
    if number.is_none() {
        let message = format!("there is no entry or document '{key}' in the book");
        faults.cell(row, "entry", message);
    }
    Ok(number)
}

pub(super) fn claims(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::supplier_claims(sheet, context(book), &items_of(book)?)?;
    let mut faults = Faults::new(&sheet.file);
    let mut done = Done::of_count(list.len());
    for one in &list {
        let Some(order) = order_of(book, &one.order, one.row, &mut faults)? else {
            continue;
        };
        let arrival = book
            .arrivals_of(order.id)?
            .into_iter()
            .find(|arrival| arrival.key.eq_ignore_ascii_case(&one.arrival));
        let Some(arrival) = arrival else {
            let message = format!("order {} has no arrival '{}'", order.key, one.arrival);
            faults.cell(one.row, "arrival", message);
            continue;
        };
        match claimed(book, &order, &arrival, one, &mut faults) {
            Ok(entry) => done.entries.extend(entry.map(|number| number.0)),
            Err(error) => faults.row(one.row, said(&error, book)),
        }
    }
    faults.into_result(done).map_err(Into::into)
}

fn claimed(
    book: &mut Book,
    order: &SupplierOrder,
    arrival: &Arrival,
    one: &ClaimRow,
    faults: &mut Faults,
) -> Result<Option<EntryNumber>, ReportError> {
    let mut claim = one.claim.clone();
    claim.arrival = arrival.id;
    if let Some(key) = &one.entry {
        let credits = book.standing_with_document(EntryKind::SupplierRefund, key)?;
        claim.entry = match credits.last() {
            Some(credit) => Some(credit.number),
            None => found(book, key, one.row, faults)?,
        };
        if claim.entry.is_none() {
            return Ok(None);
        }
    }
    let Some((amount, into)) = one.credit else {
        book.keep_claim(&claim)?;
        return Ok(None);
    };
    let date = claim.settled_on.take().unwrap_or(claim.opened_on);
    claim.state = ClaimState::Open;
    claim.id = book.keep_claim(&claim)?;
    let credit = Credit {
        date,
        amount,
        into,
        reference: one.reference.clone(),
    };
    let recording = reports::credit_recording(book, order, &claim, &credit)?;
    Ok(Some(book.credit_claim(claim.id, &recording)?))
}
