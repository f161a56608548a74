//! The balance sheet: what the business has, what it owes, what belongs to the owner.
//! The sums it needs run from the beginning of the book and include closing entries.

use chrono::NaiveDate;

use super::arrange::{by_group, natural};
use crate::ledger::{AccountClass, AccountId, Balances, Chart};
use crate::money::Money;

/// The name of the computed line of income and costs that no closing entry has moved yet.
pub const PROFIT_NOT_YET_CLOSED: &str = "Profit not yet closed";

/// One line of a balance sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BalanceLine {
    /// Asset, liability or equity.
    pub class: AccountClass,
    /// The heading it stands under.
    pub group: String,
    /// The account whose entries explain the figure; none for the computed profit not yet closed, which the profit
    /// statement explains.
    pub account: Option<AccountId>,
    /// The account's number; empty for the computed line.
    pub number: String,
    /// The account's name.
    pub name: String,
    /// The amount in its natural direction.
    pub amount: Money,
}

/// The sums of a balance sheet: assets are liabilities and equity together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BalanceTotals {
    /// What the business has.
    pub assets: Money,
    /// What it owes.
    pub liabilities: Money,
    /// What belongs to the owner, the profit not yet closed included.
    pub equity: Money,
}

/// What there is at the end of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BalanceSheet {
    /// The day.
    pub as_of: NaiveDate,
    /// One line for each account that is not nothing, class by class.
    pub lines: Vec<BalanceLine>,
    /// Its sums.
    pub totals: BalanceTotals,
}

impl BalanceSheet {
    /// Whether assets are liabilities and equity together, as they are in a sound ledger.
    #[must_use]
    pub fn is_balanced(&self) -> bool {
        self.totals.assets == self.totals.liabilities + self.totals.equity
    }
}

/// The balance sheet at the end of a day, from everything that moved up to it.
#[must_use]
pub fn balance_sheet(chart: &Chart, balances: &Balances, as_of: NaiveDate) -> BalanceSheet {
    let mut lines = Vec::new();
    let mut class_lines = |class: AccountClass| {
        let mut sum = Money::ZERO;
        for account in by_group(chart.of_class(class)) {
            let amount = natural(account, balances.net(account.id));
            if amount.is_zero() {
                continue;
            }
            sum += amount;
            lines.push(BalanceLine {
                class,
                group: account.group.clone(),
                account: Some(account.id),
                number: account.number.clone(),
                name: account.name.clone(),
                amount,
            });
        }
        sum
    };
    let assets = class_lines(AccountClass::Asset);
    let liabilities = class_lines(AccountClass::Liability);
    let mut equity = class_lines(AccountClass::Equity);
    let profit = profit_not_yet_closed(chart, balances);
    if !profit.is_zero() {
        equity += profit;
        lines.push(BalanceLine {
            class: AccountClass::Equity,
            group: PROFIT_NOT_YET_CLOSED.to_owned(),
            account: None,
            number: String::new(),
            name: PROFIT_NOT_YET_CLOSED.to_owned(),
            amount: profit,
        });
    }
    let totals = BalanceTotals {
        assets,
        liabilities,
        equity,
    };
    BalanceSheet {
        as_of,
        lines,
        totals,
    }
}

/// Income less costs that stand on their own accounts still.
pub(super) fn profit_not_yet_closed(chart: &Chart, balances: &Balances) -> Money {
    let net: Money = chart
        .accounts()
        .into_iter()
        .filter(|account| account.class.is_profit_and_loss())
        .map(|account| balances.net(account.id))
        .sum();
    -net
}
