//! What lies in stock: how many of each item, what they are worth, what came and went in a period, and whether the items
//! and the stock accounts agree. What a movement is worth is `stock`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::dates::DateRange;
use crate::ledger::{AccountId, Balances, Chart, ChartError, Role};
use crate::money::{Money, Quantity};
use crate::stock::{CostMethod, Item, ItemKind, MovementKind, Side, StockKeeping, stock_role};

/// What the movements of one kind of one item posted in a period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockFlow {
    /// The item's code.
    pub item: String,
    /// What the movements were.
    pub kind: MovementKind,
    /// Whether they belong to a batch.
    pub has_batch: bool,
    /// Which side of them it is.
    pub side: Side,
    /// What was posted, in minor units; what left is below nothing.
    pub amount: Money,
}

/// What came and went of an item in a period, at cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StockPeriod {
    /// How many there were at the beginning.
    pub opening_quantity: Quantity,
    /// What they were worth.
    pub opening: Money,
    /// Bought or brought in, less what was sent back.
    pub received: Money,
    /// Made: what went into the batches, what was lost in making included.
    pub made: Money,
    /// Went into batches.
    pub used: Money,
    /// Sold, or used up without a batch.
    pub cost_of_goods_sold: Money,
    /// Packaging used.
    pub packaging: Money,
    /// Spoiled, missing at counts, written down, lost in making beyond what is normal.
    pub waste: Money,
    /// Samples and gifts.
    pub given: Money,
    /// Taken by the owner for herself.
    pub own_use: Money,
    /// What was worth at the end.
    pub closing: Money,
}

impl StockPeriod {
    fn add(&mut self, flow: &StockFlow, kind: ItemKind) {
        if flow.side == Side::Loss {
            self.made += flow.amount;
            self.waste += flow.amount;
            return;
        }
        let gone = -flow.amount;
        match flow.kind {
            MovementKind::Receive
            | MovementKind::LaterCost
            | MovementKind::LaterCredit
            | MovementKind::SendBack => {
                self.received += flow.amount;
            }
            MovementKind::Make => self.made += flow.amount,
            MovementKind::Use if flow.has_batch => self.used += gone,
            MovementKind::Use if kind == ItemKind::Packaging => self.packaging += gone,
            MovementKind::Use | MovementKind::Sell | MovementKind::Return => {
                self.cost_of_goods_sold += gone;
            }
            MovementKind::Waste | MovementKind::Count | MovementKind::WriteDown => {
                self.waste += gone;
            }
            MovementKind::Sample
            | MovementKind::Gift
            | MovementKind::Donate
            | MovementKind::Replace => self.given += gone,
            MovementKind::OwnUse => self.own_use += gone,
            MovementKind::Carry => {}
        }
    }
}

/// One item of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockLine {
    /// The item.
    pub item: Item,
    /// How many there are; below nothing when more went than ever came.
    pub quantity: Quantity,
    /// What they are worth, in minor units.
    pub value: Money,
    /// What came and went, where a period was asked for.
    pub period: Option<StockPeriod>,
}

impl StockLine {
    /// What one is worth, in major units of a currency with this many decimals, to six decimals; nothing when none
    /// is there.
    #[must_use]
    pub fn unit_cost(&self, decimals: u32) -> Option<Decimal> {
        if self.quantity.value() <= Decimal::ZERO {
            return None;
        }
        let value = Decimal::new(self.value.minor(), decimals);
        value
            .checked_div(self.quantity.value())
            .map(|one| one.round_dp(6))
    }
}

/// A stock account and what of its value belongs to no item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockAccount {
    /// The account.
    pub account: AccountId,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Its balance, in minor units.
    pub value: Money,
    /// The part that its items do not account for.
    pub not_itemised: Money,
}

/// What lies in stock at the end of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockList {
    /// How the book values what leaves.
    pub method: CostMethod,
    /// When the stock accounts follow; with counts only they stand at what the last count found.
    pub keeping: StockKeeping,
    /// The day.
    pub as_of: NaiveDate,
    /// The period of what came and went, where one was asked for; it ends on the day.
    pub range: Option<DateRange>,
    /// The items, by code.
    pub lines: Vec<StockLine>,
    /// What all items are worth.
    pub total_value: Money,
    /// What the stock accounts stand at, part-made pieces apart.
    pub ledger_value: Money,
    /// The stock accounts one by one.
    pub accounts: Vec<StockAccount>,
    /// What is in batches that have no pieces yet.
    pub part_made: Money,
}

/// How many of an item there are and what they are worth.
pub type Worth = (Quantity, Money);

