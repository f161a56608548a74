//! Sheets of what is kept for the year's end: trips, readings of the odometer, spaces of the home and its bills, and the
//! business's shares of bills used privately too.
//! Keeping them is for whoever holds the book.

use std::str::FromStr;

use chrono::NaiveDate;

use super::layouts::{Layout, may, needed};
use super::{Faults, Row, Rows, Sheet};
use crate::dates::Month;
use crate::mileage::{Distance, DistanceUnit, MileageError, Reading, Trip};
use crate::money::{Currency, Quantity};
use crate::shared_bills::SharedBill;
use crate::workspace::{HomeBill, Space};

/// Trips with the owner's car.
pub const MILEAGE: Layout = Layout {
    kind: "mileage",
    columns: &[
        needed("date"),
        may("from"),
        may("to"),
        needed("purpose"),
        needed("distance"),
        may("unit"),
        may("fair"),
        may("entered_on"),
    ],
};

/// What the odometer showed.
pub const ODOMETER: Layout = Layout {
    kind: "odometer",
    columns: &[needed("date"), needed("reading"), may("unit")],
};

/// Spaces of the home that the business uses.
pub const WORKSPACES: Layout = Layout {
    kind: "workspaces",
    columns: &[
        needed("space"),
        needed("area"),
        needed("home_area"),
        may("used_for"),
        may("exclusive"),
        needed("from"),
        may("until"),
    ],
};

/// Bills of the home.
pub const WORKSPACE_BILLS: Layout = Layout {
    kind: "workspace-bills",
    columns: &[
        needed("date"),
        needed("what"),
        needed("amount"),
        may("covers_from"),
        may("covers_months"),
        may("paid_by"),
    ],
};

/// The business's shares of bills used privately too.
pub const SHARED_BILLS: Layout = Layout {
    kind: "shared-bills",
    columns: &[
        needed("what"),
        may("party"),
        needed("business_share"),
        needed("basis"),
        may("sampled_from"),
        may("sampled_to"),
        needed("since"),
        may("note"),
    ],
};

/// Reads a sheet of trips, each with its row; what was written down on no day was written down today.
///
/// # Errors
/// Every cell that cannot be.
pub fn trips(
    sheet: &Sheet,
    currency: &Currency,
    unit: DistanceUnit,
    today: Option<NaiveDate>,
) -> Result<Vec<(u64, Trip)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let date = row.date("date");
        let purpose = row.needed("purpose").map(str::to_owned);
        let unit = row.value_or("unit", unit);
        let entered_on = row.may_date("entered_on").or(today);
        if entered_on.is_none() && !row.has("entered_on") {
            row.fault("entered_on", "is empty");
        }
        let distance = row.needed("distance").map(str::to_owned);
        let trip = Trip {
            id: 0,
            date: date?,
            from: row.text("from").to_owned(),
            to: row.text("to").to_owned(),
            purpose: purpose?,
            distance: told(row, "distance", Distance::read(&distance?, unit?))?,
            fair: row.text("fair").to_owned(),
            entered_on: entered_on?,
        };
        told(row, "", trip.check())?;
        Some((row.number, trip))
    })
}

/// Reads a sheet of readings of the odometer, each with its row.
///
/// # Errors
/// Every cell that cannot be.
pub fn readings(
    sheet: &Sheet,
    currency: &Currency,
    unit: DistanceUnit,
) -> Result<Vec<(u64, Reading)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let date = row.date("date");
        let unit = row.value_or("unit", unit);
        let text = row.needed("reading").map(str::to_owned);
        let shows = told(row, "reading", Distance::read(&text?, unit?));
        Some((
            row.number,
            Reading {
                id: 0,
                date: date?,
                shows: shows?,
            },
        ))
    })
}

