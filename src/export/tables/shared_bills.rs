//! The business's shares of bills used privately too, one a row.

use chrono::NaiveDate;

use crate::export::{Cell, Table};
use crate::shared_bills::{SHARED_BILL_CAUTION, SharedBill};

/// Shares, each with the last day on which it holds, where another took its place.
#[must_use]
pub fn shared_bills(
    list: &[(&SharedBill, Option<NaiveDate>)],
    subtitle: impl Into<String>,
) -> Table {
    let mut table = Table::new("Business shares and what they rest on", subtitle)
        .column("what", "What")
        .column("party", "With")
        .column("business_share", "Business %")
        .column("basis", "Rests on")
        .column("sampled_from", "Sampled from")
        .column("sampled_to", "Sampled to")
        .column("since", "Since")
        .column("until", "Until")
        .column("note", "Note");
    let may_day =
        |day: Option<NaiveDate>| day.map_or(Cell::Empty, |day| Cell::from(day.to_string()));
    for (bill, last) in list {
        table.line(vec![
            bill.what.as_str().into(),
            bill.party.as_str().into(),
            Cell::Number(bill.share.to_string()),
            bill.basis.as_str().into(),
            may_day(bill.sampled.map(|days| days.from)),
            may_day(bill.sampled.map(|days| days.to)),
            bill.since.to_string().into(),
            may_day(*last),
            bill.note.as_str().into(),
        ]);
    }
    if !list.is_empty() {
        table.note(SHARED_BILL_CAUTION);
    }
    table
}
