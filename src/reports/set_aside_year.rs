//! What became of the set-aside over a year: what was needed, put by and paid by each day that is due.
//! How much is needed is `set_aside`'s; here it is read on one day after another.

use chrono::NaiveDate;

use super::estimates::{instalment_calendar, put_by, tax_paid};
use super::{ReportError, Trial, estimate_or_plain, estimate_with, profit};
use crate::book::Book;
use crate::dates::DateRange;
use crate::money::Money;
use crate::set_aside::{Estimate, SetAsideError};

/// What is needed for each instalment of the financial year that ends in `year`, from everything recorded in it.
///
/// # Errors
/// When there is no estimate, or the book cannot be read.
pub fn amounts_due(
    book: &Book,
    year: i32,
    method: Option<&str>,
) -> Result<Vec<Money>, ReportError> {
    let last = book.year_start().year_ending_in(year).to;
    let trial = Trial {
        method: method.map(str::to_owned),
        ..Trial::default()
    };
    let estimate = estimate_with(book, year, last, &trial)?;
    Ok(estimate.instalments.iter().map(|one| one.needed).collect())
}

/// How it stood on the day an instalment was due, or stands today before that day: everything counted from the year's
/// beginning, so that the gap is what was needed less what was put by and paid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuarterKept {
    /// The instalment's place in the year, from 1.
    pub no: u32,
    /// The days whose profit it covers.
    pub period: DateRange,
    /// The day it is due.
    pub due: NaiveDate,
    /// The day up to which it is counted.
    pub counted_to: NaiveDate,
    /// Needed for all instalments so far.
    pub needed: Money,
    /// What the set-aside savings held.
    pub put_by: Money,
    /// Paid of the year's tax.
    pub paid: Money,
    /// What was missing; never below nothing.
    pub gap: Money,
}

/// The year's instalments that have begun, each as it stood.
///
/// # Errors
/// When the book cannot be read.
pub fn quarters_kept(
    book: &Book,
    estimate: &Estimate,
    today: NaiveDate,
) -> Result<Vec<QuarterKept>, ReportError> {
    let paid_in = payment_days(book, estimate.year)?;
    let mut needed = Money::ZERO;
    let mut rows = Vec::with_capacity(estimate.instalments.len());
    for one in &estimate.instalments {
        if one.period.from > today {
            break;
        }
        needed += one.needed;
        let counted_to = one.due.min(today);
        let kept = put_by(book, counted_to)?;
        let paid = paid_until(book, paid_in, counted_to)?;
        rows.push(QuarterKept {
            no: one.no,
            period: one.period,
            due: one.due,
            counted_to,
            needed,
            put_by: kept,
            paid,
            gap: (needed - kept - paid).max(Money::ZERO),
        });
    }
    Ok(rows)
}

/// How it stood at the end of a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MonthKept {
    /// The day.
    pub day: NaiveDate,
    /// Profit of the financial year so far.
    pub profit: Money,
    /// To be kept back by then.
    pub needed: Money,
    /// Put by or paid by then.
    pub put_by: Money,
}

/// How it stood on a day of the financial year that ends in `year`; none before the tax year begins.
///
/// # Errors
/// When the book cannot be read, or there is no estimate for another reason.
pub fn month_kept(
    book: &Book,
    year: i32,
    day: NaiveDate,
) -> Result<Option<MonthKept>, ReportError> {
    let days = book.year_start().year_ending_in(year);
    let needed = match estimate_with(book, year, day, &Trial::default()) {
        Ok(estimate) => estimate.total,
        Err(ReportError::SetAside(
            SetAsideError::NotBegun { .. } | SetAsideError::TaxYearNotBegun { .. },
        )) => return Ok(None),
        Err(ReportError::SetAside(_plain_instead)) => {
            estimate_or_plain(book, year, day, None)?.total
        }
        Err(other) => return Err(other),
    };
    let Some(so_far) = DateRange::new(days.from, day) else {
        return Ok(None);
    };
    let paid = paid_until(book, payment_days(book, year)?, day)?;
    Ok(Some(MonthKept {
        day,
        profit: profit(book, so_far)?.totals.net_profit,
        needed,
        put_by: put_by(book, day)? + paid,
    }))
}

fn paid_until(book: &Book, paid_in: DateRange, day: NaiveDate) -> Result<Money, ReportError> {
    match DateRange::new(paid_in.from, day.min(paid_in.to)) {
        Some(range) => tax_paid(book, range),
        None => Ok(Money::ZERO),
    }
}

/// The days on which a payment of the owner's own tax counts for the financial year that ends in `year`.
///
/// # Errors
/// When the book's calendar of instalments cannot be read.
pub fn payment_days(book: &Book, year: i32) -> Result<DateRange, ReportError> {
    let years = book.year_start();
    let chosen = book.settings().get("set_aside.method").unwrap_or("percent");
    let library = book.rates();
    // A method that is refused leaves the book's own calendar.
    if let Ok(Some(method)) = library.place(chosen, years.year_ending_in(year))
        && let Ok(days) = method.payment_days()
    {
        return Ok(days);
    }
    let calendar = instalment_calendar(book, year);
    Ok(calendar
        .payment_days(year, years)
        .map_err(SetAsideError::from)?)
}
