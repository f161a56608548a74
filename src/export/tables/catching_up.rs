//! Catching up as tables: its steps, lots of lines that are alike, entries that are rough or not explained.
//! What they say is worked out before.

use chrono::NaiveDate;

use crate::catching_up::{CatchingUp, MarkedEntry};
use crate::dates::show_day;
use crate::export::{Cell, Table};
use crate::ledger::Chart;
use crate::money::Currency;
use crate::sorting::Alike;

/// The steps, with what is done and open.
#[must_use]
pub fn catching_up(standing: &CatchingUp, as_of: NaiveDate, currency: &Currency) -> Table {
    let next = standing.next(currency);
    let mut table = Table::new("Catching up", format!("On {}", show_day(as_of)))
        .column("step", "Step")
        .column("done", "Done")
        .column("open", "Open")
        .column("amount", currency.code())
        .column("says", "");
    for step in standing.steps(currency) {
        table.line(vec![
            step.kind.plain().into(),
            Cell::Number(step.done.to_string()),
            Cell::Number(step.open.to_string()),
            step.sum.into(),
            step.says.into(),
        ]);
    }
    let progress = standing.progress(currency);
    table.note(match next {
        None => "Everything is caught up: this is enough for the accountant.".to_owned(),
        Some(next) => format!(
            "{} of {} steps have nothing open. Next: {}. Any step can be left and taken up again.",
            progress.steps_done,
            progress.steps,
            next.plain().to_lowercase()
        ),
    });
    table
}

/// The lots of lines that are alike, each one decision.
#[must_use]
pub fn lots(lots: &[Alike], by_one_word: usize, chart: &Chart, currency: &Currency) -> Table {
    let mut table = Table::new("Decisions", "Lines that are alike, the largest sum first")
        .column("name", "Who")
        .column("direction", "Way")
        .column("lines", "Lines")
        .column("from", "From")
        .column("to", "To")
        .column("amount", currency.code())
        .column("first_line", "A line")
        .column("suggested", "Suggested");
    for lot in lots {
        let day = |line: Option<&crate::sorting::BankLine>| {
            line.map_or(Cell::Empty, |line| line.date.to_string().into())
        };
        table.line(vec![
            lot.name().into(),
            lot.direction.plain().into(),
            Cell::Number(lot.lines.len().to_string()),
            day(lot.lines.first()),
            day(lot.lines.last()),
            lot.total().into(),
            lot.lines
                .first()
                .map_or(Cell::Empty, |line| Cell::Number(line.id.to_string())),
            lot.treatment()
                .map_or(Cell::Empty, |treatment| treatment.sentence(chart).into()),
        ]);
    }
    if by_one_word > 0 {
        table.note(format!(
            "{by_one_word} more are covered by rules or in the book beyond doubt: --accept-rules accepts them."
        ));
    }
    table
}

/// Entries that are rough or not explained, the largest first.
#[must_use]
pub fn marked_entries(title: &str, list: &[MarkedEntry], chart: &Chart) -> Table {
    let mut table = Table::new(title, "The largest first")
        .column("entry", "No.")
        .column("date", "Day")
        .column("party", "With")
        .column("memo", "What the bank wrote")
        .column("amount", "In or out")
        .column("stands_on", "Stands on")
        .column("asked", "Asked")
        .column("remembered", "What is remembered");
    for one in list {
        table.line(vec![
            Cell::Number(one.number.to_string()),
            one.date.to_string().into(),
            one.party.as_str().into(),
            one.memo.as_str().into(),
            one.amount.into(),
            chart.title(one.stands_on).into(),
            if one.is_asked { "asked" } else { "" }.into(),
            one.remembered.as_str().into(),
        ]);
    }
    table
}
