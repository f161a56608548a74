//! The profit statement: sales, what the sold things cost, other income, costs; several periods side by side.
//! Closing entries are left out by whoever sums the lines.

use std::collections::BTreeMap;

use super::arrange::{StatementLine, by_group};
use crate::dates::DateRange;
use crate::ledger::{Account, AccountClass, AccountId, Balances, Chart, Role};
use crate::money::Money;

/// The four parts of a profit statement, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ProfitSection {
    /// Sales with their refunds and discounts.
    Sales,
    /// What the sold things cost.
    CostOfGoodsSold,
    /// Income that is not sales.
    OtherIncome,
    /// All other costs.
    Costs,
}

impl ProfitSection {
    /// All sections in the order of the statement.
    pub const ALL: [Self; 4] = [
        Self::Sales,
        Self::CostOfGoodsSold,
        Self::OtherIncome,
        Self::Costs,
    ];

    /// The section an account stands in, if it belongs to the profit statement.
    #[must_use]
    pub fn of(account: &Account) -> Option<Self> {
        match account.class {
            AccountClass::Income if account.group == Account::SALES_GROUP => Some(Self::Sales),
            AccountClass::Income => Some(Self::OtherIncome),
            AccountClass::Expense if account.group == Account::COST_OF_GOODS_SOLD_GROUP => {
                Some(Self::CostOfGoodsSold)
            }
            AccountClass::Expense => Some(Self::Costs),
            _ => None,
        }
    }

    /// The section an account's figures stand in on any basis: what lies between sales and their money stands among the
    /// sales, what lies between costs and their payment among the costs.
    #[must_use]
    pub(crate) fn on_any_basis(account: &Account) -> Self {
        Self::of(account).unwrap_or(match account.role {
            Some(Role::PaidInAdvance | Role::BillsToPay) => Self::Costs,
            _ => Self::Sales,
        })
    }

    /// Its heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Sales => "Sales",
            Self::CostOfGoodsSold => "Cost of goods sold",
            Self::OtherIncome => "Other income",
            Self::Costs => "Costs",
        }
    }
}

/// The sums of a profit statement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ProfitTotals {
    /// Sales less refunds and discounts.
    pub net_sales: Money,
    /// What the sold things cost.
    pub cost_of_goods_sold: Money,
    /// Net sales less cost of goods sold.
    pub gross_profit: Money,
    /// Income that is not sales.
    pub other_income: Money,
    /// All other costs.
    pub costs: Money,
    /// Gross profit and other income less costs; a loss below nothing.
    pub net_profit: Money,
}

impl From<ProfitTotals> for crate::set_aside::ProfitToDate {
    fn from(totals: ProfitTotals) -> Self {
        Self {
            net_sales: totals.net_sales,
            cost_of_goods_sold: totals.cost_of_goods_sold,
            costs: totals.costs,
            other_income: totals.other_income,
            net_profit: totals.net_profit,
        }
    }
}

/// Profit of one period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProfitStatement {
    /// The days it covers.
    pub range: DateRange,
    /// One line for each account that is not nothing, section by section.
    pub lines: Vec<StatementLine>,
    /// Its sums.
    pub totals: ProfitTotals,
}

/// The profit of a period from what moved in it, closing entries left out.
#[must_use]
pub fn profit_statement(chart: &Chart, balances: &Balances, range: DateRange) -> ProfitStatement {
    let mut lines = Vec::new();
    let mut sums = [Money::ZERO; 4];
    for (section, sum) in ProfitSection::ALL.into_iter().zip(&mut sums) {
        let all = chart.accounts();
        let accounts = all
            .into_iter()
            .filter(|account| ProfitSection::of(account) == Some(section));
        for account in by_group(accounts) {
            let line = StatementLine::of(account, balances.net(account.id));
            if !line.amount.is_zero() {
                *sum += line.amount;
                lines.push(line);
            }
        }
    }
    let [net_sales, cost_of_goods_sold, other_income, costs] = sums;
    let gross_profit = net_sales - cost_of_goods_sold;
    let totals = ProfitTotals {
        net_sales,
        cost_of_goods_sold,
        gross_profit,
        other_income,
        costs,
        net_profit: gross_profit + other_income - costs,
    };
    ProfitStatement {
        range,
        lines,
        totals,
    }
}

impl ProfitStatement {
    /// The lines of one section.
    pub fn section<'a>(
        &'a self,
        chart: &'a Chart,
        section: ProfitSection,
    ) -> impl Iterator<Item = &'a StatementLine> + 'a {
        self.lines.iter().filter(move |line| {
            chart
                .account(line.account)
                .is_ok_and(|account| ProfitSection::of(account) == Some(section))
        })
    }
}

/// Profit of several periods, as of the parts that [`DateRange::by_month`] or [`DateRange::by_quarter`] cut.
/// `balances` sums the lines of one period, closing entries left out.
///
/// # Errors
/// Whatever `balances` refuses.
pub fn profit_periods<E>(
    chart: &Chart,
    ranges: &[DateRange],
    mut balances: impl FnMut(DateRange) -> Result<Balances, E>,
) -> Result<Vec<ProfitStatement>, E> {
    ranges
        .iter()
        .map(|range| Ok(profit_statement(chart, &balances(*range)?, *range)))
        .collect()
}

/// One account across several periods.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ComparisonRow {
    /// The section it stands in.
    pub section: ProfitSection,
    /// The account whose entries explain the figures.
    pub account: AccountId,
    /// The heading it stands under.
    pub group: String,
    /// The account's number.
    pub number: String,
    /// The account's name.
    pub name: String,
    /// One amount for each period, nothing where the account did not move.
    pub amounts: Vec<Money>,
}

/// Profit of several periods side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProfitComparison {
    /// The periods.
    pub ranges: Vec<DateRange>,
    /// One row for each account that is not nothing in at least one of them.
    pub rows: Vec<ComparisonRow>,
    /// The sums of each period.
    pub totals: Vec<ProfitTotals>,
}

/// Sets statements of several periods side by side.
#[must_use]
pub fn compare(chart: &Chart, statements: &[ProfitStatement]) -> ProfitComparison {
    let mut amounts: BTreeMap<AccountId, Vec<Money>> = BTreeMap::new();
    for (idx, statement) in statements.iter().enumerate() {
        for line in &statement.lines {
            let row = amounts
                .entry(line.account)
                .or_insert_with(|| vec![Money::ZERO; statements.len()]);
            if let Some(amount) = row.get_mut(idx) {
                *amount = line.amount;
            }
        }
    }
    let mut rows = Vec::with_capacity(amounts.len());
    for section in ProfitSection::ALL {
        let all = chart.accounts();
        let accounts = all.into_iter().filter(|account| {
            ProfitSection::on_any_basis(account) == section && amounts.contains_key(&account.id)
        });
        for account in by_group(accounts) {
            rows.push(ComparisonRow {
                section,
                account: account.id,
                group: account.group.clone(),
                number: account.number.clone(),
                name: account.name.clone(),
                amounts: amounts.get(&account.id).cloned().unwrap_or_default(),
            });
        }
    }
    ProfitComparison {
        ranges: statements.iter().map(|statement| statement.range).collect(),
        rows,
        totals: statements
            .iter()
            .map(|statement| statement.totals)
            .collect(),
    }
}
