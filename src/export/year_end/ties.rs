//! What must agree within a year's pack: each figure taken from two places by two ways, side by side.
//! A tie that does not hold is printed as such; nothing is made to agree.

use super::open_points::equipment_cost;
use super::schedules::Gathered;
use crate::book::{Book, BookError, Closings};
use crate::dates::DateRange;
use crate::export::{Cell, ExportError, Table};
use crate::ledger::{AccountClass, Role};
use crate::money::Money;
use crate::reports;
use crate::statements::ProfitSection;

/// Two figures that must be the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tie {
    /// What is held against what.
    pub what: String,
    /// Where the first figure stands.
    pub left: &'static str,
    /// The first figure.
    pub left_amount: Money,
    /// Where the second stands.
    pub right: &'static str,
    /// The second figure.
    pub right_amount: Money,
}

impl Tie {
    /// Whether they agree.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.left_amount == self.right_amount
    }
}

/// The ties of a year, as the pack's schedules show its figures.
pub(super) fn ties(
    book: &Book,
    days: DateRange,
    gathered: &Gathered,
) -> Result<Vec<Tie>, ExportError> {
    let chart = book.chart();
    let profit = reports::profit(book, days)?;
    let balance = reports::balance(book, days.to)?;
    let capital = reports::capital(book, days)?;
    let at_end = book.balances_to(days.to)?;
    let during = book.balances(days, Closings::Without)?;
    let mut ties = Vec::new();
    let mut tie = |what: &str, left, left_amount, right, right_amount| {
        ties.push(Tie {
            what: what.to_owned(),
            left,
            left_amount,
            right,
            right_amount,
        });
    };
    let (mut debits, mut credits) = (Money::ZERO, Money::ZERO);
    for (_account, moved) in during.iter() {
        debits += moved.debit;
        credits += moved.credit;
    }
    tie(
        "Debits and credits of the year",
        "C, debits",
        debits,
        "C, credits",
        credits,
    );
    tie(
        "Debits of the journal, closing entries apart",
        "D, journal",
        gathered.journal,
        "C, debits",
        debits,
    );
    tie(
        "The general ledger's closing balances add up to nothing",
        "D, general ledger",
        gathered.ledger,
        "",
        Money::ZERO,
    );
    let profit_accounts: Money = chart
        .accounts()
        .iter()
        .filter(|account| matches!(account.class, AccountClass::Income | AccountClass::Expense))
        .map(|account| -during.net(account.id))
        .sum();
    tie(
        "Net profit",
        "A, net profit",
        profit.totals.net_profit,
        "C, income less costs",
        profit_accounts,
    );
    let mut by_month = Money::ZERO;
    for month in days.by_month() {
        by_month += reports::profit(book, month)?.totals.net_profit;
    }
    tie(
        "Net profit month by month",
        "A, by month",
        by_month,
        "A, net profit",
        profit.totals.net_profit,
    );
    let cash = &gathered.cash;
    let steps: Money = cash.bridge.iter().map(|step| step.effect).sum();
    tie(
        "Net profit on the cash basis",
        "A, accrual and bridge",
        profit.totals.net_profit + steps,
        "A, cash basis",
        cash.totals.net_profit,
    );
    if let Some(form) = &gathered.form {
        tie(
            "Net profit by the lines of the form",
            "E, with what the form does not take",
            form.net + form.not_taken(),
            "A, net profit",
            profit.totals.net_profit,
        );
    }
    let (assets, both) = (
        balance.totals.assets,
        balance.totals.liabilities + balance.totals.equity,
    );
    tie(
        "What the business has is owed or the owner's",
        "B, assets",
        assets,
        "B, liabilities and equity",
        both,
    );
    tie(
        "Owner's capital",
        "N, at the end",
        capital.closing,
        "B, equity",
        balance.totals.equity,
    );
    tie(
        "Profit in the owner's capital",
        "N, profit",
        capital.profit,
        "A, net profit",
        profit.totals.net_profit,
    );
    let (in_ledger, in_register) = equipment_cost(book, days.to)?;
    tie(
        "Equipment at cost",
        "L, register",
        in_register,
        "B, equipment at cost",
        in_ledger,
    );
    let moved = reports::equipment_moved(book, days)?;
    let wear = chart
        .role(Role::AccumulatedDepreciation)
        .map_err(BookError::from)?;
    tie(
        "Wear of equipment so far",
        "L, came and went",
        moved
            .iter()
            .map(|(_name, piece)| piece.wear.closing())
            .sum(),
        "B, accumulated depreciation",
        -at_end.net(wear),
    );
    let stock = reports::stock(book, days.to)?;
    let (items, on_accounts) =
        stock
            .accounts
            .iter()
            .fold((Money::ZERO, Money::ZERO), |(items, all), account| {
                (
                    items + account.value - account.not_itemised,
                    all + account.value,
                )
            });
    let not_itemised: Money = stock
        .accounts
        .iter()
        .map(|account| account.not_itemised)
        .sum();
    tie(
        "Stock, with what belongs to no item",
        "K, stock list",
        items + not_itemised,
        "B, stock",
        on_accounts,
    );
    let in_statement: Money = profit
        .lines
        .iter()
        .filter(|line| {
            chart.account(line.account).is_ok_and(|account| {
                ProfitSection::of(account) == Some(ProfitSection::CostOfGoodsSold)
            })
        })
        .map(|line| line.amount)
        .sum();
    tie(
        "Cost of goods sold",
        "K, line 42",
        gathered.goods.sold(),
        "A, cost of goods sold",
        in_statement,
    );
    let money: Money = chart
        .money_accounts()
        .iter()
        .map(|account| at_end.net(account.id))
        .sum();
    if let Some(last) = reports::money_by_month(book, days)?.last() {
        tie(
            "Money at the end of the last month",
            "A, money by month",
            last.closing,
            "B, money",
            money,
        );
    }
    let due: Money = chart
        .channels()
        .iter()
        .map(|account| at_end.net(account.id))
        .sum();
    tie(
        "Payouts due from the shops",
        "I, balances",
        gathered.shops,
        "B, payouts due",
        due,
    );
    if let Ok(account) = chart.role(Role::NotExplained) {
        tie(
            "Nothing stands not yet explained",
            "B, not yet explained",
            at_end.net(account),
            "",
            Money::ZERO,
        );
    }
    Ok(ties)
}

/// The ties as a table.
pub(super) fn table(ties: &[Tie]) -> Table {
    let mut table = Table::new("What must agree", "Each figure from two places")
        .column("what", "What")
        .column("left", "Here")
        .column("left_amount", "Amount")
        .column("right", "There")
        .column("right_amount", "Amount")
        .column("difference", "Difference")
        .column("agreed", "");
    for tie in ties {
        let right: Cell = if tie.right.is_empty() {
            "nothing".into()
        } else {
            tie.right.into()
        };
        table.line(vec![
            tie.what.as_str().into(),
            tie.left.into(),
            tie.left_amount.into(),
            right,
            tie.right_amount.into(),
            (tie.left_amount - tie.right_amount).into(),
            if tie.agrees() { "agreed" } else { "NOT agreed" }.into(),
        ]);
    }
    table
}
