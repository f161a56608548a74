//! The owner's hours, company papers, decisions and the facts of how the business is kept as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::{AsOf, Period};
use crate::dates::DateRange;
use crate::desk::{
    CompanyPaper, Decision, EARNING_CAUTION, Earning, PAPERS_CAUTION, WorkTime, clock,
};
use crate::money::Currency;
use crate::reports::{EVIDENCE_CAUTION, Fact, HoursReport};

/// Hours with what they left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HoursJson {
    #[serde(flatten)]
    period: Period,
    #[serde(flatten)]
    whole: EarningJson,
    activities: Vec<ActivityJson>,
    months: Vec<MonthJson>,
    products: Vec<ProductJson>,
    times: Vec<TimeJson>,
    running: Option<RunningJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct EarningJson {
    minutes: u32,
    kept: String,
    each_hour: Option<String>,
    working: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ActivityJson {
    activity: String,
    minutes: u32,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MonthJson {
    from: NaiveDate,
    to: NaiveDate,
    #[serde(flatten)]
    earning: EarningJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ProductJson {
    item: String,
    name: String,
    #[serde(flatten)]
    earning: EarningJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TimeJson {
    date: NaiveDate,
    activity: String,
    minutes: u32,
    start: Option<String>,
    end: Option<String>,
    item: Option<String>,
    fair: String,
    note: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RunningJson {
    since: String,
    activity: String,
    item: Option<String>,
    fair: String,
    note: String,
}

fn earning(earning: Earning, what: &str, currency: &Currency) -> EarningJson {
    EarningJson {
        minutes: earning.minutes,
        kept: currency.plain(earning.kept),
        each_hour: earning.each_hour().map(|each| currency.plain(each)),
        working: earning.working(what, currency),
    }
}

fn time(time: &WorkTime) -> TimeJson {
    TimeJson {
        date: time.day,
        activity: time.activity.clone(),
        minutes: time.minutes,
        start: time.span.map(|span| clock(span.starts)),
        end: time.span.map(|span| clock(span.ends)),
        item: time.item.clone(),
        fair: time.fair.clone(),
        note: time.note.clone(),
    }
}

/// Hours as JSON.
#[must_use]
pub fn hours(report: &HoursReport, currency: &Currency) -> HoursJson {
    HoursJson {
        period: Period::new(currency, report.range),
        whole: earning(report.whole, "net profit", currency),
        activities: report
            .activities
            .iter()
            .map(|(activity, minutes)| ActivityJson {
                activity: activity.clone(),
                minutes: *minutes,
            })
            .collect(),
        months: report
            .months
            .iter()
            .map(|one| MonthJson {
                from: one.month.first_day(),
                to: one.month.last_day(),
                earning: earning(one.earning, "net profit", currency),
            })
            .collect(),
        products: report
            .products
            .iter()
            .map(|one| ProductJson {
                item: one.item.clone(),
                name: one.name.clone(),
                earning: earning(one.earning, "kept", currency),
            })
            .collect(),
        times: report.times.iter().map(time).collect(),
        running: report.timer.as_ref().map(|timer| RunningJson {
            since: timer.since.format("%Y-%m-%dT%H:%M").to_string(),
            activity: timer.activity.clone(),
            item: timer.item.clone(),
            fair: timer.fair.clone(),
            note: timer.note.clone(),
        }),
        caution: EARNING_CAUTION,
    }
}

/// The company's papers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PapersJson {
    #[serde(flatten)]
    as_of: AsOf,
    papers: Vec<PaperJson>,
    decisions: Vec<DecisionJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PaperJson {
    paper: String,
    kind: &'static str,
    there: bool,
    day: Option<NaiveDate>,
    kept_at: String,
    note: String,
    copy: Option<String>,
    copy_sha256: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DecisionJson {
    number: i64,
    day: NaiveDate,
    what: String,
    why: String,
    corrects: Option<i64>,
}

/// The company's papers and the decisions as JSON.
#[must_use]
pub fn papers(
    papers: &[CompanyPaper],
    decisions: &[Decision],
    as_of: NaiveDate,
    currency: &Currency,
) -> PapersJson {
    PapersJson {
        as_of: AsOf::new(currency, as_of),
        papers: papers
            .iter()
            .map(|paper| PaperJson {
                paper: paper.name.clone(),
                kind: paper.kind.as_str(),
                there: paper.is_there,
                day: paper.day,
                kept_at: paper.kept_at.clone(),
                note: paper.note.clone(),
                copy: paper.proof.as_ref().map(|proof| proof.name.clone()),
                copy_sha256: paper.proof.as_ref().map(|proof| proof.hash.clone()),
            })
            .collect(),
        decisions: decisions
            .iter()
            .map(|decision| DecisionJson {
                number: decision.id,
                day: decision.day,
                what: decision.what.clone(),
                why: decision.why.clone(),
                corrects: decision.corrects,
            })
            .collect(),
        caution: PAPERS_CAUTION,
    }
}

/// The facts of how the business is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EvidenceJson {
    #[serde(flatten)]
    period: Period,
    facts: Vec<FactJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FactJson {
    topic: &'static str,
    fact: String,
    from: &'static str,
}

/// The facts as JSON.
#[must_use]
pub fn evidence(facts: &[Fact], range: DateRange, currency: &Currency) -> EvidenceJson {
    EvidenceJson {
        period: Period::new(currency, range),
        facts: facts
            .iter()
            .map(|fact| FactJson {
                topic: fact.topic,
                fact: fact.fact.clone(),
                from: fact.from,
            })
            .collect(),
        caution: EVIDENCE_CAUTION,
    }
}
