//! Orders to suppliers, what came of them and claims as the rows of a written-out book.

use super::ExportError;
use super::written_out::yes_no;
use crate::book::Book;
use crate::money::Percent;
use crate::ordering::{deals_text, tiers_text};

fn may(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

fn share(share: Percent) -> String {
    if share == Percent::ZERO {
        String::new()
    } else {
        share.to_string()
    }
}

/// One row a line of an order.
pub(super) fn supplier_orders(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let currency = book.currency();
    let mut rows = Vec::new();
    for order in book.supplier_orders()? {
        for line in &order.lines {
            rows.push(vec![
                order.key.clone(),
                order.supplier.clone(),
                order.ordered_on.to_string(),
                line.item.clone(),
                line.quantity.to_string(),
                tiers_text(&line.tiers, |each| each.major(currency).to_string()),
                line.minimum.to_string(),
                currency.plain(line.once_per_design),
                currency.plain(line.once_per_run),
                yes_no(line.is_first_run),
                deals_text(&order.deals, |amount| currency.plain(amount)),
                currency.plain(order.carriage),
                may(order.lead_days),
                may(order.wanted_on),
                share(order.over),
                share(order.under),
                yes_no(order.no_unders),
                order.billing.as_str().to_owned(),
                order.reference.clone(),
                order.note.clone(),
                may(order.closed_on),
            ]);
        }
    }
    Ok(rows)
}

/// One row an item of an arrival; its amounts are its entry's.
pub(super) fn supplier_arrivals(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    let mut arrivals = book.arrivals()?;
    for order in book.supplier_orders()? {
        for arrival in arrivals.remove(&order.id).unwrap_or_default() {
            let entry = may(arrival.entry.map(|number| format!("#{number}")));
            let row = |item: &str, good: String, spoiled: String, movement: String| {
                let mut row = vec![
                    order.key.clone(),
                    arrival.key.clone(),
                    arrival.date.to_string(),
                    item.to_owned(),
                    good,
                    spoiled,
                ];
                // billed, ahead, carriage, tax, discount, paid_from, reference
                row.extend(std::iter::repeat_n(String::new(), 7));
                row.extend([entry.clone(), movement]);
                row
            };
            if arrival.lines.is_empty() {
                rows.push(row("", String::new(), String::new(), String::new()));
            }
            for line in &arrival.lines {
                let movement = line.movement.filter(|_movement| arrival.entry.is_none());
                rows.push(row(
                    &line.item,
                    line.good.to_string(),
                    line.spoiled.to_string(),
                    may(movement),
                ));
            }
        }
    }
    Ok(rows)
}

/// One row a claim; what was credited is its entry's.
pub(super) fn supplier_claims(book: &Book) -> Result<Vec<Vec<String>>, ExportError> {
    let mut rows = Vec::new();
    let arrivals = book.arrivals()?;
    let claims = book.claims()?;
    for order in book.supplier_orders()? {
        for arrival in arrivals.get(&order.id).into_iter().flatten() {
            for claim in claims.iter().filter(|claim| claim.arrival == arrival.id) {
                rows.push(vec![
                    claim.key.clone(),
                    order.key.clone(),
                    arrival.key.clone(),
                    claim.opened_on.to_string(),
                    book.currency().plain(claim.amount),
                    claim.item.clone().unwrap_or_default(),
                    claim.pieces.to_string(),
                    claim.what.as_str().to_owned(),
                    claim.state.as_str().to_owned(),
                    may(claim.settled_on),
                    String::new(),
                    String::new(),
                    String::new(),
                    may(claim.entry.map(|number| format!("#{number}"))),
                    claim.note.clone(),
                ]);
            }
        }
    }
    Ok(rows)
}
