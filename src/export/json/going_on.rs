//! What goes on as JSON: matters with their steps, fair days, helpers, gifts, loans.
//! The figures are `reports`'.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::{AsOf, Period};
use crate::dates::DateRange;
use crate::matters::{MatterKind, Matters};
use crate::money::{Currency, Money};
use crate::occasions::Limit;
use crate::reports::{FairReport, GIFTS_CAUTION, Gifts, HELPERS_CAUTION, Helpers, LoanReport};

/// Everything that goes on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MattersJson {
    #[serde(flatten)]
    as_of: AsOf,
    matters: Vec<MatterJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MatterJson {
    matter: &'static str,
    key: String,
    party: String,
    about: String,
    began_on: Option<NaiveDate>,
    due: Option<NaiveDate>,
    state: &'static str,
    open: bool,
    left: Option<String>,
    pieces_left: BTreeMap<String, String>,
    steps: Vec<StepJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StepJson {
    id: i64,
    date: NaiveDate,
    step: &'static str,
    amount: String,
    entry: Option<u64>,
    about: String,
}

/// Matters of one kind, or of all, as they stood on a day.
#[must_use]
pub fn matters(
    all: &Matters,
    kind: Option<MatterKind>,
    as_of: NaiveDate,
    currency: &Currency,
) -> MattersJson {
    let matters = all
        .iter()
        .filter(|matter| kind.is_none_or(|kind| kind == matter.kind))
        .map(|matter| MatterJson {
            matter: matter.kind.as_str(),
            key: matter.key.clone(),
            party: matter.party().to_owned(),
            about: matter.about().to_owned(),
            began_on: matter.began_on(),
            due: matter.due(),
            state: matter.state(),
            open: matter.is_open(),
            left: matter
                .kind
                .has_balance()
                .then(|| currency.plain(matter.balance())),
            pieces_left: matter
                .pieces_left()
                .into_iter()
                .map(|one| (one.item, one.quantity.to_string()))
                .collect(),
            steps: matter
                .steps
                .iter()
                .map(|step| StepJson {
                    id: step.id,
                    date: step.on,
                    step: step.kind.as_str(),
                    amount: currency.plain(step.amount),
                    entry: step.entry.map(|number| number.0),
                    about: step.about.clone(),
                })
                .collect(),
        })
        .collect();
    MattersJson {
        as_of: AsOf::new(currency, as_of),
        matters,
    }
}

/// Fair days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FairsJson {
    #[serde(flatten)]
    period: Period,
    fairs: Vec<FairJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FairJson {
    fair: String,
    date: NaiveDate,
    place: String,
    entry: u64,
    sales: String,
    tax: String,
    over: String,
    card_fees: String,
    paid_out: String,
    joined: String,
    pieces: String,
    miles: String,
    profit: String,
    hours: String,
    per_hour: Option<String>,
}

/// The fair days of a range.
#[must_use]
pub fn fairs(days: &[FairReport], range: DateRange, currency: &Currency) -> FairsJson {
    let plain = |amount: Money| currency.plain(amount);
    let fairs = days
        .iter()
        .map(|one| FairJson {
            fair: one.key.clone(),
            date: one.date,
            place: one.place.clone(),
            entry: one.entry.0,
            sales: plain(one.day.sales),
            tax: plain(one.day.tax),
            over: plain(one.day.over),
            card_fees: plain(one.day.card_fees),
            paid_out: plain(one.day.paid_out),
            joined: plain(one.day.joined),
            pieces: plain(one.day.pieces),
            miles: plain(one.day.miles),
            profit: plain(one.day.profit()),
            hours: one.day.hours.to_string(),
            per_hour: one.day.per_hour().map(plain),
        })
        .collect();
    FairsJson {
        period: Period::new(currency, range),
        fairs,
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LimitJson {
    amount: String,
    source: String,
    checked: String,
}

fn limit(limit: Option<&Limit>, currency: &Currency) -> Option<LimitJson> {
    limit.map(|limit| LimitJson {
        amount: currency.plain(limit.amount),
        source: limit.source.clone(),
        checked: limit.checked.clone(),
    })
}

/// Helpers of a calendar year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HelpersJson {
    currency: String,
    year: i32,
    limit: Option<LimitJson>,
    helpers: Vec<HelperJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct HelperJson {
    helper: String,
    services: Vec<String>,
    by_way: BTreeMap<String, String>,
    total: String,
    counted: String,
    tax_form: String,
    report: Option<bool>,
}

/// Helpers of a calendar year with the limit.
#[must_use]
pub fn helpers(report: &Helpers, currency: &Currency) -> HelpersJson {
    HelpersJson {
        currency: currency.code().to_owned(),
        year: report.year,
        limit: limit(report.limit.as_ref(), currency),
        helpers: report
            .helpers
            .iter()
            .map(|one| HelperJson {
                helper: one.name.clone(),
                services: one.services.clone(),
                by_way: one
                    .by_way
                    .iter()
                    .map(|(way, amount)| (way.clone(), currency.plain(*amount)))
                    .collect(),
                total: currency.plain(one.total),
                counted: currency.plain(one.counted),
                tax_form: one.tax_form.clone(),
                report: one.is_reported,
            })
            .collect(),
        caution: HELPERS_CAUTION,
    }
}

/// Gifts of a calendar year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GiftsJson {
    currency: String,
    year: i32,
    limit: Option<LimitJson>,
    people: Vec<PersonJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PersonJson {
    person: String,
    cost: String,
    above: Option<String>,
    entries: Vec<u64>,
}

/// Gifts of a calendar year by person.
#[must_use]
pub fn gifts(report: &Gifts, currency: &Currency) -> GiftsJson {
    GiftsJson {
        currency: currency.code().to_owned(),
        year: report.year,
        limit: limit(report.limit.as_ref(), currency),
        people: report
            .people
            .iter()
            .map(|one| PersonJson {
                person: one.person.clone(),
                cost: currency.plain(one.cost),
                above: one.above.map(|above| currency.plain(above)),
                entries: one.entries.iter().map(|number| number.0).collect(),
            })
            .collect(),
        caution: GIFTS_CAUTION,
    }
}

/// Loans with their plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LoansJson {
    #[serde(flatten)]
    as_of: AsOf,
    loans: Vec<LoanJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LoanJson {
    loan: String,
    lender: String,
    owed: String,
    repaid: String,
    rate_percent: Option<String>,
    months: Option<u32>,
    plan: Vec<InstalmentJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct InstalmentJson {
    no: u32,
    due: NaiveDate,
    amount: String,
    interest: String,
    principal: String,
    left: String,
}

/// The loans with the instalments of their plans.
#[must_use]
pub fn loans(list: &[LoanReport], as_of: NaiveDate, currency: &Currency) -> LoansJson {
    let plain = |amount: Money| currency.plain(amount);
    LoansJson {
        as_of: AsOf::new(currency, as_of),
        loans: list
            .iter()
            .map(|loan| LoanJson {
                loan: loan.key.clone(),
                lender: loan.lender.clone(),
                owed: plain(loan.owed),
                repaid: plain(loan.repaid),
                rate_percent: loan.terms.map(|terms| terms.yearly_percent.to_string()),
                months: loan.terms.map(|terms| terms.months),
                plan: loan
                    .plan
                    .iter()
                    .map(|one| InstalmentJson {
                        no: one.no,
                        due: one.due,
                        amount: plain(one.amount()),
                        interest: plain(one.interest),
                        principal: plain(one.principal),
                        left: plain(one.left),
                    })
                    .collect(),
            })
            .collect(),
    }
}
