//! Statement files and their lines: brought in whole or not at all, each line once however often it comes.
//! What becomes of a line is `sorted`'s, reading a file is above.

use std::collections::HashSet;

use chrono::{Datelike as _, NaiveDate};
use rusqlite::{OptionalExtension, Row, params};

use super::known_lines::{JustInserted, hash_of};
use super::reading::day;
use super::{Became, Book, BookError};
use crate::ledger::AccountId;
use crate::money::Money;
use crate::sorting::{BankLine, LineId};

/// A statement about to be brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewStatement {
    /// The account it is of.
    pub account: AccountId,
    /// The file's name, without its folder.
    pub name: String,
    /// The file's SHA-256 in hexadecimal.
    pub hash: String,
    /// What it is written in and, for a table, by which layout: lines of files of one format are told apart by their
    /// words too, lines of different formats by day and amount alone.
    pub format: String,
    /// The account as the bank names it in the file; empty where it does not.
    pub bank_account: String,
}

/// A line about to be brought in.
#[derive(Clone, Copy, Debug)]
pub struct NewLine<'l> {
    /// The day by the bank.
    pub date: NaiveDate,
    /// Minor units: positive came into the account.
    pub amount: Money,
    /// What the bank wrote.
    pub text: &'l str,
    /// The bank's own number of it.
    pub bank_id: Option<&'l str>,
    /// The balance after it.
    pub balance: Option<Money>,
    /// Its row in the file.
    pub row: u64,
}

/// A statement file that was brought in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementFile {
    /// Its number in the book.
    pub id: i64,
    /// The account it is of.
    pub account: AccountId,
    /// Its name.
    pub name: String,
    /// Its SHA-256 in hexadecimal.
    pub hash: String,
    /// What it is written in.
    pub format: String,
    /// The account as the bank names it in the file; empty where it does not.
    pub bank_account: String,
    /// When it was brought in, as UTC.
    pub at: String,
    /// The day of its earliest and of its latest line.
    pub days: Option<(NaiveDate, NaiveDate)>,
    /// How many of its lines were new.
    pub n_lines: usize,
    /// The balance it closes with and the day, where it says.
    pub closing: Option<(NaiveDate, Money)>,
}

/// A line that another book wrote out, with what became of it there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptLine {
    /// Its number there; nothing for the next one.
    pub id: Option<LineId>,
    /// Its row in the bank's file.
    pub row: u64,
    /// The day by the bank.
    pub date: NaiveDate,
    /// Minor units: positive came into the account.
    pub amount: Money,
    /// What the bank wrote.
    pub text: String,
    /// The bank's own number of it.
    pub bank_id: Option<String>,
    /// The balance after it.
    pub balance: Option<Money>,
    /// What became of it.
    pub became: Option<Became>,
}

/// What a statement left in the book.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StatementBrought {
    /// The file's number in the book.
    pub file: i64,
    /// How many lines it had that move money.
    pub n_lines: usize,
    /// How many of them were not in the book yet.
    pub n_new: usize,
}

/// Lines as they were inserted, before those that are known are taken out.
struct Inserted {
    closing: Option<(NaiveDate, Money)>,
    n_lines: usize,
    /// Whether two of them may have the same number of the bank's.
    may_repeat: bool,
}

const LINE: &str =
    "SELECT l.id, l.account, l.date, l.amount, l.text, l.bank_id, l.balance, f.name, l.row
     FROM bank_line l JOIN statement_file f ON f.id = l.file";

/// A day as `2026-03-01`, into room that is there already: there may be a hundred thousand of them.
fn write_iso(date: NaiveDate, text: &mut String) {
    text.clear();
    let Some(year) = u32::try_from(date.year())
        .ok()
        .filter(|year| *year < 10_000)
    else {
        text.push_str(&date.to_string());
        return;
    };
    let parts = [
        (year, &[1000, 100, 10, 1][..], ""),
        (date.month(), &[10, 1][..], "-"),
        (date.day(), &[10, 1][..], "-"),
    ];
    for (number, places, before) in parts {
        text.push_str(before);
        for place in places {
            text.push(char::from_digit(number / place % 10, 10).unwrap_or('0'));
        }
    }
}

