//! What came of orders in the file, and the claims on it. The money goes the way of every purchase and refund.
//! Orders themselves are `orders`', what an arrival or a claim refuses is `crate::ordering`'s.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{Row, params};

use super::orders::may_day;
use super::reading::{day, word};
use super::{Book, BookError};
use crate::happenings::Recording;
use crate::ledger::{EntryHeader, EntryKind, EntryNumber};
use crate::money::Money;
use crate::ordering::{Arrival, ArrivalLine, Claim, ClaimState};
use crate::stock::{MovementId, MovementKind};

/// A bill or a credit that came later for pieces of an arrival.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaterOnArrival {
    /// The movement of the arrival.
    pub of: MovementId,
    /// A later bill or a later credit.
    pub kind: MovementKind,
    /// The entry.
    pub entry: Option<EntryNumber>,
    /// The day.
    pub date: NaiveDate,
    /// How much, above nothing both ways.
    pub amount: Money,
}

fn claim_row(row: &Row<'_>) -> Result<Claim, BookError> {
    let text = |column: usize| row.get::<_, String>(column);
    let is_taken_back: bool = row.get(12)?;
    let mut claim = Claim {
        id: row.get(0)?,
        key: text(1)?,
        arrival: row.get(2)?,
        item: row.get(3)?,
        opened_on: day(&text(4)?)?,
        pieces: row.get(5)?,
        amount: Money::from_minor(row.get(6)?),
        what: word(&text(7)?)?,
        state: word(&text(8)?)?,
        settled_on: may_day(row.get(9)?)?,
        entry: row.get::<_, Option<u64>>(10)?.map(EntryNumber),
        note: text(11)?,
    };
    if is_taken_back {
        // The credit was taken back, so the claim is with the supplier again.
        claim.state = ClaimState::Open;
        claim.settled_on = None;
        claim.entry = None;
    }
    Ok(claim)
}

