//! The owner's rules for statement lines and what she chose before, as the book keeps them.
//! Whether a rule fits a line is `sorting`'s.

use rusqlite::{Row, params};

use super::reading::{day, word};
use super::{Book, BookError};
use crate::ledger::AccountId;
use crate::money::Money;
use crate::sorting::{Choice, Payee, Rule, Treatment};

fn treatment(row: &Row<'_>, first: usize) -> Result<Treatment, BookError> {
    let (meaning, share): (String, String) = (row.get(first)?, row.get(first + 3)?);
    Ok(Treatment {
        meaning: word(&meaning)?,
        account: row.get::<_, Option<i64>>(first + 1)?.map(AccountId),
        party: row.get(first + 2)?,
        share: word(&share)?,
    })
}

impl Book {
    /// What the owner chose before, the most frequent first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sorted_choices(&self) -> Result<Vec<Choice>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT payee, direction, meaning, to_account, party, share, times, last_day
             FROM sorted_choice ORDER BY times DESC, payee, id",
        )?;
        let mut rows = query.query([])?;
        let mut choices = Vec::new();
        while let Some(row) = rows.next()? {
            let (direction, last): (String, String) = (row.get(1)?, row.get(7)?);
            choices.push(Choice {
                payee: Payee::kept(row.get::<_, String>(0)?),
                direction: word(&direction)?,
                treatment: treatment(row, 2)?,
                times: row.get(6)?,
                last_day: day(&last)?,
            });
        }
        Ok(choices)
    }

    /// Forgets what was chosen for a payee, both ways.
    ///
    /// # Errors
    /// When nothing is remembered of it.
    pub fn forget_choices(&mut self, payee: &Payee) -> Result<(), BookError> {
        let label = format!("Forgotten how {} was sorted", payee.name());
        self.write(&label, |book| {
            book.note("sort", &label, "")?;
            if book.side("DELETE FROM sorted_choice WHERE payee = ?1", [payee.key()])? == 0 {
                return Err(BookError::NoSuch {
                    what: "payee",
                    key: payee.name(),
                });
            }
            Ok(())
        })
    }

    /// Keeps choices that another book wrote out, beside those that are here.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn keep_choices(&mut self, choices: &[Choice]) -> Result<(), BookError> {
        let label = format!("{} choices of sorting", choices.len());
        self.write(&label, |book| {
            book.note("sort", &label, "")?;
            for choice in choices {
                book.side(
                    "INSERT INTO sorted_choice (payee, direction, meaning, to_account, party, share, times, last_day)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    params![
                        choice.payee.key(),
                        choice.direction.as_str(),
                        choice.treatment.meaning.as_str(),
                        choice.treatment.account.map(|account| account.0),
                        choice.treatment.party,
                        choice.treatment.share.to_string(),
                        choice.times,
                        choice.last_day.to_string(),
                    ],
                )?;
            }
            Ok(())
        })
    }

    /// The rules, in the order in which they are asked.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sorting_rules(&self) -> Result<Vec<Rule>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, account, words, direction, at_least, at_most, meaning, to_account, party, share, is_active
             FROM sorting_rule ORDER BY position, id",
        )?;
        let mut rows = query.query([])?;
        let mut rules = Vec::new();
        while let Some(row) = rows.next()? {
            let direction: String = row.get(3)?;
            rules.push(Rule {
                id: row.get(0)?,
                account: row.get::<_, Option<i64>>(1)?.map(AccountId),
                words: row.get(2)?,
                direction: word(&direction)?,
                at_least: row.get::<_, Option<i64>>(4)?.map(Money::from_minor),
                at_most: row.get::<_, Option<i64>>(5)?.map(Money::from_minor),
                treatment: treatment(row, 6)?,
                is_active: row.get(10)?,
            });
        }
        Ok(rules)
    }

    /// Keeps a rule: a new one (number 0) is asked last, one with a number is changed in its place.
    ///
    /// # Errors
    /// When it cannot be, or is no longer there.
    pub fn keep_sorting_rule(&mut self, rule: &Rule) -> Result<i64, BookError> {
        rule.check().map_err(BookError::refused)?;
        if let Some(account) = rule.treatment.account {
            let account = self.chart.account(account)?;
            if !rule.treatment.meaning.takes(account) {
                return Err(BookError::refused(format!(
                    "'{}' cannot stand beside '{}'",
                    account.title(),
                    rule.treatment.meaning.plain().to_lowercase()
                )));
            }
        }
        let label = format!("Rule for '{}'", rule.words.trim());
        self.write(&label, |book| {
            book.note("rule", &label, "")?;
            let values = params![
                rule.account.map(|account| account.0),
                rule.words.trim(),
                rule.direction.as_str(),
                rule.at_least.map(Money::minor),
                rule.at_most.map(Money::minor),
                rule.treatment.meaning.as_str(),
                rule.treatment.account.map(|account| account.0),
                rule.treatment.party.trim(),
                rule.treatment.share.to_string(),
                rule.is_active,
                rule.id,
            ];
            if rule.id != 0 {
                let changed = book.side(
                    "UPDATE sorting_rule SET account = ?1, words = ?2, direction = ?3, at_least = ?4, at_most = ?5,
                       meaning = ?6, to_account = ?7, party = ?8, share = ?9, is_active = ?10 WHERE id = ?11",
                    values,
                )?;
                if changed == 0 {
                    return Err(BookError::NoSuch {
                        what: "rule",
                        key: rule.id.to_string(),
                    });
                }
                return Ok(rule.id);
            }
            book.side(
                "INSERT INTO sorting_rule (account, words, direction, at_least, at_most, meaning, to_account, party,
                                           share, is_active, position)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10,
                         ?11 + (SELECT coalesce(max(position), 0) + 1 FROM sorting_rule))",
                values,
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Takes a rule out.
    ///
    /// # Errors
    /// When there is none with this number.
    pub fn remove_sorting_rule(&mut self, id: i64) -> Result<(), BookError> {
        self.write("Rule taken out", |book| {
            book.note("rule", "taken out", "")?;
            if book.side("DELETE FROM sorting_rule WHERE id = ?1", [id])? == 0 {
                return Err(BookError::NoSuch {
                    what: "rule",
                    key: id.to_string(),
                });
            }
            Ok(())
        })
    }

    /// Asks the rules in this order from now on.
    ///
    /// # Errors
    /// When the numbers are not those of the rules.
    pub fn order_sorting_rules(&mut self, ids: &[i64]) -> Result<(), BookError> {
        let mut known: Vec<i64> = self.sorting_rules()?.iter().map(|rule| rule.id).collect();
        let mut given = ids.to_vec();
        known.sort_unstable();
        given.sort_unstable();
        if known != given {
            return Err(BookError::refused(
                "the new order must name every rule once",
            ));
        }
        self.write("Rules put in another order", |book| {
            book.note("rule", "another order", "")?;
            for (position, id) in ids.iter().enumerate() {
                book.side(
                    "UPDATE sorting_rule SET position = ?2 WHERE id = ?1",
                    params![id, position + 1],
                )?;
            }
            Ok(())
        })
    }
}
