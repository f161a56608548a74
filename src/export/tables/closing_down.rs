//! Closing down as a table: the lines that still stand, in the order in which they are cleared.
//! What they say is worked out before.

use chrono::NaiveDate;

use crate::closing_down::{CAUTION, OTHER_STEPS};
use crate::dates::show_day;
use crate::export::{RowStyle, Table};
use crate::money::Currency;
use crate::reports::ClosingReport;

/// What is left to clear.
#[must_use]
pub fn closing_down(report: &ClosingReport, as_of: NaiveDate, currency: &Currency) -> Table {
    let mut table = Table::new(
        "Closing the business down",
        format!("What still stands on {}", show_day(as_of)),
    )
    .column("what", "What")
    .column("amount", currency.code())
    .column("way", "How it is cleared")
    .column("says", "");
    for line in &report.walk.lines {
        table.line(vec![
            line.what.as_str().into(),
            line.amount.into(),
            line.way.plain().into(),
            line.says.as_str().into(),
        ]);
    }
    table.push(
        RowStyle::Total,
        vec![
            "What the business has, less what it owes".into(),
            (report.walk.has - report.walk.owes).into(),
        ],
    );
    if report.walk.is_empty() {
        table.note("Nothing stands any more: the balance sheet is empty.");
    }
    let lists = [
        ("Comes round again, to be ended", names(&report.recurring)),
        ("Paid for permits and insurance", report.permits.join("; ")),
        ("Orders still open", names(&report.orders)),
    ];
    for (what, list) in lists {
        if !list.is_empty() {
            table.note(format!("{what}: {list}."));
        }
    }
    for (what, says) in OTHER_STEPS {
        table.note(format!("{what}. {says}"));
    }
    table.note(CAUTION);
    table
}

fn names(list: &[(String, String)]) -> String {
    let names: Vec<String> = list
        .iter()
        .map(|(name, party)| format!("{name} ({party})"))
        .collect();
    names.join("; ")
}
