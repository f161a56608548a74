//! The set-aside estimate of a year from what the book holds.
//! The methods themselves are `set_aside`'s.

use chrono::NaiveDate;

use super::{ReportError, profit, profit_by_month};
use crate::book::{Book, Closings, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::{EntryKind, Role};
use crate::money::Money;
use crate::set_aside::rates::PlaceMethod;
use crate::set_aside::{
    Answers, BookSums, Calendar, Due, Estimate, Facts, Method, PercentOfProfit, ProfitBasis,
    SetAsideError, WorksheetFacts,
};
use crate::statements::{ProfitSection, profit_statement};

/// What is tried out instead of what the book holds; nothing of it is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trial {
    /// A profit for the whole year.
    pub profit: Option<Money>,
    /// A method by its name.
    pub method: Option<String>,
    /// Answers to a worksheet by key; an empty text takes an answer away.
    pub answers: Answers,
    /// A basis of the profit.
    pub basis: Option<ProfitBasis>,
}

/// The set-aside estimate of the financial year that ends in `year`, read up to `as_of`;
/// `what_if_profit` tries another profit for the whole year.
///
/// # Errors
/// When the book cannot be read, or the method does not know the year.
pub fn estimate(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
) -> Result<Estimate, ReportError> {
    let trial = Trial {
        profit: what_if_profit,
        ..Trial::default()
    };
    estimate_with(book, year, as_of, &trial)
}

/// As [`estimate`], with anything tried out.
///
/// # Errors
/// As for [`estimate`]; also when an answer is missing or cannot be.
pub fn estimate_with(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    trial: &Trial,
) -> Result<Estimate, ReportError> {
    let settings = book.settings();
    let chosen = settings.get("set_aside.method").unwrap_or("percent");
    let wanted = trial.method.as_deref().unwrap_or(chosen);
    let library = book.rates();
    let days = book.year_start().year_ending_in(year);
    let Some(method) = library.place(wanted, days)? else {
        let calendar = Calendar::for_book(book.currency().code(), book.year_start());
        let facts = set_aside_facts(book, year, as_of, trial.profit, calendar)?;
        return Ok(PercentOfProfit.estimate(&facts)?);
    };
    Ok(method.estimate(&place_facts(book, year, as_of, trial, &method)?)?)
}

/// The days instalments of a year are due, whatever they come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueDates {
    /// The calendar as people read it.
    pub title: String,
    /// Where its dates are published.
    pub source: String,
    /// The days, each with what it is called; may be empty.
    pub dues: Vec<(String, Due)>,
}

/// The due days of the financial year that ends in `year`, by the book's method or another one.
///
/// # Errors
/// When there is no such method, or its calendar does not know the year.
pub fn due_dates(book: &Book, year: i32, method: Option<&str>) -> Result<DueDates, ReportError> {
    let chosen = book.settings().get("set_aside.method");
    let wanted = method.or(chosen).unwrap_or("percent");
    let library = book.rates();
    let years = book.year_start();
    let days = years.year_ending_in(year);
    // Days do not rest on rates: a year that has none yet has its days all the same.
    let place = match library.place(wanted, days) {
        Err(SetAsideError::NoRatesForYear { nearest, .. }) => library.place(&nearest, days)?,
        other => other?,
    };
    let (calendar, dues) = match &place {
        Some(place) => (place.calendar().clone(), place.dues()?),
        None => {
            let calendar = instalment_calendar(book, year);
            let dues = calendar.dues(year, years).map_err(SetAsideError::from)?;
            (calendar, dues)
        }
    };
    let mut labels = place.iter().flat_map(PlaceMethod::due_labels);
    let named = dues
        .into_iter()
        .map(|due| (labels.next().unwrap_or_default().to_owned(), due));
    Ok(DueDates {
        dues: named.collect(),
        title: calendar.title,
        source: calendar.source,
    })
}