/// The list at the end of a day. `now` and `before` give each item's quantity and value by code, at the end and at the
/// eve of the period; items that are neither kept up nor ever moved are left out.
///
/// # Errors
/// When the chart lacks an account of stock.
#[expect(
    clippy::too_many_arguments,
    reason = "each is a list of its own, gathered by the caller"
)]
pub fn stock_list(
    chart: &Chart,
    balances: &Balances,
    (method, keeping): (CostMethod, StockKeeping),
    as_of: NaiveDate,
    range: Option<DateRange>,
    items: Vec<Item>,
    now: &BTreeMap<String, Worth>,
    before: &BTreeMap<String, Worth>,
    flows: &[StockFlow],
) -> Result<StockList, ChartError> {
    let mut lines = Vec::new();
    let mut by_kind: BTreeMap<ItemKind, Money> = BTreeMap::new();
    for item in items {
        let here = now.get(&item.code).copied();
        if here.is_none() && !item.is_active {
            continue;
        }
        let (quantity, value) = here.unwrap_or_default();
        *by_kind.entry(item.kind).or_default() += value;
        let period = range.map(|_range| {
            let (opening_quantity, opening) = before.get(&item.code).copied().unwrap_or_default();
            let mut period = StockPeriod {
                opening_quantity,
                opening,
                closing: value,
                ..StockPeriod::default()
            };
            for flow in flows.iter().filter(|flow| flow.item == item.code) {
                period.add(flow, item.kind);
            }
            period
        });
        lines.push(StockLine {
            item,
            quantity,
            value,
            period,
        });
    }
    lines.sort_by(|one, other| one.item.code.cmp(&other.item.code));
    let mut accounts = Vec::new();
    for kind in ItemKind::ALL {
        let account = chart.account(chart.role(stock_role(kind))?)?;
        let value = balances.net(account.id);
        accounts.push(StockAccount {
            account: account.id,
            number: account.number.clone(),
            name: account.name.clone(),
            value,
            not_itemised: value - by_kind.get(&kind).copied().unwrap_or_default(),
        });
    }
    Ok(StockList {
        method,
        keeping,
        as_of,
        range,
        total_value: lines.iter().map(|line| line.value).sum(),
        ledger_value: accounts.iter().map(|account| account.value).sum(),
        part_made: balances.net(chart.role(Role::PartMade)?),
        lines,
        accounts,
    })
}

impl StockList {
    /// What of the stock accounts belongs to no item.
    #[must_use]
    pub fn not_itemised(&self) -> Money {
        self.ledger_value - self.total_value
    }

    /// What came and went of all items together, where a period was asked for.
    #[must_use]
    pub fn totals(&self) -> Option<StockPeriod> {
        self.range?;
        let mut sum = StockPeriod::default();
        for period in self.lines.iter().filter_map(|line| line.period) {
            sum.opening += period.opening;
            sum.received += period.received;
            sum.made += period.made;
            sum.used += period.used;
            sum.cost_of_goods_sold += period.cost_of_goods_sold;
            sum.packaging += period.packaging;
            sum.waste += period.waste;
            sum.given += period.given;
            sum.own_use += period.own_use;
            sum.closing += period.closing;
        }
        Some(sum)
    }
}

/// A row of the sheet for counting: no quantity of the book stands on it, so that it is counted and not copied.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CountRow {
    /// Where; empty is at home.
    pub place: String,
    /// On which shelf.
    pub shelf: String,
    /// The item's code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// What it is counted in.
    pub unit: String,
}

/// What is to be counted: every item that is kept, at home and wherever else some of it lies.
#[must_use]
pub fn count_sheet(items: &[Item], places: &BTreeMap<(String, String), Quantity>) -> Vec<CountRow> {
    let mut rows = Vec::new();
    for item in items {
        let mut elsewhere: Vec<&str> = places
            .iter()
            .filter(|((code, place), many)| {
                *code == item.code && !place.is_empty() && !many.value().is_zero()
            })
            .map(|((_code, place), _many)| place.as_str())
            .collect();
        let is_home = places
            .get(&(item.code.clone(), String::new()))
            .is_some_and(|many| !many.value().is_zero());
        if is_home || item.is_active {
            elsewhere.push("");
        }
        rows.extend(elsewhere.into_iter().map(|place| CountRow {
            place: place.to_owned(),
            shelf: if place.is_empty() {
                item.shelf.clone()
            } else {
                String::new()
            },
            code: item.code.clone(),
            name: item.name.clone(),
            unit: item.unit.to_string(),
        }));
    }
    rows.sort();
    rows
}
