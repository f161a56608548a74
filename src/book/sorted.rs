//! What became of statement lines: posted, matched with entries that were there, left out.
//! What a line may mean is `sorting`'s, rules and earlier choices are `sorting_rules`'.

use std::collections::HashMap;

use rusqlite::{OptionalExtension, params};

use super::reading::{day, word};
use super::{Book, BookError};
use crate::dates::DateRange;
use crate::happenings::Recording;
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::sorting::{BankLine, Direction, LedgerMovement, LineId, Treatment};

/// What became of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Became {
    /// These entries, the first of them posted from it or all there before.
    Entries {
        /// Their numbers.
        numbers: Vec<EntryNumber>,
        /// Whether it was posted from the line, and not there before.
        is_posted: bool,
    },
    /// Nothing, for this reason.
    LeftOut(String),
}

impl Became {
    /// The word used in sheets and JSON.
    #[must_use]
    pub const fn as_str(&self) -> &'static str {
        match self {
            Self::Entries {
                is_posted: true, ..
            } => "posted",
            Self::Entries {
                is_posted: false, ..
            } => "matched",
            Self::LeftOut(_) => "left-out",
        }
    }

    /// The numbers of its entries.
    #[must_use]
    pub fn numbers(&self) -> Vec<u64> {
        match self {
            Self::Entries { numbers, .. } => numbers.iter().map(|number| number.0).collect(),
            Self::LeftOut(_) => Vec::new(),
        }
    }

    /// Why it was left out; empty for others.
    #[must_use]
    pub fn why(&self) -> String {
        match self {
            Self::Entries { .. } => String::new(),
            Self::LeftOut(why) => why.clone(),
        }
    }
}

/// An entry that no line of the account's statements has, and that could have one.
const WITHOUT_LINE: &str =
    "AND NOT EXISTS (SELECT 1 FROM bank_match m JOIN bank_line b ON b.id = m.line
                     JOIN statement_file f ON f.id = b.file
                     WHERE m.entry = e.number AND b.account = ?1)
     AND e.reverses IS NULL AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number)
     AND e.kind <> 'opening'";

/// Whether a line's entries still move what it says; one may have been amended or taken back since.
const HOLDS: &str =
    "(SELECT coalesce(sum(p.amount), 0) FROM bank_match m JOIN line p ON p.entry = m.entry
       WHERE m.line = l.id AND p.account = l.account
         AND NOT EXISTS (SELECT 1 FROM entry r WHERE r.reverses = m.entry)) = l.amount";

impl Book {
    /// Posts a line: the recording is written down and belongs to the line from then on. With a treatment, the choice
    /// is remembered for lines of the same payee.
    ///
    /// # Errors
    /// When the line is in the book already, the recording moves another amount on its account, or the book refuses
    /// the recording.
    pub fn post_line(
        &mut self,
        line: LineId,
        recording: &Recording,
        learned: Option<&Treatment>,
    ) -> Result<EntryNumber, BookError> {
        let line = self.bank_line(line)?;
        let label = format!("Sorted: {}", line.text);
        self.write(&label, |book| {
            let number = book.record_one(recording)?;
            book.tie(&line, &[number], "posted")?;
            if let Some(treatment) = learned {
                book.learn(&line, treatment)?;
            }
            Ok(number)
        })
    }

    /// Says that a line became these entries, which were written down from it a moment ago: to be called in the same
    /// group as their writing.
    ///
    /// # Errors
    /// As [`Book::post_line`].
    pub fn line_became(
        &mut self,
        line: LineId,
        entries: &[EntryNumber],
        learned: Option<&Treatment>,
    ) -> Result<(), BookError> {
        let line = self.bank_line(line)?;
        let label = format!("Sorted: {}", line.text);
        self.write(&label, |book| {
            book.tie(&line, entries, "posted")?;
            if let Some(treatment) = learned {
                book.learn(&line, treatment)?;
            }
            Ok(())
        })
    }

    /// Says that a line is in these entries, which were there before.
    ///
    /// # Errors
    /// When the line is in the book already, an entry belongs to another line of the account, or together they move
    /// another amount.
    pub fn match_line(
        &mut self,
        line: LineId,
        entries: &[EntryNumber],
        learned: Option<&Treatment>,
    ) -> Result<(), BookError> {
        let line = self.bank_line(line)?;
        let label = format!("Found in the book: {}", line.text);
        self.write(&label, |book| {
            book.note("sort", &label, "")?;
            book.tie(&line, entries, "matched")?;
            if let Some(treatment) = learned {
                book.learn(&line, treatment)?;
            }
            Ok(())
        })
    }

