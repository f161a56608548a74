//! Stock and the ledger kept together: what an entry's movements are worth becomes its lines, and what a later one puts
//! right in earlier ones becomes entries of their own.
//! What is still to be posted is `stock_differences`', the rows are `stock_rows`'.
//!
//! Every write works out what all movements concerned are worth, holds that against what is posted, and posts the
//! difference on the days it belongs to. Stock records and stock accounts therefore agree to the cent on every day.

use std::collections::{BTreeSet, HashMap};

use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};

use super::stock_differences::{Difference, Differences};
use super::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::{
    AccountId, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry, Role,
};
use crate::money::{Money, Quantity};
use crate::stock::{
    Item, Movement, MovementId, MovementKind, StockKeeping, Stocks, cost_role, of_millionths,
    stock_role,
};

/// What one item is worth on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemStock {
    /// The item.
    pub item: Item,
    /// How many there are.
    pub quantity: Quantity,
    /// What they are worth in the books, in minor units.
    pub value: Money,
}

/// An entry with the movements it makes, not yet costed.
#[derive(Debug)]
pub(super) struct ToldStock {
    pub(super) header: EntryHeader,
    pub(super) lines: Vec<Line>,
    pub(super) movements: Vec<Movement>,
    pub(super) recording: Option<Recording>,
}

impl ToldStock {
    /// How undo and history name it.
    pub(super) fn label(&self) -> String {
        format!("{}: {}", self.header.kind.plain(), self.header.memo)
    }
}

impl Book {
    /// Costs everything that stands.
    ///
    /// # Errors
    /// When the file cannot be read, or the history cannot be costed, which the book does not let come about.
    pub fn stocks(&self) -> Result<Stocks, BookError> {
        let movements: Vec<Movement> = self.movements()?.into_iter().map(|(one, _)| one).collect();
        self.costed(&movements)
    }