impl Book {
    /// The arrivals of every order, by the order's number, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrivals(&self) -> Result<BTreeMap<i64, Vec<Arrival>>, BookError> {
        let mut lines: BTreeMap<i64, Vec<ArrivalLine>> = BTreeMap::new();
        let mut query = self.conn.prepare_cached(
            "SELECT l.arrival, i.code, l.good, l.spoiled, l.movement
             FROM supplier_arrival_line l JOIN item i ON i.id = l.item ORDER BY l.id",
        )?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            lines.entry(row.get(0)?).or_default().push(ArrivalLine {
                item: row.get(1)?,
                good: row.get(2)?,
                spoiled: row.get(3)?,
                movement: row.get::<_, Option<u64>>(4)?.map(MovementId),
            });
        }
        let mut query = self.conn.prepare_cached(
            "SELECT a.id, a.of_order, a.key, a.date, a.entry,
               EXISTS (SELECT 1 FROM entry r WHERE r.reverses = a.entry)
             FROM supplier_arrival a ORDER BY a.date, a.id",
        )?;
        let mut rows = query.query([])?;
        let mut arrivals: BTreeMap<i64, Vec<Arrival>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            arrivals.entry(row.get(1)?).or_default().push(Arrival {
                id,
                key: row.get(2)?,
                date: day(&row.get::<_, String>(3)?)?,
                entry: row.get::<_, Option<u64>>(4)?.map(EntryNumber),
                is_void: row.get(5)?,
                lines: lines.remove(&id).unwrap_or_default(),
            });
        }
        Ok(arrivals)
    }

    /// The arrivals of an order, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrivals_of(&self, order: i64) -> Result<Vec<Arrival>, BookError> {
        Ok(self.arrivals()?.remove(&order).unwrap_or_default())
    }

    /// Records what came of an order: its purchase, or nothing but its pieces when nothing is billed. Returns the
    /// arrival's number and the entry.
    ///
    /// # Errors
    /// When the arrival cannot be, its key is taken, or the book refuses the purchase; nothing is kept then.
    pub fn record_arrival(
        &mut self,
        order: i64,
        arrival: &Arrival,
        recording: Option<&Recording>,
    ) -> Result<(i64, Option<EntryNumber>), BookError> {
        let of = self.order_of(order)?;
        arrival
            .check(&of)
            .map_err(|error| BookError::refused(error.message))?;
        if recording.is_none() && arrival.lines.is_empty() {
            return Err(BookError::refused(
                "say what came, or what was billed for what is still to come",
            ));
        }
        let label = format!("Arrived: order {}", of.key);
        self.write(&label, |book| {
            let first = book.next_movement_number()?;
            let entry = match recording {
                Some(recording) => Some(book.record_one(recording)?),
                None => {
                    let mut header = EntryHeader::new(arrival.date, EntryKind::Purchase)
                        .party(of.supplier.trim())
                        .memo(format!("Order {}", of.key));
                    header.reference.clone_from(&of.reference);
                    book.move_stock(&header, &[], &arrival.free_movements())?
                }
            };
            let mut kept = arrival.clone();
            kept.entry = entry;
            for line in &mut kept.lines {
                line.movement = book.receipt_since(first, &line.item)?;
            }
            book.note("order", &label, "")?;
            let id = book.insert_arrival(order, &kept)?;
            Ok((id, entry))
        })
    }

    /// Puts an arrival beside its order whose purchase is in the book already.
    ///
    /// # Errors
    /// When it cannot be, or names an entry or a movement that does not fit.
    pub fn restore_arrival(&mut self, order: i64, arrival: &Arrival) -> Result<i64, BookError> {
        let of = self.order_of(order)?;
        arrival
            .check(&of)
            .map_err(|error| BookError::refused(error.message))?;
        let mut kept = arrival.clone();
        if let Some(number) = arrival.entry {
            let posted = self.entry(number)?;
            if posted.entry.header.kind != EntryKind::Purchase {
                return Err(BookError::refused(format!(
                    "entry {number} is not a purchase"
                )));
            }
            kept.date = posted.entry.header.date;
            for line in kept.lines.iter_mut().filter(|line| line.good > 0) {
                if line.movement.is_none() {
                    line.movement = self.receipt_of(number, &line.item)?;
                }
            }
        }
        for line in kept.lines.iter().filter(|line| line.good > 0) {
            let fits = match line.movement {
                Some(id) => self
                    .movement(id)?
                    .is_some_and(|movement| line.is_brought_by(&movement)),
                None => false,
            };
            if !fits {
                return Err(BookError::refused(format!(
                    "no arrival of {} good {} in stock belongs to this; name its entry or its movement",
                    line.good, line.item
                )));
            }
        }
        let label = format!("Arrival kept: order {}", of.key);
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            book.insert_arrival(order, &kept)
        })
    }

    /// The first movement from a number on that brought an item in.
    fn receipt_since(
        &self,
        first: MovementId,
        item: &str,
    ) -> Result<Option<MovementId>, BookError> {
        self.one_receipt("m.id >= ?1", first.0, item)
    }

    /// The movement of an entry that brought an item in, whether it stands or was taken back.
    fn receipt_of(&self, entry: EntryNumber, item: &str) -> Result<Option<MovementId>, BookError> {
        self.one_receipt("m.entry = ?1", entry.0, item)
    }

    fn one_receipt(
        &self,
        which: &str,
        number: u64,
        item: &str,
    ) -> Result<Option<MovementId>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT m.id FROM movement m JOIN item i ON i.id = m.item
             WHERE {which} AND i.code = ?2 AND m.kind = 'receive' ORDER BY m.id LIMIT 1"
        ))?;
        let mut rows = query.query(params![number, item.trim()])?;
        Ok(rows
            .next()?
            .map(|row| row.get(0))
            .transpose()?
            .map(MovementId))
    }

    fn insert_arrival(&mut self, order: i64, arrival: &Arrival) -> Result<i64, BookError> {
        self.side(
            "INSERT INTO supplier_arrival (of_order, key, date, entry) VALUES (?1, ?2, ?3, ?4)",
            params![
                order,
                arrival.key.trim(),
                arrival.date.to_string(),
                arrival.entry.map(|number| number.0)
            ],
        )?;
        let id = self.conn.last_insert_rowid();
        for line in &arrival.lines {
            let item = self.item_id(&line.item)?;
            self.side(
                "INSERT INTO supplier_arrival_line (arrival, item, good, spoiled, movement)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    id,
                    item,
                    line.good,
                    line.spoiled,
                    line.movement.map(|movement| movement.0)
                ],
            )?;
        }
        Ok(id)
    }

    /// The bills and credits that came later for an arrival and stand.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn later_on(&self, arrival: &Arrival) -> Result<Vec<LaterOnArrival>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT m.kind, m.entry, m.date, m.value FROM movement m
             WHERE m.item = (SELECT item FROM movement WHERE id = ?1) AND m.of = ?1 AND m.is_void = 0
               AND m.kind IN ('later-cost', 'later-credit') ORDER BY m.id",
        )?;
        let mut list = Vec::new();
        for of in arrival.lines.iter().filter_map(|line| line.movement) {
            let mut rows = query.query([of.0])?;
            while let Some(row) = rows.next()? {
                list.push(LaterOnArrival {
                    of,
                    kind: word(&row.get::<_, String>(0)?)?,
                    entry: row.get::<_, Option<u64>>(1)?.map(EntryNumber),
                    date: day(&row.get::<_, String>(2)?)?,
                    amount: Money::from_minor(row.get(3)?),
                });
            }
        }
        Ok(list)
    }

    /// What the pieces of every arrival came in at, by the movement that brought them in.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn arrival_values(&self) -> Result<BTreeMap<MovementId, Money>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT m.id, m.value FROM supplier_arrival_line l JOIN movement m ON m.id = l.movement",
        )?;
        let found = query.query_map([], |row| {
            Ok((MovementId(row.get(0)?), Money::from_minor(row.get(1)?)))
        })?;
        Ok(found.collect::<Result<_, _>>()?)
    }

    /// The claims, by day.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn claims(&self) -> Result<Vec<Claim>, BookError> {
        let mut query = self.conn.prepare_cached(
            "SELECT c.id, c.key, c.arrival, i.code, c.opened_on, c.pieces, c.amount, c.what, c.state, c.settled_on,
               c.entry, c.note, EXISTS (SELECT 1 FROM entry r WHERE r.reverses = c.entry)
             FROM supplier_claim c LEFT JOIN item i ON i.id = c.item ORDER BY c.opened_on, c.id",
        )?;
        let mut rows = query.query([])?;
        let mut claims = Vec::new();
        while let Some(row) = rows.next()? {
            claims.push(claim_row(row)?);
        }
        Ok(claims)
    }

    /// Keeps a claim: a new one, or in the place of the one with its number. Returns its number.
    ///
    /// # Errors
    /// When it cannot be, its arrival is not there, or another claim has its key.
    pub fn keep_claim(&mut self, claim: &Claim) -> Result<i64, BookError> {
        let arrival = self.arrival(claim.arrival)?;
        claim
            .check(&arrival, &self.claims()?)
            .map_err(|error| BookError::refused(error.message))?;
        let item = match &claim.item {
            Some(code) => Some(self.item_id(code)?),
            None => None,
        };
        if let Some(number) = claim.entry {
            let posted = self.entry(number)?;
            if posted.entry.header.kind != EntryKind::SupplierRefund {
                return Err(BookError::refused(format!(
                    "entry {number} is no refund from a supplier"
                )));
            }
        }
        let label = match claim.state {
            ClaimState::Open => format!("Claimed: {}", claim.key.trim()),
            ClaimState::Credited => format!("Claim credited: {}", claim.key.trim()),
            ClaimState::Refused => format!("Claim refused: {}", claim.key.trim()),
        };
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            book.put_claim(claim, item)
        })
    }

    fn put_claim(&mut self, claim: &Claim, item: Option<i64>) -> Result<i64, BookError> {
        let values = params![
            (claim.id != 0).then_some(claim.id),
            claim.key.trim(),
            claim.arrival,
            item,
            claim.opened_on.to_string(),
            claim.pieces,
            claim.amount.minor(),
            claim.what.as_str(),
            claim.state.as_str(),
            claim.settled_on.map(|day| day.to_string()),
            claim.entry.map(|number| number.0),
            claim.note.trim(),
        ];
        if claim.id == 0 {
            self.side(
                "INSERT INTO supplier_claim (id, key, arrival, item, opened_on, pieces, amount, what, state, settled_on,
                   entry, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
                values,
            )?;
            return Ok(self.conn.last_insert_rowid());
        }
        let changed = self.side(
            "UPDATE supplier_claim SET key = ?2, arrival = ?3, item = ?4, opened_on = ?5, pieces = ?6, amount = ?7,
               what = ?8, state = ?9, settled_on = ?10, entry = ?11, note = ?12 WHERE id = ?1",
            values,
        )?;
        if changed == 0 {
            return Err(no_claim(claim.id));
        }
        Ok(claim.id)
    }

    /// Records what the supplier gives for a claim. Returns the entry of the refund.
    ///
    /// # Errors
    /// When the claim is not open, or the book refuses the refund; nothing is kept then.
    pub fn credit_claim(
        &mut self,
        id: i64,
        recording: &Recording,
    ) -> Result<EntryNumber, BookError> {
        let mut claim = self.claim(id)?;
        if claim.state != ClaimState::Open {
            return Err(BookError::refused(format!(
                "claim {} is {} already",
                claim.key,
                claim.state.plain()
            )));
        }
        let label = format!("Claim credited: {}", claim.key);
        self.write(&label, |book| {
            let number = book.record_one(recording)?;
            claim.state = ClaimState::Credited;
            claim.settled_on = Some(recording.entry.header.date);
            claim.entry = Some(number);
            book.keep_claim(&claim)?;
            Ok(number)
        })
    }

    /// Takes a claim out of the book that was a mistake.
    ///
    /// # Errors
    /// When it is not there, or was credited.
    pub fn remove_claim(&mut self, id: i64) -> Result<(), BookError> {
        let claim = self.claim(id)?;
        if claim.state == ClaimState::Credited {
            return Err(BookError::refused(format!(
                "claim {} was credited; take its refund back first",
                claim.key
            )));
        }
        let label = format!("Claim taken out: {}", claim.key);
        self.write(&label, |book| {
            book.note("order", &label, "")?;
            book.side("DELETE FROM supplier_claim WHERE id = ?1", [id])?;
            Ok(())
        })
    }

    /// A key for the next claim that no other has: `claim 2`.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn next_claim_key(&self) -> Result<String, BookError> {
        self.free_key("claim", "supplier_claim")
    }

    fn claim(&self, id: i64) -> Result<Claim, BookError> {
        self.claims()?
            .into_iter()
            .find(|claim| claim.id == id)
            .ok_or_else(|| no_claim(id))
    }

    /// An arrival by its number.
    ///
    /// # Errors
    /// When it is not there or the file cannot be read.
    pub fn arrival(&self, id: i64) -> Result<Arrival, BookError> {
        self.arrivals()?
            .into_values()
            .flatten()
            .find(|arrival| arrival.id == id)
            .ok_or_else(|| BookError::NoSuch {
                what: "arrival",
                key: id.to_string(),
            })
    }
}

fn no_claim(id: i64) -> BookError {
    BookError::NoSuch {
        what: "claim",
        key: id.to_string(),
    }
}
