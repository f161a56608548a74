//! What the book itself shows of how the business is kept: facts, each with where it comes from, and no judgement.

use chrono::NaiveDate;

use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month, show_day};
use crate::desk::{QuestionState, hours_words};
use crate::happenings::ProofState;
use crate::ledger::{EntryKind, Role};
use crate::reports::{ReportError, agreed, plan};

/// The caution beside the facts.
pub const EVIDENCE_CAUTION: &str = "Facts from the book and no judgement: whether an activity counts as a business, and what \
     that means for tax, depends on more than records. Confirm with local rules and a licensed professional.";

/// A fact of how the business is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What it is about.
    pub topic: &'static str,
    /// The fact.
    pub fact: String,
    /// Where in the book it comes from.
    pub from: &'static str,
}

fn times(count: usize, one: &str, many: &str) -> String {
    match count {
        0 => format!("no {one}"),
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    }
}

/// What the book shows of a range.
///
/// # Errors
/// When the book cannot be read.
pub fn evidence(book: &Book, range: DateRange, today: NaiveDate) -> Result<Vec<Fact>, ReportError> {
    let mut facts = Vec::new();
    accounts(book, range, &mut facts)?;
    records(book, range, &mut facts)?;
    hours(book, range, &mut facts)?;
    decisions(book, range, &mut facts)?;
    planned(book, range, today, &mut facts)?;
    advice(book, range, &mut facts)?;
    papers(book, range, &mut facts)?;
    Ok(facts)
}

fn accounts(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let mut add = |fact, from| {
        facts.push(Fact {
            topic: "A separate account",
            fact,
            from,
        });
    };
    let bank = book.chart().role(Role::BusinessBank)?;
    let through_bank = book.entry_numbers(&EntryFilter {
        account: Some(bank),
        ..EntryFilter::in_range(range)
    })?;
    let name = book.chart().title(bank);
    add(
        format!(
            "{} moved {name}",
            times(through_bank.len(), "entry", "entries")
        ),
        "Money",
    );
    let of_kind = |kind| -> Result<usize, BookError> {
        let filter = EntryFilter {
            kind: Some(kind),
            ..EntryFilter::in_range(range)
        };
        Ok(book.entry_numbers(&filter)?.len())
    };
    add(
        format!(
            "{} paid by the business and booked to the owner",
            times(
                of_kind(EntryKind::PrivatePayment)?,
                "private thing",
                "private things"
            )
        ),
        "Ledger",
    );
    let agreed = agreed(book)?;
    let bank = agreed.iter().find(|one| one.account == bank);
    add(
        match bank.and_then(|one| one.agreed_to) {
            Some(day) => format!("{name} agreed with its statement through {}", show_day(day)),
            None => format!("{name} was not brought into agreement with a statement yet"),
        },
        "Money",
    );
    Ok(())
}

fn records(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let mut add = |fact, from| {
        facts.push(Fact {
            topic: "Books kept",
            fact,
            from,
        });
    };
    let numbers = book.entry_numbers(&EntryFilter::in_range(range))?;
    let since = book.days_covered()?.map(|covered| covered.from);
    if let Some(since) = since {
        add(format!("kept since {}", show_day(since)), "Ledger");
    }
    let mut months: Vec<Month> = Vec::new();
    let mut last = None;
    for posted in book.entries(&numbers)? {
        let day = posted.entry.header.date;
        months.push(Month::of(day));
        last = last.max(Some(day));
    }
    months.sort_unstable();
    months.dedup();
    add(
        format!(
            "{} in {} of {}",
            times(numbers.len(), "entry", "entries"),
            times(months.len(), "month", "months"),
            range.months().count()
        ),
        "Ledger",
    );
    if let Some(last) = last {
        add(format!("up to date through {}", show_day(last)), "Ledger");
    }
    let with_proof = |proof| -> Result<usize, BookError> {
        let filter = EntryFilter {
            proof: Some(proof),
            ..EntryFilter::in_range(range)
        };
        Ok(book.entry_numbers(&filter)?.len())
    };
    add(
        format!(
            "{} kept, {} where something stands in, {} still to find",
            times(with_proof(ProofState::Complete)?, "receipt", "receipts"),
            with_proof(ProofState::Substitute)?,
            with_proof(ProofState::Missing)?
        ),
        "Ledger",
    );
    if let Some(lock) = book.lock_date() {
        add(format!("locked through {}", show_day(lock)), "Ledger");
    }
    Ok(())
}