    /// What every item is worth on a day, those that never moved left out. In a book that counts only it is what they
    /// cost, which its ledger follows at the next count.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_on(&self, date: NaiveDate) -> Result<Vec<ItemStock>, BookError> {
        if self.settings.stock_keeping() == StockKeeping::Periodic {
            return self.stock_by_cost(date);
        }
        let on = date.to_string();
        let mut worth: HashMap<i64, Money> = HashMap::new();
        let mut query = self.conn.prepare_cached(
            "SELECT item, sum(amount) FROM stock_posting WHERE side = 'stock' AND date <= ?1 GROUP BY item",
        )?;
        let mut rows = query.query([&on])?;
        while let Some(row) = rows.next()? {
            worth.insert(row.get(0)?, Money::from_minor(row.get(1)?));
        }
        let mut query = self.conn.prepare_cached(
            "SELECT item, sum(change) FROM movement WHERE is_void = 0 AND date <= ?1 GROUP BY item",
        )?;
        let mut rows = query.query([&on])?;
        let mut there: HashMap<i64, i64> = HashMap::new();
        while let Some(row) = rows.next()? {
            there.insert(row.get(0)?, row.get(1)?);
        }
        let mut list = Vec::new();
        for (id, item) in self.items_by_row()? {
            if let Some(micro) = there.get(&id) {
                list.push(ItemStock {
                    item,
                    quantity: of_millionths(*micro),
                    value: worth.get(&id).copied().unwrap_or_default(),
                });
            }
        }
        Ok(list)
    }

    fn stock_by_cost(&self, date: NaiveDate) -> Result<Vec<ItemStock>, BookError> {
        let stocks = self.stocks_on(date)?;
        let items = self.items()?.into_iter();
        Ok(items
            .filter_map(|item| {
                let there = stocks.on_hand.get(&item.code)?;
                Some(ItemStock {
                    quantity: there.quantity,
                    value: there.value,
                    item,
                })
            })
            .collect())
    }

    /// Moves stock in an entry of its own: a batch, waste, samples, a count. `lines` are what else happens in it, such as
    /// paying for outside work; they need not balance by themselves. Nothing is posted where nothing is worth anything.
    ///
    /// # Errors
    /// When a movement cannot be, an item is unknown, a day it would change is locked, or the entry does not balance.
    pub fn move_stock(
        &mut self,
        header: &EntryHeader,
        lines: &[Line],
        movements: &[Movement],
    ) -> Result<Option<EntryNumber>, BookError> {
        let told = ToldStock {
            header: header.clone(),
            lines: lines.to_vec(),
            movements: movements.to_vec(),
            recording: None,
        };
        let label = told.label();
        self.write(&label, |book| {
            let movements = book.numbered(&told, book.next_movement()?)?;
            let differences = book.differences(&movements, &BTreeSet::new())?;
            let own = differences.own(told.header.date, &movements);
            let entry = book.entry_of(&told, &movements, &own, &differences.movements)?;
            let Some(entry) = entry else {
                book.note("stock", &label, "")?;
                for movement in &movements {
                    book.insert_movement(movement, None, &told.header.reference)?;
                }
                book.put_right(differences, &movements, None)?;
                return Ok(None);
            };
            book.post_with_stock(&entry, &movements, differences)
                .map(Some)
        })
    }

    /// The lines an entry would get for these movements, to be shown before it is written.
    ///
    /// # Errors
    /// As [`Book::move_stock`].
    pub fn preview_stock(
        &self,
        header: &EntryHeader,
        movements: &[Movement],
    ) -> Result<Vec<Line>, BookError> {
        let told = ToldStock {
            header: header.clone(),
            lines: Vec::new(),
            movements: movements.to_vec(),
            recording: None,
        };
        let movements = self.numbered(&told, self.next_movement()?)?;
        let differences = self.differences(&movements, &BTreeSet::new())?;
        self.lines_for(
            &differences.own(header.date, &movements),
            &differences.movements,
            true,
        )
    }

    /// What a recording says of stock: its own movements, and what its lines tell of items that the book keeps.
    pub(super) fn stock_told_by(
        &self,
        recording: &Recording,
    ) -> Result<Option<ToldStock>, BookError> {
        if !recording.tells_stock {
            return Ok(None);
        }
        let mut lines = recording.entry.lines().to_vec();
        let mut movements = recording.movements.clone();
        let mut has_moved_line = false;
        let header = &recording.entry.header;
        for line in &mut lines {
            let Some(code) = line.item.clone() else {
                continue;
            };
            let Some(item) = self.item(&code)? else {
                // Movements that came along say more than the set could: from which place its parts went.
                let is_told = |part: &Movement| {
                    recording.movements.iter().any(|one| {
                        one.kind == part.kind && one.item.eq_ignore_ascii_case(&part.item)
                    })
                };
                let parts = self.sold_as_bundle(header, &code, line)?;
                movements.extend(parts.into_iter().filter(|part| !is_told(part)));
                continue;
            };
            let stock = self.chart.role(stock_role(item.kind))?;
            let is_stock = line.account == stock;
            let is_sale = self.chart.has_role(line.account, Role::Sales);
            let kind = match header.kind {
                EntryKind::Purchase | EntryKind::BroughtIn
                    if is_stock && line.amount.is_positive() =>
                {
                    MovementKind::Receive
                }
                EntryKind::Sale if is_sale && item.kind.is_sold() => MovementKind::Sell,
                EntryKind::SupplierRefund if is_stock && line.amount.is_negative() => {
                    let is_told = recording.movements.iter().any(|one| {
                        one.kind == MovementKind::LaterCredit
                            && one.item.eq_ignore_ascii_case(&item.code)
                    });
                    if is_told {
                        continue;
                    }
                    let arrival = match line.quantity {
                        None => self.arrival_on(&header.document, &item.code)?,
                        Some(_) => None,
                    };
                    if let Some(arrival) = arrival {
                        // Nothing goes back: what came then was cheaper, for what is left and for what has gone.
                        movements.push(Movement {
                            value: -line.amount,
                            of: Some(arrival),
                            ..Movement::new(
                                MovementId(0),
                                header.date,
                                item.code,
                                MovementKind::LaterCredit,
                                Quantity::default(),
                            )
                        });
                        continue;
                    }
                    // The pieces leave at what they cost here; what the supplier gives for them stands against it. So
                    // does a credit whose arrival is not known.
                    has_moved_line = true;
                    // In a book that counts only they were a cost when they came, and there they are taken off.
                    line.account = self.chart.role(match self.settings.stock_keeping() {
                        StockKeeping::Perpetual => Role::CostOfGoodsSold,
                        StockKeeping::Periodic => cost_role(item.kind),
                    })?;
                    MovementKind::SendBack
                }
                _ if is_stock
                    && !line.amount.is_zero()
                    && !is_moved(&recording.movements, &item.code) =>
                {
                    return Err(line_without_movement(&item));
                }
                _ => continue,
            };
            let has_bill = movements.iter().any(|one| {
                one.kind == MovementKind::LaterCost && one.item.eq_ignore_ascii_case(&item.code)
            });
            // A movement that came along says more than the line could: from which place it went.
            let is_told = recording
                .movements
                .iter()
                .any(|one| one.kind == kind && one.item.eq_ignore_ascii_case(&item.code));
            if is_told {
                continue;
            }
            let quantity = match line.quantity {
                Some(quantity) => quantity,
                None if has_bill || kind == MovementKind::SendBack => continue,
                None => {
                    return Err(BookError::refused(format!(
                        "say how many {} of {} there were",
                        item.unit.plural(),
                        item.name
                    )));
                }
            };
            let mut movement = Movement::new(
                MovementId(0),
                header.date,
                item.code.clone(),
                kind,
                quantity,
            );
            if kind == MovementKind::Receive {
                movement.value = line.amount;
            }
            movements.push(movement);
        }
        if movements.is_empty() && !has_moved_line {
            return Ok(None);
        }
        Ok(Some(ToldStock {
            header: header.clone(),
            lines,
            movements,
            recording: Some(recording.clone()),
        }))
    }

    /// What a sold set takes out of the stock; nothing when the line is no sale of one.
    fn sold_as_bundle(
        &self,
        header: &EntryHeader,
        code: &str,
        line: &Line,
    ) -> Result<Vec<Movement>, BookError> {
        let is_sale =
            header.kind == EntryKind::Sale && self.chart.has_role(line.account, Role::Sales);
        let bundle = match self.bundle(code)? {
            Some(bundle) if is_sale => bundle,
            _ => return Ok(Vec::new()),
        };
        let Some(sets) = line.quantity else {
            return Err(BookError::refused(format!(
                "say how many of {} there were",
                bundle.name
            )));
        };
        let parts = bundle.parts_for(sets).into_iter();
        Ok(parts
            .map(|part| {
                Movement::new(
                    MovementId(0),
                    header.date,
                    part.item,
                    MovementKind::Sell,
                    part.quantity,
                )
            })
            .collect())
    }

    /// Records an entry together with the movements it makes.
    pub(super) fn record_with_stock(&mut self, told: ToldStock) -> Result<EntryNumber, BookError> {
        let movements = self.numbered(&told, self.next_movement()?)?;
        let differences = self.differences(&movements, &BTreeSet::new())?;
        let own = differences.own(told.header.date, &movements);
        let entry = match self.entry_of(&told, &movements, &own, &differences.movements)? {
            Some(entry) => entry,
            None => return Err(BookError::refused("the entry has no lines")),
        };
        self.post_with_stock(&entry, &movements, differences)
    }

    fn post_with_stock(
        &mut self,
        entry: &JournalEntry,
        movements: &[Movement],
        differences: Differences,
    ) -> Result<EntryNumber, BookError> {
        let number = self.entry_writer()?.record(entry, None)?;
        for movement in movements {
            self.insert_movement(movement, Some(number), &entry.header.reference)?;
        }
        self.put_right(differences, movements, Some((number, entry.header.date)))?;
        Ok(number)
    }

    /// Movements with their numbers from `first` on and the entry's day, checked.
    pub(super) fn numbered(
        &self,
        told: &ToldStock,
        first: u64,
    ) -> Result<Vec<Movement>, BookError> {
        let mut movements = told.movements.clone();
        for (id, movement) in (first..).zip(&mut movements) {
            movement.id = MovementId(id);
            movement.date = told.header.date;
            let Some(item) = self.item(&movement.item)? else {
                return Err(BookError::NoSuch {
                    what: "item",
                    key: movement.item.clone(),
                });
            };
            movement.item = item.code;
            movement
                .check()
                .map_err(|error| BookError::refused(format!("{}: {error}", movement.item)))?;
        }
        Ok(movements)
    }

    /// The whole entry: what was told with its movements, and the lines of what is left to post of them; `all` has every
    /// movement. None when nothing is worth anything and nothing else happens.
    pub(super) fn entry_of(
        &self,
        told: &ToldStock,
        movements: &[Movement],
        own: &[Difference],
        all: &HashMap<MovementId, Movement>,
    ) -> Result<Option<JournalEntry>, BookError> {
        let mut lines = told.lines.clone();
        if self.settings.stock_keeping() == StockKeeping::Periodic {
            self.take_as_costs(&mut lines, told, movements)?;
        }
        lines.extend(self.lines_for(own, all, told.recording.is_none())?);
        if lines.iter().all(|line| line.amount.is_zero()) {
            return Ok(None);
        }
        Ok(Some(JournalEntry::new(told.header.clone(), lines)?))
    }

    /// In a book that counts only, what comes in is a cost at once: the stock lines of items and of part-made pieces go to
    /// the costs, and arrivals that bring no line of their own get one.
    fn take_as_costs(
        &self,
        lines: &mut Vec<Line>,
        told: &ToldStock,
        movements: &[Movement],
    ) -> Result<(), BookError> {
        let part_made = self.chart.role(Role::PartMade)?;
        for line in lines.iter_mut() {
            let Some(item) = line
                .item
                .as_deref()
                .map(|code| self.item(code))
                .transpose()?
            else {
                continue;
            };
            let Some(item) = item else {
                continue;
            };
            let stock = self.chart.role(stock_role(item.kind))?;
            if line.account == stock || line.account == part_made {
                line.account = self.chart.role(cost_role(item.kind))?;
            }
        }
        if told.recording.is_some() {
            return Ok(());
        }
        for movement in movements {
            let amount = match movement.kind {
                MovementKind::Receive | MovementKind::LaterCost => movement.value,
                MovementKind::LaterCredit => -movement.value,
                _ => continue,
            };
            let Some(item) = self.item(&movement.item)? else {
                continue;
            };
            let account = self.chart.role(cost_role(item.kind))?;
            let mut line = Line::debit(account, amount).memo(movement.kind.plain());
            line.item = Some(item.code);
            if !movement.quantity.value().is_zero() {
                line.quantity = Some(movement.quantity);
            }
            lines.push(line);
        }
        Ok(())
    }

    /// Whether an entry moved stock or put its cost right.
    pub(super) fn has_stock(&self, number: EntryNumber) -> Result<bool, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM movement WHERE entry = ?1) OR EXISTS (SELECT 1 FROM stock_posting WHERE entry = ?1)",
        )?;
        Ok(query.query_row([number.0], |row| row.get(0))?)
    }

    /// An entry that moved stock keeps its day and its lines, and one that moved none gets no lines of items; its words
    /// may change.
    pub(super) fn refuse_other_stock(
        &self,
        posted: &PostedEntry,
        entry: &JournalEntry,
    ) -> Result<(), BookError> {
        let (before, after) = (told_lines(&posted.entry), told_lines(entry));
        let is_same = posted.entry.header.date == entry.header.date && before == after;
        if is_same {
            return Ok(());
        }
        if self.has_stock(posted.number)? {
            return Err(BookError::refused(format!(
                "entry {} moved stock, so its day, amounts and pieces stay; take it back and write it down again",
                posted.number
            )));
        }
        let of_items = |lines: &[ToldLine]| -> Vec<ToldLine> {
            let named = lines.iter().filter(|(.., item, _quantity)| item.is_some());
            named.cloned().collect()
        };
        if of_items(&before) != of_items(&after)
            && self
                .stock_told_by(&Recording::new(entry.clone()))?
                .is_some()
        {
            return Err(BookError::refused(format!(
                "entry {} moved no stock, so no item can be put into it; take it back and write it down again",
                posted.number
            )));
        }
        Ok(())
    }

    /// What moved stock is taken back on its own day, so that the stock is right on every day between.
    /// Answers whether the entry moved any.
    pub(super) fn refuse_stock_elsewhere(
        &self,
        posted: &PostedEntry,
        date: NaiveDate,
    ) -> Result<bool, BookError> {
        if !self.has_stock(posted.number)? {
            return Ok(false);
        }
        if posted.entry.header.kind == EntryKind::StockCost {
            return Err(BookError::refused(format!(
                "entry {} follows from what other entries say of stock; take those back instead",
                posted.number
            )));
        }
        if posted.entry.header.date != date {
            return Err(BookError::refused(format!(
                "entry {} moved stock and is taken back on its own day, {}; where that day is locked, write down a return \
                 or a count today instead",
                posted.number, posted.entry.header.date
            )));
        }
        Ok(true)
    }

    /// The mirror of an entry takes its movements out of the stock, and what they had changed elsewhere is put right.
    pub(super) fn take_back_stock(
        &mut self,
        number: EntryNumber,
        mirror: EntryNumber,
    ) -> Result<(), BookError> {
        self.side(
            "INSERT INTO stock_posting (movement, entry, item, date, side, amount)
             SELECT movement, ?2, item, date, side, -amount FROM stock_posting WHERE entry = ?1",
            params![number.0, mirror.0],
        )?;
        let void: BTreeSet<MovementId> = self
            .movements_of(number)?
            .into_iter()
            .map(|movement| movement.id)
            .collect();
        let differences = match self.differences(&[], &void) {
            Err(BookError::Costing { movement, .. }) => {
                return Err(self.leans_on(number, movement)?);
            }
            found => found?,
        };
        self.side(
            "UPDATE movement SET is_void = 1 WHERE entry = ?1",
            [number.0],
        )?;
        self.put_right(differences, &[], None)
    }
}

