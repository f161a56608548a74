//! The order of lines on a statement: groups by their first account, accounts by their numbers.
//! Which accounts belong on it is each statement's business.

use std::collections::BTreeMap;

use crate::ledger::{Account, AccountId};
use crate::money::Money;

/// One line of a statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementLine {
    /// The account whose entries explain the figure.
    pub account: AccountId,
    /// The heading it stands under.
    pub group: String,
    /// The account's number.
    pub number: String,
    /// The account's name.
    pub name: String,
    /// The amount in its natural direction.
    pub amount: Money,
}

impl StatementLine {
    /// A line for an account that is `net` (debits less credits).
    pub(super) fn of(account: &Account, net: Money) -> Self {
        Self {
            account: account.id,
            group: account.group.clone(),
            number: account.number.clone(),
            name: account.name.clone(),
            amount: natural(account, net),
        }
    }
}

/// Debits less credits turned to the side the account's class stands on.
pub(super) fn natural(account: &Account, net: Money) -> Money {
    if account.class.is_debit_side() {
        net
    } else {
        -net
    }
}

/// Accounts with each group kept together, groups in the order of their lowest number.
pub(super) fn by_group<'a>(accounts: impl IntoIterator<Item = &'a Account>) -> Vec<&'a Account> {
    let mut accounts: Vec<&Account> = accounts.into_iter().collect();
    accounts.sort_by(|a, b| a.number.cmp(&b.number));
    let mut first_in_group: BTreeMap<&str, usize> = BTreeMap::new();
    for (idx, account) in accounts.iter().enumerate() {
        first_in_group.entry(&account.group).or_insert(idx);
    }
    let place = |account: &Account| first_in_group.get(account.group.as_str()).copied();
    let mut arranged = accounts.clone();
    arranged.sort_by_key(|account| place(account));
    arranged
}