/// What the worksheet of a place rests on.
fn place_facts(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    trial: &Trial,
    method: &PlaceMethod<'_>,
) -> Result<Facts, ReportError> {
    let settings = book.settings();
    let counted = method.counted();
    // A book's year that is over is read through the end of its tax year, which may lie in the next.
    let is_over = as_of >= book.year_start().year_ending_in(year).to;
    let as_of = if is_over {
        as_of.max(counted.to)
    } else {
        as_of
    };
    let last = as_of.min(counted.to);
    let mut answers = settings.set_aside_answers();
    for (key, text) in &trial.answers {
        if text.trim().is_empty() {
            answers.remove(key);
        } else {
            answers.insert(key.clone(), text.clone());
        }
    }
    let forecast = settings.get("set_aside.profit_basis") == Some("forecast");
    let basis = trial.basis.unwrap_or(if forecast {
        ProfitBasis::Forecast(settings.amount("set_aside.forecast_profit"))
    } else {
        ProfitBasis::ToDate
    });
    let mut through_periods = Vec::new();
    for due in method.dues()? {
        // A book's year that counts as the tax year differs from it by a few days only.
        through_periods.push(book_sums(book, counted.from, due.period.to.min(last))?);
    }
    let mut facts = plain_facts(book, year, as_of, trial.profit, method.calendar().clone())?;
    let paid_in = read_until(method.payment_days()?, as_of, counted.to);
    facts.put_by = put_by(book, paid_in.to)?;
    facts.already_paid = tax_paid(book, paid_in)?;
    facts.worksheet = WorksheetFacts {
        answers,
        to_date: book_sums(book, counted.from, last)?,
        through_periods,
        basis,
    };
    Ok(facts)
}

/// The sums from a day through another; nothing when it lies before.
fn book_sums(book: &Book, from: NaiveDate, to: NaiveDate) -> Result<BookSums, ReportError> {
    let Some(range) = DateRange::new(from, to) else {
        return Ok(BookSums::default());
    };
    let balances = book.balances(range, Closings::Without)?;
    let totals = profit_statement(book.chart(), &balances, range).totals;
    let wear = book.chart().role(Role::Depreciation);
    Ok(BookSums {
        profit: totals.net_profit,
        sales: totals.net_sales,
        costs: totals.cost_of_goods_sold + totals.costs,
        depreciation: wear.map_or(Money::ZERO, |account| balances.net(account)),
    })
}

/// The days on which a payment counts, as far as the books are read; a year that is over counts all of them.
fn read_until(mut paid_in: DateRange, as_of: NaiveDate, ends: NaiveDate) -> DateRange {
    if as_of < ends {
        paid_in.to = as_of.max(paid_in.from);
    }
    paid_in
}

/// As [`estimate`], but a method that the program does not know, or that does not know the year, gives way to the plain
/// share of profit, by the book's own quarters where the dates are not known, and says so in a note: the rooms go on
/// working.
///
/// # Errors
/// When the book cannot be read.
pub fn estimate_or_plain(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
) -> Result<Estimate, ReportError> {
    match estimate(book, year, as_of, what_if_profit) {
        Err(ReportError::SetAside(error)) => {
            let calendar = instalment_calendar(book, year);
            let facts = set_aside_facts(book, year, as_of, what_if_profit, calendar)?;
            let mut plain = PercentOfProfit.estimate(&facts)?;
            let note = format!("A plain share of profit is shown: {error}.");
            plain.notes.insert(0, note);
            Ok(plain)
        }
        other => other,
    }
}

fn set_aside_facts(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
    calendar: Calendar,
) -> Result<Facts, ReportError> {
    let years = book.year_start();
    // A year that is over counts what was put by and paid until its last instalment was due.
    let paid_in = calendar
        .payment_days(year, years)
        .map_err(SetAsideError::from)?;
    let paid_in = read_until(paid_in, as_of, years.year_ending_in(year).to);
    let mut facts = plain_facts(book, year, as_of, what_if_profit, calendar)?;
    facts.put_by = put_by(book, paid_in.to)?;
    facts.already_paid = tax_paid(book, paid_in)?;
    Ok(facts)
}

