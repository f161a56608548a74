//! The owner's capital statement: opening, money in, profit, money out, closing.
//! Money in and out is the owner's own; neither is income nor cost.

use super::arrange::{StatementLine, by_group};
use super::balance_sheet::profit_not_yet_closed;
use crate::dates::DateRange;
use crate::ledger::{AccountClass, Balances, Chart, Role};
use crate::money::Money;

/// How the owner's capital changed over a period: closing = opening + in + profit − out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CapitalStatement {
    /// The days it covers.
    pub range: DateRange,
    /// Capital at the beginning, earlier profit included.
    pub opening: Money,
    /// What the owner put in, things brought in included.
    pub money_in: Money,
    /// What the owner took out, private shares included.
    pub money_out: Money,
    /// The profit of the period; a loss below nothing.
    pub profit: Money,
    /// Capital at the end.
    pub closing: Money,
    /// The equity accounts that moved, in their natural direction.
    pub lines: Vec<StatementLine>,
}

/// The capital statement of a period. `before` is everything up to its eve, closing entries included (opening
/// balances on the book's first day belong here too); `during` is what moved in it, closing entries left out.
#[must_use]
pub fn capital_statement(
    chart: &Chart,
    before: &Balances,
    during: &Balances,
    range: DateRange,
) -> CapitalStatement {
    let equity = chart.of_class(AccountClass::Equity);
    let opening_net: Money = equity.iter().map(|account| before.net(account.id)).sum();
    let opening = profit_not_yet_closed(chart, before) - opening_net;
    let profit = profit_not_yet_closed(chart, during);
    let mut money_in = Money::ZERO;
    let mut money_out = Money::ZERO;
    let mut lines = Vec::new();
    for account in by_group(equity) {
        let net = during.net(account.id);
        if account.is_contra || account.role == Some(Role::OwnerDrawings) {
            money_out += net;
        } else {
            money_in += -net;
        }
        if !net.is_zero() {
            lines.push(StatementLine::of(account, net));
        }
    }
    CapitalStatement {
        range,
        opening,
        money_in,
        money_out,
        profit,
        closing: opening + money_in + profit - money_out,
        lines,
    }
}
