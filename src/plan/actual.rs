//! Plan against actual: what was bought for each line, and what that leaves to buy.
//! Which purchase belongs to which line was said by the owner; here it is only added up.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::line::is_same;
use super::{CostRange, Plan, PlanLine};
use crate::dates::Month;
use crate::ledger::{Chart, EntryNumber, JournalEntry, PostedEntry};
use crate::money::Money;
use crate::statements::StartUpGroup;

/// A purchase, or something brought in, that belongs to a line of the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanPurchase {
    /// Its lasting number in the book; 0 before it is there.
    pub id: i64,
    /// The name of the line.
    pub line: String,
    /// The entry.
    pub entry: EntryNumber,
    /// Which lines of it, by what they say; the whole entry when empty.
    pub what: String,
}

/// The part of an entry that a line of the plan may take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// What the entry's lines say.
    pub what: String,
    /// What they cost the business.
    pub amount: Money,
}

impl Share {
    /// The parts of an entry that cost the business something, in their order; lines that say the same are one part.
    #[must_use]
    pub fn of(chart: &Chart, entry: &JournalEntry) -> Vec<Self> {
        let mut shares: Vec<Self> = Vec::new();
        for line in entry.lines() {
            if !is_outlay(chart, line.account) {
                continue;
            }
            match shares.iter_mut().find(|one| is_same(&one.what, &line.memo)) {
                Some(one) => one.amount += line.amount,
                None => shares.push(Self {
                    what: line.memo.trim().to_owned(),
                    amount: line.amount,
                }),
            }
        }
        shares
    }
}

fn is_outlay(chart: &Chart, account: crate::ledger::AccountId) -> bool {
    chart
        .account(account)
        .is_ok_and(|account| StartUpGroup::of(account).is_some())
}

fn outlay(chart: &Chart, entry: &JournalEntry, what: &str) -> Money {
    entry
        .lines()
        .iter()
        .filter(|line| is_outlay(chart, line.account))
        .filter(|line| what.trim().is_empty() || is_same(&line.memo, what))
        .map(|line| line.amount)
        .sum()
}

/// One purchase of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought {
    /// The number of the link in the book.
    pub link: i64,
    /// The entry.
    pub entry: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// From whom.
    pub party: String,
    /// Which lines of it; all when empty.
    pub what: String,
    /// What it cost the business, less what came back.
    pub amount: Money,
    /// Whether nothing on the entry is called so any more, so that it counts nothing.
    pub is_lost: bool,
}

/// A line of the plan and what became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineActual {
    /// The line.
    pub line: PlanLine,
    /// Its purchases by day.
    pub bought: Vec<Bought>,
    /// What they come to.
    pub actual: Money,
}

impl LineActual {
    /// Whether something was bought for it.
    #[must_use]
    pub fn is_bought(&self) -> bool {
        self.bought.iter().any(|one| !one.amount.is_zero())
    }

    /// What the line counts for in the plan.
    #[must_use]
    pub fn planned(&self) -> CostRange {
        if self.line.is_chosen {
            self.line.cost
        } else {
            CostRange::default()
        }
    }
}

/// A plan against what became of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlanActual {
    /// Every line of the plan, in its order.
    pub lines: Vec<LineActual>,
    /// The plan of the lines that count.
    pub planned: CostRange,
    /// What was spent on lines of the plan.
    pub actual: Money,
    /// The plan of the lines that count and for which nothing was bought yet.
    pub to_buy: CostRange,
    /// Planned at the likely cost and spent, each from the beginning to the end of the month.
    pub months: Vec<(Month, Money, Money)>,
}

impl PlanActual {
    /// What it will come to: what was spent and the likely cost of what is still to be bought.
    #[must_use]
    pub fn expected(&self) -> Money {
        self.actual + self.to_buy.likely
    }
}

/// Holds a plan against its purchases. `entries` are the entries that the purchases name, `refunds` what suppliers gave
/// back of them; an entry that was taken back counts nothing.
#[must_use]
pub fn actual(
    plan: &Plan,
    purchases: &[PlanPurchase],
    entries: &[PostedEntry],
    refunds: &BTreeMap<EntryNumber, Vec<PostedEntry>>,
    chart: &Chart,
) -> PlanActual {
    let mut lines = Vec::new();
    for line in &plan.lines {
        let mut bought: Vec<Bought> = purchases
            .iter()
            .filter(|purchase| is_same(&purchase.line, &line.name))
            .filter_map(|purchase| {
                let posted = entries.iter().find(|one| one.number == purchase.entry)?;
                Some(bought_of(purchase, posted, refunds, chart))
            })
            .collect();
        bought.sort_by_key(|one| (one.date, one.entry));
        lines.push(LineActual {
            line: line.clone(),
            actual: bought.iter().map(|one| one.amount).sum(),
            bought,
        });
    }
    PlanActual {
        planned: plan.need(None),
        actual: lines.iter().map(|line| line.actual).sum(),
        to_buy: lines
            .iter()
            .filter(|line| !line.is_bought())
            .map(LineActual::planned)
            .sum(),
        months: by_month(&lines),
        lines,
    }
}

fn bought_of(
    purchase: &PlanPurchase,
    posted: &PostedEntry,
    refunds: &BTreeMap<EntryNumber, Vec<PostedEntry>>,
    chart: &Chart,
) -> Bought {
    let is_taken_back = posted.reversed_by.is_some();
    let back: Money = refunds
        .get(&posted.number)
        .into_iter()
        .flatten()
        .filter(|refund| refund.reversed_by.is_none())
        .map(|refund| outlay(chart, &refund.entry, &purchase.what))
        .sum();
    let header = &posted.entry.header;
    let is_there = purchase.what.trim().is_empty()
        || Share::of(chart, &posted.entry)
            .iter()
            .any(|share| is_same(&share.what, &purchase.what));
    Bought {
        link: purchase.id,
        entry: posted.number,
        date: header.date,
        party: header.party.clone(),
        what: purchase.what.clone(),
        amount: if is_taken_back {
            Money::ZERO
        } else {
            outlay(chart, &posted.entry, &purchase.what) + back
        },
        is_lost: !is_taken_back && !is_there,
    }
}

/// Sums from the beginning, month by month; what has no month in the plan stands in its first.
fn by_month(lines: &[LineActual]) -> Vec<(Month, Money, Money)> {
    let planned = || lines.iter().filter(|line| line.line.is_chosen);
    let spent = || lines.iter().flat_map(|line| &line.bought);
    let named = || {
        planned()
            .filter_map(|line| line.line.month)
            .chain(spent().map(|one| Month::of(one.date)))
    };
    let (Some(first), Some(last)) = (named().min(), named().max()) else {
        return Vec::new();
    };
    (first.index()..=last.index())
        .map(|index| {
            let month = Month::from_index(index);
            let plan = planned()
                .filter(|line| line.line.month.unwrap_or(first) <= month)
                .map(|line| line.line.cost.likely)
                .sum();
            let paid = spent()
                .filter(|one| Month::of(one.date) <= month)
                .map(|one| one.amount)
                .sum();
            (month, plan, paid)
        })
        .collect()
}