    /// Leaves a line out of the books, with a reason that is kept.
    ///
    /// # Errors
    /// Without a reason, or when the line is in the book already.
    pub fn leave_line_out(&mut self, line: LineId, why: &str) -> Result<(), BookError> {
        let why = why.trim();
        if why.is_empty() {
            return Err(BookError::ReasonMissing);
        }
        let line = self.bank_line(line)?;
        let label = format!("Left out: {}", line.text);
        self.write(&label, |book| {
            book.note("sort", &label, why)?;
            book.refuse_sorted(&line)?;
            book.side("DELETE FROM bank_match WHERE line = ?1", [line.id.0])?;
            book.side(
                "INSERT INTO bank_match (line, entry, how, why) VALUES (?1, NULL, 'left-out', ?2)",
                params![line.id.0, why],
            )?;
            Ok(())
        })
    }

    /// Puts a line back among those to be sorted. Entries that were posted from it stay: they are undone or taken
    /// back like any other.
    ///
    /// # Errors
    /// When nothing became of it yet.
    pub fn sort_line_again(&mut self, line: LineId) -> Result<(), BookError> {
        let line = self.bank_line(line)?;
        let label = format!("To be sorted again: {}", line.text);
        self.write(&label, |book| {
            book.note("sort", &label, "")?;
            if book.side("DELETE FROM bank_match WHERE line = ?1", [line.id.0])? == 0 {
                return Err(BookError::refused("this line is still to be sorted"));
            }
            Ok(())
        })
    }

    fn refuse_sorted(&self, line: &BankLine) -> Result<(), BookError> {
        match self.became(line.id)? {
            Some(Became::Entries { numbers, .. }) if self.still_holds(line)? => {
                Err(BookError::refused(format!(
                    "this line is in the book already, as entry {}",
                    numbers
                        .iter()
                        .map(ToString::to_string)
                        .collect::<Vec<_>>()
                        .join(" and ")
                )))
            }
            Some(Became::LeftOut(why)) => Err(BookError::refused(format!(
                "this line was left out ({why}); put it back first"
            ))),
            _ => Ok(()),
        }
    }

    fn still_holds(&self, line: &BankLine) -> Result<bool, BookError> {
        let holds = self
            .conn
            .prepare_cached(&format!("SELECT {HOLDS} FROM bank_line l WHERE l.id = ?1"))?
            .query_row([line.id.0], |row| row.get(0))?;
        Ok(holds)
    }

    fn tie(
        &mut self,
        line: &BankLine,
        entries: &[EntryNumber],
        how: &str,
    ) -> Result<(), BookError> {
        self.refuse_sorted(line)?;
        self.side("DELETE FROM bank_match WHERE line = ?1", [line.id.0])?;
        let mut moved = Money::ZERO;
        for number in entries {
            let taken: Option<i64> = self
                .conn
                .prepare_cached(
                    "SELECT m.line FROM bank_match m JOIN bank_line l ON l.id = m.line
                     JOIN statement_file f ON f.id = l.file
                     WHERE m.entry = ?1 AND l.account = ?2",
                )?
                .query_row(params![number.0, line.account.0], |row| row.get(0))
                .optional()?;
            if taken.is_some() {
                return Err(BookError::refused(format!(
                    "entry {number} belongs to another line of this account already"
                )));
            }
            let posted = self.entry(*number)?;
            if posted.reversed_by.is_some() {
                return Err(BookError::refused(format!("entry {number} was taken back")));
            }
            moved += posted
                .entry
                .lines()
                .iter()
                .filter(|one| one.account == line.account)
                .map(|one| one.amount)
                .sum::<Money>();
            self.side(
                "INSERT INTO bank_match (line, entry, how, why) VALUES (?1, ?2, ?3, '')",
                params![line.id.0, number.0, how],
            )?;
        }
        if moved != line.amount {
            return Err(BookError::refused(format!(
                "the bank's line is {} and this moves {} on the account",
                self.currency().show(line.amount),
                self.currency().show(moved)
            )));
        }
        Ok(())
    }

