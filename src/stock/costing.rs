//! What each movement is worth: arrivals at their landed cost, issues at average or first-in first-out cost, batches at
//! what went into them, later bills, later credits and late arrivals put right.
//! Pure replay of a history; what is posted already and what still has to be is the book's.

use std::collections::{BTreeMap, HashMap};
use std::str::FromStr;

use chrono::NaiveDate;

use super::movement::{millionths, of_millionths};
use super::pool::{Pool, part_of};
use super::{CostMethod, Movement, MovementId, MovementKind};
use crate::money::{Money, Quantity};

/// Which side of a movement a posting is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The stock account of the movement's item; the movement's kind says what stands against it.
    Stock,
    /// The part of a batch that was spoiled beyond what is normal: a loss.
    Loss,
}

impl Side {
    /// The word used in sheets and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Stock => "stock",
            Self::Loss => "loss",
        }
    }
}

impl FromStr for Side {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "stock" => Ok(Self::Stock),
            "loss" => Ok(Self::Loss),
            other => Err(format!(
                "'{other}' is not a side of a movement; use stock or loss"
            )),
        }
    }
}

/// An amount that a movement posts on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Posting {
    /// The day it is posted on: the movement's own, or the day on which something later put it right.
    pub on: NaiveDate,
    /// The movement whose cost it is.
    pub of: MovementId,
    /// Stock or loss.
    pub side: Side,
    /// What is added to that side, in minor units; what leaves the stock is below nothing.
    pub amount: Money,
}

/// How many of an item there are and what they are worth.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OnHand {
    /// How many, below nothing when more was issued than came.
    pub quantity: Quantity,
    /// What they are worth in the books, in minor units.
    pub value: Money,
}

/// A history, costed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stocks {
    /// Every posting, in the order in which it came about.
    pub postings: Vec<Posting>,
    /// What is on hand in the end, by item code.
    pub on_hand: BTreeMap<String, OnHand>,
    /// What lies where, by item code and place; home is the empty place.
    pub places: BTreeMap<(String, String), Quantity>,
    /// What was issued and is still not there: the movement and how many.
    pub short: Vec<(MovementId, Quantity)>,
    /// What counts found: the movement, and how many more (or fewer) lay there than the book thought.
    pub counted: Vec<(MovementId, Quantity)>,
    /// What all of the item was worth after each count, in the order of the counts.
    pub valued: Vec<(MovementId, Money)>,
}

/// Why a history cannot be costed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CostingError {
    /// Two lots of pieces from one batch.
    #[error("batch {0} has pieces already; give a second lot a batch of its own")]
    MadeTwice(String),
    /// Materials taken for a batch whose pieces are there already.
    #[error("batch {0} has its pieces already; nothing more can go into it")]
    UsedAfter(String),
    /// It refers to a movement that is not there, is later, or of another item.
    #[error("there is no earlier movement of {item} that it could belong to")]
    Stranger {
        /// The item's code.
        item: String,
    },
    /// More comes back than was sold.
    #[error("more of {item} comes back than was sold with it")]
    ReturnsTooMany {
        /// The item's code.
        item: String,
    },
    /// More credited than it came to, or than it is still worth.
    #[error("the credit is more than what is left of what {item} came to")]
    CreditedTooFar {
        /// The item's code.
        item: String,
    },
    /// Written down by more than it is worth.
    #[error("{item} is worth less than it is to be written down by")]
    WrittenDownTooFar {
        /// The item's code.
        item: String,
    },
}

/// A batch while its history is read.
#[derive(Debug, Default)]
struct Batch {
    total: i64,
    made: Option<usize>,
    good: i64,
    abnormal: i64,
    loss: i64,
}

/// Works out what every movement of a history is worth.
///
/// Movements may come in any order; they count in the order of [`Movement::order`]. All movements of every item that
/// is concerned must be there, with those of the items made from them.
///
/// # Errors
/// When a batch, a return, a later bill, a credit or a write-down cannot be as it is told.
pub fn cost(method: CostMethod, movements: &[Movement]) -> Result<Stocks, CostingError> {
    cost_or_where(method, movements).map_err(|(_movement, error)| error)
}

