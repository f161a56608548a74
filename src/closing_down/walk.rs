//! The walk: every balance that still stands becomes a line, in the order in which they are best cleared, the bank and
//! the owner's own accounts last. Pure: balances, stock and register come in.

use super::{ClosingLine, Way};
use crate::ledger::{Account, AccountClass, AccountId, Balances, Chart, Role};
use crate::money::Money;

/// Stock of an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockLeft {
    /// Its code.
    pub code: String,
    /// What is left, in words: `12 Wide-ruled notebooks`.
    pub words: String,
    /// What it cost.
    pub value: Money,
    /// The account it stands on.
    pub account: AccountId,
}

/// A piece of equipment that is still there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceLeft {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// Its carrying amount by what is posted.
    pub carrying: Money,
}

/// What a book still holds on a day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// How many statement lines are to be sorted, and what they come to without their signs.
    pub to_sort: (usize, Money),
    /// The stock by item.
    pub stock: Vec<StockLeft>,
    /// The equipment.
    pub pieces: Vec<PieceLeft>,
}

/// What is left to clear.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClosingDown {
    /// The lines, in the order in which they are cleared.
    pub lines: Vec<ClosingLine>,
    /// What the business has.
    pub has: Money,
    /// What it owes, positive.
    pub owes: Money,
}

impl ClosingDown {
    /// Whether every line of the balance sheet is at nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }
}

/// What is left to clear, from balances up to a day and what stands behind them.
#[must_use]
pub fn walk(chart: &Chart, balances: &Balances, standing: &Standing) -> ClosingDown {
    let mut lines = Vec::new();
    let (n_lines, sum) = standing.to_sort;
    if n_lines > 0 {
        lines.push(ClosingLine {
            what: match n_lines {
                1 => "1 statement line to sort".to_owned(),
                count => format!("{count} statement lines to sort"),
            },
            amount: sum,
            way: Way::Sort,
            account: None,
            thing: String::new(),
            says: "The books are not whole before it.".to_owned(),
        });
    }
    stock(chart, balances, standing, &mut lines);
    equipment(chart, balances, standing, &mut lines);
    let mut has = Money::ZERO;
    let mut owes = Money::ZERO;
    let mut others = Vec::new();
    for account in chart.accounts() {
        let net = balances.net(account.id);
        match account.class {
            AccountClass::Asset => has += net,
            AccountClass::Liability => owes += -net,
            _ => {}
        }
        if !net.is_zero()
            && let Some((place, line)) = other(account, net)
        {
            others.push((place, line));
        }
    }
    others.sort_by_key(|(place, _line)| *place);
    lines.extend(others.into_iter().map(|(_place, line)| line));
    lines.extend(owners(chart, balances));
    ClosingDown { lines, has, owes }
}

fn line(account: &Account, amount: Money, way: Way, says: &str) -> ClosingLine {
    ClosingLine {
        what: account.name.clone(),
        amount,
        way,
        account: Some(account.id),
        thing: String::new(),
        says: says.to_owned(),
    }
}

const fn is_stock(role: Option<Role>) -> bool {
    matches!(
        role,
        Some(
            Role::Materials
                | Role::MadeGoods
                | Role::BoughtInGoods
                | Role::PartMade
                | Role::PackagingOnHand
        )
    )
}

const fn is_equipment(role: Option<Role>) -> bool {
    matches!(role, Some(Role::Equipment | Role::AccumulatedDepreciation))
}

/// Each item with what it cost, and what of a stock account belongs to no item.
fn stock(chart: &Chart, balances: &Balances, standing: &Standing, lines: &mut Vec<ClosingLine>) {
    for account in chart.accounts() {
        if !is_stock(account.role) {
            continue;
        }
        let mut rest = balances.net(account.id);
        for item in standing
            .stock
            .iter()
            .filter(|one| one.account == account.id)
        {
            rest -= item.value;
            lines.push(ClosingLine {
                what: item.words.clone(),
                amount: item.value,
                way: Way::TakeHome,
                account: Some(account.id),
                thing: item.code.clone(),
                says: "Count it, sell what can be sold; what is left goes home at what it cost, as a drawing."
                    .to_owned(),
            });
        }
        if !rest.is_zero() {
            lines.push(line(
                account,
                rest,
                Way::TakeHomeRest,
                "It belongs to no item; at cost, as a drawing, or as waste when nothing is there.",
            ));
        }
    }
}

/// Each piece with its carrying amount, and what the ledger has besides.
fn equipment(
    chart: &Chart,
    balances: &Balances,
    standing: &Standing,
    lines: &mut Vec<ClosingLine>,
) {
    let mut rest: Money = chart
        .accounts()
        .iter()
        .filter(|account| is_equipment(account.role))
        .map(|account| balances.net(account.id))
        .sum();
    for piece in &standing.pieces {
        rest -= piece.carrying;
        lines.push(ClosingLine {
            what: piece.name.clone(),
            amount: piece.carrying,
            way: Way::LetGo,
            account: chart.role(Role::Equipment).ok(),
            thing: piece.key.clone(),
            says: "Sold: what you got for it. Taken home: what it is worth, with your drawings as where the money went."
                .to_owned(),
        });
    }
    if !rest.is_zero()
        && let Ok(id) = chart.role(Role::Equipment)
        && let Ok(account) = chart.account(id)
    {
        lines.push(line(
            account,
            rest,
            Way::LetGoRest,
            "The register does not have it; look at the account first.",
        ));
    }
}