    fn learn(&mut self, line: &BankLine, treatment: &Treatment) -> Result<(), BookError> {
        let payee = line.payee();
        if payee.is_empty() {
            return Ok(());
        }
        let direction = Direction::of(line);
        let account = treatment.account.map(|account| account.0);
        let known: Option<(i64, String)> = self
            .conn
            .prepare_cached(
                "SELECT id, last_day FROM sorted_choice WHERE payee = ?1 AND direction = ?2 AND meaning = ?3
                   AND to_account IS ?4 AND party = ?5 AND share = ?6",
            )?
            .query_row(
                params![
                    payee.key(),
                    direction.as_str(),
                    treatment.meaning.as_str(),
                    account,
                    treatment.party,
                    treatment.share.to_string(),
                ],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let on = line.date.to_string();
        match known {
            Some((id, last)) => self.side(
                "UPDATE sorted_choice SET times = times + 1, last_day = ?2 WHERE id = ?1",
                params![id, last.max(on)],
            )?,
            None => self.side(
                "INSERT INTO sorted_choice (payee, direction, meaning, to_account, party, share, times, last_day)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 1, ?7)",
                params![
                    payee.key(),
                    direction.as_str(),
                    treatment.meaning.as_str(),
                    account,
                    treatment.party,
                    treatment.share.to_string(),
                    on,
                ],
            )?,
        };
        Ok(())
    }

    /// What became of a line; nothing while it is to be sorted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn became(&self, line: LineId) -> Result<Option<Became>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT entry, how, why FROM bank_match WHERE line = ?1 ORDER BY id")?;
        let mut rows = query.query([line.0])?;
        let mut numbers = Vec::new();
        let mut is_posted = false;
        while let Some(row) = rows.next()? {
            let how: String = row.get(1)?;
            match row.get::<_, Option<u64>>(0)? {
                Some(number) => {
                    numbers.push(EntryNumber(number));
                    is_posted |= how == "posted";
                }
                None => return Ok(Some(Became::LeftOut(row.get(2)?))),
            }
        }
        Ok((!numbers.is_empty()).then_some(Became::Entries { numbers, is_posted }))
    }

