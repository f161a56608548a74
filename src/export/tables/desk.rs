//! What is kept at the desk as tables: questions for the accountant, duties and returns of sales tax.

use chrono::NaiveDate;

use crate::dates::{DateRange, show_day};
use crate::desk::{PAPERS_CAUTION, QuestionState, RETURN_CAUTION, period_words};
use crate::export::{Cell, Table};
use crate::reports::{DutiesReport, QuestionReport, ReturnReport};

/// The questions for the accountant, as text.
#[must_use]
pub fn questions(list: &[QuestionReport], as_of: NaiveDate) -> Table {
    let mut table = Table::new(
        "Questions for the accountant",
        format!("On {}", show_day(as_of)),
    )
    .column("number", "No.")
    .column("state", "")
    .column("question", "Question")
    .column("about", "About")
    .column("answer", "Answer")
    .column("applied", "What was done");
    for report in list {
        let question = &report.question;
        let dated = |words: &str, on: NaiveDate| Cell::from(format!("{words} ({})", show_day(on)));
        let answer = question.answer.as_ref();
        let applied = question.application.as_ref();
        table.line(vec![
            Cell::Number(question.id.to_string()),
            question.state().as_str().into(),
            dated(&question.words, question.asked_on),
            report.about.as_str().into(),
            answer.map_or(Cell::Empty, |answer| dated(&answer.words, answer.on)),
            applied.map_or(Cell::Empty, |applied| dated(&applied.what, applied.on)),
        ]);
    }
    if list.is_empty() {
        table.note("None is asked.");
    }
    table
}

/// The questions as the sheet that goes to the accountant and comes back with her answers.
#[must_use]
pub fn questions_sheet(list: &[QuestionReport]) -> Table {
    let mut table = Table::new("Questions for the accountant", "")
        .column("number", "No.")
        .column("entry", "Entry")
        .column("about", "About")
        .column("question", "Question")
        .column("asked_by", "Asked by")
        .column("asked_on", "Asked on")
        .column("answer", "Answer")
        .column("answered_by", "Answered by")
        .column("answered_on", "Answered on")
        .column("applied", "What was done")
        .column("applied_entry", "By entry")
        .column("applied_on", "Done on");
    for state in [
        QuestionState::Open,
        QuestionState::Answered,
        QuestionState::Applied,
    ] {
        for report in list.iter().filter(|one| one.question.state() == state) {
            let cells = crate::export::written_desk::question_row(report);
            table.line(cells.into_iter().map(Cell::from).collect());
        }
    }
    table
}

/// The duties, the sales-tax figures of each return beside it, and the tax dates alongside.
#[must_use]
pub fn duties(report: &DutiesReport, as_of: NaiveDate) -> Table {
    let mut table = Table::new("Duties", format!("On {}", show_day(as_of)))
        .column("duty", "Duty")
        .column("kind", "Kind")
        .column("next_day", "Next due")
        .column("cycle", "How often")
        .column("state", "State")
        .column("period", "Period")
        .column("taxable_sales", "Taxable sales")
        .column("tax_collected", "Tax taken")
        .column("done_on", "Last done");
    for one in &report.duties {
        let duty = &one.duty;
        let tax = one.tax.as_ref();
        let state = match tax {
            Some(tax) if tax.is_nil() => format!("{}, nil return", one.nearness.as_str()),
            _ => one.nearness.as_str().to_owned(),
        };
        table.line(vec![
            duty.name.as_str().into(),
            duty.kind.plain().into(),
            duty.next_day.map(show_day).unwrap_or_default().into(),
            duty.cycle_words().into(),
            state.into(),
            duty.period().map(period_words).unwrap_or_default().into(),
            tax.map(|tax| tax.taxable).into(),
            tax.map(|tax| tax.collected).into(),
            one.done
                .last()
                .map(|done| show_day(done.done_on))
                .unwrap_or_default()
                .into(),
        ]);
    }
    for day in &report.tax_days {
        let label = match day.label.as_str() {
            "" => "Set-aside instalment",
            label => label,
        };
        let mut cells = vec![
            Cell::from(label),
            "from the set-aside calendar".into(),
            show_day(day.due.due).into(),
        ];
        cells.resize(table.columns.len(), Cell::Empty);
        table.line(cells);
    }
    if report.duties.iter().any(|one| one.tax.is_some()) {
        table.note(RETURN_CAUTION);
    }
    table.note(PAPERS_CAUTION);
    table
}

/// What was done about duties in a range, for the year's folder.
#[must_use]
pub fn duties_done(report: &DutiesReport, days: DateRange) -> Table {
    let mut table = Table::new("Duties done", "")
        .column("duty", "Duty")
        .column("kind", "Kind")
        .column("due", "Due")
        .column("done_on", "Done on")
        .column("period_from", "Period from")
        .column("period_to", "Period to")
        .column("amount", "Amount")
        .column("note", "Note")
        .column("proof", "Proof");
    for one in &report.duties {
        for done in one.done.iter().filter(|done| days.contains(done.done_on)) {
            table.line(vec![
                one.duty.name.as_str().into(),
                one.duty.kind.as_str().into(),
                done.due.to_string().into(),
                done.done_on.to_string().into(),
                iso(done.period.map(|period| period.from)),
                iso(done.period.map(|period| period.to)),
                done.amount.into(),
                done.note.as_str().into(),
                done.proof
                    .as_ref()
                    .map_or(Cell::Empty, |proof| proof.name.as_str().into()),
            ]);
        }
    }
    table
}

/// The sales of a year by the periods of its returns: taxable, other, tax taken, what was filed and when.
#[must_use]
pub fn sales_tax(rows: &[ReturnReport]) -> Table {
    let mut table = Table::new("Sales tax", "")
        .column("from", "From")
        .column("to", "To")
        .column("taxable_sales", "Taxable sales")
        .column("other_sales", "Other sales")
        .column("tax_collected", "Tax taken")
        .column("tax_by_channels", "Taken by shops")
        .column("due", "Due")
        .column("filed_on", "Filed on")
        .column("filed_amount", "Return came to");
    for row in rows {
        table.line(vec![
            row.tax.period.from.to_string().into(),
            row.tax.period.to.to_string().into(),
            row.tax.taxable.into(),
            row.tax.other.into(),
            row.tax.collected.into(),
            row.tax.by_channels.into(),
            iso(row.due),
            iso(row.filed_on),
            row.amount.into(),
        ]);
    }
    table.note(RETURN_CAUTION);
    table
}

fn iso(day: Option<NaiveDate>) -> Cell {
    day.map_or(Cell::Empty, |day| day.to_string().into())
}
