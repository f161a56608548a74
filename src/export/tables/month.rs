//! The card of a month as a table.
//! What it says is `reports`'.

use super::super::table::{Cell, Table};
use crate::reports::MonthCard;

/// A month that is over, with its four points.
#[must_use]
pub fn month(card: &MonthCard) -> Table {
    let mut table = Table::new(card.month.to_string(), card.in_words())
        .column("point", "")
        .column("state", "")
        .column("what", "");
    for point in &card.points {
        if point.is_done() {
            table.line(vec![
                point.title.into(),
                "done".into(),
                point.done.as_str().into(),
            ]);
        }
        for (idx, open) in point.open.iter().enumerate() {
            let (title, state): (Cell, Cell) = match idx {
                0 => (point.title.into(), "open".into()),
                _ => (Cell::Empty, Cell::Empty),
            };
            table.line(vec![title, state, open.what.as_str().into()]);
        }
    }
    table
}
