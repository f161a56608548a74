//! What is free to spend as a table, with what would help, the owner's split and a purchase that is tried as its notes.
//! The figures are `reports`'.

use super::super::table::{Cell, RowStyle, Table};
use crate::dates::show_day;
use crate::free_to_spend::AfterBuying;
use crate::money::Currency;
use crate::reports::FreeReport;

/// What is free to spend, with a purchase that is tried.
#[must_use]
pub fn free_to_spend(
    report: &FreeReport,
    buying: Option<&AfterBuying>,
    currency: &Currency,
) -> Table {
    let mut table = Table::new("Free to spend", format!("On {}", show_day(report.day)))
        .column("no", "")
        .column("label", "")
        .column("amount", currency.code());
    for line in &report.answer.lines {
        table.line(vec![
            line.no.to_string().into(),
            line.label.into(),
            line.amount.into(),
        ]);
    }
    table.push(
        RowStyle::Final,
        vec![Cell::Empty, "Free".into(), report.answer.free.into()],
    );
    if !report.due.is_empty() {
        let due: Vec<String> = report
            .due
            .iter()
            .map(|one| {
                format!(
                    "{} {} on {}",
                    one.name,
                    currency.show(one.amount),
                    show_day(one.due)
                )
            })
            .collect();
        table.note(format!(
            "Due through {}: {}.",
            show_day(report.through()),
            due.join("; ")
        ));
    }
    if report.answer.free.is_negative() {
        table.note("More is promised than is there. This would help:");
    }
    for help in &report.help {
        table.note(help.sentence(currency));
    }
    if report.split.is_some() {
        table.note(match report.proposal() {
            Some(parts) => format!(
                "Your own split, a proposal only: pay yourself {}, reserve {}, for buying {}.",
                currency.show(parts.pay),
                currency.show(parts.reserve),
                currency.show(parts.buy)
            ),
            None => "Your own split proposes nothing: nothing is free.".to_owned(),
        });
    }
    if let Some(tried) = buying {
        table.note(tried.sentence(currency));
    }
    table
}