/// As [`cost`], and which movement it is that cannot be.
///
/// # Errors
/// As [`cost`].
pub fn cost_or_where(
    method: CostMethod,
    movements: &[Movement],
) -> Result<Stocks, (MovementId, CostingError)> {
    let mut replay = Replay::new(method, movements);
    let mut order: Vec<usize> = (0..movements.len()).collect();
    order.sort_by_key(|idx| movements[*idx].order());
    for idx in order {
        replay
            .step(idx)
            .map_err(|error| (movements[idx].id, error))?;
    }
    Ok(replay.finish())
}

struct Replay<'a> {
    movements: &'a [Movement],
    by_id: HashMap<MovementId, usize>,
    /// The pool of each movement's item.
    pool_of: Vec<usize>,
    pools: Vec<Pool>,
    codes: Vec<&'a str>,
    places: HashMap<(usize, &'a str), i64>,
    batches: HashMap<&'a str, Batch>,
    /// What each issue has cost and each arrival came to so far, corrections included.
    cost: Vec<i64>,
    /// What has come back of each sale: how many, worth how much.
    returned: HashMap<usize, (i64, i64)>,
    seen: Vec<bool>,
    out: Stocks,
}

impl<'a> Replay<'a> {
    fn new(method: CostMethod, movements: &'a [Movement]) -> Self {
        let mut numbers: HashMap<&str, usize> = HashMap::new();
        let mut codes = Vec::new();
        let pool_of = movements
            .iter()
            .map(|movement| {
                *numbers.entry(movement.item.as_str()).or_insert_with(|| {
                    codes.push(movement.item.as_str());
                    codes.len() - 1
                })
            })
            .collect();
        Self {
            movements,
            by_id: movements
                .iter()
                .enumerate()
                .map(|(idx, movement)| (movement.id, idx))
                .collect(),
            pool_of,
            pools: codes.iter().map(|_code| Pool::new(method)).collect(),
            codes,
            places: HashMap::new(),
            batches: HashMap::new(),
            cost: vec![0; movements.len()],
            returned: HashMap::new(),
            seen: vec![false; movements.len()],
            out: Stocks::default(),
        }
    }

    fn step(&mut self, idx: usize) -> Result<(), CostingError> {
        let movement = &self.movements[idx];
        let micro = millionths(movement.quantity);
        match movement.kind {
            MovementKind::Receive => {
                self.put(idx, micro, movement.value.minor());
            }
            MovementKind::Use
            | MovementKind::Sell
            | MovementKind::Waste
            | MovementKind::Sample
            | MovementKind::Gift
            | MovementKind::OwnUse
            | MovementKind::Donate
            | MovementKind::Replace
            | MovementKind::SendBack => self.take(idx, micro)?,
            MovementKind::Make => self.make(idx, micro)?,
            MovementKind::Return => self.take_back(idx, micro)?,
            MovementKind::Count => self.count(idx, micro)?,
            MovementKind::Carry => {
                self.place(idx, &movement.place, -micro);
                self.place(idx, &movement.to_place, micro);
            }
            MovementKind::LaterCost => self.add_bill(idx, movement.value.minor())?,
            MovementKind::LaterCredit => self.add_bill(idx, -movement.value.minor())?,
            MovementKind::WriteDown => {
                let wanted = movement.value.minor();
                if self.pools[self.pool_of[idx]].write_down(wanted) != wanted {
                    return Err(CostingError::WrittenDownTooFar {
                        item: movement.item.clone(),
                    });
                }
                self.post(movement.date, idx, Side::Stock, -wanted);
            }
        }
        self.seen[idx] = true;
        Ok(())
    }

