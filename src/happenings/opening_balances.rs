//! The balances that a business which already runs starts its book with.
//! What they do not explain goes to the owner's capital, on a line of its own so that it is seen.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{Happening, HappeningError};
use crate::ledger::{Account, AccountId, Chart, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

/// The opening balance of one account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpeningBalance {
    /// The account.
    pub account: AccountId,
    /// Its balance: positive is a debit.
    pub amount: Money,
    /// The piece of equipment it belongs to, by its key.
    pub equipment: Option<String>,
    /// What it is; may be empty.
    pub memo: String,
}

impl OpeningBalance {
    /// A balance as an owner writes it: money held, or money owed, both without a minus.
    #[must_use]
    pub fn natural(account: &Account, amount: Money) -> Self {
        let is_debit = account.class.is_debit_side() != account.is_contra;
        Self {
            account: account.id,
            amount: if is_debit { amount } else { -amount },
            equipment: None,
            memo: String::new(),
        }
    }
}

/// What is asked about opening balances.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpeningBalancesDetails {
    /// The day they hold, usually the book's first.
    pub date: NaiveDate,
    /// The balances.
    pub balances: Vec<OpeningBalance>,
    /// Whether income and costs of a year already begun are among them; refused otherwise.
    pub has_year_to_date: bool,
    /// Where they come from; may be empty.
    pub memo: String,
}

/// The balances that a running business starts with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpeningBalances {
    details: OpeningBalancesDetails,
}

impl OpeningBalances {
    /// Opening balances as told.
    ///
    /// # Errors
    /// When there are none, one is too large, or an account is named twice without a piece of equipment.
    pub fn new(details: OpeningBalancesDetails) -> Result<Self, HappeningError> {
        if details.balances.iter().all(|one| one.amount.is_zero()) {
            return Err(HappeningError::field(
                "amount",
                "give at least one opening balance",
            ));
        }
        let mut seen = BTreeSet::new();
        for (idx, one) in details.balances.iter().enumerate() {
            if !one.amount.is_within_limit() {
                return Err(HappeningError::field("amount", "the amount is too large").on_line(idx));
            }
            if !seen.insert((one.account, one.equipment.clone())) {
                return Err(HappeningError::field(
                    "account",
                    "this account has an opening balance already",
                )
                .on_line(idx));
            }
        }
        Ok(Self { details })
    }

    /// What was told.
    #[must_use]
    pub const fn details(&self) -> &OpeningBalancesDetails {
        &self.details
    }

    /// What the balances do not explain: what is owned above what is owed is the owner's capital (positive).
    #[must_use]
    pub fn difference(&self) -> Money {
        self.details.balances.iter().map(|one| one.amount).sum()
    }
}

impl Happening for OpeningBalances {
    fn entry(&self, chart: &Chart) -> Result<JournalEntry, HappeningError> {
        let told = &self.details;
        let mut lines = Vec::new();
        for (idx, one) in told.balances.iter().enumerate() {
            let account = chart.account(one.account)?;
            if account.class.is_profit_and_loss() && !told.has_year_to_date {
                return Err(HappeningError::field(
                    "account",
                    format!(
                        "'{}' starts every year at nothing; opening balances are what the business has and owes",
                        account.name
                    ),
                )
                .on_line(idx));
            }
            let mut line = Line::debit(account.id, one.amount).memo(&one.memo);
            line.equipment.clone_from(&one.equipment);
            lines.push(line);
        }
        lines.push(
            Line::credit(chart.role(Role::OwnerCapital)?, self.difference())
                .memo("what the business owns above what it owes"),
        );
        let header = EntryHeader::new(told.date, EntryKind::Opening).memo(&told.memo);
        Ok(JournalEntry::new(header, lines)?)
    }
}
