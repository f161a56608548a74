//! What several occasions share: the lines of what was sold, pieces that lie elsewhere.
//! What each of them means is its own file's.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::reading::{Priced, Reading};
use crate::happenings::Recording;
use crate::ledger::{EntryHeader, JournalEntry, Line, Role};
use crate::matters::Pieces;
use crate::money::{Money, Quantity};
use crate::stock::{Movement, MovementId, MovementKind};

/// A balanced entry of these lines, as a recording; what makes none is noted.
pub(super) fn recorded(
    read: &mut Reading<'_>,
    header: EntryHeader,
    lines: Vec<Line>,
) -> Option<Recording> {
    read.take(JournalEntry::new(header, lines).map_err(Into::into))
        .map(Recording::new)
}

/// The sales lines of what was sold for so much together: each item's own line, in proportion to what it came to, or
/// one line with these words.
pub(super) fn sold_lines(
    read: &mut Reading<'_>,
    sold: &[Priced],
    total: Money,
    words: &str,
) -> Option<Vec<Line>> {
    let sales = read.role(Role::Sales)?;
    if sold.is_empty() {
        return Some(vec![Line::credit(sales, total).memo(words)]);
    }
    let weights: Vec<i64> = sold.iter().map(|one| one.amount.minor()).collect();
    let lines = sold
        .iter()
        .zip(total.allocate(&weights))
        .map(|(one, part)| {
            let mut line = Line::credit(sales, part).memo(&one.name);
            line.item = Some(one.code.clone());
            line.quantity = Some(one.quantity);
            line
        });
    Some(lines.collect())
}

/// What they came to together.
pub(super) fn total_of(sold: &[Priced]) -> Money {
    sold.iter().map(|one| one.amount).sum()
}

/// Without the amounts.
pub(super) fn pieces_of(sold: &[Priced]) -> Vec<Pieces> {
    sold.iter()
        .map(|one| Pieces {
            item: one.code.clone(),
            quantity: one.quantity,
        })
        .collect()
}

/// A movement of pieces from a place; home is empty.
pub(super) fn movement(on: NaiveDate, pieces: &Pieces, kind: MovementKind, from: &str) -> Movement {
    let mut movement = Movement::new(MovementId(0), on, &pieces.item, kind, pieces.quantity);
    from.clone_into(&mut movement.place);
    movement
}

/// Pieces carried from one place to another; home is empty.
pub(super) fn carried(on: NaiveDate, pieces: &Pieces, from: &str, to: &str) -> Movement {
    let mut movement = movement(on, pieces, MovementKind::Carry, from);
    to.clone_into(&mut movement.to_place);
    movement
}

/// Refuses more pieces than lie at a place.
pub(super) fn at_most_there(
    read: &mut Reading<'_>,
    key: &'static str,
    going: &[Pieces],
    there: &[Pieces],
    place: &str,
) -> Option<()> {
    let many = |list: &[Pieces], item: &str| -> Decimal {
        list.iter()
            .filter(|one| one.item.eq_ignore_ascii_case(item))
            .map(|one| one.quantity.value())
            .sum()
    };
    for one in going {
        let (goes, lies) = (many(going, &one.item), many(there, &one.item));
        if goes > lies {
            read.refuse(
                key,
                format!(
                    "{place} has {} of {}, not {}",
                    lies.normalize(),
                    one.item,
                    goes.normalize()
                ),
            );
            return None;
        }
    }
    Some(())
}

/// One list less another, item by item; what is nothing or below is left out.
pub(super) fn less(from: &[Pieces], off: &[&[Pieces]]) -> Vec<Pieces> {
    from.iter()
        .filter_map(|one| {
            let gone: Decimal = off
                .iter()
                .flat_map(|list| list.iter())
                .filter(|other| other.item.eq_ignore_ascii_case(&one.item))
                .map(|other| other.quantity.value())
                .sum();
            let left = one.quantity.value() - gone;
            (left > Decimal::ZERO).then(|| {
                Some(Pieces {
                    item: one.item.clone(),
                    quantity: Quantity::new(left).ok()?,
                })
            })?
        })
        .collect()
}

/// How many there are in words: `3 NB, 1 CARD`.
pub(super) fn in_words(pieces: &[Pieces]) -> String {
    let all: Vec<String> = pieces
        .iter()
        .map(|one| format!("{} {}", one.quantity, one.item))
        .collect();
    all.join(", ")
}
