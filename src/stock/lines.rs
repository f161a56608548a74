//! Which accounts a movement touches: the stock account of its item, and what stands against it.
//! Amounts are `costing`'s, entries are the book's.

use super::{ItemKind, Movement, MovementKind};
use crate::ledger::Role;

/// The stock account of a kind of item.
#[must_use]
pub const fn stock_role(kind: ItemKind) -> Role {
    match kind {
        ItemKind::Material => Role::Materials,
        ItemKind::BoughtIn => Role::BoughtInGoods,
        ItemKind::Made => Role::MadeGoods,
        ItemKind::Packaging => Role::PackagingOnHand,
    }
}

/// The account that stands against a movement's stock line; nothing where the entry brings that line along itself.
///
/// Materials of a batch and its pieces meet on part-made pieces. Samples are advertising and things for the owner
/// drawings, both at cost.
#[must_use]
pub fn counter_role(movement: &Movement, kind: ItemKind) -> Option<Role> {
    match movement.kind {
        MovementKind::Receive
        | MovementKind::LaterCost
        | MovementKind::LaterCredit
        | MovementKind::Carry => None,
        MovementKind::Use if movement.batch.is_some() => Some(Role::PartMade),
        MovementKind::Use if kind == ItemKind::Packaging => Some(Role::Packaging),
        MovementKind::Make => Some(Role::PartMade),
        MovementKind::Use | MovementKind::Sell | MovementKind::Return | MovementKind::SendBack => {
            Some(Role::CostOfGoodsSold)
        }
        MovementKind::Waste | MovementKind::Count | MovementKind::WriteDown => Some(Role::Waste),
        MovementKind::Sample | MovementKind::Gift => Some(Role::Advertising),
        MovementKind::OwnUse => Some(Role::OwnerDrawings),
        MovementKind::Donate => Some(Role::Donations),
        MovementKind::Replace => Some(Role::Replacements),
    }
}
