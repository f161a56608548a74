//! What goes on, told: fair days with what they earned, helpers by year and way of payment, gifts by person, a loan's plan.
//! What each figure means is `crate::occasions`' and `crate::matters`'.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use super::ReportError;
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::DateRange;
use crate::ledger::{EntryKind, EntryNumber, Role};
use crate::matters::{LoanTerms, MatterKind, Payment, StepKind};
use crate::money::Money;
use crate::occasions::{FairDay, Limit, Limits, fair_day, terms_of};
use crate::stock::MovementKind;

/// A day at a fair with what it earned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairReport {
    /// Which fair.
    pub key: String,
    /// The day.
    pub date: NaiveDate,
    /// Where.
    pub place: String,
    /// The entry of the day.
    pub entry: EntryNumber,
    /// What was paid for it before, by entry.
    pub joined: Vec<(EntryNumber, Money)>,
    /// Its figures.
    pub day: FairDay,
}

/// The fair days of a range, the oldest first.
///
/// # Errors
/// When the book cannot be read.
pub fn fair_days(book: &Book, range: DateRange) -> Result<Vec<FairReport>, ReportError> {
    let matters = book.matters()?;
    let rates = book.mileage_rates()?;
    // Rates are in whole units of the currency.
    let minor = Decimal::from(10_i64.pow(book.currency().decimals()));
    let fair_costs = book.chart().role(Role::FairCosts).ok();
    let mut days = Vec::new();
    let held = matters
        .of_kind(MatterKind::Fair)
        .flat_map(|fair| fair.of(StepKind::Held));
    for step in held.filter(|step| range.contains(step.on)) {
        let Some(entry) = step.entry else { continue };
        let mut joined = Vec::new();
        for part in step.answer("joined").split(';') {
            let Ok(number) = part.trim().parse().map(EntryNumber) else {
                continue;
            };
            let posted = book.entry(number)?;
            let lines = posted.entry.lines().iter();
            let amount = lines
                .filter(|line| Some(line.account) == fair_costs)
                .map(|line| line.amount)
                .sum();
            joined.push((number, amount));
        }
        let posted = book.entry(entry)?;
        let sum = joined.iter().map(|(_, amount)| *amount).sum();
        days.push(FairReport {
            key: step.key.clone(),
            date: step.on,
            place: step.party.clone(),
            entry,
            day: fair_day(
                step,
                posted.entry.lines(),
                sum,
                rates.each_on(step.on).map(|each| each * minor),
                book.chart(),
            ),
            joined,
        });
    }
    days.sort_by(|a, b| (a.date, &a.key).cmp(&(b.date, &b.key)));
    Ok(days)
}

/// What a helper was paid in a calendar year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HelperReport {
    /// Whom.
    pub name: String,
    /// For what, each thing once.
    pub services: Vec<String>,
    /// How much by way of payment.
    pub by_way: BTreeMap<String, Money>,
    /// All of it.
    pub total: Money,
    /// What counts towards the report: without cards and apps.
    pub counted: Money,
    /// What is known of the tax form: no, yes, not-needed.
    pub tax_form: String,
    /// Whether it is to be reported; nothing when the year's limit is not kept.
    pub is_reported: Option<bool>,
}

/// What helpers were paid in a calendar year, with the limit from which it is reported.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Helpers {
    /// The calendar year.
    pub year: i32,
    /// The limit; nothing when the year's is not kept.
    pub limit: Option<Limit>,
    /// Where it is written that cards and apps are left out.
    pub left_out_source: String,
    /// Everybody who was paid.
    pub helpers: Vec<HelperReport>,
}

/// What must be said beside the list of helpers.
pub const HELPERS_CAUTION: &str = "A sorting aid: whether a payment must be reported, and whether somebody counts as working on her own account, \
     depends on local rules. Confirm with them and a licensed professional.";