pub(super) fn bank_line(row: &Row<'_>) -> Result<BankLine, BookError> {
    let date: String = row.get(2)?;
    Ok(BankLine {
        id: LineId(row.get(0)?),
        account: AccountId(row.get(1)?),
        date: day(&date)?,
        amount: Money::from_minor(row.get(3)?),
        text: row.get(4)?,
        bank_id: row.get(5)?,
        balance: row.get::<_, Option<i64>>(6)?.map(Money::from_minor),
        file: row.get(7)?,
        row: row.get(8)?,
    })
}

impl Book {
    /// Brings a statement in as a whole or not at all. `feed` gives its lines one after the other and then, when the
    /// file tells it, the balance it closes with. Lines that are in the book already stay out: by the bank's own
    /// number of them, else by day, amount, words and position among equals; against a file of another format by
    /// day, amount and position, for the words differ.
    ///
    /// # Errors
    /// When the account is none whose statement can come, `feed` fails, or the file refuses; the book is then as it
    /// was.
    pub fn bring_statement<E: From<BookError>>(
        &mut self,
        new: &NewStatement,
        feed: impl FnOnce(
            &mut dyn FnMut(NewLine<'_>) -> Result<(), E>,
        ) -> Result<Option<(NaiveDate, Money)>, E>,
    ) -> Result<StatementBrought, E> {
        let account = self
            .chart
            .account(new.account)
            .map_err(BookError::from)?
            .clone();
        self.refuse_other_account(new)?;
        let label = format!("Brought in {} for {}", new.name, account.name);
        let brought = self.group(&label, |book| {
            book.note("statement", &label, &new.hash)?;
            book.drop_loose_lines()?;
            let file = book.new_file_number()?;
            let lines = JustInserted {
                file,
                after: book.last_line_number()?,
            };
            let is_first = !book.has_lines(new.account)?;
            // Before the first line of a book its indexes are empty: they are made once, over all lines, at the end.
            let later = if !book.has_any_line()? {
                book.take_line_indexes_away()?
            } else {
                Vec::new()
            };
            let Inserted {
                closing,
                n_lines,
                may_repeat,
            } = book.insert_lines(file, new.account, feed)?;
            for index in &later {
                book.conn.execute_batch(index).map_err(BookError::from)?;
            }
            let n_doubled = if may_repeat {
                book.drop_lines_named_twice(lines)?
            } else {
                0
            };
            let n_known = if is_first {
                0
            } else {
                book.drop_known_lines(lines, new)?
            };
            let n_new = n_lines - n_doubled - n_known;
            book.insert_file(lines, new, n_new, closing)?;
            Ok::<_, E>(StatementBrought {
                file,
                n_lines,
                n_new,
            })
        })?;
        self.look_over_after(brought.n_new)?;
        Ok(brought)
    }

    /// Refuses a statement whose account at the bank is another than that of the account's earlier statements, or is
    /// that of another account's.
    fn refuse_other_account(&self, new: &NewStatement) -> Result<(), BookError> {
        if new.bank_account.is_empty() {
            return Ok(());
        }
        for file in self.statement_files()? {
            if file.bank_account.is_empty() {
                continue;
            }
            let is_same = file.bank_account == new.bank_account;
            if (file.account == new.account) != is_same {
                let title = self.chart.title(file.account);
                let (one, other) = (&new.bank_account, &file.bank_account);
                return Err(BookError::refused(if is_same {
                    format!(
                        "{}: the statement is of {one}, which is {title} in this book",
                        new.name
                    )
                } else {
                    format!(
                        "{}: the statement is of {one}, and the statements of {title} so far are of {other}",
                        new.name
                    )
                }));
            }
        }
        Ok(())
    }

    /// Lines of undone files go for good once something new is written, for then nothing can be done again.
    pub(super) fn drop_loose_lines(&self) -> Result<(), BookError> {
        self.conn
            .prepare_cached(
                "DELETE FROM bank_line WHERE file IN
                   (SELECT DISTINCT file FROM bank_line EXCEPT SELECT id FROM statement_file)",
            )?
            .execute([])?;
        Ok(())
    }

    fn last_line_number(&self) -> Result<i64, BookError> {
        let last = self
            .conn
            .prepare_cached("SELECT coalesce(max(id), 0) FROM bank_line")?
            .query_row([], |row| row.get(0))?;
        Ok(last)
    }

    fn new_file_number(&self) -> Result<i64, BookError> {
        let newest = self.conn.query_row(
            "SELECT max(coalesce((SELECT max(id) FROM statement_file), 0),
                        coalesce((SELECT max(file) FROM bank_line), 0))",
            [],
            |row| row.get::<_, i64>(0),
        )?;
        Ok(newest + 1)
    }

