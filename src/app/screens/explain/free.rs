//! The working behind what is free to spend, and behind each of its terms.
//! The page about it is `screens::free`.

use super::model::Explanation;
use super::rooms::worksheet;
use super::source::Source;
use crate::app::screens::facts::Facts;
use crate::dates::show_day;
use crate::free_to_spend::{FreeLine, Term};
use crate::money::Money;
use crate::reports::FreeReport;

/// What is free to spend: every term opens.
#[must_use]
pub fn free_explanation(report: &FreeReport) -> Explanation {
    let sentence = if report.answer.free.is_negative() {
        "More is promised than is there. That happens; what would help is beneath."
    } else {
        "What of the money in hand nobody else is waiting for"
    };
    let mut answer = Explanation::new("Free to spend", sentence);
    answer.is_estimate = true;
    for line in &report.answer.lines {
        let how = match line.term {
            Term::DueSoon => within(report.days),
            Term::SetAsideGap => "needed less put by".to_owned(),
            Term::Reserve => "your choice".to_owned(),
            Term::InHand => "without the set-aside account".to_owned(),
            _ => String::new(),
        };
        let source = source_of_term(line, report);
        answer.term(line.label, how, line.amount, Some(source));
    }
    let free = report.answer.free;
    answer.result("Free to spend", "the lines above together", free)
}

fn within(days: u64) -> String {
    match days {
        0 => "due by today".to_owned(),
        1 => "due by tomorrow".to_owned(),
        days => format!("within {days} days"),
    }
}

fn source_of_term(line: &FreeLine, report: &FreeReport) -> Source {
    match (line.term, line.accounts.as_slice()) {
        (Term::DueSoon, _) => Source::DueSoon,
        (_, [account]) => Source::Balance(*account, report.day),
        (term, _) => Source::FreeTerm(term),
    }
}

/// A term of what is free, by its accounts, by the estimate's lines, or in words.
pub(super) fn term(facts: &Facts, term: Term) -> Explanation {
    let report = &facts.free;
    let line = report.answer.lines.iter().find(|line| line.term == term);
    let label = line.map_or("Free to spend", |line| line.label);
    let amount = line.map_or(Money::ZERO, |line| line.amount);
    match term {
        Term::SetAsideGap => set_aside_gap(facts, label),
        Term::Reserve => {
            let mut answer = Explanation::new(
                label,
                "what you always want to keep; change it beneath what is free to spend",
            );
            answer.term(label, "your choice", amount, None);
            answer.amount = amount;
            answer
        }
        Term::DueSoon => due_soon(facts),
        _ => {
            let mut answer =
                Explanation::new(label, format!("at the end of {}", show_day(report.day)));
            for account in line.map_or(&[][..], |line| &line.accounts) {
                answer.term(
                    facts.chart.title(*account),
                    "",
                    facts.to_date.net(*account),
                    Some(Source::Balance(*account, report.day)),
                );
            }
            answer.result(label, "the lines above together", amount)
        }
    }
}

/// The worksheet of the day's own year, whichever period the rooms show.
fn set_aside_gap(facts: &Facts, label: &str) -> Explanation {
    let Some(estimate) = &facts.free.estimate else {
        return Explanation::new(
            label,
            "The method you chose has no figures for this year, so nothing is taken off for it.",
        );
    };
    let mut answer = Explanation::new(label, "what is needed so far, less what is put by and paid");
    answer.is_estimate = true;
    let year = facts.year_start.containing(facts.free.day);
    worksheet(&mut answer, facts, estimate, year);
    answer.amount = estimate.to_move;
    answer
}

pub(super) fn due_soon(facts: &Facts) -> Explanation {
    let report = &facts.free;
    let mut answer = Explanation::new("Recurring purchases due soon", within(report.days));
    for due in &report.due {
        answer.term(due.name.clone(), show_day(due.due), due.amount, None);
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    answer.result("Due soon", "the lines above together", total)
}
