//! Closing down as JSON: the lines that still stand and what is left to do besides.
//! What they say is worked out before.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::closing_down::{CAUTION, OTHER_STEPS};
use crate::ledger::Chart;
use crate::money::Currency;
use crate::reports::ClosingReport;

/// What is left to clear.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ClosingDownJson {
    #[serde(flatten)]
    as_of: AsOf,
    empty: bool,
    has: String,
    owes: String,
    lines: Vec<LineJson>,
    recurring: Vec<String>,
    permits: Vec<String>,
    open_orders: Vec<String>,
    shops: Vec<String>,
    other_steps: Vec<StepJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    what: String,
    amount: String,
    way: &'static str,
    do_this: &'static str,
    account: Option<String>,
    thing: String,
    says: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StepJson {
    what: &'static str,
    says: &'static str,
}

/// What is left to clear, as JSON.
#[must_use]
pub fn closing_down(
    report: &ClosingReport,
    as_of: NaiveDate,
    chart: &Chart,
    currency: &Currency,
) -> ClosingDownJson {
    let number = |id| chart.account(id).ok().map(|account| account.number.clone());
    ClosingDownJson {
        as_of: AsOf::new(currency, as_of),
        empty: report.walk.is_empty(),
        has: currency.plain(report.walk.has),
        owes: currency.plain(report.walk.owes),
        lines: report
            .walk
            .lines
            .iter()
            .map(|line| LineJson {
                what: line.what.clone(),
                amount: currency.plain(line.amount),
                way: line.way.as_str(),
                do_this: line.way.plain(),
                account: line.account.and_then(number),
                thing: line.thing.clone(),
                says: line.says.clone(),
            })
            .collect(),
        recurring: report
            .recurring
            .iter()
            .map(|(name, party)| format!("{name}, {party}"))
            .collect(),
        permits: report.permits.clone(),
        open_orders: report
            .orders
            .iter()
            .map(|(key, supplier)| format!("{key}, {supplier}"))
            .collect(),
        shops: report.shops.clone(),
        other_steps: OTHER_STEPS
            .iter()
            .map(|(what, says)| StepJson { what, says })
            .collect(),
        caution: CAUTION,
    }
}
