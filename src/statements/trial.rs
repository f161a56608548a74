//! The trial balance: every account that is not nothing, on its side.
//! A proof of sums, not of sense.

use crate::ledger::{AccountId, Balances, Chart};
use crate::money::Money;

/// One account of a trial balance; one of the two amounts is nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialRow {
    /// The account.
    pub account: AccountId,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Its balance when on the debit side.
    pub debit: Money,
    /// Its balance when on the credit side.
    pub credit: Money,
}

/// A trial balance.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialBalance {
    /// The accounts in the order of their numbers.
    pub accounts: Vec<TrialRow>,
    /// The sum of the debit side.
    pub total_debit: Money,
    /// The sum of the credit side, the same in a sound ledger.
    pub total_credit: Money,
}

/// The trial balance of these sums.
#[must_use]
pub fn trial_balance(chart: &Chart, balances: &Balances) -> TrialBalance {
    let mut trial = TrialBalance::default();
    for account in chart.accounts() {
        let net = balances.net(account.id);
        if net.is_zero() {
            continue;
        }
        let debit = net.max(Money::ZERO);
        let credit = (-net).max(Money::ZERO);
        trial.total_debit += debit;
        trial.total_credit += credit;
        trial.accounts.push(TrialRow {
            account: account.id,
            number: account.number.clone(),
            name: account.name.clone(),
            debit,
            credit,
        });
    }
    trial
}
