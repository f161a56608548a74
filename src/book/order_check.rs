//! The check of orders: what they, what came of them and the claims say of one another, of the stock and of entries.
//! It changes nothing; the other checks are `check`'s, and rows that point at nothing are found there.

use super::{Book, BookError};
use crate::ledger::{EntryKind, EntryNumber};
use crate::ordering::{Arrival, ArrivalLine, Claim, ClaimState};

impl Book {
    /// What is wrong with orders, arrivals and claims, a sentence each.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub(super) fn order_faults(&self) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        let orders = self.supplier_orders()?;
        let arrivals = self.arrivals()?;
        let claims = self.claims()?;
        for order in &orders {
            if let Err(error) = order.check() {
                faults.push(format!("order {}: {error}", order.key));
            }
            for arrival in arrivals.get(&order.id).into_iter().flatten() {
                let mut found: Vec<String> = Vec::new();
                if let Err(error) = arrival.check(order) {
                    found.push(error.to_string());
                }
                found.extend(self.arrival_faults(arrival)?);
                let words = |what| format!("order {}, arrival {}: {what}", order.key, arrival.key);
                faults.extend(found.into_iter().map(words));
                for claim in claims.iter().filter(|claim| claim.arrival == arrival.id) {
                    if let Err(error) = claim.check(arrival, &claims) {
                        faults.push(format!("claim {}: {error}", claim.key));
                    }
                }
            }
        }
        for claim in &claims {
            if let Some(what) = self.settled_fault(claim)? {
                faults.push(format!("claim {}: {what}", claim.key));
            }
        }
        Ok(faults)
    }

    /// Whether an arrival's purchase is one, and its good pieces came in with movements of its day.
    fn arrival_faults(&self, arrival: &Arrival) -> Result<Vec<String>, BookError> {
        let mut faults = Vec::new();
        if let Some(number) = arrival.entry
            && self.is_of_another_kind(number, EntryKind::Purchase)?
        {
            faults.push(format!("entry {number} is not a purchase"));
        }
        for line in &arrival.lines {
            if !self.has_come_in(arrival, line)? {
                faults.push(format!(
                    "{} good pieces of {} have no movement of as many",
                    line.good, line.item
                ));
            }
        }
        Ok(faults)
    }

    fn has_come_in(&self, arrival: &Arrival, line: &ArrivalLine) -> Result<bool, BookError> {
        let Some(id) = line.movement else {
            return Ok(line.good == 0);
        };
        Ok(self.movement(id)?.is_some_and(|movement| {
            let is_of_day = arrival.entry.is_none() || movement.date == arrival.date;
            line.is_brought_by(&movement) && is_of_day
        }))
    }

    /// What is wrong with how a claim was settled.
    fn settled_fault(&self, claim: &Claim) -> Result<Option<String>, BookError> {
        let is_credited = claim.state == ClaimState::Credited;
        let Some(number) = claim.entry else {
            return Ok(is_credited.then(|| "it was credited and has no refund".to_owned()));
        };
        if !is_credited {
            return Ok(Some(format!(
                "it is {} and has a refund",
                claim.state.plain()
            )));
        }
        let is_other = self.is_of_another_kind(number, EntryKind::SupplierRefund)?;
        Ok(is_other.then(|| format!("entry {number} is no refund from a supplier")))
    }

    /// Whether an entry is there and of another kind; one that is not there is found by the check of the file.
    fn is_of_another_kind(&self, number: EntryNumber, kind: EntryKind) -> Result<bool, BookError> {
        match self.entry(number) {
            Ok(posted) => Ok(posted.entry.header.kind != kind),
            Err(BookError::NoSuchEntry(_)) => Ok(false),
            Err(error) => Err(error),
        }
    }
}
