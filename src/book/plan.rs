//! The start-up plan in the file: its lines, its money, the purchases that belong to it, and accounts that count under
//! another group of the cost to start. What a plan refuses and what it comes to is `crate::plan`'s.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use super::reading::word;
use super::{Book, BookError};
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::plan::{CostRange, Plan, PlanLine, PlanMoney, PlanPurchase, read_month, show_month};
use crate::statements::{StartUpGroup, StartUpMarks};

fn month_of(text: Option<String>) -> Result<Option<crate::dates::Month>, BookError> {
    text.map(|text| read_month(&text).map_err(BookError::damaged))
        .transpose()
}

fn line_of(row: &Row<'_>) -> Result<PlanLine, BookError> {
    let money = |column: usize| row.get(column).map(Money::from_minor);
    let kind: String = row.get(2)?;
    let how: Option<String> = row.get(3)?;
    let need: String = row.get(7)?;
    Ok(PlanLine {
        id: row.get(0)?,
        name: row.get(1)?,
        kind: word(&kind)?,
        how: how.as_deref().map(word).transpose()?,
        cost: CostRange {
            low: money(4)?,
            likely: money(5)?,
            high: money(6)?,
        },
        need: word(&need)?,
        month: month_of(row.get(8)?)?,
        alternative_of: row.get(9)?,
        is_chosen: row.get(10)?,
        note: row.get(11)?,
    })
}

