//! Adjusting entries of a year as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::Period;
use crate::ledger::EntryNumber;
use crate::money::Currency;
use crate::reports::{ADJUSTING_CAUTION, AdjustingReport, Proposed};

/// The adjusting entries of a year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AdjustingJson {
    #[serde(flatten)]
    period: Period,
    locked: bool,
    proposed: Vec<ProposalJson>,
    posted: Vec<PostedJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ProposalJson {
    name: &'static str,
    what: &'static str,
    amount: Option<String>,
    posts: bool,
    says: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PostedJson {
    entry: u64,
    date: NaiveDate,
    kind: &'static str,
    memo: String,
    amount: String,
    taken_back_by: Option<u64>,
    taken_back_on: Option<NaiveDate>,
}

/// The adjusting entries of a year as JSON.
#[must_use]
pub fn adjusting(report: &AdjustingReport, currency: &Currency) -> AdjustingJson {
    let proposed = report.proposed.iter().map(|one| ProposalJson {
        name: one.what.as_str(),
        what: one.what.plain(),
        amount: one.amount.map(|amount| currency.plain(amount)),
        posts: !one.recordings.is_empty(),
        says: one.says.clone(),
    });
    let posted = report.posted.iter().map(|one| PostedJson {
        entry: one.number.0,
        date: one.date,
        kind: one.kind.as_str(),
        memo: one.memo.clone(),
        amount: currency.plain(one.amount),
        taken_back_by: one.taken_back.map(|(number, _day)| number.0),
        taken_back_on: one.taken_back.map(|(_number, day)| day),
    });
    AdjustingJson {
        period: Period::new(currency, report.range),
        locked: report.is_locked,
        proposed: proposed.collect(),
        posted: posted.collect(),
        caution: ADJUSTING_CAUTION,
    }
}

/// What was posted of a year's proposals.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AdjustedJson {
    year: i32,
    posted: Vec<AdjustedOneJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct AdjustedOneJson {
    name: &'static str,
    entries: Vec<u64>,
}

/// What was posted of a year's proposals as JSON.
#[must_use]
pub fn adjusted(year: i32, done: &[(Proposed, Vec<EntryNumber>)]) -> AdjustedJson {
    let posted = done.iter().map(|(what, numbers)| AdjustedOneJson {
        name: what.as_str(),
        entries: numbers.iter().map(|number| number.0).collect(),
    });
    AdjustedJson {
        year,
        posted: posted.collect(),
    }
}
