//! Reading entries: one, a chunk by number, the lines of an account.
//! Finding them is `finding`'s, adding lines up is `sums`'.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Row, Rows, params};

use super::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month, parse_iso};
use crate::ledger::{
    AccountId, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry,
};
use crate::money::{Money, Quantity};

/// One line of an account's ledger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountLine {
    /// The entry it belongs to.
    pub number: EntryNumber,
    /// The entry's day.
    pub date: NaiveDate,
    /// The entry's kind.
    pub kind: EntryKind,
    /// The entry's party.
    pub party: String,
    /// The entry's memo.
    pub memo: String,
    /// The entry's reference.
    pub reference: String,
    /// The line's own memo.
    pub line_memo: String,
    /// Positive for a debit, negative for a credit.
    pub amount: Money,
}

/// The day in a column.
pub(super) fn day(text: &str) -> Result<NaiveDate, BookError> {
    parse_iso(text).map_err(|error| BookError::damaged(error.to_string()))
}

/// A word in a column.
pub(super) fn word<T: std::str::FromStr>(text: &str) -> Result<T, BookError>
where
    T::Err: std::fmt::Display,
{
    text.parse()
        .map_err(|error: T::Err| BookError::damaged(error.to_string()))
}

struct HeaderRow {
    header: EntryHeader,
    number: EntryNumber,
    version: u32,
    reverses: Option<EntryNumber>,
    reversed_by: Option<EntryNumber>,
}

impl HeaderRow {
    fn with(self, lines: Vec<Line>) -> Result<PostedEntry, BookError> {
        let number = self.number;
        let entry = JournalEntry::new(self.header, lines)
            .map_err(|error| BookError::damaged(format!("entry {number}: {error}")))?;
        Ok(PostedEntry {
            number,
            version: self.version,
            entry,
            reverses: self.reverses,
            reversed_by: self.reversed_by,
        })
    }
}

/// So many entries are read together.
const AT_ONCE: usize = 1_000;

const HEADER_COLUMNS: &str =
    "SELECT number, version, date, kind, party, memo, reference, document, origin, tags,
        tax_by_channel, reverses, (SELECT number FROM entry r WHERE r.reverses = e.number)";

fn header_row(row: &Row<'_>) -> Result<HeaderRow, BookError> {
    let text = |column: usize| {
        row.get_ref(column)
            .map(|value| value.as_str().unwrap_or_default())
    };
    let number = |column: usize| -> Result<Option<EntryNumber>, BookError> {
        Ok(row.get::<_, Option<u64>>(column)?.map(EntryNumber))
    };
    let mut header = EntryHeader::new(day(text(2)?)?, word(text(3)?)?);
    header.party = row.get(4)?;
    header.memo = row.get(5)?;
    header.reference = row.get(6)?;
    header.document = row.get(7)?;
    header.origin = word(text(8)?)?;
    header.tags = text(9)?
        .split('\n')
        .filter(|tag| !tag.is_empty())
        .map(str::to_owned)
        .collect();
    header.tax_by_channel = Money::from_minor(row.get(10)?);
    Ok(HeaderRow {
        header,
        number: EntryNumber(row.get(0)?),
        version: row.get(1)?,
        reverses: number(11)?,
        reversed_by: number(12)?,
    })
}

fn line_row(row: &Row<'_>) -> Result<Line, BookError> {
    let quantity: Option<String> = row.get(5)?;
    Ok(Line {
        account: AccountId(row.get(0)?),
        amount: Money::from_minor(row.get(1)?),
        memo: row.get(2)?,
        equipment: row.get(3)?,
        item: row.get(4)?,
        quantity: quantity.map(|text| word::<Quantity>(&text)).transpose()?,
    })
}

/// The next line, and the place of its entry among those asked for.
fn next_placed(rows: &mut Rows<'_>) -> Result<Option<(usize, Line)>, BookError> {
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    Ok(Some((row.get(6)?, line_row(row)?)))
}

impl Book {
    /// The entry with this number.
    ///
    /// # Errors
    /// When there is none.
    pub fn entry(&self, number: EntryNumber) -> Result<PostedEntry, BookError> {
        let mut query = self
            .conn
            .prepare_cached(&format!("{HEADER_COLUMNS} FROM entry e WHERE number = ?1"))?;
        let mut rows = query.query([number.0])?;
        let Some(row) = rows.next()? else {
            return Err(BookError::NoSuchEntry(number));
        };
        header_row(row)?.with(self.lines_of(number)?)
    }