impl Book {
    /// The start-up plan, its lines in the order they were made.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn plan(&self) -> Result<Plan, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT p.id, p.name, p.kind, p.how, p.low, p.likely, p.high, p.need, p.month, first.name, p.is_chosen,
               p.note
             FROM plan_line p LEFT JOIN plan_line first ON first.id = p.alternative_of ORDER BY p.id",
        )?;
        let mut rows = query.query([])?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            lines.push(line_of(row)?);
        }
        let mut query = self.conn.prepare_cached(
            "SELECT id, month, amount, note FROM plan_money ORDER BY month IS NOT NULL, month, id",
        )?;
        let mut rows = query.query([])?;
        let mut money = Vec::new();
        while let Some(row) = rows.next()? {
            money.push(PlanMoney {
                id: row.get(0)?,
                month: month_of(row.get(1)?)?,
                amount: Money::from_minor(row.get(2)?),
                note: row.get(3)?,
            });
        }
        Ok(Plan { lines, money })
    }

    /// Adds lines to the plan, all or none, as they say of themselves which are chosen; returns their numbers.
    ///
    /// # Errors
    /// When a line cannot be or does not fit the others; the index is of the line among the new ones.
    pub fn add_plan_lines(&mut self, lines: &[PlanLine]) -> Result<Vec<i64>, BookError> {
        let before = self.plan()?;
        let mut after = before.clone();
        after.lines.extend(lines.iter().cloned().map(|mut line| {
            line.id = 0;
            line
        }));
        let label = match lines {
            [line] => format!("Planned: {}", line.name.trim()),
            lines => format!("{} lines added to the plan", lines.len()),
        };
        self.put_plan(&before, &after, &label)
    }

    /// Adds a line to the plan, or changes it when it has a number; a line that is chosen takes the place of the other
    /// ways of its group. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, does not fit the others, or is no longer there.
    pub fn keep_plan_line(&mut self, line: &PlanLine) -> Result<i64, BookError> {
        let before = self.plan()?;
        if line.id != 0 && !before.lines.iter().any(|one| one.id == line.id) {
            return Err(no_line(line.id));
        }
        let label = if line.id == 0 {
            format!("Planned: {}", line.name.trim())
        } else {
            format!("Plan changed: {}", line.name.trim())
        };
        let new = self.put_plan(&before, &before.with(line), &label)?;
        Ok(new.first().copied().unwrap_or(line.id))
    }

    /// Takes a line off the plan; what was bought for it stays in the books and belongs to no line any more.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_plan_line(&mut self, id: i64) -> Result<(), BookError> {
        let before = self.plan()?;
        let Some(line) = before.lines.iter().find(|line| line.id == id) else {
            return Err(no_line(id));
        };
        let label = format!("Taken off the plan: {}", line.name);
        let after = before.without(id);
        self.put_plan(&before, &after, &label)?;
        Ok(())
    }

    /// Writes the lines that differ. A name may move from one line to another and so may a choice, so what is taken away
    /// goes first.
    fn put_plan(
        &mut self,
        before: &Plan,
        after: &Plan,
        label: &str,
    ) -> Result<Vec<i64>, BookError> {
        after.check().map_err(|(idx, error)| {
            let name = after.lines.get(idx).map_or("", |line| line.name.trim());
            BookError::refused(match error.field {
                "name" => error.message,
                field => format!("'{name}', {field}: {error}"),
            })
        })?;
        self.write(label, |book| {
            book.note("plan", label, "")?;
            let stays = |id: i64| after.lines.iter().any(|line| line.id == id);
            let mut changed: Vec<PlanLine> = Vec::new();
            for line in &before.lines {
                if !stays(line.id) {
                    book.side(
                        "UPDATE plan_line SET alternative_of = NULL, is_chosen = 0 WHERE alternative_of = ?1",
                        [line.id],
                    )?;
                    book.side("DELETE FROM plan_purchase WHERE line = ?1", [line.id])?;
                    book.side("DELETE FROM plan_line WHERE id = ?1", [line.id])?;
                }
            }
            let mut new = Vec::new();
            for line in &after.lines {
                let old = before.lines.iter().find(|one| one.id == line.id);
                // A line whose first way was renamed has changed its words only; its number stays.
                if old.is_some_and(|old| old == line) {
                    continue;
                }
                let mut line = line.clone();
                if old.is_some() {
                    book.update_plan_line(&line)?;
                } else {
                    line.id = book.insert_plan_line(&line)?;
                    new.push(line.id);
                }
                changed.push(line);
            }
            for line in &changed {
                book.side(
                    "UPDATE plan_line SET alternative_of = (SELECT id FROM plan_line WHERE name = ?2) WHERE id = ?1",
                    params![line.id, first_of(line, after)],
                )?;
            }
            for line in changed.iter().filter(|line| line.is_chosen) {
                book.side("UPDATE plan_line SET is_chosen = 1 WHERE id = ?1", [line.id])?;
            }
            Ok(new)
        })
    }

    fn insert_plan_line(&mut self, line: &PlanLine) -> Result<i64, BookError> {
        self.side(
            "INSERT INTO plan_line (name, kind, how, low, likely, high, need, month, alternative_of, is_chosen, note)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, NULL, 0, ?9)",
            params![
                line.name.trim(),
                line.kind.as_str(),
                line.how.map(crate::plan::How::as_str),
                line.cost.low.minor(),
                line.cost.likely.minor(),
                line.cost.high.minor(),
                line.need.as_str(),
                line.month.map(show_month),
                line.note.trim(),
            ],
        )?;
        Ok(self.conn.last_insert_rowid())
    }

    fn update_plan_line(&mut self, line: &PlanLine) -> Result<(), BookError> {
        self.side(
            "UPDATE plan_line SET name = ?2, kind = ?3, how = ?4, low = ?5, likely = ?6, high = ?7, need = ?8,
               month = ?9, alternative_of = NULL, is_chosen = 0, note = ?10 WHERE id = ?1",
            params![
                line.id,
                line.name.trim(),
                line.kind.as_str(),
                line.how.map(crate::plan::How::as_str),
                line.cost.low.minor(),
                line.cost.likely.minor(),
                line.cost.high.minor(),
                line.need.as_str(),
                line.month.map(show_month),
                line.note.trim(),
            ],
        )?;
        Ok(())
    }

    /// Adds money that there is for starting, and returns its number.
    ///
    /// # Errors
    /// When the amount is not above nothing, or is larger than a book takes.
    pub fn add_plan_money(&mut self, money: &PlanMoney) -> Result<i64, BookError> {
        if !money.amount.is_positive() || !money.amount.is_within_limit() {
            return Err(BookError::refused(
                "the money must be more than nothing and within what a book takes",
            ));
        }
        let label = "Money for starting";
        self.write(label, |book| {
            book.note("plan", label, "")?;
            book.side(
                "INSERT INTO plan_money (month, amount, note) VALUES (?1, ?2, ?3)",
                params![
                    money.month.map(show_month),
                    money.amount.minor(),
                    money.note.trim()
                ],
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Takes money off the plan.
    ///
    /// # Errors
    /// When it is not there.
    pub fn remove_plan_money(&mut self, id: i64) -> Result<(), BookError> {
        let label = "Money taken off the plan";
        self.write(label, |book| {
            book.note("plan", label, "")?;
            if book.side("DELETE FROM plan_money WHERE id = ?1", [id])? == 0 {
                return Err(BookError::NoSuch {
                    what: "money in the plan",
                    key: id.to_string(),
                });
            }
            Ok(())
        })
    }

    /// The purchases that belong to lines of the plan.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn plan_purchases(&self) -> Result<Vec<PlanPurchase>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT b.id, p.name, b.entry, b.what FROM plan_purchase b JOIN plan_line p ON p.id = b.line
             ORDER BY b.entry, b.id",
        )?;
        let links = query
            .query_map([], |row| {
                Ok(PlanPurchase {
                    id: row.get(0)?,
                    line: row.get(1)?,
                    entry: EntryNumber(row.get(2)?),
                    what: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(links)
    }

    /// Says that an entry, or those of its lines that say this, became of a line of the plan.
    ///
    /// # Errors
    /// When the line or the entry is not there, or that part of the entry belongs to a line already.
    pub fn link_plan(
        &mut self,
        line: i64,
        entry: EntryNumber,
        what: &str,
    ) -> Result<(), BookError> {
        let plan = self.plan()?;
        let Some(planned) = plan.lines.iter().find(|one| one.id == line) else {
            return Err(no_line(line));
        };
        let posted = self.entry(entry)?;
        let what = what.trim();
        let taken = self.plan_purchases()?.into_iter().find(|link| {
            link.entry == entry
                && (what.is_empty()
                    || link.what.is_empty()
                    || link.what.to_lowercase() == what.to_lowercase())
        });
        if let Some(taken) = taken {
            return Err(BookError::refused(format!(
                "entry {entry} belongs to '{}' in the plan already",
                taken.line
            )));
        }
        let shares = crate::plan::Share::of(&self.chart, &posted.entry);
        let is_there = if what.is_empty() {
            !shares.is_empty()
        } else {
            let wanted = what.to_lowercase();
            shares
                .iter()
                .any(|share| share.what.to_lowercase() == wanted)
        };
        if !is_there {
            return Err(BookError::refused(if what.is_empty() {
                format!("nothing on entry {entry} is a cost that could be planned")
            } else {
                format!("nothing on entry {entry} is called '{what}'")
            }));
        }
        let label = format!("Entry {entry} belongs to the plan: {}", planned.name);
        self.write(&label, |book| {
            book.note("plan", &label, "")?;
            book.side(
                "INSERT INTO plan_purchase (line, entry, what) VALUES (?1, ?2, ?3)",
                params![line, entry.0, what],
            )?;
            Ok(())
        })
    }

    /// Takes a purchase off its line of the plan again; the purchase stays in the books.
    ///
    /// # Errors
    /// When it is not there.
    pub fn unlink_plan(&mut self, link: i64) -> Result<(), BookError> {
        let label = "A purchase taken off its line of the plan";
        self.write(label, |book| {
            book.note("plan", label, "")?;
            if book.side("DELETE FROM plan_purchase WHERE id = ?1", [link])? == 0 {
                return Err(BookError::NoSuch {
                    what: "purchase in the plan",
                    key: link.to_string(),
                });
            }
            Ok(())
        })
    }

    /// The accounts that count under another group of the cost to start than their own.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn start_up_marks(&self) -> Result<StartUpMarks, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT account, counts FROM start_up_mark")?;
        let mut rows = query.query([])?;
        let mut marks = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let counts: String = row.get(1)?;
            marks.insert(AccountId(row.get(0)?), word(&counts)?);
        }
        Ok(marks)
    }

    /// Lets an account count under a group of the cost to start, or under its own again.
    ///
    /// # Errors
    /// When the account is not in the chart, or is none on which something is spent.
    pub fn mark_start_up(
        &mut self,
        account: AccountId,
        counts: Option<StartUpGroup>,
    ) -> Result<(), BookError> {
        let known = self.chart.account(account)?;
        if StartUpGroup::of(known).is_none() {
            return Err(BookError::refused(format!(
                "'{}' is no account of what starting costs",
                known.name
            )));
        }
        let label = match counts {
            Some(group) => format!("{} counts as {}", known.title(), group.heading()),
            None => format!("{} counts in its own group", known.title()),
        };
        self.write(&label, |book| {
            book.note("plan", &label, "")?;
            match counts {
                Some(group) => book.side(
                    "INSERT INTO start_up_mark (account, counts) VALUES (?1, ?2)
                     ON CONFLICT (account) DO UPDATE SET counts = excluded.counts",
                    params![account.0, group.as_str()],
                )?,
                None => book.side("DELETE FROM start_up_mark WHERE account = ?1", [account.0])?,
            };
            Ok(())
        })
    }
}

/// The name of the first line of a line's group as that line has it, when the line is another way of it.
fn first_of<'p>(line: &PlanLine, plan: &'p Plan) -> Option<&'p str> {
    let first = plan.line(line.alternative_of.as_deref()?)?;
    Some(first.name.trim())
}

fn no_line(id: i64) -> BookError {
    BookError::NoSuch {
        what: "line of the plan",
        key: id.to_string(),
    }
}
