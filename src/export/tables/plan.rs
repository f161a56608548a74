//! The start-up plan as a table, and the estimate of the first year in words.

use chrono::NaiveDate;

use crate::dates::show_day;
use crate::export::{Cell, RowStyle, Table};
use crate::money::Currency;
use crate::plan::{Need, show_month};
use crate::reports::{PlanReport, StartEstimate};

/// The plan with what became of each line, and its money beneath.
#[must_use]
pub fn plan(report: &PlanReport, as_of: NaiveDate, currency: &Currency) -> Table {
    let mut table = Table::new("Start-up plan", format!("On {}", show_day(as_of)))
        .column("name", "")
        .column("kind", "Kind")
        .column("need", "Need")
        .column("month", "Month")
        .column("counts", "Counts")
        .column("low", "Low")
        .column("likely", "Likely")
        .column("high", "High")
        .column("actual", "Actual");
    for one in &report.actual.lines {
        let line = &one.line;
        table.line(vec![
            match &line.alternative_of {
                Some(of) => format!("{} (or {of})", line.name).as_str().into(),
                None => line.name.as_str().into(),
            },
            line.kind.as_str().into(),
            line.need.as_str().into(),
            line.month
                .map(show_month)
                .unwrap_or_default()
                .as_str()
                .into(),
            if line.is_chosen { "yes" } else { "no" }.into(),
            line.cost.low.into(),
            line.cost.likely.into(),
            line.cost.high.into(),
            one.actual.into(),
        ]);
    }
    let mut total = |words: &str, need: Option<Need>, style: RowStyle, actual: Cell| {
        let cost = report.plan.need(need);
        table.push(
            style,
            vec![
                words.into(),
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
                cost.low.into(),
                cost.likely.into(),
                cost.high.into(),
                actual,
            ],
        );
    };
    total("Must have", Some(Need::Must), RowStyle::Total, Cell::Empty);
    total("Can wait", Some(Need::Later), RowStyle::Total, Cell::Empty);
    let spent = report.actual.actual.into();
    total("Together", None, RowStyle::Final, spent);
    table.note(report.course.sentence(currency));
    table.note(format!(
        "Spent on the plan: {}; still to buy, most likely: {}; together {}.",
        currency.show(report.actual.actual),
        currency.show(report.actual.to_buy.likely),
        currency.show(report.actual.expected())
    ));
    table
}

/// The estimate of the first year in sentences, or why there is none.
#[must_use]
pub fn first_year_words(estimate: &StartEstimate, currency: &Currency) -> Vec<String> {
    let year = match &estimate.year {
        Ok(year) => year,
        Err(error) => {
            let mut words = error.to_string();
            if let Some(first) = words.get_mut(0..1) {
                first.make_ascii_uppercase();
            }
            return vec![format!("{words}.")];
        }
    };
    let show = |amount| currency.show(amount);
    let begins = if estimate.is_assumed {
        format!("if it began today, {}", show_day(estimate.begins))
    } else {
        format!("beginning {}", show_day(estimate.begins))
    };
    let mut words = vec![format!(
        "An estimate ({begins}; {}, read {}): of {} start-up costs {} may count at once",
        year.source,
        show_day(year.checked),
        show(year.cost),
        show(year.at_once)
    )];
    if year.rest.is_zero() {
        words[0].push('.');
    } else {
        words[0].push_str(&format!(
            ", and {} over {} months from {} on, about {} a month: {} in the year to {}.",
            show(year.rest),
            year.months,
            year.begins,
            show(year.in_month(1)),
            show(year.in_first_year()),
            show_day(year.year.to)
        ));
    }
    if let Some(rule) = &estimate.rule {
        words.push(rule.what.clone());
        words.push(rule.organising.clone());
    }
    words
}