/// The line of any other account of the balance sheet, with its place in the order.
fn other(account: &Account, net: Money) -> Option<(u8, ClosingLine)> {
    let is_owed = net.is_positive();
    let (place, way, says) = match (account.class, account.role) {
        (_, role) if is_stock(role) || is_equipment(role) => return None,
        (_, Some(Role::NotExplained)) => (
            0,
            Way::Explain,
            "Explain each entry, or ask the accountant.",
        ),
        (AccountClass::Asset, _) if account.is_channel() && is_owed => (
            1,
            Way::Payout,
            "The shop pays it out, with what it still holds; close the shop after it.",
        ),
        (AccountClass::Asset, _) if account.is_channel() => {
            (1, Way::PayShop, "The shop is paid what it billed.")
        }
        (_, Some(Role::CustomersOwe | Role::InDispute)) => (
            2,
            Way::Collect,
            "It is paid, or given up and taken off what was sold.",
        ),
        (_, Some(Role::OwedByOwner)) => (
            2,
            Way::OwnerPaysBack,
            "You pay it back, or it counts as money you took out.",
        ),
        (_, Some(Role::PaidInAdvance)) => (
            3,
            Way::EndPaidAhead,
            "What is paid back goes to the bank; the rest is a cost.",
        ),
        (_, Some(Role::StartUpCosts | Role::CompanyFormingCosts)) => (
            4,
            Way::CarriedForward,
            "What is left of it when the business ends is for the accountant to place.",
        ),
        (_, Some(Role::BillsToPay | Role::CreditCard | Role::SalesTax)) => {
            (5, Way::PayOff, "It is paid from the bank.")
        }
        (_, Some(Role::CustomerDeposits)) => (
            6,
            Way::PayBack,
            "Deliver what was paid for, or pay it back; vouchers that were never used may have rules of their own.",
        ),
        (_, Some(Role::OwedToOwner)) => (7, Way::OwnerRepaid, "The business pays you back."),
        (_, Some(Role::BusinessBank)) if is_owed => (
            10,
            Way::FinalDrawing,
            "Last of all, after the last fee and refund.",
        ),
        (_, Some(Role::BusinessBank)) => (10, Way::CoverBank, "You cover what the bank lacks."),
        (AccountClass::Asset, _) if account.is_money() => {
            (9, Way::IntoBank, "It goes to the bank account.")
        }
        (AccountClass::Asset, _) => (
            3,
            Way::WriteDown,
            "Sold, got back, taken home or made a cost.",
        ),
        (AccountClass::Liability, _) => (8, Way::WriteDown, "It is paid back from the bank."),
        _ => return None,
    };
    Some((place, line(account, net, way, says)))
}

/// The profit of the year that runs, and the owner's accounts, which cancel out once nothing else stands.
fn owners(chart: &Chart, balances: &Balances) -> Vec<ClosingLine> {
    let sum = |is_meant: fn(&Account) -> bool| -> (bool, Money) {
        let mut any = false;
        let mut sum = Money::ZERO;
        for account in chart.accounts().into_iter().filter(|one| is_meant(one)) {
            let net = balances.net(account.id);
            any |= !net.is_zero();
            sum += net;
        }
        (any, sum)
    };
    let mut lines = Vec::new();
    let (has_result, result) = sum(|account| account.class.is_profit_and_loss());
    if has_result {
        lines.push(ClosingLine {
            what: "Profit not yet closed".to_owned(),
            amount: result,
            way: Way::CloseYear,
            account: None,
            thing: String::new(),
            says: "When nothing more will happen: the year is closed into profit brought forward."
                .to_owned(),
        });
    }
    let (has_equity, equity) = sum(|account| account.class == AccountClass::Equity);
    if has_equity {
        lines.push(ClosingLine {
            what: "Your capital, drawings and profit".to_owned(),
            amount: equity,
            way: Way::OwnersAccounts,
            account: None,
            thing: String::new(),
            says: if equity.is_zero() && !has_result {
                "They cancel out to nothing: one entry sets them against each other.".to_owned()
            } else {
                "They cancel out once everything above is cleared and the year is closed."
                    .to_owned()
            },
        });
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every balance is on a line: what the lines of the balance sheet come to is what the business has less what it owes.
    #[test]
    fn no_balance_is_left_without_a_line() {
        let chart = Chart::craft_business(false).expect("the chart");
        let mut balances = Balances::default();
        let mut net = 0_i64;
        for (idx, account) in chart.accounts().iter().enumerate() {
            let minor = (i64::try_from(idx).expect("few") + 1) * 100;
            let is_debit = account.class.is_debit_side() != account.is_contra;
            let signed = if is_debit { minor } else { -minor };
            balances.add(account.id, Money::from_minor(signed));
            if matches!(account.class, AccountClass::Asset | AccountClass::Liability) {
                net += signed;
            }
        }
        let materials = chart.role(Role::Materials).expect("materials");
        let standing = Standing {
            to_sort: (0, Money::ZERO),
            stock: vec![StockLeft {
                code: "GREY".to_owned(),
                words: "40 sheets of grey board".to_owned(),
                value: Money::from_minor(150),
                account: materials,
            }],
            pieces: vec![PieceLeft {
                key: "press".to_owned(),
                name: "Nipping press".to_owned(),
                carrying: Money::from_minor(77),
            }],
        };
        let closing = walk(&chart, &balances, &standing);
        let on_lines: Money = closing
            .lines
            .iter()
            .filter(|line| !matches!(line.way, Way::CloseYear | Way::OwnersAccounts))
            .map(|line| line.amount)
            .sum();
        assert_eq!(on_lines, Money::from_minor(net));
        assert_eq!(closing.has - closing.owes, Money::from_minor(net));
        assert_eq!(
            closing.lines.last().map(|line| line.way),
            Some(Way::OwnersAccounts)
        );
        assert!(walk(&chart, &Balances::default(), &Standing::default()).is_empty());
    }
}