    pub(super) fn lines_of(&self, number: EntryNumber) -> Result<Vec<Line>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT account, amount, memo, equipment, item, quantity FROM line WHERE entry = ?1 ORDER BY position",
        )?;
        let mut rows = query.query([number.0])?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            lines.push(line_row(row)?);
        }
        Ok(lines)
    }

    /// The entries with these numbers, in this order: a screenful at a time.
    ///
    /// # Errors
    /// When one of them is not in the book.
    pub fn entries(&self, numbers: &[EntryNumber]) -> Result<Vec<PostedEntry>, BookError> {
        let mut entries = Vec::with_capacity(numbers.len());
        self.for_each_of(numbers, |posted| {
            entries.push(posted);
            Ok::<(), BookError>(())
        })?;
        Ok(entries)
    }

    /// The entries with these numbers, in this order, one after the other.
    ///
    /// # Errors
    /// When one of them is not in the book, the file cannot be read, or `each` fails.
    pub fn for_each_of<E: From<BookError>>(
        &self,
        numbers: &[EntryNumber],
        mut each: impl FnMut(PostedEntry) -> Result<(), E>,
    ) -> Result<(), E> {
        for some in numbers.chunks(AT_ONCE) {
            // A question for each costs several times what one for all of them does.
            for posted in self.at_once(some)? {
                each(posted)?;
            }
        }
        Ok(())
    }

    /// These entries by one query for their heads and one for their lines.
    fn at_once(&self, numbers: &[EntryNumber]) -> Result<Vec<PostedEntry>, BookError> {
        if let [number] = numbers {
            return Ok(vec![self.entry(*number)?]);
        }
        let list: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        let list = format!("[{}]", list.join(","));
        let mut heads = self.conn.prepare_cached(&format!(
            "{HEADER_COLUMNS} FROM json_each(?1) j CROSS JOIN entry e ON e.number = j.value ORDER BY j.key"
        ))?;
        let mut lines = self.conn.prepare_cached(
            "SELECT account, amount, memo, equipment, item, quantity, j.key
             FROM json_each(?1) j CROSS JOIN line l ON l.entry = j.value ORDER BY j.key, l.position",
        )?;
        let (mut heads, mut lines) = (heads.query([&list])?, lines.query([&list])?);
        let mut found = Vec::with_capacity(numbers.len());
        let mut next_line = next_placed(&mut lines)?;
        for (place, number) in numbers.iter().enumerate() {
            let head = heads.next()?.map(header_row).transpose()?;
            let Some(head) = head.filter(|head| head.number == *number) else {
                return Err(BookError::NoSuchEntry(*number));
            };
            let mut of_entry = Vec::new();
            while let Some((_place, line)) = next_line.take_if(|(at, _line)| *at == place) {
                of_entry.push(line);
                next_line = next_placed(&mut lines)?;
            }
            found.push(head.with(of_entry)?);
        }
        Ok(found)
    }

    /// How many entries the book has; also the newest one's number.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entry_count(&self) -> Result<u64, BookError> {
        Ok(self
            .conn
            .prepare_cached("SELECT ifnull(max(number), 0) FROM entry")?
            .query_row([], |row| row.get(0))?)
    }

    /// The days of the first and the last entry.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn days_covered(&self) -> Result<Option<DateRange>, BookError> {
        let found: (Option<String>, Option<String>) = self
            .conn
            .prepare_cached("SELECT (SELECT min(date) FROM entry), (SELECT max(date) FROM entry)")?
            .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let (Some(from), Some(to)) = found else {
            return Ok(None);
        };
        Ok(DateRange::new(day(&from)?, day(&to)?))
    }

    /// How many entries of a kind there are in a range, and what those that were not taken back come to.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn count_and_total(
        &self,
        kind: EntryKind,
        range: DateRange,
    ) -> Result<(usize, Money), BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT count(*), ifnull(sum(
                 CASE WHEN EXISTS (SELECT 1 FROM entry r WHERE r.reverses = e.number) THEN 0
                 ELSE (SELECT sum(max(amount, 0)) FROM line WHERE line.entry = e.number) END), 0)
             FROM entry e WHERE kind = ?1 AND date BETWEEN ?2 AND ?3",
        )?;
        let found = query.query_row(
            params![kind.as_str(), range.from.to_string(), range.to.to_string()],
            |row| Ok((row.get(0)?, Money::from_minor(row.get(1)?))),
        )?;
        Ok(found)
    }

    /// The day of the first entry of a kind.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn first_day_of(&self, kind: EntryKind) -> Result<Option<NaiveDate>, BookError> {
        let found: Option<String> = self
            .conn
            .prepare_cached("SELECT min(date) FROM entry WHERE kind = ?1")?
            .query_row([kind.as_str()], |row| row.get(0))?;
        found.as_deref().map(day).transpose()
    }

    /// The day of the last entry of a kind with a line on an account.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_day_of(
        &self,
        kind: EntryKind,
        account: AccountId,
    ) -> Result<Option<NaiveDate>, BookError> {
        let found: Option<String> = self
            .conn
            .prepare_cached(
                "SELECT date FROM entry e WHERE kind = ?1
                   AND EXISTS (SELECT 1 FROM line WHERE account = ?2 AND line.entry = e.number)
                 ORDER BY date DESC LIMIT 1",
            )?
            .query_row(params![kind.as_str(), account.0], |row| row.get(0))
            .optional()?;
        found.as_deref().map(day).transpose()
    }

    /// The first day on which an account moved.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn first_movement(&self, account: AccountId) -> Result<Option<NaiveDate>, BookError> {
        let mut months = self.months_with_movement(account)?;
        months.reverse();
        self.day_within(account, &months, "min", None)
    }

    /// The last day, up to one, on which an account moved.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_movement(
        &self,
        account: AccountId,
        through: NaiveDate,
    ) -> Result<Option<NaiveDate>, BookError> {
        let mut months = self.months_with_movement(account)?;
        months.retain(|month| month.first_day() <= through);
        self.day_within(account, &months, "max", Some(through))
    }

    /// The months in which an account moved, newest first, from the monthly balances.
    fn months_with_movement(&self, account: AccountId) -> Result<Vec<Month>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT DISTINCT month FROM month_balance WHERE account = ?1 ORDER BY month DESC",
        )?;
        let months = query
            .query_map([account.0], |row| row.get(0).map(Month::from_index))?
            .collect::<Result<_, _>>()?;
        Ok(months)
    }

    /// The first or last day of movement in the first of these months that has any.
    fn day_within(
        &self,
        account: AccountId,
        months: &[Month],
        which: &str,
        through: Option<NaiveDate>,
    ) -> Result<Option<NaiveDate>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {which}(date) FROM entry e WHERE date BETWEEN ?2 AND ?3
               AND EXISTS (SELECT 1 FROM line WHERE account = ?1 AND line.entry = e.number)"
        ))?;
        for month in months {
            let last = through.map_or(month.last_day(), |day| day.min(month.last_day()));
            let found: Option<String> = query.query_row(
                params![account.0, month.first_day().to_string(), last.to_string()],
                |row| row.get(0),
            )?;
            if let Some(found) = found {
                return day(&found).map(Some);
            }
        }
        Ok(None)
    }

    /// The lines on an account in a range, by day and number.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn account_lines(
        &self,
        account: AccountId,
        range: DateRange,
    ) -> Result<Vec<AccountLine>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT e.number, e.date, e.kind, e.party, e.memo, e.reference, l.memo, l.amount
             FROM entry e CROSS JOIN line l ON l.entry = e.number
             WHERE l.account = ?1 AND e.date BETWEEN ?2 AND ?3
             ORDER BY e.date, e.number, l.position",
        )?;
        let mut rows = query.query(params![
            account.0,
            range.from.to_string(),
            range.to.to_string()
        ])?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            lines.push(AccountLine {
                number: EntryNumber(row.get(0)?),
                date: day(row.get_ref(1)?.as_str().unwrap_or_default())?,
                kind: word(row.get_ref(2)?.as_str().unwrap_or_default())?,
                party: row.get(3)?,
                memo: row.get(4)?,
                reference: row.get(5)?,
                line_memo: row.get(6)?,
                amount: Money::from_minor(row.get(7)?),
            });
        }
        Ok(lines)
    }

    /// The memos of the newest lines on an account, those of the newest entry first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn newest_line_memos(
        &self,
        account: AccountId,
        at_most: usize,
    ) -> Result<Vec<String>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT memo FROM line WHERE account = ?1 ORDER BY entry DESC LIMIT ?2",
        )?;
        let memos = query
            .query_map(params![account.0, at_most], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        Ok(memos)
    }

    /// The entries of a kind with this document key that were not taken back, oldest first: how a refund finds its
    /// sale. Two shops may give two sales the same key.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn standing_with_document(
        &self,
        kind: EntryKind,
        document: &str,
    ) -> Result<Vec<PostedEntry>, BookError> {
        let numbers = self.entry_numbers(&EntryFilter {
            kind: Some(kind),
            document: Some(document.trim().to_owned()),
            ..EntryFilter::default()
        })?;
        let mut entries = self.entries(&numbers)?;
        entries.retain(|posted| posted.reversed_by.is_none());
        Ok(entries)
    }

    /// All entries in the order of their numbers, one after the other: for writing out and for proving.
    ///
    /// # Errors
    /// When the file cannot be read, or `each` fails.
    pub fn for_each_entry<E: From<BookError>>(
        &self,
        each: impl FnMut(PostedEntry) -> Result<(), E>,
    ) -> Result<(), E> {
        let all: Vec<EntryNumber> = (1..=self.entry_count()?).map(EntryNumber).collect();
        self.for_each_of(&all, each)
    }

    /// What each piece of equipment was charged in posted depreciation, by its key; the clearing of a disposal
    /// is not counted against it.
    ///
    /// # Errors
    /// When the file cannot be read, or the chart has no account for accumulated depreciation.
    pub fn depreciation_charged(&self) -> Result<BTreeMap<String, Money>, BookError> {
        let account = self
            .chart
            .role(crate::ledger::Role::AccumulatedDepreciation)?;
        let mut query = self.conn.prepare_cached(
            "SELECT l.equipment, -sum(l.amount)
             FROM line l JOIN entry e ON e.number = l.entry LEFT JOIN entry r ON r.number = e.reverses
             WHERE l.equipment IS NOT NULL AND l.account = ?1
               AND e.kind NOT IN ('disposal', 'opening') AND ifnull(r.kind, '') <> 'disposal'
             GROUP BY l.equipment",
        )?;
        let charged = query
            .query_map([account.0], |row| {
                Ok((row.get(0)?, Money::from_minor(row.get(1)?)))
            })?
            .collect::<Result<_, _>>()?;
        Ok(charged)
    }
}
