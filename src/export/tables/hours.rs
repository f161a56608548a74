//! The owner's hours, company papers, decisions and the facts of how the business is kept as tables.

use chrono::NaiveDate;

use super::span;
use crate::dates::{DateRange, show_day};
use crate::desk::{CompanyPaper, Decision, EARNING_CAUTION, Earning, PAPERS_CAUTION, hours_words};
use crate::export::{Cell, RowStyle, Table};
use crate::money::Currency;
use crate::reports::{EVIDENCE_CAUTION, Fact, HoursReport};

/// Hours by activity, and what an hour left by month and by product, with the working.
#[must_use]
pub fn hours(report: &HoursReport, currency: &Currency) -> Table {
    let mut table = Table::new("Hours", span(report.range))
        .column("what", "")
        .column("time", "Time")
        .csv_column("minutes")
        .column("kept", "Was left")
        .column("each_hour", "An hour")
        .column("working", "Where this comes from");
    let row = |what: &str, earning: Earning, kept: &str| {
        vec![
            Cell::from(what),
            hours_words(earning.minutes).into(),
            Cell::Number(earning.minutes.to_string()),
            earning.kept.into(),
            earning.each_hour().into(),
            earning.working(kept, currency).into(),
        ]
    };
    for (activity, minutes) in &report.activities {
        table.line(vec![
            activity.as_str().into(),
            hours_words(*minutes).into(),
            Cell::Number(minutes.to_string()),
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
        ]);
    }
    if !report.months.is_empty() {
        table.heading("By month: net profit over all hours");
    }
    for one in &report.months {
        let name = format!("{} {}", one.month.name(), one.month.year());
        table.line(row(&name, one.earning, "net profit"));
    }
    if !report.products.is_empty() {
        table.heading("By product: what it kept over its making hours");
    }
    for one in &report.products {
        table.line(row(&one.name, one.earning, "kept"));
    }
    table.push(
        RowStyle::Total,
        row("All hours", report.whole, "net profit"),
    );
    if let Some(timer) = &report.timer {
        table.note(format!(
            "The timer runs since {}, for {}.",
            crate::desk::show_moment(timer.since),
            timer.activity
        ));
    }
    table.note(EARNING_CAUTION);
    table
}

/// The company's papers.
#[must_use]
pub fn papers(papers: &[CompanyPaper], as_of: NaiveDate) -> Table {
    let mut table = Table::new("Company papers", format!("On {}", show_day(as_of)))
        .column("paper", "Paper")
        .column("kind", "Kind")
        .column("there", "There")
        .column("day", "Of")
        .column("kept_at", "Kept at")
        .column("note", "Note")
        .column("copy", "Copy");
    for paper in papers {
        table.line(vec![
            paper.name.as_str().into(),
            paper.kind.plain().into(),
            if paper.is_there { "yes" } else { "no" }.into(),
            paper.day.map_or(Cell::Empty, |day| day.to_string().into()),
            paper.kept_at.as_str().into(),
            paper.note.as_str().into(),
            paper
                .proof
                .as_ref()
                .map_or(Cell::Empty, |proof| proof.name.as_str().into()),
        ]);
    }
    table.note(PAPERS_CAUTION);
    table
}

/// Decisions with their reasons.
#[must_use]
pub fn decisions(list: &[Decision]) -> Table {
    let mut table = Table::new("Decisions", "")
        .column("number", "No.")
        .column("day", "Day")
        .column("what", "What")
        .column("why", "Why")
        .column("corrects", "Corrects");
    for decision in list {
        table.line(vec![
            Cell::Number(decision.id.to_string()),
            decision.day.to_string().into(),
            decision.what.as_str().into(),
            decision.why.as_str().into(),
            decision
                .corrects
                .map_or(Cell::Empty, |number| Cell::Number(number.to_string())),
        ]);
    }
    table
}

/// The facts of how the business is kept.
#[must_use]
pub fn evidence(facts: &[Fact], range: DateRange) -> Table {
    let mut table = Table::new("How the business is kept", span(range))
        .column("topic", "")
        .column("fact", "Fact")
        .column("from", "From");
    let mut topic = "";
    for fact in facts {
        let is_new = fact.topic != topic;
        topic = fact.topic;
        table.line(vec![
            if is_new { topic.into() } else { Cell::Empty },
            fact.fact.as_str().into(),
            fact.from.into(),
        ]);
    }
    table.note(EVIDENCE_CAUTION);
    table
}
