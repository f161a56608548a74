//! What is kept at the desk as JSON: questions for the accountant, duties.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::desk::{PAPERS_CAUTION, QuestionState, RETURN_CAUTION};
use crate::money::Currency;
use crate::reports::{DutiesReport, DutyReport, QuestionReport};

/// The questions for the accountant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuestionsJson {
    #[serde(flatten)]
    as_of: AsOf,
    open: usize,
    to_apply: usize,
    questions: Vec<QuestionJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct QuestionJson {
    number: i64,
    state: &'static str,
    entry: Option<u64>,
    about: String,
    question: String,
    asked_by: String,
    asked_on: NaiveDate,
    answer: Option<String>,
    answered_by: Option<String>,
    answered_on: Option<NaiveDate>,
    applied: Option<String>,
    applied_entry: Option<u64>,
    applied_on: Option<NaiveDate>,
}

/// The questions for the accountant as JSON.
#[must_use]
pub fn questions(list: &[QuestionReport], as_of: NaiveDate, currency: &Currency) -> QuestionsJson {
    let those = |state| {
        let found = list.iter().filter(|one| one.question.state() == state);
        found.count()
    };
    QuestionsJson {
        as_of: AsOf::new(currency, as_of),
        open: those(QuestionState::Open),
        to_apply: those(QuestionState::Answered),
        questions: list.iter().map(question).collect(),
    }
}

fn question(report: &QuestionReport) -> QuestionJson {
    let question = &report.question;
    let answer = question.answer.as_ref();
    let applied = question.application.as_ref();
    QuestionJson {
        number: question.id,
        state: question.state().as_str(),
        entry: question.entry.map(|entry| entry.0),
        about: report.about.clone(),
        question: question.words.clone(),
        asked_by: question.asked_by.clone(),
        asked_on: question.asked_on,
        answer: answer.map(|answer| answer.words.clone()),
        answered_by: answer.map(|answer| answer.by.clone()),
        answered_on: answer.map(|answer| answer.on),
        applied: applied.map(|applied| applied.what.clone()),
        applied_entry: applied.and_then(|applied| applied.entry.map(|entry| entry.0)),
        applied_on: applied.map(|applied| applied.on),
    }
}

/// The duties with what was done about each, and the tax dates alongside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DutiesJson {
    #[serde(flatten)]
    as_of: AsOf,
    duties: Vec<DutyJson>,
    tax_dates: Vec<TaxDayJson>,
    cautions: [&'static str; 2],
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DutyJson {
    duty: String,
    kind: &'static str,
    next_day: Option<NaiveDate>,
    state: &'static str,
    every_months: u32,
    remind_days: u32,
    remind_from: Option<NaiveDate>,
    note: String,
    period: Option<PeriodTaxJson>,
    done: Vec<DutyDoneJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PeriodTaxJson {
    from: NaiveDate,
    to: NaiveDate,
    taxable_sales: String,
    other_sales: String,
    tax_collected: String,
    tax_by_channels: String,
    nil: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DutyDoneJson {
    due: NaiveDate,
    done_on: NaiveDate,
    amount: Option<String>,
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    note: String,
    proof: Option<String>,
    proof_sha256: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TaxDayJson {
    year: i32,
    label: String,
    due: NaiveDate,
    from: NaiveDate,
    to: NaiveDate,
}

/// The duties as JSON.
#[must_use]
pub fn duties(report: &DutiesReport, as_of: NaiveDate, currency: &Currency) -> DutiesJson {
    DutiesJson {
        as_of: AsOf::new(currency, as_of),
        duties: report
            .duties
            .iter()
            .map(|one| duty(one, currency))
            .collect(),
        tax_dates: report
            .tax_days
            .iter()
            .map(|day| TaxDayJson {
                year: day.year,
                label: day.label.clone(),
                due: day.due.due,
                from: day.due.period.from,
                to: day.due.period.to,
            })
            .collect(),
        cautions: [PAPERS_CAUTION, RETURN_CAUTION],
    }
}

fn duty(report: &DutyReport, currency: &Currency) -> DutyJson {
    let duty = &report.duty;
    DutyJson {
        duty: duty.name.clone(),
        kind: duty.kind.as_str(),
        next_day: duty.next_day,
        state: report.nearness.as_str(),
        every_months: duty.every_months,
        remind_days: duty.remind_days,
        remind_from: duty.remind_from(),
        note: duty.note.clone(),
        period: report.tax.map(|tax| PeriodTaxJson {
            from: tax.period.from,
            to: tax.period.to,
            taxable_sales: currency.plain(tax.taxable),
            other_sales: currency.plain(tax.other),
            tax_collected: currency.plain(tax.collected),
            tax_by_channels: currency.plain(tax.by_channels),
            nil: tax.is_nil(),
        }),
        done: report
            .done
            .iter()
            .map(|done| DutyDoneJson {
                due: done.due,
                done_on: done.done_on,
                amount: done.amount.map(|amount| currency.plain(amount)),
                from: done.period.map(|period| period.from),
                to: done.period.map(|period| period.to),
                note: done.note.clone(),
                proof: done.proof.as_ref().map(|proof| proof.name.clone()),
                proof_sha256: done.proof.as_ref().map(|proof| proof.hash.clone()),
            })
            .collect(),
    }
}
