//! Profit, balance sheet and trial balance as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::{AsOf, Period};
use crate::dates::DateRange;
use crate::money::Currency;
use crate::statements::{
    BalanceSheet, Basis, CASH_CAUTION, CashBasis, ProfitStatement, ProfitTotals, StatementLine,
    TrialBalance,
};

/// The profit statement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProfitJson {
    #[serde(flatten)]
    period: Period,
    basis: &'static str,
    lines: Vec<LineJson>,
    totals: TotalsJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    periods: Option<Vec<PeriodTotals>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bridge: Option<BridgeJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'static str>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BridgeJson {
    accrual: String,
    steps: Vec<StepJson>,
    cash: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct StepJson {
    account: String,
    name: String,
    at_beginning: String,
    at_end: String,
    effect: String,
    entries: Vec<u64>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct LineJson {
    group: String,
    account: String,
    name: String,
    amount: String,
}

impl LineJson {
    pub(super) fn of(line: &StatementLine, currency: &Currency) -> Self {
        Self {
            group: line.group.clone(),
            account: line.number.clone(),
            name: line.name.clone(),
            amount: currency.plain(line.amount),
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TotalsJson {
    net_sales: String,
    cost_of_goods_sold: String,
    gross_profit: String,
    other_income: String,
    costs: String,
    net_profit: String,
}

impl TotalsJson {
    fn of(totals: &ProfitTotals, currency: &Currency) -> Self {
        Self {
            net_sales: currency.plain(totals.net_sales),
            cost_of_goods_sold: currency.plain(totals.cost_of_goods_sold),
            gross_profit: currency.plain(totals.gross_profit),
            other_income: currency.plain(totals.other_income),
            costs: currency.plain(totals.costs),
            net_profit: currency.plain(totals.net_profit),
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct PeriodTotals {
    from: NaiveDate,
    to: NaiveDate,
    totals: TotalsJson,
}

/// The profit statement as JSON, with the statements of its parts when it is split.
#[must_use]
pub fn profit(
    statement: &ProfitStatement,
    parts: Option<&[ProfitStatement]>,
    currency: &Currency,
) -> ProfitJson {
    ProfitJson {
        period: Period::new(currency, statement.range),
        basis: Basis::Accrual.as_str(),
        lines: statement
            .lines
            .iter()
            .map(|line| LineJson::of(line, currency))
            .collect(),
        totals: TotalsJson::of(&statement.totals, currency),
        periods: parts.map(|parts| {
            parts
                .iter()
                .map(|part| PeriodTotals {
                    from: part.range.from,
                    to: part.range.to,
                    totals: TotalsJson::of(&part.totals, currency),
                })
                .collect()
        }),
        bridge: None,
        caution: None,
    }
}

/// The profit statement on the cash basis, with the bridge from the accrual one and, when it is split, its parts.
#[must_use]
pub fn cash_profit(
    report: &CashBasis,
    parts: Option<&[CashBasis]>,
    currency: &Currency,
) -> ProfitJson {
    let parts: Option<Vec<ProfitStatement>> =
        parts.map(|parts| parts.iter().map(CashBasis::statement).collect());
    let steps = report.bridge.iter().map(|step| StepJson {
        account: step.number.clone(),
        name: step.name.clone(),
        at_beginning: currency.plain(step.at_beginning),
        at_end: currency.plain(step.at_end),
        effect: currency.plain(step.effect),
        entries: step.entries.iter().map(|number| number.0).collect(),
    });
    ProfitJson {
        basis: Basis::Cash.as_str(),
        bridge: Some(BridgeJson {
            accrual: currency.plain(report.accrual.net_profit),
            steps: steps.collect(),
            cash: currency.plain(report.totals.net_profit),
        }),
        caution: Some(CASH_CAUTION),
        ..profit(&report.statement(), parts.as_deref(), currency)
    }
}

/// The balance sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BalanceJson {
    #[serde(flatten)]
    as_of: AsOf,
    lines: Vec<BalanceLineJson>,
    totals: BalanceTotalsJson,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BalanceLineJson {
    class: &'static str,
    group: String,
    account: String,
    name: String,
    amount: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BalanceTotalsJson {
    assets: String,
    liabilities: String,
    equity: String,
}

/// The balance sheet as JSON.
#[must_use]
pub fn balance(sheet: &BalanceSheet, currency: &Currency) -> BalanceJson {
    BalanceJson {
        as_of: AsOf::new(currency, sheet.as_of),
        lines: sheet
            .lines
            .iter()
            .map(|line| BalanceLineJson {
                class: line.class.as_str(),
                group: line.group.clone(),
                account: line.number.clone(),
                name: line.name.clone(),
                amount: currency.plain(line.amount),
            })
            .collect(),
        totals: BalanceTotalsJson {
            assets: currency.plain(sheet.totals.assets),
            liabilities: currency.plain(sheet.totals.liabilities),
            equity: currency.plain(sheet.totals.equity),
        },
    }
}

/// The trial balance.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TrialJson {
    currency: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    from: Option<NaiveDate>,
    #[serde(skip_serializing_if = "Option::is_none")]
    to: Option<NaiveDate>,
    as_of: NaiveDate,
    accounts: Vec<TrialRowJson>,
    total_debit: String,
    total_credit: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TrialRowJson {
    number: String,
    name: String,
    debit: String,
    credit: String,
}

/// The trial balance at the end of a day, or of what moved within a range.
#[must_use]
pub fn trial(
    trial: &TrialBalance,
    as_of: NaiveDate,
    range: Option<DateRange>,
    currency: &Currency,
) -> TrialJson {
    TrialJson {
        currency: currency.code().to_owned(),
        from: range.map(|range| range.from),
        to: range.map(|range| range.to),
        as_of,
        accounts: trial
            .accounts
            .iter()
            .map(|row| TrialRowJson {
                number: row.number.clone(),
                name: row.name.clone(),
                debit: currency.plain(row.debit),
                credit: currency.plain(row.credit),
            })
            .collect(),
        total_debit: currency.plain(trial.total_debit),
        total_credit: currency.plain(trial.total_credit),
    }
}
