//! Adjusting entries of a year as tables: proposed and posted.

use super::span;
use crate::dates::show_day;
use crate::export::{Cell, Table};
use crate::reports::{ADJUSTING_CAUTION, AdjustingReport};

/// What is proposed for a year's end.
#[must_use]
pub fn adjusting_proposed(report: &AdjustingReport) -> Table {
    let mut table = Table::new("Adjusting entries proposed", span(report.range))
        .column("name", "Name")
        .column("what", "What")
        .column("amount", "Amount")
        .column("posts", "Posts")
        .column("says", "Why");
    for one in &report.proposed {
        let posts = if one.recordings.is_empty() {
            "no"
        } else {
            "yes"
        };
        table.line(vec![
            one.what.as_str().into(),
            one.what.plain().into(),
            one.amount.into(),
            posts.into(),
            one.says.as_str().into(),
        ]);
    }
    if report.is_locked {
        table.note("The year is locked: nothing more is proposed.");
    } else if report.proposed.is_empty() {
        table.note("Nothing is left to propose.");
    }
    table.note(ADJUSTING_CAUTION);
    table
}

/// What of the adjusting entries of a year is posted, with what is taken back.
#[must_use]
pub fn adjusting(report: &AdjustingReport) -> Table {
    let mut table = Table::new("Adjusting entries posted", span(report.range))
        .column("entry", "Entry")
        .column("date", "Date")
        .column("kind", "Kind")
        .column("memo", "What")
        .column("amount", "Amount")
        .column("taken_back_by", "Taken back by")
        .column("taken_back_on", "on");
    for one in &report.posted {
        let (by, on) = match one.taken_back {
            Some((number, day)) => (Cell::Number(number.to_string()), Cell::from(show_day(day))),
            None => (Cell::Empty, Cell::Empty),
        };
        table.line(vec![
            Cell::Number(one.number.to_string()),
            show_day(one.date).into(),
            one.kind.plain().into(),
            one.memo.as_str().into(),
            one.amount.into(),
            by,
            on,
        ]);
    }
    table
}
