//! The set-aside estimate as a worksheet, and the published rates there are, as tables.
//! What they come to is `set_aside`'s.

use crate::dates::show_day;
use crate::export::{Cell, Table};
use crate::money::Currency;
use crate::reports::DueDates;
use crate::set_aside::rates::{Band, Published, Rates};
use crate::set_aside::{CAUTION, Estimate, Figure, Library};

/// What stands beside a figure on a sheet that has no caution of its own.
const SHORT_CAUTION: &str = "An estimate; confirm with local rules and a licensed professional.";

/// The set-aside estimate as a worksheet.
#[must_use]
pub fn set_aside(estimate: &Estimate, currency: &Currency) -> Table {
    let mut table = Table::new(
        format!("Set aside for {}", estimate.year),
        format!(
            "An estimate, read from the books up to {}: {}",
            show_day(estimate.as_of),
            estimate.title
        ),
    )
    .column("no", "")
    .column("label", "")
    .column("amount", currency.code())
    .column("source", "From")
    // Last, where words are never cut.
    .column("formula", "")
    .csv_column("explanation")
    .csv_column("caution");
    for line in &estimate.lines {
        let amount = match line.amount {
            Figure::Money(amount) => amount.into(),
            Figure::Percent(share) => Cell::Number(format!("{share} %")),
        };
        table.line(vec![
            line.no.to_string().into(),
            line.label.as_str().into(),
            amount,
            line.source.as_str().into(),
            line.formula.as_str().into(),
            line.explanation.as_str().into(),
            if line.caution.is_empty() {
                SHORT_CAUTION.into()
            } else {
                line.caution.as_str().into()
            },
        ]);
    }
    table.heading("Instalments");
    for one in &estimate.instalments {
        let name = if one.label.is_empty() {
            format!("due {}", show_day(one.due))
        } else {
            format!("{}, due {}", one.label, show_day(one.due))
        };
        let how = one.columns.as_ref().map_or_else(String::new, |ways| {
            let equal = format!("in equal parts {}", currency.show(ways.equal));
            match ways.annualised {
                Some(amount) => format!(
                    "{equal}; by the season {}: {}",
                    currency.show(amount),
                    ways.formula
                ),
                None => equal,
            }
        });
        let words = [one.note.as_str(), how.as_str()];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        table.line(vec![
            one.no.to_string().into(),
            name.into(),
            one.needed.into(),
            one.moved_because.as_str().into(),
            words.join("; ").into(),
            "".into(),
            SHORT_CAUTION.into(),
        ]);
    }
    for warning in &estimate.warnings {
        table.note(warning.as_str());
    }
    for note in &estimate.notes {
        table.note(note.as_str());
    }
    for line in &estimate.lines {
        if !line.caution.is_empty() {
            table.note(format!("Line {}: {}", line.no, line.caution));
        }
    }
    table.note(estimate.caution);
    table
}

/// The days instalments of a year are due.
#[must_use]
pub fn due_dates(dates: &DueDates, year: i32) -> Table {
    let mut table = Table::new(format!("Due dates of {year}"), &dates.title)
        .column("no", "")
        .column("label", "")
        .column("period", "For")
        .column("due", "Due")
        .column("moved_because", "");
    for (label, due) in &dates.dues {
        let period = format!(
            "{} to {}",
            show_day(due.period.from),
            show_day(due.period.to)
        );
        table.line(vec![
            due.no.to_string().into(),
            label.as_str().into(),
            period.into(),
            show_day(due.due).into(),
            due.moved_because.as_str().into(),
        ]);
    }
    table.note(format!("Dates from: {}.", dates.source));
    table.note(CAUTION);
    table
}

/// Every published figure there is, of one method only when it is named.
#[must_use]
pub fn rates(library: &Library, only: Option<&str>) -> Table {
    let mut table = Table::new("Rates", "What there is, with its sources")
        .column("rates", "Rates")
        .column("label", "Figure")
        .column("for", "For")
        .column("value", "Value")
        .column("source", "Source")
        .column("checked", "Checked");
    let is_wanted = |name: &str| only.is_none_or(|only| only == name);
    if !library.faults().is_empty() {
        table.heading("Files that are not used; why is told at the foot");
        for fault in library.faults() {
            let mut cells: Vec<Cell> = vec!["".into(), fault.file.as_str().into()];
            cells.resize(6, "".into());
            table.line(cells);
        }
    }
    let mut asked: Vec<&str> = Vec::new();
    for (rates, sheet) in library.all_rates() {
        if !is_wanted(&rates.name) && !is_wanted(&sheet.name) {
            continue;
        }
        let own = if library.is_own(&rates.name) {
            ", your own file"
        } else {
            ""
        };
        if !asked.contains(&sheet.name.as_str()) {
            asked.push(&sheet.name);
            table.heading(&format!("What is asked for {}", sheet.title));
            for answer in &sheet.answers {
                let without = match (&answer.default, answer.is_required) {
                    (_, true) => "needed".to_owned(),
                    (Some(default), _) => format!("{default} unless answered"),
                    (None, _) => "may stay empty".to_owned(),
                };
                table.line(vec![
                    sheet.name.as_str().into(),
                    answer.label.as_str().into(),
                    answer.setting().into(),
                    Cell::Number(String::new()),
                    without.into(),
                    "".into(),
                ]);
            }
        }
        table.heading(&format!("{}{own} ({})", rates.title, sheet.currency));
        for one in &rates.figures {
            for (word, figured) in &one.value.values {
                row(&mut table, rates, one, word, figured.shown());
            }
        }
        for one in &rates.tables {
            for (word, bands) in &one.value.values {
                for band in bands.all() {
                    row(&mut table, rates, one, word, in_words(band));
                }
            }
        }
    }
    for fault in library.faults() {
        table.note(format!("Not used: {fault}"));
    }
    table.note(
        "A year that is not here has no figures of its own: a sheet for it is refused, or takes another year's and says so.",
    );
    table
}

fn row<T>(table: &mut Table, rates: &Rates, one: &Published<T>, word: &str, value: String) {
    let source = if one.read.is_empty() {
        one.source.clone()
    } else {
        format!("{} ({})", one.source, one.read)
    };
    table.line(vec![
        rates.name.as_str().into(),
        one.label.as_str().into(),
        word.into(),
        Cell::Number(value),
        source.into(),
        one.checked.to_string().into(),
    ]);
}

fn in_words(band: &Band) -> String {
    match band.to {
        Some(to) => format!("{} to {to}: {} %", band.from, band.rate),
        None => format!("from {}: {} %", band.from, band.rate),
    }
}
