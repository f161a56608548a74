//! What each product was sold for and what the shops took of it, day by day: discounts, fees and refunds of a sale are shared
//! over its things by value. What the pieces cost is the stock's; own time and wear of equipment are not in it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::happenings::FeeKind;
use crate::ledger::{AccountClass, Chart, ChartError, EntryKind, JournalEntry, PostedEntry, Role};
use crate::money::Money;

/// What pieces of a product left on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProductDay {
    /// The day.
    pub day: NaiveDate,
    /// The product's code.
    pub item: String,
    /// Pieces sold, less those that came back.
    pub pieces: Decimal,
    /// Sales at full price, less discounts and refunds.
    pub income: Money,
    /// What the shops took of it, less fees given back.
    pub fees: Money,
    /// What the pieces cost, as the stock says.
    pub cost: Money,
}

impl ProductDay {
    /// Nothing of a product on a day.
    #[must_use]
    pub fn none(day: NaiveDate, item: impl Into<String>) -> Self {
        Self {
            day,
            item: item.into(),
            pieces: Decimal::ZERO,
            income: Money::ZERO,
            fees: Money::ZERO,
            cost: Money::ZERO,
        }
    }

    /// What is kept of it before own time and wear.
    #[must_use]
    pub fn kept(&self) -> Money {
        self.income - self.fees - self.cost
    }

    fn add(&mut self, other: &Self) {
        self.pieces += other.pieces;
        self.income += other.income;
        self.fees += other.fees;
        self.cost += other.cost;
    }
}

/// What a product left over a period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProductMargin {
    /// The product's code.
    pub item: String,
    /// Its name.
    pub name: String,
    /// Pieces sold, less those that came back.
    pub pieces: Decimal,
    /// Sales at full price, less discounts and refunds.
    pub income: Money,
    /// What the shops took.
    pub fees: Money,
    /// What the pieces cost.
    pub cost: Money,
}

impl ProductMargin {
    /// What is kept before own time and wear: the contribution.
    #[must_use]
    pub fn kept(&self) -> Money {
        self.income - self.fees - self.cost
    }

    /// What is kept in per cent of the income, to one decimal; `None` where nothing came in.
    #[must_use]
    pub fn margin_percent(&self) -> Option<Decimal> {
        if !self.income.is_positive() {
            return None;
        }
        let share = Decimal::from(self.kept().minor()) * Decimal::ONE_HUNDRED
            / Decimal::from(self.income.minor());
        Some(
            share
                .round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero)
                .normalize(),
        )
    }
}

/// Products over all the days given, the one that left most first. `name` gives a code's name.
#[must_use]
pub fn product_margins<'d>(
    days: impl IntoIterator<Item = &'d ProductDay>,
    name: impl Fn(&str) -> String,
) -> Vec<ProductMargin> {
    let mut sums: BTreeMap<&str, ProductDay> = BTreeMap::new();
    for day in days {
        sums.entry(&day.item)
            .or_insert_with(|| ProductDay::none(day.day, &day.item))
            .add(day);
    }
    let mut margins: Vec<ProductMargin> = sums
        .into_values()
        .map(|sum| ProductMargin {
            name: name(&sum.item),
            item: sum.item,
            pieces: sum.pieces.normalize(),
            income: sum.income,
            fees: sum.fees,
            cost: sum.cost,
        })
        .collect();
    margins.sort_by(|a, b| b.kept().cmp(&a.kept()).then_with(|| a.name.cmp(&b.name)));
    margins
}

/// Income and fees of things that are kept items, from sales and refunds that stand; pieces and cost are left at nothing.
/// `sale_of` gives the sale that a refund is of; `parts` the item of a code with a weight, those of a set with the weight of
/// each, and nothing for a mere label.
///
/// # Errors
/// When the chart lacks an account.
pub fn product_income<'e>(
    chart: &Chart,
    entries: &'e [PostedEntry],
    sale_of: impl Fn(&PostedEntry) -> Option<&'e PostedEntry>,
    parts: impl Fn(&str) -> Vec<(String, i64)>,
) -> Result<Vec<ProductDay>, ChartError> {
    let mut fee_accounts = Vec::new();
    for kind in FeeKind::ALL {
        fee_accounts.push(chart.role(kind.role())?);
    }
    let mut days = Vec::new();
    for posted in entries {
        let kind = posted.entry.header.kind;
        let is_told = matches!(kind, EntryKind::Sale | EntryKind::Refund);
        if !is_told || posted.reversed_by.is_some() {
            continue;
        }
        let (mut income, mut fees) = (Money::ZERO, Money::ZERO);
        for line in posted.entry.lines() {
            if fee_accounts.contains(&line.account) {
                fees += line.amount;
            } else if counts(chart, line.account) {
                income -= line.amount;
            }
        }
        let sale = if kind == EntryKind::Sale {
            Some(posted)
        } else {
            sale_of(posted)
        };
        let Some(sale) = sale else {
            continue;
        };
        let things = things(chart, &sale.entry);
        let weights: Vec<i64> = things.iter().map(|(_, amount)| amount.minor()).collect();
        let shares = income
            .allocate(&weights)
            .into_iter()
            .zip(fees.allocate(&weights));
        for ((code, _amount), (income, fees)) in things.iter().zip(shares) {
            let parts = code.as_deref().map(&parts).unwrap_or_default();
            let weights: Vec<i64> = parts.iter().map(|(_, weight)| *weight).collect();
            let shares = income
                .allocate(&weights)
                .into_iter()
                .zip(fees.allocate(&weights));
            for ((code, _weight), (income, fees)) in parts.into_iter().zip(shares) {
                days.push(ProductDay {
                    income,
                    fees,
                    ..ProductDay::none(posted.entry.header.date, code)
                });
            }
        }
    }
    Ok(days)
}

/// Whether an account holds what is hers of the things sold: income and what is taken off it, postage apart.
fn counts(chart: &Chart, account: crate::ledger::AccountId) -> bool {
    chart.account(account).is_ok_and(|account| {
        account.class == AccountClass::Income && account.role != Some(Role::PostageCharged)
    })
}

/// The things of a sale at full price, each with the code it was sold under.
fn things(chart: &Chart, sale: &JournalEntry) -> Vec<(Option<String>, Money)> {
    sale.lines()
        .iter()
        .filter(|line| line.amount.is_negative() && counts(chart, line.account))
        .map(|line| (line.item.clone(), line.credit_amount()))
        .collect()
}
