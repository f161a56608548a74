//! The start-up plan of a book with the course of its money, what became of it, and the estimate of its first year.
//! The rules are `crate::plan`'s.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::{ReportError, refunds_of};
use crate::book::{Book, BookError};
use crate::ledger::{EntryKind, EntryNumber};
use crate::plan::{
    FirstYear, FirstYearError, MoneyCourse, Plan, PlanActual, StartUpRule, actual, first_year,
    money_course,
};
use crate::statements::CostToStart;

/// A plan and everything that is said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanReport {
    /// The plan.
    pub plan: Plan,
    /// Need against money.
    pub course: MoneyCourse,
    /// Plan against actual.
    pub actual: PlanActual,
}

/// The plan of a book as it stands on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn plan(book: &Book, today: NaiveDate) -> Result<PlanReport, BookError> {
    let plan = book.plan()?;
    let purchases = book.plan_purchases()?;
    let numbers: BTreeSet<EntryNumber> = purchases.iter().map(|one| one.entry).collect();
    let numbers: Vec<EntryNumber> = numbers.into_iter().collect();
    let entries = book.entries(&numbers)?;
    let mut refunds = BTreeMap::new();
    for posted in &entries {
        refunds.insert(posted.number, refunds_of(book, posted)?);
    }
    Ok(PlanReport {
        course: money_course(&plan, today),
        actual: actual(&plan, &purchases, &entries, &refunds, book.chart()),
        plan,
    })
}

/// The first year of the costs of starting: an estimate, or why there is none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartEstimate {
    /// The day the business begins: as it was set, or of the first sale, or today.
    pub begins: NaiveDate,
    /// Whether that is today only because nothing else is known.
    pub is_assumed: bool,
    /// The rule of the place, where there is one.
    pub rule: Option<StartUpRule>,
    /// The estimate.
    pub year: Result<FirstYear, FirstYearError>,
}

/// Puts what it cost to start to the rule of the book's place.
///
/// # Errors
/// When the book cannot be read.
pub fn start_estimate(
    book: &Book,
    cost: &CostToStart,
    today: NaiveDate,
) -> Result<StartEstimate, ReportError> {
    let known = match book.settings().opened_for_business_on() {
        Some(day) => Some(day),
        None => book.first_day_of(EntryKind::Sale)?,
    };
    let begins = known.unwrap_or(today);
    let rule = StartUpRule::for_currency(book.currency());
    let year = rule.clone().and_then(|rule| {
        first_year(
            &rule,
            cost.to_rule(),
            begins,
            book.year_start(),
            book.currency(),
        )
    });
    Ok(StartEstimate {
        begins,
        is_assumed: known.is_none(),
        rule: rule.ok(),
        year,
    })
}

/// The rule of the book's place for the costs of starting, with the day the business began; nothing before it began, or
/// where no rule is kept.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn rule_of_start(book: &Book) -> Result<Option<(StartUpRule, NaiveDate)>, ReportError> {
    let begins = match book.settings().opened_for_business_on() {
        Some(day) => Some(day),
        None => book.first_day_of(EntryKind::Sale)?,
    };
    let rule = StartUpRule::for_currency(book.currency()).ok();
    Ok(rule.zip(begins))
}
