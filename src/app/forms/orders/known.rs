//! What the forms know of orders to suppliers: the orders, what came of them, the claims.
//! Read once when the book changed; what an order comes to is `crate::ordering`'s.

use std::collections::BTreeMap;

use crate::book::{Book, BookError};
use crate::money::Money;
use crate::ordering::{Arrival, Claim, SupplierOrder, last_order_of, standing};
use crate::stock::MovementId;

/// What is known of orders.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KnownOrders {
    /// Every order, by day.
    pub orders: Vec<SupplierOrder>,
    /// What came, by the order's number.
    pub arrivals: BTreeMap<i64, Vec<Arrival>>,
    /// What the pieces came in at, by the movement that brought them in.
    pub values: BTreeMap<MovementId, Money>,
    /// Every claim.
    pub claims: Vec<Claim>,
    /// A key for the next order.
    pub next_order: String,
    /// A key for the next claim.
    pub next_claim: String,
}

impl KnownOrders {
    /// Reads it.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn read(book: &Book) -> Result<Self, BookError> {
        Ok(Self {
            orders: book.supplier_orders()?,
            arrivals: book.arrivals()?,
            values: book.arrival_values()?,
            claims: book.claims()?,
            next_order: book.next_order_key()?,
            next_claim: book.next_claim_key()?,
        })
    }

    /// The order of this number.
    #[must_use]
    pub fn order(&self, id: i64) -> Option<&SupplierOrder> {
        self.orders.iter().find(|order| order.id == id)
    }

    /// What came of an order.
    #[must_use]
    pub fn arrivals_of(&self, order: i64) -> &[Arrival] {
        self.arrivals.get(&order).map_or(&[], Vec::as_slice)
    }

    /// The arrival of this number and its order.
    #[must_use]
    pub fn arrival(&self, id: i64) -> Option<(&SupplierOrder, &Arrival)> {
        self.arrivals.iter().find_map(|(order, arrivals)| {
            let arrival = arrivals.iter().find(|arrival| arrival.id == id)?;
            Some((self.order(*order)?, arrival))
        })
    }

    /// What each line of an arrival cost.
    #[must_use]
    pub fn worth(&self, arrival: &Arrival) -> Vec<Money> {
        let of = |movement: Option<MovementId>| movement.and_then(|id| self.values.get(&id));
        arrival
            .lines
            .iter()
            .map(|line| of(line.movement).copied().unwrap_or_default())
            .collect()
    }

    /// The claim of this number.
    #[must_use]
    pub fn claim(&self, id: i64) -> Option<&Claim> {
        self.claims.iter().find(|claim| claim.id == id)
    }

    /// The orders of which something is still to come.
    #[must_use]
    pub fn waiting(&self, today: chrono::NaiveDate) -> Vec<&SupplierOrder> {
        self.orders
            .iter()
            .filter(|order| {
                standing(order, self.arrivals_of(order.id), today)
                    .state
                    .is_waiting()
            })
            .collect()
    }

    /// The newest order of an item from a supplier, other than this one.
    #[must_use]
    pub fn last_of(&self, supplier: &str, item: &str, but: i64) -> Option<&SupplierOrder> {
        last_order_of(&self.orders, supplier, item, but)
    }

    /// How many spoiled pieces of an item of an arrival are not claimed yet.
    #[must_use]
    pub fn unclaimed(&self, arrival: &Arrival, item: &str) -> u64 {
        let spoiled = arrival.line(item).map_or(0, |line| line.spoiled);
        let claimed: u64 = self
            .claims
            .iter()
            .filter(|claim| claim.counts_against(arrival.id, item))
            .map(|claim| claim.pieces)
            .sum();
        spoiled.saturating_sub(claimed)
    }
}
