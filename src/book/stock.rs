//! Stock and the ledger kept together: what an entry's movements are worth becomes its lines, and what a later one puts
//! right in earlier ones becomes entries of their own.
//! The rows are `stock_rows`', the arithmetic is `crate::stock`'s.
//!
//! Every write works out what all movements concerned are worth, holds that against what is posted, and posts the
//! difference on the days it belongs to. Stock records and stock accounts therefore agree to the cent on every day.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;
use rusqlite::params;

use super::reading::day;
use super::stock_rows::{MOVEMENT, movement_row};
use super::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::{
    EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, Origin, PostedEntry, Role,
};
use crate::money::{Money, Quantity};
use crate::stock::{
    Item, Movement, MovementId, MovementKind, Side, Stocks, cost, counter_role, millionths,
    of_millionths, stock_role,
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
pub(super) struct ToldStock {
    header: EntryHeader,
    lines: Vec<Line>,
    movements: Vec<Movement>,
    recording: Option<Recording>,
}

/// An amount still to be posted on a side of a movement.
#[derive(Clone, Copy, Debug)]
struct Difference {
    of: MovementId,
    side: Side,
    amount: Money,
}

type Sums = BTreeMap<(NaiveDate, MovementId, Side), Money>;

/// What is still to be posted, by day.
#[derive(Default)]
struct Differences {
    by_day: BTreeMap<NaiveDate, Vec<Difference>>,
    movements: HashMap<MovementId, Movement>,
    /// What counts found.
    counted: Vec<(MovementId, Quantity)>,
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

    /// What every item is worth on a day, those that never moved left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_on(&self, date: NaiveDate) -> Result<Vec<ItemStock>, BookError> {
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
        let label = format!("{}: {}", header.kind.plain(), header.memo);
        self.write(&label, |book| {
            let movements = book.numbered(&told)?;
            let differences = book.differences(&movements, &BTreeSet::new())?;
            let entry = book.entry_of(&told, &movements, &differences)?;
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
        let movements = self.numbered(&told)?;
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
        let header = &recording.entry.header;
        for line in &mut lines {
            let Some(code) = line.item.clone() else {
                continue;
            };
            let Some(item) = self.item(&code)? else {
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
                    // The pieces leave at what they cost here; what the supplier gives for them stands against it.
                    line.account = self.chart.role(Role::CostOfGoodsSold)?;
                    MovementKind::SendBack
                }
                _ => continue,
            };
            let has_bill = movements
                .iter()
                .any(|one| one.kind == MovementKind::LaterCost && one.item == item.code);
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
                        item.unit, item.name
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
        if movements.is_empty() {
            return Ok(None);
        }
        Ok(Some(ToldStock {
            header: header.clone(),
            lines,
            movements,
            recording: Some(recording.clone()),
        }))
    }

    /// Records an entry together with the movements it makes.
    pub(super) fn record_with_stock(&mut self, told: ToldStock) -> Result<EntryNumber, BookError> {
        let movements = self.numbered(&told)?;
        let differences = self.differences(&movements, &BTreeSet::new())?;
        let entry = match self.entry_of(&told, &movements, &differences)? {
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

    /// Movements with their numbers and the entry's day, checked.
    fn numbered(&self, told: &ToldStock) -> Result<Vec<Movement>, BookError> {
        let first = self.next_movement()?;
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

    /// The whole entry: what was told, and the lines of what its movements are worth. None when nothing is worth
    /// anything and nothing else happens.
    fn entry_of(
        &self,
        told: &ToldStock,
        movements: &[Movement],
        differences: &Differences,
    ) -> Result<Option<JournalEntry>, BookError> {
        let mut lines = told.lines.clone();
        let own = differences.own(told.header.date, movements);
        lines.extend(self.lines_for(&own, &differences.movements, told.recording.is_none())?);
        if lines.iter().all(|line| line.amount.is_zero()) {
            return Ok(None);
        }
        Ok(Some(JournalEntry::new(told.header.clone(), lines)?))
    }

    /// Posts what is left to be posted: the entry's own on its number, the rest in entries that put costs right.
    fn put_right(
        &mut self,
        differences: Differences,
        own: &[Movement],
        entry: Option<(EntryNumber, NaiveDate)>,
    ) -> Result<(), BookError> {
        self.keep_counted(&differences.counted)?;
        let own: BTreeSet<MovementId> = own.iter().map(|movement| movement.id).collect();
        let mut entry = entry;
        if let Some((number, date)) = entry {
            for one in differences.by_day.get(&date).into_iter().flatten() {
                if own.contains(&one.of) {
                    self.keep_posting(*one, number)?;
                }
            }
        }
        let own_day = entry.take().map(|(_, date)| date);
        for (date, all) in &differences.by_day {
            let rest: Vec<Difference> = all
                .iter()
                .filter(|one| own_day != Some(*date) || !own.contains(&one.of))
                .copied()
                .collect();
            if rest.is_empty() {
                continue;
            }
            let lines = self.lines_for(&rest, &differences.movements, false)?;
            let mut header = EntryHeader::new(*date, EntryKind::StockCost);
            header.memo = "What stock cost, put right".to_owned();
            header.origin = Origin::Schedule;
            let number = self
                .entry_writer()?
                .record(&JournalEntry::new(header, lines)?, None)?;
            for one in rest {
                self.keep_posting(one, number)?;
            }
        }
        Ok(())
    }

    fn keep_posting(&mut self, one: Difference, entry: EntryNumber) -> Result<(), BookError> {
        self.insert_posting(one.of, entry, one.side, one.amount)
    }

    /// The lines of amounts on movements: each on its item's stock account, and what stands against them summed by
    /// account and item. Arrivals have their lines already.
    fn lines_for(
        &self,
        differences: &[Difference],
        movements: &HashMap<MovementId, Movement>,
        with_arrivals: bool,
    ) -> Result<Vec<Line>, BookError> {
        let mut lines = Vec::new();
        let mut against: BTreeMap<(Role, String), Money> = BTreeMap::new();
        let mut items: HashMap<&str, Item> = HashMap::new();
        for one in differences {
            let Some(movement) = movements.get(&one.of) else {
                return Err(BookError::damaged("a posting of stock has no movement"));
            };
            let code = movement.item.as_str();
            if !items.contains_key(code) {
                let item = self.item(code)?.ok_or_else(|| {
                    BookError::damaged(format!("the item {code} of a movement is gone"))
                })?;
                items.insert(code, item);
            }
            let kind = items[code].kind;
            let counter = counter_role(movement, kind);
            let role = match one.side {
                Side::Loss => Role::Waste,
                Side::Stock if counter.is_none() && !with_arrivals => continue,
                Side::Stock => stock_role(kind),
            };
            let mut line =
                Line::debit(self.chart.role(role)?, one.amount).memo(movement.kind.plain());
            line.item = Some(code.to_owned());
            if !movement.quantity.value().is_zero() && one.side == Side::Stock {
                line.quantity = Some(movement.quantity);
            }
            lines.push(line);
            if let Some(counter) = counter {
                *against.entry((counter, code.to_owned())).or_default() -= one.amount;
            }
        }
        for ((role, code), amount) in against {
            let mut line = Line::debit(self.chart.role(role)?, amount);
            line.item = Some(code);
            lines.push(line);
        }
        lines.retain(|line| !line.amount.is_zero());
        Ok(lines)
    }

    /// What all movements concerned are worth, less what is posted: with these new ones, and without the void ones.
    fn differences(
        &self,
        new: &[Movement],
        void: &BTreeSet<MovementId>,
    ) -> Result<Differences, BookError> {
        let items = self.tied(new, void)?;
        let standing = self.standing(&items)?;
        let mut movements: HashMap<MovementId, Movement> = standing
            .iter()
            .map(|movement| (movement.id, movement.clone()))
            .collect();
        let mut told: Vec<Movement> = standing
            .into_iter()
            .filter(|movement| !void.contains(&movement.id))
            .collect();
        told.extend(new.iter().cloned());
        movements.extend(new.iter().map(|movement| (movement.id, movement.clone())));
        let stocks = self.costed(&told)?;
        let mut sums: Sums = BTreeMap::new();
        for posting in &stocks.postings {
            *sums
                .entry((posting.on, posting.of, posting.side))
                .or_default() += posting.amount;
        }
        for ((on, of, side), amount) in self.posted(&items)? {
            *sums.entry((on, of, side)).or_default() -= amount;
        }
        let mut differences = Differences {
            movements,
            counted: stocks.counted,
            ..Differences::default()
        };
        for ((on, of, side), amount) in sums {
            if !amount.is_zero() {
                differences
                    .by_day
                    .entry(on)
                    .or_default()
                    .push(Difference { of, side, amount });
            }
        }
        Ok(differences)
    }

    fn costed(&self, movements: &[Movement]) -> Result<Stocks, BookError> {
        cost(self.settings.costing(), movements)
            .map_err(|error| BookError::refused(error.to_string()))
    }

    /// The items of some movements, and every item that a batch ties to them.
    fn tied(
        &self,
        new: &[Movement],
        void: &BTreeSet<MovementId>,
    ) -> Result<BTreeSet<i64>, BookError> {
        let mut items: BTreeSet<i64> = BTreeSet::new();
        for movement in new {
            items.insert(self.item_id(&movement.item)?);
        }
        let mut of_void = self
            .conn
            .prepare_cached("SELECT item FROM movement WHERE id = ?1")?;
        for id in void {
            items.insert(of_void.query_row([id.0], |row| row.get(0))?);
        }
        for batch in new.iter().filter_map(|movement| movement.batch.as_deref()) {
            let mut query = self
                .conn
                .prepare_cached("SELECT DISTINCT item FROM movement WHERE batch = ?1")?;
            let found = query.query_map([batch], |row| row.get::<_, i64>(0))?;
            items.extend(found.collect::<Result<Vec<_>, _>>()?);
        }
        // Batches tie items together; follow them until no new item turns up.
        let mut tied = self.conn.prepare_cached(
            "SELECT DISTINCT o.item FROM movement m JOIN movement o ON o.batch = m.batch
             WHERE m.item = ?1 AND m.batch IS NOT NULL",
        )?;
        let mut open: Vec<i64> = items.iter().copied().collect();
        while let Some(item) = open.pop() {
            let found = tied.query_map([item], |row| row.get::<_, i64>(0))?;
            for other in found {
                let other = other?;
                if items.insert(other) {
                    open.push(other);
                }
            }
        }
        Ok(items)
    }

    fn standing(&self, items: &BTreeSet<i64>) -> Result<Vec<Movement>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT {MOVEMENT} FROM movement m JOIN item i ON i.id = m.item WHERE m.item = ?1 AND m.is_void = 0"
        ))?;
        let mut movements = Vec::new();
        for item in items {
            let mut rows = query.query([item])?;
            while let Some(row) = rows.next()? {
                movements.push(movement_row(row)?);
            }
        }
        Ok(movements)
    }

    /// What is posted of these items, by the day of the entry that posted it. What was taken back adds up to nothing.
    fn posted(&self, items: &BTreeSet<i64>) -> Result<Sums, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT p.movement, p.date, p.side, p.amount FROM movement m JOIN stock_posting p ON p.movement = m.id
             WHERE m.item = ?1 AND m.is_void = 0",
        )?;
        let mut sums = Sums::new();
        let mut days: HashMap<String, NaiveDate> = HashMap::new();
        for item in items {
            let mut rows = query.query([item])?;
            while let Some(row) = rows.next()? {
                let text = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
                let on = match days.get(text) {
                    Some(on) => *on,
                    None => {
                        let on = day(text)?;
                        days.insert(text.to_owned(), on);
                        on
                    }
                };
                let side = side_of(row.get_ref(2)?.as_str().map_err(rusqlite::Error::from)?)?;
                *sums.entry((on, MovementId(row.get(0)?), side)).or_default() +=
                    Money::from_minor(row.get(3)?);
            }
        }
        Ok(sums)
    }

    /// Whether an entry moved stock or put its cost right.
    pub(super) fn has_stock(&self, number: EntryNumber) -> Result<bool, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT EXISTS (SELECT 1 FROM movement WHERE entry = ?1) OR EXISTS (SELECT 1 FROM stock_posting WHERE entry = ?1)",
        )?;
        Ok(query.query_row([number.0], |row| row.get(0))?)
    }

    /// An entry that moved stock keeps its day and its lines; its words may change.
    pub(super) fn refuse_other_stock(
        &self,
        posted: &PostedEntry,
        entry: &JournalEntry,
    ) -> Result<(), BookError> {
        let amounts = |entry: &JournalEntry| -> Vec<(crate::ledger::AccountId, Money)> {
            entry
                .lines()
                .iter()
                .map(|line| (line.account, line.amount))
                .collect()
        };
        let is_same = posted.entry.header.date == entry.header.date
            && amounts(&posted.entry) == amounts(entry);
        if !is_same && self.has_stock(posted.number)? {
            return Err(BookError::refused(format!(
                "entry {} moved stock, so its day and amounts stay; take it back and write it down again",
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
        let differences = self.differences(&[], &void)?;
        self.side(
            "UPDATE movement SET is_void = 1 WHERE entry = ?1",
            [number.0],
        )?;
        self.put_right(differences, &[], None)
    }

    /// What is wrong between the stock and the ledger, a sentence each; nothing in a sound book.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_faults(&self) -> Result<Vec<String>, BookError> {
        self.check_stock()
    }

    /// Holds the stock against the ledger: what everything is worth against what is posted, and what is posted against
    /// the lines.
    pub(super) fn check_stock(&self) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        let movements: Vec<Movement> = self.movements()?.into_iter().map(|(one, _)| one).collect();
        let stocks = match self.costed(&movements) {
            Ok(stocks) => stocks,
            Err(error) => return Ok(vec![error.to_string()]),
        };
        let mut sums: BTreeMap<(String, u64, &str), Money> = BTreeMap::new();
        for posting in &stocks.postings {
            let key = (posting.on.to_string(), posting.of.0, posting.side.as_str());
            *sums.entry(key).or_default() += posting.amount;
        }
        let mut query = self.conn.prepare(
            "SELECT e.date, p.movement, p.side, p.amount FROM stock_posting p JOIN entry e ON e.number = p.entry",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let side = side_of(&row.get::<_, String>(2)?)?.as_str();
            let amount = Money::from_minor(row.get(3)?);
            *sums.entry((row.get(0)?, row.get(1)?, side)).or_default() -= amount;
        }
        let mut changes: BTreeMap<MovementId, i64> = movements
            .iter()
            .map(|movement| (movement.id, movement.change()))
            .collect();
        changes.extend(
            stocks
                .counted
                .iter()
                .map(|(id, found)| (*id, millionths(*found))),
        );
        let mut query = self
            .conn
            .prepare("SELECT id, change FROM movement WHERE is_void = 0")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let id = MovementId(row.get(0)?);
            if changes.get(&id) != Some(&row.get(1)?) {
                faults.push(format!("movement {id} keeps another change than it made"));
            }
        }
        for ((on, movement, _side), amount) in sums {
            if !amount.is_zero() {
                let amount = self.currency().plain(amount);
                faults.push(format!(
                    "movement {movement} is worth {amount} more on {on} than is posted"
                ));
            }
        }
        let mut query = self.conn.prepare(
            "WITH stock (role) AS (VALUES ('materials'), ('bought-in-goods'), ('made-goods'), ('packaging-on-hand')),
             told AS (
               SELECT e.date AS date, i.id AS item, l.amount AS amount
               FROM line l JOIN entry e ON e.number = l.entry JOIN account a ON a.id = l.account
               JOIN stock s ON s.role = a.role JOIN item i ON i.code = l.item
               UNION ALL
               SELECT e.date, m.item, -p.amount FROM stock_posting p
               JOIN entry e ON e.number = p.entry JOIN movement m ON m.id = p.movement WHERE p.side = 'stock')
             SELECT i.code, t.date, sum(t.amount) FROM told t JOIN item i ON i.id = t.item
             GROUP BY t.item, t.date HAVING sum(t.amount) <> 0 ORDER BY t.date, i.code",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let (code, on): (String, String) = (row.get(0)?, row.get(1)?);
            let amount = self.currency().plain(Money::from_minor(row.get(2)?));
            faults.push(format!(
                "the ledger has {amount} more of {code} on {on} than its movements"
            ));
        }
        Ok(faults)
    }
}

impl Differences {
    /// What belongs to an entry's own movements on its own day.
    fn own(&self, date: NaiveDate, movements: &[Movement]) -> Vec<Difference> {
        let ids: BTreeSet<MovementId> = movements.iter().map(|movement| movement.id).collect();
        self.by_day
            .get(&date)
            .into_iter()
            .flatten()
            .filter(|one| ids.contains(&one.of))
            .copied()
            .collect()
    }
}

fn side_of(text: &str) -> Result<Side, BookError> {
    text.parse()
        .map_err(|_unknown: String| BookError::damaged("a posting of stock is unreadable"))
}
