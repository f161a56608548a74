//! A book that counts only: what comes in is a cost at once, and each count brings the stock accounts to what lies there.
//! What a piece costs is `costing`'s all the same; here is what of it such a book posts.

use std::collections::HashMap;

use super::costing::{Posting, Side, Stocks};
use super::{ItemKind, Movement, MovementId, MovementKind};
use crate::ledger::Role;
use crate::money::Money;
use crate::word_list::word_list;

word_list! {
    /// When the stock accounts follow what lies there.
    #[derive(Default)]
    StockKeeping, "a way of keeping stock":
    /// With every movement: what is sold is a cost when it is sold.
    #[default]
    Perpetual = "perpetual" / "with everything that comes and goes",
    /// With every count: what is bought is a cost when it is bought.
    Periodic = "periodic" / "with each count only",
}

/// The cost account to which a book that counts only takes what it buys of a kind of item.
#[must_use]
pub const fn cost_role(kind: ItemKind) -> Role {
    match kind {
        ItemKind::Packaging => Role::Packaging,
        ItemKind::Material | ItemKind::BoughtIn | ItemKind::Made => Role::CostOfGoodsSold,
    }
}

/// Whether a movement takes pieces to where they are no cost of goods sold: to advertising or to the owner.
#[must_use]
pub const fn is_taken_out(kind: MovementKind) -> bool {
    matches!(
        kind,
        MovementKind::Sample
            | MovementKind::Gift
            | MovementKind::OwnUse
            | MovementKind::Donate
            | MovementKind::Replace
    )
}

/// Of a costed history what a book that counts only posts: at each count the stock account goes to what lies there, and
/// what was given away or taken home leaves the costs.
#[must_use]
pub fn at_counts(mut stocks: Stocks, movements: &[Movement]) -> Stocks {
    let by_id: HashMap<MovementId, &Movement> = movements.iter().map(|one| (one.id, one)).collect();
    let mut stands_at: HashMap<&str, Money> = HashMap::new();
    let mut postings: Vec<Posting> = stocks
        .postings
        .iter()
        .filter(|one| {
            one.side == Side::Stock && by_id.get(&one.of).is_some_and(|of| is_taken_out(of.kind))
        })
        .map(|one| Posting {
            side: Side::Loss,
            ..*one
        })
        .collect();
    for (id, worth) in &stocks.valued {
        let Some(count) = by_id.get(id) else {
            continue;
        };
        let before = stands_at.entry(count.item.as_str()).or_default();
        let amount = *worth - *before;
        *before = *worth;
        if !amount.is_zero() {
            postings.push(Posting {
                on: count.date,
                of: *id,
                side: Side::Stock,
                amount,
            });
        }
    }
    stocks.postings = postings;
    stocks
}