/// Reads a sheet of spaces, each with its row.
///
/// # Errors
/// Every cell that cannot be.
pub fn spaces(sheet: &Sheet, currency: &Currency) -> Result<Vec<(u64, Space)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let name = row.needed("space").map(str::to_owned);
        let (area, home_area) = (area(row, "area"), area(row, "home_area"));
        let used_for = row.value_or("used_for", crate::workspace::SpaceUse::Work);
        let is_exclusive = row.yes_no("exclusive", false);
        let (from, until) = (row.date("from"), row.may_date("until"));
        let space = Space {
            id: 0,
            name: name?,
            area: area?,
            home_area: home_area?,
            used_for: used_for?,
            is_exclusive: is_exclusive?,
            from: from?,
            until,
        };
        if let Err(error) = space.check() {
            row.fault(error.field(), error.to_string());
            return None;
        }
        Some((row.number, space))
    })
}

/// Reads a sheet of bills of the home, each with its row. A bill covers the month of its day when it does not say.
///
/// # Errors
/// Every cell that cannot be.
pub fn home_bills(sheet: &Sheet, currency: &Currency) -> Result<Vec<(u64, HomeBill)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let date = row.date("date");
        let what = row.needed("what").map(str::to_owned);
        let amount = row.positive("amount");
        let covers_from = row.may_date("covers_from");
        let covers_months = match row.has("covers_months") {
            true => row.count("covers_months", 1),
            false => Some(1),
        };
        let is_paid_by_business = match row.text("paid_by") {
            "" | "owner" => false,
            "business" => true,
            other => {
                let message = format!("'{other}' is neither owner nor business");
                row.fault("paid_by", message);
                false
            }
        };
        let date = date?;
        let bill = HomeBill {
            id: 0,
            date,
            what: what?,
            amount: amount?,
            covers_from: Month::of(covers_from.unwrap_or(date)),
            covers_months: covers_months?,
            is_paid_by_business,
        };
        if let Err(error) = bill.check() {
            row.fault(error.field(), error.to_string());
            return None;
        }
        Some((row.number, bill))
    })
}

/// Reads a sheet of the business's shares of bills used privately too, each with its row.
///
/// # Errors
/// Every cell that cannot be.
pub fn shared_bills(sheet: &Sheet, currency: &Currency) -> Result<Vec<(u64, SharedBill)>, Faults> {
    Rows::read(sheet, currency, |row| {
        let what = row.needed("what").map(str::to_owned);
        let share = row.value("business_share");
        let basis = row.needed("basis").map(str::to_owned);
        let sampled = (row.may_date("sampled_from"), row.may_date("sampled_to"));
        let since = row.date("since");
        let is_sample_read = [("sampled_from", sampled.0), ("sampled_to", sampled.1)]
            .iter()
            .all(|(column, day)| day.is_some() || !row.has(column));
        let read = (what, share, basis, since, is_sample_read);
        let (Some(what), Some(share), Some(basis), Some(since), true) = read else {
            return None;
        };
        let bill = SharedBill::sample(sampled.0, sampled.1).and_then(|sampled| {
            let bill = SharedBill {
                id: 0,
                what,
                party: row.text("party").to_owned(),
                share,
                basis,
                sampled,
                since,
                note: row.text("note").to_owned(),
            };
            bill.check().map(|()| bill)
        });
        match bill {
            Ok(bill) => Some((row.number, bill)),
            Err(error) => {
                row.fault(error.field(), error.to_string());
                None
            }
        }
    })
}

fn area(row: &mut Row<'_, '_>, column: &str) -> Option<Quantity> {
    let text = row.needed(column)?;
    let area = Quantity::from_str(text).ok();
    if area.is_none() {
        row.fault(column, format!("'{text}' is no area; write a number"));
    }
    area
}

/// The value, or what is wrong beside its column; beside the column it names itself where none is given.
fn told<T>(row: &mut Row<'_, '_>, column: &str, read: Result<T, MileageError>) -> Option<T> {
    read.map_err(|error| {
        let column = if column.is_empty() {
            error.field()
        } else {
            column
        };
        row.fault(column, error.to_string());
    })
    .ok()
}
