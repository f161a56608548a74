//! The start-up plan as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::money::Currency;
use crate::plan::{CostRange, How, Lowest, Need, show_month};
use crate::reports::PlanReport;

/// A plan with the course of its money and what became of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlanJson {
    #[serde(flatten)]
    as_of: AsOf,
    need: RangeJson,
    must: RangeJson,
    later: RangeJson,
    later_without_month: RangeJson,
    lines: Vec<LineJson>,
    money: Vec<MoneyJson>,
    money_total: String,
    months: Vec<MonthJson>,
    lowest: LowestJson,
    sentence: String,
    actual: String,
    to_buy: RangeJson,
    expected: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RangeJson {
    low: String,
    likely: String,
    high: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    name: String,
    kind: &'static str,
    how: Option<&'static str>,
    low: String,
    likely: String,
    high: String,
    need: &'static str,
    month: Option<String>,
    alternative_of: Option<String>,
    chosen: bool,
    note: String,
    actual: String,
    bought: Vec<BoughtJson>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BoughtJson {
    entry: u64,
    date: NaiveDate,
    party: String,
    what: String,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MoneyJson {
    month: Option<String>,
    amount: String,
    note: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MonthJson {
    month: String,
    money: String,
    need: RangeJson,
    left: RangeJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LowestJson {
    likely: PointJson,
    high: PointJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PointJson {
    on: NaiveDate,
    amount: String,
}

fn range(cost: CostRange, currency: &Currency) -> RangeJson {
    RangeJson {
        low: currency.plain(cost.low),
        likely: currency.plain(cost.likely),
        high: currency.plain(cost.high),
    }
}

fn point(lowest: Lowest, currency: &Currency) -> PointJson {
    PointJson {
        on: lowest.on,
        amount: currency.plain(lowest.amount),
    }
}

/// A plan as JSON.
#[must_use]
pub fn plan(report: &PlanReport, as_of: NaiveDate, currency: &Currency) -> PlanJson {
    let (plan, course, actual) = (&report.plan, &report.course, &report.actual);
    PlanJson {
        as_of: AsOf::new(currency, as_of),
        need: range(plan.need(None), currency),
        must: range(plan.need(Some(Need::Must)), currency),
        later: range(plan.need(Some(Need::Later)), currency),
        later_without_month: range(course.unplaced, currency),
        lines: lines(report, currency),
        money: plan
            .money
            .iter()
            .map(|money| MoneyJson {
                month: money.month.map(show_month),
                amount: currency.plain(money.amount),
                note: money.note.clone(),
            })
            .collect(),
        money_total: currency.plain(course.money),
        months: course
            .months
            .iter()
            .map(|month| MonthJson {
                month: show_month(month.month),
                money: currency.plain(month.money),
                need: range(month.need, currency),
                left: range(month.left, currency),
            })
            .collect(),
        lowest: LowestJson {
            likely: point(course.likely, currency),
            high: point(course.high, currency),
        },
        sentence: course.sentence(currency),
        actual: currency.plain(actual.actual),
        to_buy: range(actual.to_buy, currency),
        expected: currency.plain(actual.expected()),
    }
}

fn lines(report: &PlanReport, currency: &Currency) -> Vec<LineJson> {
    let lines = report.actual.lines.iter().map(|one| {
        let line = &one.line;
        LineJson {
            name: line.name.clone(),
            kind: line.kind.as_str(),
            how: line.how.map(How::as_str),
            low: currency.plain(line.cost.low),
            likely: currency.plain(line.cost.likely),
            high: currency.plain(line.cost.high),
            need: line.need.as_str(),
            month: line.month.map(show_month),
            alternative_of: line.alternative_of.clone(),
            chosen: line.is_chosen,
            note: line.note.clone(),
            actual: currency.plain(one.actual),
            bought: one
                .bought
                .iter()
                .map(|bought| BoughtJson {
                    entry: bought.entry.0,
                    date: bought.date,
                    party: bought.party.clone(),
                    what: bought.what.clone(),
                    amount: currency.plain(bought.amount),
                })
                .collect(),
        }
    });
    lines.collect()
}
