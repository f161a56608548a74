//! Sums of lines by account: what statements are made of.
//! Pure adding; which lines are summed is decided by whoever fills it.

use std::collections::BTreeMap;

use super::{AccountId, JournalEntry};
use crate::money::Money;

/// What moved on one account: debits and credits added up apart, both as positive amounts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Movement {
    /// The sum of debits.
    pub debit: Money,
    /// The sum of credits.
    pub credit: Money,
}

impl Movement {
    /// Debits less credits.
    #[must_use]
    pub fn net(self) -> Money {
        self.debit - self.credit
    }

    /// Adds an amount to the side its sign says.
    pub fn add(&mut self, amount: Money) {
        if amount.is_negative() {
            self.credit += -amount;
        } else {
            self.debit += amount;
        }
    }
}

/// Movements by account.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Balances {
    by_account: BTreeMap<AccountId, Movement>,
}

impl Balances {
    /// No movements.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The movements of these entries.
    pub fn of_entries<'a>(entries: impl IntoIterator<Item = &'a JournalEntry>) -> Self {
        let mut balances = Self::new();
        for entry in entries {
            for line in entry.lines() {
                balances.add(line.account, line.amount);
            }
        }
        balances
    }

    /// Adds one signed amount to an account.
    pub fn add(&mut self, account: AccountId, amount: Money) {
        self.by_account.entry(account).or_default().add(amount);
    }

    /// Adds sums of debits and credits to an account.
    pub fn add_movement(&mut self, account: AccountId, movement: Movement) {
        let sum = self.by_account.entry(account).or_default();
        sum.debit += movement.debit;
        sum.credit += movement.credit;
    }

    /// Adds all movements of another.
    pub fn merge(&mut self, other: &Self) {
        for (account, movement) in &other.by_account {
            self.add_movement(*account, *movement);
        }
    }

    /// Debits less credits of an account; nothing when it did not move.
    #[must_use]
    pub fn net(&self, account: AccountId) -> Money {
        self.movement(account).net()
    }

    /// The movement of an account.
    #[must_use]
    pub fn movement(&self, account: AccountId) -> Movement {
        self.by_account.get(&account).copied().unwrap_or_default()
    }

    /// All accounts that moved, in the order of their identities.
    pub fn iter(&self) -> impl Iterator<Item = (AccountId, Movement)> + '_ {
        self.by_account
            .iter()
            .map(|(id, movement)| (*id, *movement))
    }

    /// The net of all accounts together: nothing, in a sound ledger.
    #[must_use]
    pub fn total(&self) -> Money {
        self.by_account
            .values()
            .map(|movement| movement.net())
            .sum()
    }
}