impl Book {
    /// The refusal to take an entry back on whose movements a later one leans: a credit, a later bill, a return.
    fn leans_on(&self, number: EntryNumber, later: MovementId) -> Result<BookError, BookError> {
        let of: Option<Option<u64>> = self
            .conn
            .prepare_cached("SELECT entry FROM movement WHERE id = ?1")?
            .query_row([later.0], |row| row.get(0))
            .optional()?;
        let what = self
            .movement(later)?
            .map_or("A movement", |one| one.kind.plain());
        let of = of
            .flatten()
            .map_or_else(|| format!("movement {later}"), |of| format!("entry {of}"));
        Ok(BookError::refused(format!(
            "'{what}' in {of} leans on what entry {number} moved; take {of} back first"
        )))
    }
}

/// What a line says of money and pieces.
type ToldLine = (AccountId, Money, Option<String>, Option<Quantity>);

fn told_lines(entry: &JournalEntry) -> Vec<ToldLine> {
    let lines = entry.lines().iter();
    lines
        .map(|line| (line.account, line.amount, line.item.clone(), line.quantity))
        .collect()
}

/// Whether movements that came along tell of an item.
fn is_moved(movements: &[Movement], code: &str) -> bool {
    movements
        .iter()
        .any(|one| one.item.eq_ignore_ascii_case(code))
}

/// A line on an item's own stock account would leave the account worth more or less than the item's movements.
fn line_without_movement(item: &Item) -> BookError {
    BookError::refused(format!(
        "{} is kept in stock, and an entry of this kind moves none: write down what came or went, or leave the item out \
         of the line",
        item.name
    ))
}