    fn post(&mut self, on: NaiveDate, of: usize, side: Side, amount: i64) {
        if amount != 0 {
            self.out.postings.push(Posting {
                on,
                of: self.movements[of].id,
                side,
                amount: Money::from_minor(amount),
            });
        }
    }

    fn place(&mut self, idx: usize, place: &'a str, micro: i64) {
        *self.places.entry((self.pool_of[idx], place)).or_default() += micro;
    }

    /// Puts pieces in at their cost, and puts right what had been issued before they came.
    fn put(&mut self, idx: usize, micro: i64, value: i64) {
        let movements = self.movements;
        let movement = &movements[idx];
        self.cost[idx] = value;
        self.place(idx, &movement.place, micro);
        self.post(movement.date, idx, Side::Stock, value);
        let corrections = self.pools[self.pool_of[idx]].receive(idx, micro, value);
        for (issue, more) in corrections {
            self.correct(movement.date, issue, more);
        }
    }

    /// Takes pieces away at their cost; those of a batch carry it there.
    fn take(&mut self, idx: usize, micro: i64) -> Result<(), CostingError> {
        let movements = self.movements;
        let movement = &movements[idx];
        self.place(idx, &movement.place, -micro);
        let cost = self.pools[self.pool_of[idx]].issue(idx, micro);
        self.cost[idx] = cost;
        self.post(movement.date, idx, Side::Stock, -cost);
        if let Some(key) = batch_of(movement) {
            let batch = self.batches.entry(key).or_default();
            if batch.made.is_some() {
                return Err(CostingError::UsedAfter(key.to_owned()));
            }
            batch.total += cost;
        }
        Ok(())
    }

    fn make(&mut self, idx: usize, micro: i64) -> Result<(), CostingError> {
        let movements = self.movements;
        let movement = &movements[idx];
        let key = movement.batch.as_deref().unwrap_or_default();
        let abnormal = millionths(movement.abnormal);
        let batch = self.batches.entry(key).or_default();
        if batch.made.is_some() {
            return Err(CostingError::MadeTwice(key.to_owned()));
        }
        batch.total += movement.value.minor();
        batch.made = Some(idx);
        batch.good = micro;
        batch.abnormal = abnormal;
        batch.loss = part_of(batch.total, abnormal, micro + abnormal);
        let (loss, cost) = (batch.loss, batch.total - batch.loss);
        self.post(movement.date, idx, Side::Loss, loss);
        self.put(idx, micro, cost);
        Ok(())
    }

    /// Puts what a customer sent back on the shelf at the cost at which it went.
    fn take_back(&mut self, idx: usize, micro: i64) -> Result<(), CostingError> {
        let movement = &self.movements[idx];
        let value = match movement.of {
            None => self.pools[self.pool_of[idx]].worth(micro),
            Some(_) => {
                let sale = self.source(idx, |kind| kind == MovementKind::Sell)?;
                let sold = millionths(self.movements[sale].quantity);
                let (count, value) = self.returned.get(&sale).copied().unwrap_or_default();
                if count + micro > sold {
                    return Err(CostingError::ReturnsTooMany {
                        item: movement.item.clone(),
                    });
                }
                let so_far = part_of(self.cost[sale], count + micro, sold);
                self.returned.insert(sale, (count + micro, so_far));
                so_far - value
            }
        };
        self.put(idx, micro, value);
        Ok(())
    }

    /// Brings what the book thinks to what was counted.
    fn count(&mut self, idx: usize, micro: i64) -> Result<(), CostingError> {
        let movements = self.movements;
        let movement = &movements[idx];
        let pool = self.pool_of[idx];
        let thought = self
            .places
            .get(&(pool, movement.place.as_str()))
            .copied()
            .unwrap_or_default();
        let more = micro - thought;
        self.out.counted.push((movement.id, of_millionths(more)));
        match more {
            0 => {}
            1.. => {
                let value = self.pools[pool].worth(more);
                self.put(idx, more, value);
            }
            _ => self.take(idx, -more)?,
        }
        let worth = Money::from_minor(self.pools[pool].value());
        self.out.valued.push((movement.id, worth));
        Ok(())
    }

