//! How long records are kept, and the list of things for an insurer or a county, as tables.
//! What they say is `reports`'.

use chrono::NaiveDate;

use super::super::table::{Cell, RowStyle, Table};
use crate::dates::show_day;
use crate::keeping::KEEPING_CAUTION;
use crate::money::Money;
use crate::reports::KeepReport;
use crate::statements::{ListedThing, THINGS_CAUTION};

/// How long records are kept.
#[must_use]
pub fn keep_until(report: &KeepReport) -> Table {
    let rule = &report.rule;
    let mut table = Table::new("Keep until", rule.title.clone())
        .column("what", "")
        .column("return_due", "Return due")
        .column("keep_until", "At least until");
    for one in &report.years {
        table.line(vec![
            format!(
                "Year from {} to {}",
                show_day(one.range.from),
                show_day(one.range.to)
            )
            .into(),
            show_day(one.return_due).into(),
            show_day(one.until).into(),
        ]);
    }
    for one in &report.equipment {
        let until = match one.until {
            Some(until) => show_day(until),
            None => "while it is there, and after".to_owned(),
        };
        table.line(vec![
            format!("Papers of {}", one.name).into(),
            Cell::Empty,
            until.into(),
        ]);
    }
    table.note(format!("{} years from {}.", rule.years, rule.counted_from));
    for longer in &rule.longer {
        table.note(format!("Longer: {longer}."));
    }
    table.note(format!("{} ({}.)", rule.property, rule.property_source));
    table.note(format!("From: {}; checked {}.", rule.source, rule.checked));
    table.note(KEEPING_CAUTION);
    table
}

/// The list of things.
#[must_use]
pub fn things_list(list: &[ListedThing], as_of: NaiveDate) -> Table {
    let mut table = Table::new("Things", format!("There on {}", show_day(as_of)))
        .column("place", "Place")
        .column("name", "What")
        .column("since", "Since")
        .column("how", "How it came")
        .column("supplier", "From")
        .column("serial", "Serial number")
        .column("quantity", "How many")
        .column("price", "Price")
        .column("tax", "Tax")
        .column("delivery", "Delivery")
        .column("whole", "Together");
    let amount = |amount: Option<Money>| amount.map_or(Cell::Empty, Cell::from);
    for one in list {
        table.line(vec![
            one.place.as_str().into(),
            one.name.as_str().into(),
            one.since.to_string().into(),
            one.how.into(),
            one.supplier.as_str().into(),
            one.serial.as_str().into(),
            one.quantity
                .map_or(Cell::Empty, |quantity| Cell::Number(quantity.to_string())),
            one.price.into(),
            amount(one.tax),
            amount(one.delivery),
            one.whole.into(),
        ]);
    }
    let mut total = vec![Cell::Empty; 11];
    total[1] = "Total".into();
    total[7] = list.iter().map(|one| one.price).sum::<Money>().into();
    total[10] = list.iter().map(|one| one.whole).sum::<Money>().into();
    table.push(RowStyle::Final, total);
    table.note("Where tax and delivery were not kept apart, they are in the price.");
    table.note(THINGS_CAUTION);
    table
}