/// What helpers were paid in a calendar year.
///
/// # Errors
/// When the book cannot be read.
pub fn helpers(book: &Book, year: i32) -> Result<Helpers, ReportError> {
    let limits = Limits::united_states().map_err(BookError::refused)?;
    let limit = limits.helper_report(year, book.currency());
    let matters = book.matters()?;
    let mut helpers = Vec::new();
    for helper in matters.of_kind(MatterKind::Helper) {
        let mut report = HelperReport {
            name: helper.key.clone(),
            services: Vec::new(),
            by_way: BTreeMap::new(),
            total: Money::ZERO,
            counted: Money::ZERO,
            tax_form: String::new(),
            is_reported: None,
        };
        for step in helper.of(StepKind::Helped) {
            // A form that came stays, whatever a later payment says of it.
            if report.tax_form != "yes" {
                step.answer("tax_form").clone_into(&mut report.tax_form);
            }
            if step.on.year() != year {
                continue;
            }
            if !report.services.contains(&step.about) {
                report.services.push(step.about.clone());
            }
            let way = step.answer("way").to_owned();
            report.total += step.amount;
            if !limits.left_out.contains(&way) {
                report.counted += step.amount;
            }
            *report.by_way.entry(way).or_default() += step.amount;
        }
        if report.total.is_zero() {
            continue;
        }
        report.is_reported = limit
            .as_ref()
            .map(|limit| report.counted >= limit.amount && report.tax_form != "not-needed");
        helpers.push(report);
    }
    Ok(Helpers {
        year,
        limit,
        left_out_source: limits.left_out_source,
        helpers,
    })
}

/// What one person got as gifts in a calendar year, at what they had cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GiftReport {
    /// Whom.
    pub person: String,
    /// The entries.
    pub entries: Vec<EntryNumber>,
    /// What the gifts had cost.
    pub cost: Money,
    /// What of it is above the limit; nothing when the year's is not kept.
    pub above: Option<Money>,
}

/// Gifts of a calendar year by person, with the limit of what counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gifts {
    /// The calendar year.
    pub year: i32,
    /// The limit for each person.
    pub limit: Option<Limit>,
    /// Everybody who got something.
    pub people: Vec<GiftReport>,
}

/// What must be said beside the list of gifts.
pub const GIFTS_CAUTION: &str = "Only so much a person and year counts for tax; what is given widely is advertising. Confirm with local rules and a \
     licensed professional.";

/// Gifts of a calendar year, by the person they were for.
///
/// # Errors
/// When the book cannot be read.
pub fn gifts(book: &Book, year: i32) -> Result<Gifts, ReportError> {
    let limits = Limits::united_states().map_err(BookError::refused)?;
    let limit = limits.gift(year, book.currency());
    let advertising = book.chart().role(Role::Advertising).ok();
    let range = NaiveDate::from_ymd_opt(year, 1, 1)
        .zip(NaiveDate::from_ymd_opt(year, 12, 31))
        .and_then(|(from, to)| DateRange::new(from, to));
    let numbers = book.entry_numbers(&EntryFilter {
        range,
        kind: Some(EntryKind::StockOut),
        ..EntryFilter::default()
    })?;
    let mut people: BTreeMap<String, GiftReport> = BTreeMap::new();
    for posted in book.entries(&numbers)? {
        if posted.reversed_by.is_some() {
            continue;
        }
        let moved = book.movements_of(posted.number)?;
        if !moved.iter().any(|one| one.kind == MovementKind::Gift) {
            continue;
        }
        let lines = posted.entry.lines().iter();
        let cost: Money = lines
            .filter(|line| Some(line.account) == advertising)
            .map(|line| line.amount)
            .sum();
        let person = posted.entry.header.party.trim();
        let report = people
            .entry(person.to_lowercase())
            .or_insert_with(|| GiftReport {
                person: person.to_owned(),
                entries: Vec::new(),
                cost: Money::ZERO,
                above: None,
            });
        report.entries.push(posted.number);
        report.cost += cost;
    }
    let mut people: Vec<GiftReport> = people.into_values().collect();
    for one in &mut people {
        one.above = limit
            .as_ref()
            .map(|limit| (one.cost - limit.amount).max(Money::ZERO));
    }
    Ok(Gifts {
        year,
        limit,
        people,
    })
}

/// A loan with the plan of its instalments.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoanReport {
    /// Its name.
    pub key: String,
    /// From whom.
    pub lender: String,
    /// What is still owed.
    pub owed: Money,
    /// What was paid back so far, and the interest of it.
    pub repaid: Money,
    /// The terms, where they make a plan.
    pub terms: Option<LoanTerms>,
    /// The instalments as planned.
    pub plan: Vec<Payment>,
}

/// The loans with their plans.
///
/// # Errors
/// When the book cannot be read.
pub fn loans(book: &Book) -> Result<Vec<LoanReport>, ReportError> {
    let matters = book.matters()?;
    let reports = matters.of_kind(MatterKind::Loan).map(|loan| {
        let terms = terms_of(loan);
        LoanReport {
            key: loan.key.clone(),
            lender: loan.party().to_owned(),
            owed: loan.balance(),
            repaid: loan.total(StepKind::Repaid),
            plan: terms
                .and_then(|terms| terms.schedule().ok())
                .unwrap_or_default(),
            terms,
        }
    });
    Ok(reports.collect())
}