    /// A later bill for an arrival, or a credit, which is below nothing.
    fn add_bill(&mut self, idx: usize, amount: i64) -> Result<(), CostingError> {
        let movement = &self.movements[idx];
        let on = movement.date;
        let arrival = self.source(idx, |kind| {
            matches!(kind, MovementKind::Receive | MovementKind::Make)
        })?;
        self.post(on, idx, Side::Stock, amount);
        self.cost[arrival] += amount;
        self.flow(on, arrival, amount);
        if self.cost[arrival] < 0 || amount < 0 && !self.pools[self.pool_of[idx]].is_sound() {
            return Err(CostingError::CreditedTooFar {
                item: movement.item.clone(),
            });
        }
        Ok(())
    }

    /// The earlier movement of the same item that one belongs to.
    fn source(
        &self,
        idx: usize,
        is_fit: impl Fn(MovementKind) -> bool,
    ) -> Result<usize, CostingError> {
        let movement = &self.movements[idx];
        movement
            .of
            .and_then(|of| self.by_id.get(&of).copied())
            .filter(|source| {
                self.seen[*source]
                    && self.pool_of[*source] == self.pool_of[idx]
                    && is_fit(self.movements[*source].kind)
            })
            .ok_or_else(|| CostingError::Stranger {
                item: movement.item.clone(),
            })
    }

    /// An issue cost more (or less) than was thought: its stock gives the difference, and a batch passes it on.
    fn correct(&mut self, on: NaiveDate, issue: usize, more: i64) {
        if more == 0 {
            return;
        }
        self.cost[issue] += more;
        self.post(on, issue, Side::Stock, -more);
        if let Some(key) = batch_of(&self.movements[issue]) {
            self.add_to_batch(on, key, more);
        }
    }

    /// More cost for a batch: to its pieces when they are made, and from there to wherever they went.
    fn add_to_batch(&mut self, on: NaiveDate, key: &'a str, amount: i64) {
        let batch = self.batches.entry(key).or_default();
        batch.total += amount;
        let Some(made) = batch.made else {
            return;
        };
        let loss = part_of(batch.total, batch.abnormal, batch.good + batch.abnormal);
        let more_loss = loss - batch.loss;
        batch.loss = loss;
        let more = amount - more_loss;
        self.post(on, made, Side::Loss, more_loss);
        self.post(on, made, Side::Stock, more);
        self.cost[made] += more;
        self.flow(on, made, more);
    }

    /// A cost that came later to an arrival, already on its stock account: what has gone since takes its share along.
    fn flow(&mut self, on: NaiveDate, arrival: usize, amount: i64) {
        for (issue, part) in self.pools[self.pool_of[arrival]].add_later(arrival, amount) {
            self.correct(on, issue, part);
        }
    }

    fn finish(mut self) -> Stocks {
        for (idx, pool) in self.pools.iter().enumerate() {
            self.out.on_hand.insert(
                self.codes[idx].to_owned(),
                OnHand {
                    quantity: of_millionths(pool.micro()),
                    value: Money::from_minor(pool.value()),
                },
            );
            for (movement, micro) in pool.shorts() {
                self.out
                    .short
                    .push((self.movements[movement].id, of_millionths(micro)));
            }
        }
        for ((pool, place), micro) in &self.places {
            if *micro != 0 {
                let key = (self.codes[*pool].to_owned(), (*place).to_owned());
                self.out.places.insert(key, of_millionths(*micro));
            }
        }
        self.out.short.sort();
        self.out
    }
}

/// The batch that an issue carries its cost into.
fn batch_of(movement: &Movement) -> Option<&str> {
    match movement.kind {
        MovementKind::Use => movement.batch.as_deref(),
        _ => None,
    }
}
