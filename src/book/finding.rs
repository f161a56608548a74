//! Finding entries: the numbers that a filter finds, and a search by text.
//! Reading what was found is `reading`'s.

use chrono::NaiveDate;
use rusqlite::params_from_iter;
use rusqlite::types::Value;

use super::reading::{day, word};
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::happenings::ProofState;
use crate::ledger::{AccountId, EntryKind, EntryNumber};
use crate::money::Money;

/// Which entries are wanted; an empty filter wants all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EntryFilter {
    /// Dated in this range.
    pub range: Option<DateRange>,
    /// With this text in party, memo, reference, document or a line's memo, or with this amount.
    pub text: String,
    /// Of this kind.
    pub kind: Option<EntryKind>,
    /// With a line on this account.
    pub account: Option<AccountId>,
    /// From or to exactly this party, in any case.
    pub party: Option<String>,
    /// With this document key.
    pub document: Option<String>,
    /// With a line that names this piece of equipment.
    pub equipment: Option<String>,
    /// Whose receipt is in this state.
    pub proof: Option<ProofState>,
    /// That brought this item into stock, by its code.
    pub brought: Option<String>,
    /// With this tag, and neither taken back nor a mirror.
    pub tag: Option<String>,
}

impl EntryFilter {
    /// All entries dated in a range.
    #[must_use]
    pub fn in_range(range: DateRange) -> Self {
        Self {
            range: Some(range),
            ..Self::default()
        }
    }
}

/// An entry that a search found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Its number.
    pub number: EntryNumber,
    /// Its day.
    pub date: NaiveDate,
    /// Its kind.
    pub kind: EntryKind,
    /// Its party.
    pub party: String,
    /// Its memo.
    pub memo: String,
    /// The sum of its debits.
    pub total: Money,
}

