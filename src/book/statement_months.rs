//! What an account's statement lines tell month by month: how many, and the balances at their ends.
//! What a month without lines means is `catching_up`'s.

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::reading::day;
use super::{Book, BookError};
use crate::catching_up::MonthFacts;
use crate::dates::Month;
use crate::ledger::AccountId;
use crate::money::Money;

impl Book {
    /// The months in which an account's statements have lines, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn statement_months(&self, account: AccountId) -> Result<Vec<MonthFacts>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT count(*), min(date), max(date) FROM bank_line WHERE account = ?1
             GROUP BY substr(date, 1, 7) ORDER BY 2",
        )?;
        let mut rows = query.query([account.0])?;
        let mut months = Vec::new();
        while let Some(row) = rows.next()? {
            let (first, last): (String, String) = (row.get(1)?, row.get(2)?);
            months.push(MonthFacts {
                month: Month::of(day(&first)?),
                n_lines: row.get(0)?,
                before: self.balance_beside(
                    "SELECT balance - amount FROM bank_line WHERE account = ?1 AND date = ?2 ORDER BY id LIMIT 1",
                    account,
                    &first,
                )?,
                after: self.balance_beside(
                    "SELECT balance FROM bank_line WHERE account = ?1 AND date = ?2 ORDER BY id DESC LIMIT 1",
                    account,
                    &last,
                )?,
            });
        }
        Ok(months)
    }

    fn balance_beside(
        &self,
        sql: &str,
        account: AccountId,
        date: &str,
    ) -> Result<Option<Money>, BookError> {
        let found: Option<Option<i64>> = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![account.0, date], |row| row.get(0))
            .optional()?;
        Ok(found.flatten().map(Money::from_minor))
    }

    /// The day of the last statement line of an account.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_bank_line(&self, account: AccountId) -> Result<Option<NaiveDate>, BookError> {
        let found: Option<String> = self
            .conn
            .prepare_cached("SELECT max(date) FROM bank_line WHERE account = ?1")?
            .query_row([account.0], |row| row.get(0))?;
        found.as_deref().map(day).transpose()
    }
}
