//! What is free to spend as JSON, with what is due, what would help, the owner's split and a purchase that is tried.
//! The figures are `reports`'.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::free_to_spend::AfterBuying;
use crate::money::Currency;
use crate::reports::FreeReport;
use crate::set_aside::CAUTION;

/// What is free to spend.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FreeToSpendJson {
    #[serde(flatten)]
    as_of: AsOf,
    days: u64,
    lines: Vec<LineJson>,
    free: String,
    due: Vec<DueJson>,
    help: Vec<String>,
    split: Option<SplitJson>,
    buying: Option<BuyingJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct LineJson {
    no: u32,
    label: &'static str,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct DueJson {
    name: String,
    due: NaiveDate,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SplitJson {
    pay_percent: String,
    reserve_percent: String,
    buy_percent: String,
    pay: Option<String>,
    reserve: Option<String>,
    buy: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BuyingJson {
    price: String,
    on: NaiveDate,
    before: String,
    after: String,
    less_to_set_aside: Option<String>,
    in_words: String,
}

/// What is free to spend as JSON, with a purchase that is tried.
#[must_use]
pub fn free_to_spend(
    report: &FreeReport,
    buying: Option<&AfterBuying>,
    currency: &Currency,
) -> FreeToSpendJson {
    let proposal = report.proposal();
    FreeToSpendJson {
        as_of: AsOf::new(currency, report.day),
        days: report.days,
        lines: report
            .answer
            .lines
            .iter()
            .map(|line| LineJson {
                no: line.no,
                label: line.label,
                amount: currency.plain(line.amount),
            })
            .collect(),
        free: currency.plain(report.answer.free),
        due: report
            .due
            .iter()
            .map(|one| DueJson {
                name: one.name.clone(),
                due: one.due,
                amount: currency.plain(one.amount),
            })
            .collect(),
        help: report
            .help
            .iter()
            .map(|help| help.sentence(currency))
            .collect(),
        split: report.split.map(|split| SplitJson {
            pay_percent: split.pay.to_string(),
            reserve_percent: split.reserve.to_string(),
            buy_percent: split.buy.to_string(),
            pay: proposal.map(|parts| currency.plain(parts.pay)),
            reserve: proposal.map(|parts| currency.plain(parts.reserve)),
            buy: proposal.map(|parts| currency.plain(parts.buy)),
        }),
        buying: buying.map(|tried| BuyingJson {
            price: currency.plain(tried.buying.price),
            on: tried.buying.on,
            before: currency.plain(tried.before),
            after: currency.plain(tried.after),
            less_to_set_aside: tried.less_to_set_aside.map(|less| currency.plain(less)),
            in_words: tried.sentence(currency),
        }),
        caution: CAUTION,
    }
}
