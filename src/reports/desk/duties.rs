//! Duties with what was done about each, the figures of a sales-tax return beside it, and the tax dates of the set-aside
//! calendar alongside.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use crate::book::{Book, EntryFilter};
use crate::dates::DateRange;
use crate::desk::{Duty, DutyDone, DutyKind, Nearness, PeriodTax};
use crate::money::Money;
use crate::reports::{ReportError, due_dates};
use crate::set_aside::Due;

/// How far ahead the tax dates of the set-aside calendar and the days of a calendar file go.
pub const AHEAD_DAYS: u64 = 366;

/// A duty and what belongs to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DutyReport {
    /// The duty.
    pub duty: Duty,
    /// What was done about it, the oldest day first.
    pub done: Vec<DutyDone>,
    /// How near it is.
    pub nearness: Nearness,
    /// What the book says of the period of the next return.
    pub tax: Option<PeriodTax>,
}

/// A day on which an instalment of the owner's own tax is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxDay {
    /// The financial year it belongs to.
    pub year: i32,
    /// What it is called; may be empty.
    pub label: String,
    /// The day with its period.
    pub due: Due,
}

/// The duties of the book and the tax dates alongside.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DutiesReport {
    /// The duties, those that are due first before those that can wait, those that ended last.
    pub duties: Vec<DutyReport>,
    /// The tax dates of the year ahead that no duty of hers stands for already.
    pub tax_days: Vec<TaxDay>,
}

/// Every duty as it stands on a day.
///
/// # Errors
/// When the book cannot be read.
pub fn duties(book: &Book, today: NaiveDate) -> Result<DutiesReport, ReportError> {
    let mut done = book.duties_done()?;
    let mut list = Vec::new();
    for duty in book.duties()? {
        let tax = match duty.period() {
            Some(period) if duty.next_day.is_some() => Some(period_tax(book, period)?),
            _ => None,
        };
        list.push(DutyReport {
            done: done.remove(&duty.id).unwrap_or_default(),
            nearness: duty.nearness(today),
            tax,
            duty,
        });
    }
    list.sort_by_key(|one| (one.duty.next_day.is_none(), one.duty.next_day));
    let tax_days = tax_days(book, today, &list)?;
    Ok(DutiesReport {
        duties: list,
        tax_days,
    })
}

/// The duties that are due within the days she chose for each, or have passed.
///
/// # Errors
/// When the book cannot be read.
pub fn duties_near(book: &Book, today: NaiveDate) -> Result<Vec<DutyReport>, ReportError> {
    let mut list = Vec::new();
    for duty in book.duties()? {
        let nearness = duty.nearness(today);
        if !matches!(nearness, Nearness::Near | Nearness::Passed) {
            continue;
        }
        let tax = duty
            .period()
            .map(|period| period_tax(book, period))
            .transpose()?;
        list.push(DutyReport {
            done: Vec::new(),
            nearness,
            tax,
            duty,
        });
    }
    list.sort_by_key(|one| one.duty.next_day);
    Ok(list)
}

/// What the book says of a period's sales and their tax.
///
/// # Errors
/// When the book cannot be read.
pub fn period_tax(book: &Book, period: DateRange) -> Result<PeriodTax, ReportError> {
    let entries = book.entries(&book.entry_numbers(&EntryFilter::in_range(period))?)?;
    Ok(PeriodTax::of(period, &entries, book.chart())?)
}

/// The tax dates from a day on for a year, without those that a duty of hers stands for.
fn tax_days(
    book: &Book,
    today: NaiveDate,
    duties: &[DutyReport],
) -> Result<Vec<TaxDay>, ReportError> {
    let last = today + Days::new(AHEAD_DAYS);
    let her_own: BTreeSet<NaiveDate> = duties
        .iter()
        .filter(|one| one.duty.kind == DutyKind::TaxDate)
        .flat_map(|one| one.duty.days_through(last))
        .collect();
    let years = book.year_start();
    let mut list = Vec::new();
    // The last instalment of a year is often due in the next one.
    for year in years.year_of(today) - 1..=years.year_of(last) {
        let dues = match due_dates(book, year, None) {
            Ok(dates) => dates.dues,
            // A calendar that does not know the year has no days to show.
            Err(ReportError::SetAside(_)) => Vec::new(),
            Err(error) => return Err(error),
        };
        for (label, due) in dues {
            let is_ahead = due.due >= today && due.due <= last;
            if is_ahead && !her_own.contains(&due.due) {
                list.push(TaxDay { year, label, due });
            }
        }
    }
    list.sort_by_key(|day| day.due.due);
    Ok(list)
}

/// A period of a sales-tax return with what the book says of it and what was filed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReturnReport {
    /// What the book says.
    pub tax: PeriodTax,
    /// The day its return was or is due.
    pub due: Option<NaiveDate>,
    /// The day it was filed.
    pub filed_on: Option<NaiveDate>,
    /// What it came to.
    pub amount: Option<Money>,
}

/// The returns whose period ends in a range, those that were filed and the one that is next.
///
/// # Errors
/// When the book cannot be read.
pub fn returns(book: &Book, range: DateRange) -> Result<Vec<ReturnReport>, ReportError> {
    let mut done = book.duties_done()?;
    let mut list = Vec::new();
    for duty in book.duties()? {
        if duty.kind != DutyKind::SalesTax {
            continue;
        }
        for one in done.remove(&duty.id).unwrap_or_default() {
            let Some(period) = one.period.filter(|period| range.contains(period.to)) else {
                continue;
            };
            list.push(ReturnReport {
                tax: period_tax(book, period)?,
                due: Some(one.due),
                filed_on: Some(one.done_on),
                amount: one.amount,
            });
        }
        let next = duty.period().filter(|period| range.contains(period.to));
        if let (Some(period), Some(due)) = (next, duty.next_day) {
            list.push(ReturnReport {
                tax: period_tax(book, period)?,
                due: Some(due),
                filed_on: None,
                amount: None,
            });
        }
    }
    list.sort_by_key(|one| one.tax.period.to);
    Ok(list)
}
