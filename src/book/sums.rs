//! Sums by account over time, from the monthly balances wherever a month is whole.
//! What statements make of them is `statements`' business.

use chrono::NaiveDate;
use rusqlite::params;

use super::{Book, BookError};
use crate::dates::{DateRange, Month};
use crate::ledger::{AccountId, Balances, Movement};
use crate::money::Money;

/// Whether entries that close a year are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closings {
    /// Counted: for balances and trial balances.
    With,
    /// Left out: for profit statements.
    Without,
}

impl Book {
    /// What moved on each account in a range.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn balances(&self, range: DateRange, closings: Closings) -> Result<Balances, BookError> {
        let mut balances = Balances::new();
        let (first, last) = (Month::of(range.from), Month::of(range.to));
        if first == last {
            if range == first.range() {
                self.add_months(&mut balances, first, last, closings)?;
            } else {
                self.add_days(&mut balances, range, closings)?;
            }
            return Ok(balances);
        }
        let (mut whole_from, mut whole_to) = (first, last);
        if range.from != first.first_day() {
            whole_from = first.plus(1);
            let head = DateRange {
                from: range.from,
                to: first.last_day(),
            };
            self.add_days(&mut balances, head, closings)?;
        }
        if range.to != last.last_day() {
            whole_to = last.plus(-1);
            let tail = DateRange {
                from: last.first_day(),
                to: range.to,
            };
            self.add_days(&mut balances, tail, closings)?;
        }
        if whole_from <= whole_to {
            self.add_months(&mut balances, whole_from, whole_to, closings)?;
        }
        Ok(balances)
    }

    /// The balances at the end of a day, from the book's beginning, closing entries counted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn balances_to(&self, date: NaiveDate) -> Result<Balances, BookError> {
        // Entries lie on or after the first day; an earlier date has no balances.
        let Some(range) = DateRange::new(Month::of(self.first_day()).first_day(), date) else {
            return Ok(Balances::new());
        };
        // The rooms ask for the same day several times after each write. Within a write nothing is kept.
        if self.steps.is_writing() {
            return self.balances(range, Closings::With);
        }
        let key = (self.revision, date);
        if let Some((known, balances)) = &*self.last_balances.borrow()
            && *known == key
        {
            return Ok(balances.clone());
        }
        let balances = self.balances(range, Closings::With)?;
        self.last_balances.replace(Some((key, balances.clone())));
        Ok(balances)
    }

    /// What moved on each account in each month of a range, whole months, oldest first; months without movement
    /// are there, empty.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn monthly(
        &self,
        range: DateRange,
        closings: Closings,
    ) -> Result<Vec<(Month, Balances)>, BookError> {
        let mut months: Vec<(Month, Balances)> = range
            .months()
            .map(|month| (month, Balances::new()))
            .collect();
        let first = Month::of(range.from).index();
        let mut query = self.conn.prepare_cached(
            "SELECT month, account, debit, credit FROM month_balance
             WHERE month BETWEEN ?1 AND ?2 AND (closing = 0 OR ?3) ORDER BY month",
        )?;
        let mut rows = query.query(params![
            first,
            Month::of(range.to).index(),
            closings == Closings::With
        ])?;
        while let Some(row) = rows.next()? {
            let month: i32 = row.get(0)?;
            let place = usize::try_from(month - first).unwrap_or(usize::MAX);
            if let Some((_month, balances)) = months.get_mut(place) {
                balances.add_movement(AccountId(row.get(1)?), movement(row)?);
            }
        }
        Ok(months)
    }

    fn add_months(
        &self,
        balances: &mut Balances,
        first: Month,
        last: Month,
        closings: Closings,
    ) -> Result<(), BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT month, account, debit, credit FROM month_balance
             WHERE month BETWEEN ?1 AND ?2 AND (closing = 0 OR ?3)",
        )?;
        let mut rows = query.query(params![
            first.index(),
            last.index(),
            closings == Closings::With
        ])?;
        while let Some(row) = rows.next()? {
            balances.add_movement(AccountId(row.get(1)?), movement(row)?);
        }
        Ok(())
    }

    fn add_days(
        &self,
        balances: &mut Balances,
        range: DateRange,
        closings: Closings,
    ) -> Result<(), BookError> {
        // CROSS JOIN keeps the planner to the days first, lines second.
        let mut query = self.conn.prepare_cached(
            "SELECT e.number, l.account, max(l.amount, 0), max(-l.amount, 0)
             FROM entry e CROSS JOIN line l ON l.entry = e.number
             WHERE e.date BETWEEN ?1 AND ?2 AND (e.kind <> 'closing' OR ?3)",
        )?;
        let mut rows = query.query(params![
            range.from.to_string(),
            range.to.to_string(),
            closings == Closings::With
        ])?;
        while let Some(row) = rows.next()? {
            balances.add_movement(AccountId(row.get(1)?), movement(row)?);
        }
        Ok(())
    }
}

/// Debit and credit in the third and fourth column.
fn movement(row: &rusqlite::Row<'_>) -> Result<Movement, rusqlite::Error> {
    Ok(Movement {
        debit: Money::from_minor(row.get(2)?),
        credit: Money::from_minor(row.get(3)?),
    })
}
