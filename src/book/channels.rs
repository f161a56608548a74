//! What a sales channel said: money it holds back, and the gross it reported for a year.
//! What it owes is in the ledger, on the channel's account.

use chrono::NaiveDate;
use rusqlite::params;

use super::reading::day;
use super::{Book, BookError};
use crate::ledger::AccountId;
use crate::money::Money;

/// Money of ours that a channel holds back for a time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// Its identity in the book.
    pub id: i64,
    /// The channel's account.
    pub channel: AccountId,
    /// How much is held.
    pub amount: Money,
    /// From which day.
    pub since: NaiveDate,
    /// Until which day, when it is known.
    pub until: Option<NaiveDate>,
    /// The day it was released.
    pub released: Option<NaiveDate>,
    /// Why, in the owner's words.
    pub memo: String,
}

/// What a channel reported for a year.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopReport {
    /// The gross.
    pub amount: Money,
    /// Whether name and tax number on the report are the business's own; nothing while nobody has looked.
    pub name_right: Option<bool>,
    /// What else there is to say of it.
    pub note: String,
}

impl Hold {
    /// Whether the money is still held on this day.
    #[must_use]
    pub fn is_held_on(&self, date: NaiveDate) -> bool {
        let is_over = |end: Option<NaiveDate>| end.is_some_and(|end| end <= date);
        self.since <= date && !is_over(self.released) && !is_over(self.until)
    }
}

impl Book {
    /// Notes that a channel holds money back.
    ///
    /// # Errors
    /// When the account is no channel, the amount is not above nothing, or it would end before it begins.
    pub fn add_hold(
        &mut self,
        channel: AccountId,
        amount: Money,
        since: NaiveDate,
        until: Option<NaiveDate>,
        memo: &str,
    ) -> Result<i64, BookError> {
        let account = self.chart.account(channel)?;
        if !account.is_channel() {
            return Err(BookError::refused(format!(
                "'{}' is not a sales channel",
                account.title()
            )));
        }
        if !amount.is_positive() {
            return Err(BookError::refused("the amount held must be above nothing"));
        }
        if until.is_some_and(|until| until < since) {
            return Err(BookError::refused(
                "the money cannot be held until a day before it was held",
            ));
        }
        let label = format!("{} holds {}", account.name, self.currency().show(amount));
        self.write(&label, |book| {
            book.note("hold", &label, "")?;
            book.side(
                "INSERT INTO hold (channel, amount, since, until, memo) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    channel.0,
                    amount.minor(),
                    since.to_string(),
                    until.map(|day| day.to_string()),
                    memo.trim()
                ],
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Notes that held money was released on a day.
    ///
    /// # Errors
    /// When there is no such hold.
    pub fn release_hold(&mut self, id: i64, on: NaiveDate) -> Result<(), BookError> {
        let label = format!("Held money released on {on}");
        self.write(&label, |book| {
            book.note("hold", &label, "")?;
            let changed = book.side(
                "UPDATE hold SET released = ?2 WHERE id = ?1",
                params![id, on.to_string()],
            )?;
            if changed == 0 {
                return Err(BookError::NoSuch {
                    what: "held amount",
                    key: id.to_string(),
                });
            }
            Ok(())
        })
    }

    /// Every hold, released ones too, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn holds(&self) -> Result<Vec<Hold>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, channel, amount, since, until, released, memo FROM hold ORDER BY since, id",
        )?;
        let mut rows = query.query([])?;
        let mut holds = Vec::new();
        while let Some(row) = rows.next()? {
            let since: String = row.get(3)?;
            let until: Option<String> = row.get(4)?;
            let released: Option<String> = row.get(5)?;
            holds.push(Hold {
                id: row.get(0)?,
                channel: AccountId(row.get(1)?),
                amount: Money::from_minor(row.get(2)?),
                since: day(&since)?,
                until: until.as_deref().map(day).transpose()?,
                released: released.as_deref().map(day).transpose()?,
                memo: row.get(6)?,
            });
        }
        Ok(holds)
    }

    /// What a channel still holds on a day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn held(&self, channel: AccountId, on: NaiveDate) -> Result<Money, BookError> {
        let holds = self.holds()?;
        Ok(holds
            .iter()
            .filter(|hold| hold.channel == channel && hold.is_held_on(on))
            .map(|hold| hold.amount)
            .sum())
    }

    /// Notes the gross that a channel reported for a calendar year, or forgets it. What was said of the report stays.
    ///
    /// # Errors
    /// When the account is no channel.
    pub fn set_reported_gross(
        &mut self,
        channel: AccountId,
        year: i32,
        amount: Option<Money>,
    ) -> Result<(), BookError> {
        let before = self.shop_report(channel, year)?.unwrap_or_default();
        let report = amount.map(|amount| ShopReport { amount, ..before });
        self.set_shop_report(channel, year, report.as_ref())
    }

    /// Notes what a channel reported for a calendar year and whether the report is right, or forgets it.
    ///
    /// # Errors
    /// When the account is no channel.
    pub fn set_shop_report(
        &mut self,
        channel: AccountId,
        year: i32,
        report: Option<&ShopReport>,
    ) -> Result<(), BookError> {
        let account = self.chart.account(channel)?;
        if !account.is_channel() {
            return Err(BookError::refused(format!(
                "'{}' is not a sales channel",
                account.title()
            )));
        }
        let shown = report.map_or_else(
            || "nothing".to_owned(),
            |report| self.currency().show(report.amount),
        );
        let answer = match report.and_then(|report| report.name_right) {
            Some(true) => "; name and number are right",
            Some(false) => "; name or number is not right",
            None => "",
        };
        let label = format!("{} reported {shown} for {year}{answer}", account.name);
        self.write(&label, |book| {
            book.note("reported", &label, "")?;
            book.side(
                "DELETE FROM reported_gross WHERE channel = ?1 AND year = ?2",
                params![channel.0, year],
            )?;
            if let Some(report) = report {
                book.side(
                    "INSERT INTO reported_gross (channel, year, amount, name_right, note)
                     VALUES (?1, ?2, ?3, ?4, ?5)",
                    params![
                        channel.0,
                        year,
                        report.amount.minor(),
                        report.name_right,
                        report.note.trim()
                    ],
                )?;
            }
            Ok(())
        })
    }

    /// The gross that a channel reported for a calendar year, when it was entered.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn reported_gross(
        &self,
        channel: AccountId,
        year: i32,
    ) -> Result<Option<Money>, BookError> {
        Ok(self.shop_report(channel, year)?.map(|report| report.amount))
    }

    /// What a channel reported for a calendar year, when it was entered.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shop_report(
        &self,
        channel: AccountId,
        year: i32,
    ) -> Result<Option<ShopReport>, BookError> {
        let list = self.shop_reports()?.into_iter();
        let mut of_it = list.filter(|(of, on, _report)| (*of, *on) == (channel, year));
        Ok(of_it.next().map(|(_of, _on, report)| report))
    }

    /// What the channels reported, each with its channel and year, by year.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shop_reports(&self) -> Result<Vec<(AccountId, i32, ShopReport)>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT channel, year, amount, name_right, note FROM reported_gross ORDER BY year, channel",
        )?;
        let rows = query.query_map([], |row| {
            let report = ShopReport {
                amount: row.get(2).map(Money::from_minor)?,
                name_right: row.get(3)?,
                note: row.get(4)?,
            };
            Ok((AccountId(row.get(0)?), row.get(1)?, report))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