fn hours(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let worked = book.work_times(range)?;
    let mut months: Vec<Month> = worked.iter().map(|time| Month::of(time.day)).collect();
    months.dedup();
    let minutes: u32 = worked.iter().map(|time| time.minutes).sum();
    facts.push(Fact {
        topic: "Hours",
        fact: if worked.is_empty() {
            "no hours are written down".to_owned()
        } else {
            format!(
                "{} written down, in {}",
                hours_words(minutes),
                times(months.len(), "month", "months")
            )
        },
        from: "Hours",
    });
    Ok(())
}

fn decisions(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let mut list = book.decisions()?;
    list.retain(|decision| range.contains(decision.day));
    facts.push(Fact {
        topic: "Decisions",
        fact: format!(
            "{} written down with a reason",
            times(list.len(), "decision", "decisions")
        ),
        from: "Decisions",
    });
    for decision in list {
        facts.push(Fact {
            topic: "Decisions",
            fact: format!(
                "{}: {} Because: {}",
                show_day(decision.day),
                ended(&decision.what),
                ended(&decision.why)
            ),
            from: "Decisions",
        });
    }
    Ok(())
}

/// Words with a full stop at their end.
fn ended(words: &str) -> String {
    format!("{}.", words.trim().trim_end_matches('.'))
}

fn planned(
    book: &Book,
    range: DateRange,
    today: NaiveDate,
    facts: &mut Vec<Fact>,
) -> Result<(), ReportError> {
    let report = plan(book, today.min(range.to))?;
    let currency = book.currency();
    facts.push(Fact {
        topic: "Plan against actual",
        fact: if report.plan.lines.is_empty() {
            "no start-up plan is kept".to_owned()
        } else {
            format!(
                "planned {} at the likely cost, spent on it {}, expected in the end {}",
                currency.show(report.actual.planned.likely),
                currency.show(report.actual.actual),
                currency.show(report.actual.expected())
            )
        },
        from: "Plan",
    });
    Ok(())
}

fn advice(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let mut list = book.questions()?;
    list.retain(|question| range.contains(question.asked_on));
    let those = |state| {
        let found = list.iter().filter(|question| question.state() == state);
        found.count()
    };
    facts.push(Fact {
        topic: "Advice taken",
        fact: format!(
            "{} for the accountant: {} open, {} answered, {} applied",
            times(list.len(), "question", "questions"),
            those(QuestionState::Open),
            those(QuestionState::Answered),
            those(QuestionState::Applied)
        ),
        from: "Questions",
    });
    Ok(())
}

fn papers(book: &Book, range: DateRange, facts: &mut Vec<Fact>) -> Result<(), ReportError> {
    let list = book.company_papers()?;
    if !list.is_empty() {
        let there = list.iter().filter(|paper| paper.is_there).count();
        facts.push(Fact {
            topic: "Formalities",
            fact: format!("{there} of {} company papers are there", list.len()),
            from: "Company papers",
        });
    }
    let done = book.duties_done()?;
    let n_done = done
        .values()
        .flatten()
        .filter(|done| range.contains(done.done_on))
        .count();
    if !done.is_empty() || !book.duties()?.is_empty() {
        facts.push(Fact {
            topic: "Formalities",
            fact: format!("{} done", times(n_done, "duty", "duties")),
            from: "Duties",
        });
    }
    Ok(())
}
