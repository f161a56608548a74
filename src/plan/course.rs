//! Need against money, month by month, and where the money is at its lowest.
//! Amounts are planned ones; what was really spent is `actual`.

use chrono::NaiveDate;

use super::{CostRange, Need, Plan};
use crate::dates::{Month, show_day};
use crate::money::{Currency, Money};

/// Money that is there for starting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanMoney {
    /// Its lasting number in the book; 0 before it is there.
    pub id: i64,
    /// The month it comes in; now, at the beginning of the plan, when none is given.
    pub month: Option<Month>,
    /// How much, more than nothing.
    pub amount: Money,
    /// Where it comes from; may be empty.
    pub note: String,
}

/// One month of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlanMonth {
    /// Which month.
    pub month: Month,
    /// The money that comes in.
    pub money: Money,
    /// What is to be bought.
    pub need: CostRange,
    /// What is left at its end: `low` when everything costs the least, `high` when everything costs the most.
    pub left: CostRange,
}

/// The lowest point of the money.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lowest {
    /// The last day of the first month in which it is lowest.
    pub on: NaiveDate,
    /// What is left then; below nothing when it is short.
    pub amount: Money,
}

/// Need against money over the months of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoneyCourse {
    /// Every month from the first to the last that matters.
    pub months: Vec<PlanMonth>,
    /// All the money.
    pub money: Money,
    /// What can wait and has no month yet: it is in no month.
    pub unplaced: CostRange,
    /// The lowest point at the likely cost.
    pub likely: Lowest,
    /// The lowest point when everything costs the most.
    pub high: Lowest,
}

/// Holds the need of a plan against its money. The plan begins with today's month, or with the earliest month it names
/// when that lies before; what must be had and has no month is bought at once, what can wait and has none is left out.
#[must_use]
pub fn money_course(plan: &Plan, today: NaiveDate) -> MoneyCourse {
    let lines = || plan.counted().filter_map(|line| line.month);
    let named = || lines().chain(plan.money.iter().filter_map(|money| money.month));
    let this = Month::of(today);
    let first = named().min().map_or(this, |month| month.min(this));
    let last = named().max().map_or(first, |month| month.max(first));
    let mut months = Vec::new();
    let mut left = CostRange::default();
    for index in first.index()..=last.index() {
        let month = Month::from_index(index);
        let money: Money = plan
            .money
            .iter()
            .filter(|money| money.month.unwrap_or(first) == month)
            .map(|money| money.amount)
            .sum();
        let need: CostRange = plan
            .counted()
            .filter(|line| match (line.month, line.need) {
                (Some(at), _) => at == month,
                (None, Need::Must) => month == first,
                (None, Need::Later) => false,
            })
            .map(|line| line.cost)
            .sum();
        left = left + CostRange::all(money) - need;
        months.push(PlanMonth {
            month,
            money,
            need,
            left,
        });
    }
    let lowest = |amount: fn(&PlanMonth) -> Money| {
        // The first of equals.
        let at = months.iter().min_by_key(|month| amount(month));
        at.map_or(
            Lowest {
                on: first.last_day(),
                amount: Money::ZERO,
            },
            |month| Lowest {
                on: month.month.last_day(),
                amount: amount(month),
            },
        )
    };
    MoneyCourse {
        money: plan.money.iter().map(|money| money.amount).sum(),
        unplaced: plan
            .counted()
            .filter(|line| line.need == Need::Later && line.month.is_none())
            .map(|line| line.cost)
            .sum(),
        likely: lowest(|month| month.left.likely),
        high: lowest(|month| month.left.high),
        months,
    }
}

impl MoneyCourse {
    /// Whether the money lasts, with the lowest point and its day, in a sentence or two.
    #[must_use]
    pub fn sentence(&self, currency: &Currency) -> String {
        if self.money.is_zero() {
            return "Say what money you have, and when more comes, to see whether it lasts."
                .to_owned();
        }
        let show = |amount: Money| currency.show(amount);
        let (likely, high) = (self.likely, self.high);
        let low_point = format!(
            "at its lowest, on {}, {} is left",
            show_day(likely.on),
            show(likely.amount)
        );
        if likely.amount.is_negative() {
            let mut words = format!(
                "Your money does not last: on {} you are {} short.",
                show_day(likely.on),
                show(-likely.amount)
            );
            if high.amount != likely.amount {
                words.push_str(&format!(
                    " If everything costs the most, it is {} on {}.",
                    show(-high.amount),
                    show_day(high.on)
                ));
            }
            return words;
        }
        if high.amount.is_negative() {
            return format!(
                "Your money lasts at the likely cost: {low_point}. If everything costs the most, you are {} short on {}.",
                show(-high.amount),
                show_day(high.on)
            );
        }
        if high.amount == likely.amount {
            return format!("Your money lasts: {low_point}.");
        }
        format!(
            "Your money lasts: {low_point}, and {} on {} if everything costs the most.",
            show(high.amount),
            show_day(high.on)
        )
    }
}
