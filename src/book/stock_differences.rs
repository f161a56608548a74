//! What stock is worth, held against what is posted: the difference, the lines it takes, the entries that put it right.
//! When that happens is `stock`'s, the arithmetic is `crate::stock`'s.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;

use super::reading::day;
use super::stock_rows::{MOVEMENT, movement_row};
use super::{Book, BookError};
use crate::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, Origin, Role};
use crate::money::{Money, Quantity};
use crate::stock::{
    Item, Movement, MovementId, MovementKind, Side, StockKeeping, Stocks, at_counts, cost_or_where,
    cost_role, counter_role, stock_role,
};

/// An amount still to be posted on a side of a movement.
#[derive(Clone, Copy, Debug)]
pub(super) struct Difference {
    of: MovementId,
    side: Side,
    amount: Money,
}

type Sums = BTreeMap<(NaiveDate, MovementId, Side), Money>;

/// What is still to be posted, by day.
#[derive(Default)]
pub(super) struct Differences {
    by_day: BTreeMap<NaiveDate, Vec<Difference>>,
    pub(super) movements: HashMap<MovementId, Movement>,
    /// What counts found.
    counted: Vec<(MovementId, Quantity)>,
}

impl Book {
    /// Posts what is left to be posted: the entry's own on its number, the rest in entries that put costs right.
    pub(super) fn put_right(
        &mut self,
        differences: Differences,
        own: &[Movement],
        entry: Option<(EntryNumber, NaiveDate)>,
    ) -> Result<(), BookError> {
        self.keep_counted(&differences.counted)?;
        let own: BTreeSet<MovementId> = own.iter().map(|movement| movement.id).collect();
        for (date, all) in &differences.by_day {
            let mut rest = Vec::new();
            for one in all {
                match entry {
                    Some((number, day)) if day == *date && own.contains(&one.of) => {
                        self.keep_posting(*one, number)?;
                    }
                    _ => rest.push(*one),
                }
            }
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

    pub(super) fn keep_posting(
        &mut self,
        one: Difference,
        entry: EntryNumber,
    ) -> Result<(), BookError> {
        self.insert_posting(one.of, entry, one.side, one.amount)
    }

    /// The lines of amounts on movements: each on its item's stock account, and what stands against them summed by
    /// account and item. Arrivals have their lines already.
    pub(super) fn lines_for(
        &self,
        differences: &[Difference],
        movements: &HashMap<MovementId, Movement>,
        with_arrivals: bool,
    ) -> Result<Vec<Line>, BookError> {
        let is_periodic = self.settings.stock_keeping() == StockKeeping::Periodic;
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
            let counter = match movement.kind {
                MovementKind::Count if is_periodic => Some(cost_role(kind)),
                _ => counter_role(movement, kind),
            };
            let role = match one.side {
                Side::Loss if is_periodic => cost_role(kind),
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
    pub(super) fn differences(
        &self,
        new: &[Movement],
        void: &BTreeSet<MovementId>,
    ) -> Result<Differences, BookError> {
        self.differences_of(&self.tied(new, void)?, new, void)
    }

    /// As [`Book::differences`], of these items, of which none is tied to another by a batch.
    fn differences_of(
        &self,
        items: &BTreeSet<i64>,
        new: &[Movement],
        void: &BTreeSet<MovementId>,
    ) -> Result<Differences, BookError> {
        let standing = self.standing(items)?;
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
        for ((on, of, side), amount) in self.posted(items)? {
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

    /// Works out anew what everything that ever moved is worth, and posts the differences on their days: after another
    /// way of costing was chosen.
    pub(super) fn cost_anew(&mut self) -> Result<(), BookError> {
        let items: BTreeSet<i64> = self
            .items_by_row()?
            .into_iter()
            .map(|(id, _item)| id)
            .collect();
        let differences = self.differences_of(&items, &[], &BTreeSet::new())?;
        self.put_right(differences, &[], None)
    }

    pub(super) fn costed(&self, movements: &[Movement]) -> Result<Stocks, BookError> {
        let stocks = cost_or_where(self.settings.costing(), movements)
            .map_err(|(movement, why)| BookError::Costing { movement, why })?;
        Ok(match self.settings.stock_keeping() {
            StockKeeping::Perpetual => stocks,
            StockKeeping::Periodic => at_counts(stocks, movements),
        })
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
}

impl Differences {
    /// What belongs to an entry's own movements on its own day.
    pub(super) fn own(&self, date: NaiveDate, movements: &[Movement]) -> Vec<Difference> {
        let ids: BTreeSet<MovementId> = movements.iter().map(|movement| movement.id).collect();
        self.by_day
            .get(&date)
            .into_iter()
            .flatten()
            .filter(|one| ids.contains(&one.of))
            .copied()
            .collect()
    }

    /// Takes out what belongs to these movements on their own days, by movement. The rest stays.
    pub(super) fn take_own(
        &mut self,
        movements: &[Movement],
    ) -> HashMap<MovementId, Vec<Difference>> {
        let days: HashMap<MovementId, NaiveDate> = movements
            .iter()
            .map(|movement| (movement.id, movement.date))
            .collect();
        let mut own: HashMap<MovementId, Vec<Difference>> = HashMap::new();
        for (date, all) in &mut self.by_day {
            all.retain(|one| {
                let is_own = days.get(&one.of) == Some(date);
                if is_own {
                    own.entry(one.of).or_default().push(*one);
                }
                !is_own
            });
        }
        self.by_day.retain(|_date, all| !all.is_empty());
        own
    }
}

/// The side a word in the file means.
pub(super) fn side_of(text: &str) -> Result<Side, BookError> {
    text.parse()
        .map_err(|_unknown: String| BookError::damaged("a posting of stock is unreadable"))
}