/// A text to look for with LIKE, its own wildcards taken literally.
fn like(text: &str) -> String {
    let mut pattern = String::from("%");
    for c in text.trim().chars() {
        if matches!(c, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(c);
    }
    pattern.push('%');
    pattern
}

impl Book {
    /// The numbers of the entries that a filter finds, by day and number. Collect them once, then fetch the entries
    /// in view with [`Book::entries`].
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entry_numbers(&self, filter: &EntryFilter) -> Result<Vec<EntryNumber>, BookError> {
        let (wheres, values) = self.conditions(filter);
        let sql = format!("SELECT number FROM entry e{wheres} ORDER BY date, number");
        let mut query = self.conn.prepare_cached(&sql)?;
        let numbers = query
            .query_map(params_from_iter(values), |row| row.get(0).map(EntryNumber))?
            .collect::<Result<_, _>>()?;
        Ok(numbers)
    }

    /// How many entries a filter finds, and the sum of their debits.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_and_sum(&self, filter: &EntryFilter) -> Result<(usize, Money), BookError> {
        let (wheres, values) = self.conditions(filter);
        let sql = format!(
            "SELECT count(*), ifnull(sum((SELECT sum(max(amount, 0)) FROM line WHERE line.entry = e.number)), 0)
             FROM entry e{wheres}"
        );
        let mut query = self.conn.prepare_cached(&sql)?;
        let found = query.query_row(params_from_iter(values), |row| {
            Ok((row.get(0)?, Money::from_minor(row.get(1)?)))
        })?;
        Ok(found)
    }

    /// The newest so many of the entries that a filter finds, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn newest_entry_numbers(
        &self,
        filter: &EntryFilter,
        at_most: usize,
    ) -> Result<Vec<EntryNumber>, BookError> {
        let (wheres, values) = self.conditions(filter);
        let sql = format!(
            "SELECT number FROM entry e{wheres} ORDER BY date DESC, number DESC LIMIT {at_most}"
        );
        let mut query = self.conn.prepare_cached(&sql)?;
        let numbers = query
            .query_map(params_from_iter(values), |row| row.get(0).map(EntryNumber))?
            .collect::<Result<_, _>>()?;
        Ok(numbers)
    }

    /// The numbers and days of the entries that a filter finds, by day and number.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entry_days(
        &self,
        filter: &EntryFilter,
    ) -> Result<Vec<(EntryNumber, NaiveDate)>, BookError> {
        let (wheres, values) = self.conditions(filter);
        let sql = format!("SELECT number, date FROM entry e{wheres} ORDER BY date, number");
        let mut query = self.conn.prepare_cached(&sql)?;
        let mut rows = query.query(params_from_iter(values))?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let on = day(row.get_ref(1)?.as_str().unwrap_or_default())?;
            found.push((EntryNumber(row.get(0)?), on));
        }
        Ok(found)
    }

    fn conditions(&self, filter: &EntryFilter) -> (String, Vec<Value>) {
        let mut conditions: Vec<&str> = Vec::new();
        let mut values: Vec<Value> = Vec::new();
        if let Some(range) = filter.range {
            conditions.push("date BETWEEN ? AND ?");
            values.push(range.from.to_string().into());
            values.push(range.to.to_string().into());
        }
        if let Some(kind) = filter.kind {
            conditions.push("kind = ?");
            values.push(kind.as_str().to_owned().into());
        }
        if let Some(account) = filter.account {
            // Of a range its entries are looked at one by one, of the whole book all lines of the account at once.
            conditions.push(if filter.range.is_some() {
                "EXISTS (SELECT 1 FROM line WHERE account = ? AND line.entry = e.number)"
            } else {
                "number IN (SELECT entry FROM line WHERE account = ?)"
            });
            values.push(account.0.into());
        }
        if let Some(party) = &filter.party {
            conditions.push("party <> '' AND party = ? COLLATE NOCASE");
            values.push(party.trim().to_owned().into());
        }
        if let Some(document) = &filter.document {
            conditions.push("document <> '' AND document = ?");
            values.push(document.clone().into());
        }
        if let Some(equipment) = &filter.equipment {
            conditions.push("number IN (SELECT entry FROM line WHERE equipment = ?)");
            values.push(equipment.clone().into());
        }
        if let Some(code) = &filter.brought {
            conditions.push(
                "number IN (SELECT m.entry FROM movement m JOIN item i ON i.id = m.item
                   WHERE i.code = ? AND m.kind = 'receive' AND m.is_void = 0)",
            );
            values.push(code.trim().to_owned().into());
        }
        if let Some(tag) = &filter.tag {
            conditions.push(
                "instr(char(10) || e.tags || char(10), char(10) || ? || char(10)) > 0 AND e.reverses IS NULL
                 AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)",
            );
            values.push(tag.clone().into());
        }
        match filter.proof {
            Some(ProofState::NotNeeded) => conditions.push(
                "NOT EXISTS (SELECT 1 FROM proof WHERE proof.entry = number AND state <> 'not-needed')",
            ),
            Some(state) => {
                conditions.push("number IN (SELECT entry FROM proof WHERE state = ?)");
                values.push(state.as_str().to_owned().into());
            }
            None => {}
        }
        if !filter.text.trim().is_empty() {
            let (amount, number) = self.as_numbers(&filter.text);
            // Of the whole book the lines are looked through once, of a range only those of its entries.
            conditions.push(if filter.range.is_some() {
                "(party LIKE ? ESCAPE '\\' OR e.memo LIKE ? ESCAPE '\\' OR reference LIKE ? ESCAPE '\\'
                  OR document LIKE ? ESCAPE '\\' OR number = ?
                  OR EXISTS (SELECT 1 FROM line WHERE line.entry = e.number
                             AND ((memo <> '' AND memo LIKE ? ESCAPE '\\') OR abs(amount) = ?)))"
            } else {
                "(party LIKE ? ESCAPE '\\' OR e.memo LIKE ? ESCAPE '\\' OR reference LIKE ? ESCAPE '\\'
                  OR document LIKE ? ESCAPE '\\' OR number = ?
                  OR number IN (SELECT entry FROM line
                                WHERE (memo <> '' AND memo LIKE ? ESCAPE '\\') OR abs(amount) = ?))"
            });
            let pattern = Value::from(like(&filter.text));
            for _column in ["party", "memo", "reference", "document"] {
                values.push(pattern.clone());
            }
            values.push(number.into());
            values.push(pattern);
            values.push(amount.into());
        }
        let wheres = if conditions.is_empty() {
            String::new()
        } else {
            format!(" WHERE {}", conditions.join(" AND "))
        };
        (wheres, values)
    }

    /// What a searched text could mean as an amount and as an entry's number.
    fn as_numbers(&self, text: &str) -> (Option<i64>, Option<i64>) {
        let text = text.trim();
        let amount = self
            .currency()
            .parse_typed(text)
            .ok()
            .map(|amount| amount.abs().minor())
            .filter(|minor| *minor != 0);
        (amount, text.trim_start_matches('#').parse().ok())
    }

    /// The newest entries that a text finds: in party, memo, reference, document, line memos, amounts and numbers.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn search(&self, text: &str, limit: usize) -> Result<Vec<Found>, BookError> {
        let filter = EntryFilter {
            text: text.to_owned(),
            ..EntryFilter::default()
        };
        let (wheres, values) = self.conditions(&filter);
        let sql = format!(
            "SELECT number, date, kind, party, e.memo,
                    (SELECT sum(max(amount, 0)) FROM line WHERE line.entry = number)
             FROM entry e{wheres} ORDER BY date DESC, number DESC LIMIT {limit}"
        );
        let mut query = self.conn.prepare_cached(&sql)?;
        let mut rows = query.query(params_from_iter(values))?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.push(Found {
                number: EntryNumber(row.get(0)?),
                date: day(row.get_ref(1)?.as_str().unwrap_or_default())?,
                kind: word(row.get_ref(2)?.as_str().unwrap_or_default())?,
                party: row.get(3)?,
                memo: row.get(4)?,
                total: Money::from_minor(row.get(5)?),
            });
        }
        Ok(found)
    }
}
