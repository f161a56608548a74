//! Sheets of what is kept for the year's end: trips, the odometer, spaces of the home and its bills, shares of bills.

use super::{Done, Options, VerbError, innermost, row_fault};
use crate::book::Book;
use crate::import::{self, Faults, Sheet};
use crate::mileage::DistanceUnit;

fn unit_of(book: &Book) -> DistanceUnit {
    let told = book.settings().get("mileage.unit");
    told.and_then(|text| text.parse().ok()).unwrap_or_default()
}

/// Trips: each row is a new one, unless the book has the same trip of that day already.
pub(super) fn trips(book: &mut Book, sheet: &Sheet, options: Options) -> Result<Done, VerbError> {
    let list = import::trips(sheet, book.currency(), unit_of(book), options.today)?;
    let known = book.trips(None)?;
    let mut n_known = 0;
    for (row, trip) in &list {
        let is_same = |other: &crate::mileage::Trip| {
            (other.date, other.distance, &other.purpose, other.way())
                == (trip.date, trip.distance, &trip.purpose, trip.way())
        };
        if !options.is_written_out && known.iter().any(is_same) {
            n_known += 1;
            continue;
        }
        book.keep_trip(trip)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    let mut done = Done::of_count(list.len() - n_known);
    if n_known > 0 {
        let rows = if n_known == 1 { "row says" } else { "rows say" };
        done.notes
            .push(format!("{n_known} {rows} what the book has already."));
    }
    Ok(done)
}

/// What the odometer showed; a day that is known already is told anew.
pub(super) fn readings(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::readings(sheet, book.currency(), unit_of(book))?;
    let mut faults = Faults::new(&sheet.file);
    for (row, reading) in &list {
        if let Err(error) = book.keep_reading(reading) {
            faults.cell(*row, "reading", innermost(&error).to_string());
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(list.len()))
}

/// Spaces: a row whose name and first day are known changes that space.
pub(super) fn spaces(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::spaces(sheet, book.currency())?;
    for (row, space) in &list {
        let known = book.spaces()?.into_iter().find(|known| {
            known.from == space.from && known.name.to_lowercase() == space.name.to_lowercase()
        });
        let mut space = space.clone();
        space.id = known.map_or(0, |known| known.id);
        book.keep_space(&space)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// Bills of the home: each row is a new one.
pub(super) fn bills(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::home_bills(sheet, book.currency())?;
    for (row, bill) in &list {
        book.keep_home_bill(bill)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// Business shares: a row whose bill and first day are known changes that share.
pub(super) fn shared_bills(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::shared_bills(sheet, book.currency())?;
    for (row, bill) in &list {
        let known = book
            .shared_bills()?
            .into_iter()
            .find(|known| known.since == bill.since && known.is_same_bill(bill));
        let mut bill = bill.clone();
        bill.id = known.map_or(0, |known| known.id);
        book.keep_shared_bill(&bill)
            .map_err(|error| row_fault(sheet, *row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}