/// What every method rests on but what is put by and paid.
fn plain_facts(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
    what_if_profit: Option<Money>,
    calendar: Calendar,
) -> Result<Facts, ReportError> {
    let years = book.year_start();
    let days = years.year_ending_in(year);
    let range = DateRange {
        from: days.from,
        to: as_of.clamp(days.from, days.to),
    };
    let statement = profit(book, range)?;
    let costs = statement
        .section(book.chart(), ProfitSection::Costs)
        .count();
    Ok(Facts {
        year,
        years,
        as_of,
        profit: statement.totals.into(),
        cost_accounts: costs,
        profit_by_month: profit_by_month(book, range)?
            .into_iter()
            .map(|(month, statement)| (month, statement.totals.net_profit))
            .collect(),
        put_by: Money::ZERO,
        already_paid: Money::ZERO,
        percent: book.settings().set_aside_percent(),
        percent_chosen_on: None,
        what_if_profit,
        calendar,
        currency: book.currency().clone(),
        worksheet: WorksheetFacts::default(),
    })
}

/// What the set-aside savings hold on a day.
pub(super) fn put_by(book: &Book, by: NaiveDate) -> Result<Money, ReportError> {
    match book.chart().role(Role::SetAside) {
        Ok(account) => Ok(book.balances_to(by)?.net(account)),
        Err(_no_such_account) => Ok(Money::ZERO),
    }
}

/// What was put by for a year's tax until a day, or already paid of it. Where the year has no dates of instalments,
/// only what is put by.
///
/// # Errors
/// When the book cannot be read, or has no account for drawings.
pub fn put_by_or_paid(book: &Book, year: i32, by: NaiveDate) -> Result<Money, ReportError> {
    let kept = put_by(book, by)?;
    let calendar = instalment_calendar(book, year);
    match calendar.payment_days(year, book.year_start()) {
        Ok(days) if days.from <= by => {
            let until_then = DateRange { to: by, ..days };
            Ok(kept + tax_paid(book, until_then)?)
        }
        _ => Ok(kept),
    }
}

/// The calendar of the book's country or, for a year before its file begins, the book's own quarters.
pub(super) fn instalment_calendar(book: &Book, year: i32) -> Calendar {
    let years = book.year_start();
    let calendar = Calendar::for_book(book.currency().code(), years);
    if calendar.dues(year, years).is_ok() {
        calendar
    } else {
        Calendar::quarters()
    }
}

/// The estimate, or none where the method or its dates do not know the year: other answers stand without it.
///
/// # Errors
/// When the book cannot be read.
pub fn estimate_if_any(
    book: &Book,
    year: i32,
    as_of: NaiveDate,
) -> Result<Option<Estimate>, ReportError> {
    match estimate_or_plain(book, year, as_of, None) {
        Ok(estimate) => Ok(Some(estimate)),
        Err(ReportError::SetAside(_unknown_year)) => Ok(None),
        Err(error) => Err(error),
    }
}

/// The set-aside estimate of a financial year from everything recorded in it, whatever day it is.
///
/// # Errors
/// When the method has no figures for the year, or the book cannot be read.
pub fn estimate_of_year(
    book: &Book,
    year: i32,
    what_if: Option<Money>,
) -> Result<Estimate, ReportError> {
    let last = book.year_start().year_ending_in(year).to;
    estimate(book, year, last, what_if)
}

/// The owner's tax instalments paid in a range.
pub(super) fn tax_paid(book: &Book, range: DateRange) -> Result<Money, ReportError> {
    let drawings = book.chart().role(Role::OwnerDrawings)?;
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(range),
        kind: Some(EntryKind::TaxInstalment),
        ..EntryFilter::default()
    })?;
    Ok(book
        .entries(&numbers)?
        .iter()
        .filter(|posted| posted.reversed_by.is_none())
        .flat_map(|posted| posted.entry.lines())
        .filter(|line| line.account == drawings)
        .map(|line| line.amount)
        .sum())
}
