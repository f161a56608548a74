//! Free to spend: what of the money in hand nobody else is waiting for. `buying` tries a purchase, `split` shares out
//! what is free, `help` says what would help when more is promised than is there.
//! The formula over balances; what is due soon and what to put by are worked out elsewhere and passed in.

mod buying;
mod help;
mod split;

pub use buying::{AfterBuying, Buying, BuyingError, Wanted, cost_within};
pub use help::{Help, what_would_help};
pub use split::{Proposal, Split, SplitError};

use crate::ledger::{AccountId, Balances, Chart, Role};
use crate::money::Money;

/// What is not in the balances and yet not free.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Claims {
    /// Recurring purchases and renewals due within the days the owner chose.
    pub due_soon: Money,
    /// What is still to be put by for tax.
    pub set_aside_gap: Money,
    /// What the owner always wants to keep.
    pub reserve: Money,
}

/// What a line of the formula stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Term {
    /// Bank and cash without the set-aside account.
    InHand,
    /// What is owed on cards.
    CardOwed,
    /// Sales tax held for others.
    SalesTax,
    /// Customers' deposits and vouchers.
    Deposits,
    /// Bills to pay.
    Bills,
    /// Recurring purchases due soon.
    DueSoon,
    /// The gap between set-aside needed and put by.
    SetAsideGap,
    /// The owner's own reserve.
    Reserve,
}

/// One line of the formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeLine {
    /// Its number, from 1.
    pub no: u32,
    /// What it stands for.
    pub term: Term,
    /// Its plain words.
    pub label: &'static str,
    /// What it adds to what is free: negative when it takes away.
    pub amount: Money,
    /// The accounts whose balances it is; none when it is not a balance.
    pub accounts: Vec<AccountId>,
}

/// The answer with its working.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeToSpend {
    /// The lines, adding up to what is free.
    pub lines: Vec<FreeLine>,
    /// What is free; negative when more is promised than is there.
    pub free: Money,
}

impl FreeToSpend {
    /// Bank and cash without the set-aside account.
    #[must_use]
    pub fn in_hand(&self) -> Money {
        self.amount(Term::InHand)
    }

    /// What a term adds to what is free: negative when it takes away.
    #[must_use]
    pub fn amount(&self, term: Term) -> Money {
        self.lines
            .iter()
            .filter(|line| line.term == term)
            .map(|line| line.amount)
            .sum()
    }
}

/// Works out what is free from the balances up to a day.
#[must_use]
pub fn free_to_spend(chart: &Chart, to_date: &Balances, claims: Claims) -> FreeToSpend {
    let set_aside = chart.role(Role::SetAside).ok();
    let money: Vec<AccountId> = chart
        .money_accounts()
        .iter()
        .map(|account| account.id)
        .filter(|id| Some(*id) != set_aside)
        .collect();
    let of_role = |role: Role| -> Vec<AccountId> { chart.role(role).into_iter().collect() };
    let bills = of_role(Role::BillsToPay);
    // Cards stand in one group with the bills; a second card needs no code.
    let card_group = chart
        .role(Role::CreditCard)
        .ok()
        .and_then(|id| chart.account(id).ok())
        .map(|account| account.group.clone());
    let cards: Vec<AccountId> = chart
        .accounts()
        .into_iter()
        .filter(|account| {
            Some(&account.group) == card_group.as_ref() && !bills.contains(&account.id)
        })
        .map(|account| account.id)
        .collect();
    let balance =
        |accounts: &[AccountId]| -> Money { accounts.iter().map(|id| to_date.net(*id)).sum() };
    let parts = [
        (Term::InHand, "In the bank and the cash box", money),
        (Term::CardOwed, "Owed on cards", cards),
        (
            Term::SalesTax,
            "Sales tax to pay over",
            of_role(Role::SalesTax),
        ),
        (
            Term::Deposits,
            "Customers' deposits and vouchers",
            of_role(Role::CustomerDeposits),
        ),
        (Term::Bills, "Bills to pay", bills),
    ];
    let mut lines: Vec<FreeLine> = Vec::new();
    for (term, label, accounts) in parts {
        let amount = balance(&accounts);
        push(&mut lines, term, label, amount, accounts);
    }
    push(
        &mut lines,
        Term::DueSoon,
        "Recurring purchases due soon",
        -claims.due_soon,
        Vec::new(),
    );
    push(
        &mut lines,
        Term::SetAsideGap,
        "Still to set aside",
        -claims.set_aside_gap,
        Vec::new(),
    );
    push(
        &mut lines,
        Term::Reserve,
        "Your own reserve",
        -claims.reserve,
        Vec::new(),
    );
    let free = lines.iter().map(|line| line.amount).sum();
    FreeToSpend { lines, free }
}

fn push(
    lines: &mut Vec<FreeLine>,
    term: Term,
    label: &'static str,
    amount: Money,
    accounts: Vec<AccountId>,
) {
    lines.push(FreeLine {
        no: u32::try_from(lines.len()).unwrap_or(0) + 1,
        term,
        label,
        amount,
        accounts,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_promised_is_taken_off_what_is_in_hand() {
        // By hand: 1,000.00 bank + 50.00 cash - 120.00 card - 30.00 tax - 80.00 bills - 11.40 due - 86.00 gap - 200.00.
        let chart = Chart::craft_business(false).expect("the chart reads");
        let mut balances = Balances::new();
        for (role, minor) in [
            (Role::BusinessBank, 100_000),
            (Role::CashBox, 5_000),
            (Role::SetAside, 23_920),
            (Role::CreditCard, -12_000),
            (Role::SalesTax, -3_000),
            (Role::BillsToPay, -8_000),
        ] {
            balances.add(chart.role(role).expect("role"), Money::from_minor(minor));
        }
        let claims = Claims {
            due_soon: Money::from_minor(1_140),
            set_aside_gap: Money::from_minor(8_600),
            reserve: Money::from_minor(20_000),
        };
        let free = free_to_spend(&chart, &balances, claims);
        assert_eq!(free.in_hand(), Money::from_minor(105_000));
        assert_eq!(free.free, Money::from_minor(52_260));
        assert_eq!(free.lines.len(), 8);
    }
}
