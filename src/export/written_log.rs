//! What is kept for the year's end as sheets: trips, the odometer, spaces of the home and its bills, shares of bills.
//! The columns are those of `crate::import::layouts`.

use super::ExportError;
use super::written_out::yes_no;
use crate::book::Book;

/// Every trip.
pub(super) fn trips(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.trips(None)?.into_iter().map(|trip| {
        vec![
            trip.date.to_string(),
            trip.from,
            trip.to,
            trip.purpose,
            trip.distance.number().to_string(),
            trip.distance.unit.to_string(),
            trip.fair,
            trip.entered_on.to_string(),
        ]
    });
    Ok(rows.collect())
}

/// Every reading of the odometer.
pub(super) fn readings(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.odometer()?.into_iter().map(|reading| {
        vec![
            reading.date.to_string(),
            reading.shows.number().to_string(),
            reading.shows.unit.to_string(),
        ]
    });
    Ok(rows.collect())
}

/// Every space.
pub(super) fn spaces(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.spaces()?.into_iter().map(|space| {
        vec![
            space.name,
            space.area.to_string(),
            space.home_area.to_string(),
            space.used_for.to_string(),
            yes_no(space.is_exclusive),
            space.from.to_string(),
            space.until.map(|day| day.to_string()).unwrap_or_default(),
        ]
    });
    Ok(rows.collect())
}

/// Every bill of the home.
pub(super) fn bills(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let currency = book.currency();
    let rows = book.home_bills()?.into_iter().map(|bill| {
        let paid_by = if bill.is_paid_by_business {
            "business"
        } else {
            "owner"
        };
        vec![
            bill.date.to_string(),
            bill.what,
            currency.plain(bill.amount),
            bill.covers_from.first_day().to_string(),
            bill.covers_months.to_string(),
            paid_by.to_owned(),
        ]
    });
    Ok(rows.collect())
}

/// Every business share of a bill used privately too.
pub(super) fn shared_bills(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let rows = book.shared_bills()?.into_iter().map(|bill| {
        let day = |day: Option<chrono::NaiveDate>| day.map(|day| day.to_string());
        vec![
            bill.what,
            bill.party,
            bill.share.to_string(),
            bill.basis,
            day(bill.sampled.map(|days| days.from)).unwrap_or_default(),
            day(bill.sampled.map(|days| days.to)).unwrap_or_default(),
            bill.since.to_string(),
            bill.note,
        ]
    });
    Ok(rows.collect())
}