    /// The lines still to be sorted, of one account or of all: those nothing became of, and those whose entries no
    /// longer move what they say. Oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn lines_to_sort(&self, account: Option<AccountId>) -> Result<Vec<BankLine>, BookError> {
        self.lines_where(
            &format!(
                "(?1 IS NULL OR l.account = ?1)
                 AND NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                 AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})
                 ORDER BY l.date, l.id"
            ),
            [account.map(|account| account.0)],
        )
    }

    /// As [`Book::lines_to_sort`], of `n_numbers` numbers of lines after this one only, in the order of their numbers:
    /// for reading many a few at a time. Nothing when there are no lines with later numbers, to be sorted or not.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn lines_to_sort_after(
        &self,
        account: Option<AccountId>,
        after: LineId,
        n_numbers: i64,
    ) -> Result<Option<Vec<BankLine>>, BookError> {
        let newest: Option<i64> = self
            .conn
            .prepare_cached("SELECT max(id) FROM bank_line")?
            .query_row([], |row| row.get(0))?;
        if newest.is_none_or(|newest| newest <= after.0) {
            return Ok(None);
        }
        let account = account.map(|account| account.0);
        self.lines_where(
            &format!(
                "l.id > ?2 AND l.id <= ?3 AND (?1 IS NULL OR l.account = ?1)
                 AND NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                 AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})
                 ORDER BY l.id"
            ),
            params![account, after.0, after.0.saturating_add(n_numbers)],
        )
        .map(Some)
    }

    /// How many lines of an account, or of all, are still to be sorted, and the day of the oldest.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_lines_to_sort(
        &self,
        account: Option<AccountId>,
    ) -> Result<(usize, Option<chrono::NaiveDate>), BookError> {
        let (count, oldest): (usize, Option<String>) = self
            .conn
            .prepare_cached(&format!(
                "SELECT count(*), min(l.date) FROM bank_line l JOIN statement_file f ON f.id = l.file
                 WHERE (?1 IS NULL OR l.account = ?1)
                   AND NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                   AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})"
            ))?
            .query_row([account.map(|account| account.0)], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
        Ok((count, oldest.as_deref().map(day).transpose()?))
    }

    /// How many lines an account's statements have in a range, and how many of them are to be sorted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_lines_of(
        &self,
        account: AccountId,
        range: DateRange,
    ) -> Result<(usize, usize), BookError> {
        let counts = self
            .conn
            .prepare_cached(&format!(
                "SELECT count(*), coalesce(sum(
                   NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                   AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})), 0)
                 FROM bank_line l JOIN statement_file f ON f.id = l.file
                 WHERE l.account = ?1 AND l.date BETWEEN ?2 AND ?3"
            ))?
            .query_row(
                params![account.0, range.from.to_string(), range.to.to_string()],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )?;
        Ok(counts)
    }

    /// How many lines of some days are still to be sorted, of all accounts.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_lines_to_sort_in(
        &self,
        days: crate::dates::DateRange,
    ) -> Result<usize, BookError> {
        let count = self
            .conn
            .prepare_cached(&format!(
                "SELECT count(*) FROM bank_line l WHERE l.date BETWEEN ?1 AND ?2
                   AND NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                   AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})"
            ))?
            .query_row([days.from.to_string(), days.to.to_string()], |row| row.get(0))?;
        Ok(count)
    }

    /// What the lines of all accounts that are still to be sorted come to, without their signs.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sum_to_sort(&self) -> Result<Money, BookError> {
        let sum = self
            .conn
            .prepare_cached(&format!(
                "SELECT ifnull(sum(abs(l.amount)), 0) FROM bank_line l
                 WHERE NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id AND m.how = 'left-out')
                   AND (NOT EXISTS (SELECT 1 FROM bank_match m WHERE m.line = l.id) OR NOT {HOLDS})"
            ))?
            .query_row([], |row| row.get(0))?;
        Ok(Money::from_minor(sum))
    }

    /// Remembers for lines of the same payee what became of a line.
    ///
    /// # Errors
    /// When the file refuses.
    pub fn remember_choice(
        &mut self,
        line: &BankLine,
        treatment: &Treatment,
    ) -> Result<(), BookError> {
        let label = format!("Remembered: {}", line.text);
        self.write(&label, |book| {
            book.note("sort", &label, "")?;
            book.learn(line, treatment)
        })
    }

    /// The lines that an entry belongs to.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn lines_of_entry(&self, entry: EntryNumber) -> Result<Vec<BankLine>, BookError> {
        self.lines_where(
            "l.id IN (SELECT line FROM bank_match WHERE entry = ?1) ORDER BY l.id",
            [entry.0],
        )
    }

    /// What entries moved on an account and no line of its statements has yet, oldest first. Entries that were taken
    /// back and their mirrors are left away.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements_without_line(
        &self,
        account: AccountId,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        self.ledger_movements(account, WITHOUT_LINE)
    }

    /// As [`Book::movements_without_line`], of the entries with numbers after one and up to another only: for reading
    /// many a few at a time, and for what was posted a moment ago.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements_without_line_numbered(
        &self,
        account: AccountId,
        after: EntryNumber,
        up_to: EntryNumber,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        let numbered = format!("AND l.entry > ?2 AND l.entry <= ?3 {WITHOUT_LINE}");
        self.movements_where(&numbered, params![account.0, after.0, up_to.0])
    }

    /// What entries moved on an account, one for each entry, by a further condition on the entry `e`.
    pub(super) fn ledger_movements(
        &self,
        account: AccountId,
        condition: &str,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        self.movements_where(condition, [account.0])
    }

    fn movements_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<LedgerMovement>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT e.number, e.date, sum(l.amount), e.kind, e.party, e.memo, e.reference
             FROM line l JOIN entry e ON e.number = l.entry
             WHERE l.account = ?1 AND e.kind <> 'closing' {condition}
             GROUP BY e.number HAVING sum(l.amount) <> 0 ORDER BY e.date, e.number"
        ))?;
        let mut rows = query.query(params)?;
        let mut movements = Vec::new();
        while let Some(row) = rows.next()? {
            let (date, kind): (String, String) = (row.get(1)?, row.get(3)?);
            movements.push(LedgerMovement {
                entry: EntryNumber(row.get(0)?),
                date: day(&date)?,
                amount: Money::from_minor(row.get(2)?),
                kind: word(&kind)?,
                party: row.get(4)?,
                memo: row.get(5)?,
                reference: row.get(6)?,
            });
        }
        Ok(movements)
    }

    /// The entries that each line became, for lines of an account that are sorted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn lines_by_entry(
        &self,
        account: AccountId,
    ) -> Result<HashMap<EntryNumber, LineId>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT m.entry, m.line FROM bank_match m JOIN bank_line l ON l.id = m.line
             JOIN statement_file f ON f.id = l.file
             WHERE l.account = ?1 AND m.entry IS NOT NULL",
        )?;
        let found = query
            .query_map([account.0], |row| {
                Ok((EntryNumber(row.get(0)?), LineId(row.get(1)?)))
            })?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }
}