    fn has_any_line(&self) -> Result<bool, BookError> {
        let has = self
            .conn
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM bank_line)")?
            .query_row([], |row| row.get(0))?;
        Ok(has)
    }

    /// Drops the indexes over lines and gives what makes them again.
    fn take_line_indexes_away(&self) -> Result<Vec<String>, BookError> {
        let mut query = self.conn.prepare(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'bank_line' AND sql IS NOT NULL",
        )?;
        let indexes: Vec<(String, String)> = query
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        for (name, _sql) in &indexes {
            self.conn.execute_batch(&format!("DROP INDEX {name}"))?;
        }
        Ok(indexes.into_iter().map(|(_name, sql)| sql).collect())
    }

    fn has_lines(&self, account: AccountId) -> Result<bool, BookError> {
        let has = self
            .conn
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM bank_line WHERE account = ?1)")?
            .query_row([account.0], |row| row.get(0))?;
        Ok(has)
    }

    fn insert_lines<E: From<BookError>>(
        &self,
        file: i64,
        account: AccountId,
        feed: impl FnOnce(
            &mut dyn FnMut(NewLine<'_>) -> Result<(), E>,
        ) -> Result<Option<(NaiveDate, Money)>, E>,
    ) -> Result<Inserted, E> {
        let mut insert = self
            .conn
            .prepare_cached(
                "INSERT INTO bank_line (file, row, account, date, amount, text, bank_id, balance)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )
            .map_err(BookError::from)?;
        let mut n_lines = 0;
        // Whether a number of the bank's comes twice, by its hash: two that only look alike cost a look and no more.
        let (mut numbers, mut may_repeat) = (HashSet::new(), false);
        // Most lines share their day with the one before.
        let mut last = (NaiveDate::MIN, String::new());
        let closing = feed(&mut |line: NewLine<'_>| {
            if line.amount.is_zero() {
                return Ok(());
            }
            if line.date != last.0 {
                last.0 = line.date;
                write_iso(line.date, &mut last.1);
            }
            insert
                .execute(params![
                    file,
                    line.row,
                    account.0,
                    last.1,
                    line.amount.minor(),
                    line.text,
                    line.bank_id,
                    line.balance.map(Money::minor),
                ])
                .map_err(BookError::from)?;
            if let Some(number) = line.bank_id {
                may_repeat |= !numbers.insert(hash_of(number));
            }
            n_lines += 1;
            Ok(())
        })?;
        Ok(Inserted {
            closing,
            n_lines,
            may_repeat,
        })
    }

    fn insert_file(
        &mut self,
        lines: JustInserted,
        new: &NewStatement,
        n_new: usize,
        closing: Option<(NaiveDate, Money)>,
    ) -> Result<(), BookError> {
        let days: (Option<String>, Option<String>) = self
            .conn
            .prepare_cached(
                "SELECT min(date), max(date) FROM bank_line WHERE id > ?2 AND file = ?1",
            )?
            .query_row([lines.file, lines.after], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
        let now = self.steps.now().to_owned();
        self.side(
            "INSERT INTO statement_file (id, account, name, hash, format, at, first_day, last_day, n_lines,
                                         closing_day, closing_balance, bank_account)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
            params![
                lines.file,
                new.account.0,
                new.name,
                new.hash,
                new.format,
                now,
                days.0,
                days.1,
                n_new,
                closing.map(|(day, _balance)| day.to_string()),
                closing.map(|(_day, balance)| balance.minor()),
                new.bank_account,
            ],
        )?;
        Ok(())
    }

    /// The statement files, the newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn statement_files(&self) -> Result<Vec<StatementFile>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT id, account, name, hash, format, at, first_day, last_day, n_lines, closing_day, closing_balance,
                    bank_account
             FROM statement_file ORDER BY id DESC",
        )?;
        let mut rows = query.query([])?;
        let mut files = Vec::new();
        while let Some(row) = rows.next()? {
            let days =
                |first: usize, last: usize| -> Result<Option<(NaiveDate, NaiveDate)>, BookError> {
                    let (first, last): (Option<String>, Option<String>) =
                        (row.get(first)?, row.get(last)?);
                    match (first, last) {
                        (Some(first), Some(last)) => Ok(Some((day(&first)?, day(&last)?))),
                        _ => Ok(None),
                    }
                };
            let closing_day: Option<String> = row.get(9)?;
            let closing = match (closing_day, row.get::<_, Option<i64>>(10)?) {
                (Some(on), Some(balance)) => Some((day(&on)?, Money::from_minor(balance))),
                _ => None,
            };
            files.push(StatementFile {
                id: row.get(0)?,
                account: AccountId(row.get(1)?),
                name: row.get(2)?,
                hash: row.get(3)?,
                format: row.get(4)?,
                bank_account: row.get(11)?,
                at: row.get(5)?,
                days: days(6, 7)?,
                n_lines: row.get(8)?,
                closing,
            });
        }
        Ok(files)
    }

    /// The file of this content that was brought in for an account, if any.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn statement_was_brought(
        &self,
        account: AccountId,
        hash: &str,
    ) -> Result<Option<StatementFile>, BookError> {
        Ok(self
            .statement_files()?
            .into_iter()
            .find(|file| file.account == account && file.hash == hash))
    }

    /// A line.
    ///
    /// # Errors
    /// When there is none with this number.
    pub fn bank_line(&self, id: LineId) -> Result<BankLine, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("{LINE} WHERE l.id = ?1"))?;
        let mut rows = query.query([id.0])?;
        match rows.next()? {
            Some(row) => bank_line(row),
            None => Err(BookError::NoSuch {
                what: "bank line",
                key: id.to_string(),
            }),
        }
    }

    /// How many lines the statements of all accounts have, sorted or not.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_bank_lines(&self) -> Result<usize, BookError> {
        let count = self
            .conn
            .prepare_cached("SELECT coalesce(sum(n_lines), 0) FROM statement_file")?
            .query_row([], |row| row.get(0))?;
        Ok(count)
    }

    /// The lines of an account's statements over some days, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn bank_lines(
        &self,
        account: AccountId,
        range: crate::dates::DateRange,
    ) -> Result<Vec<BankLine>, BookError> {
        self.lines_where(
            "l.account = ?1 AND l.date BETWEEN ?2 AND ?3 ORDER BY l.date, l.id",
            params![account.0, range.from.to_string(), range.to.to_string()],
        )
    }

    pub(super) fn lines_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<BankLine>, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("{LINE} WHERE {condition}"))?;
        let mut rows = query.query(params)?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            lines.push(bank_line(row)?);
        }
        Ok(lines)
    }

    /// The last balance that an account's statements show up to a day, or at all, and its day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_statement_balance(
        &self,
        account: AccountId,
        by: Option<NaiveDate>,
    ) -> Result<Option<(NaiveDate, Money)>, BookError> {
        let found: Option<(String, i64)> = self
            .conn
            .prepare_cached(
                "SELECT closing_day, closing_balance FROM statement_file
                 WHERE account = ?1 AND closing_day IS NOT NULL AND closing_balance IS NOT NULL
                   AND (?2 IS NULL OR closing_day <= ?2) ORDER BY closing_day DESC, id DESC LIMIT 1",
            )?
            .query_row(params![account.0, by.map(|day| day.to_string())], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .optional()?;
        found
            .map(|(on, balance)| Ok((day(&on)?, Money::from_minor(balance))))
            .transpose()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_written_as_the_standard_has_it() {
        let mut text = String::new();
        for day in [(2026, 3, 1), (2000, 12, 31), (987, 10, 9), (12_026, 1, 2)] {
            let day = NaiveDate::from_ymd_opt(day.0, day.1, day.2).expect("a day");
            write_iso(day, &mut text);
            assert_eq!(text, day.to_string());
        }
    }
}
