//! A channel's charges told by hand: the accounts they go to, and the kind of charge that each is.
//! What a charge writes is the happening's business.

use super::facts::Facts;
use crate::happenings::ChargeKind;
use crate::ledger::{AccountId, Role};

/// The accounts that a channel's charges go to.
pub(super) const CHARGES: [Role; 4] = [
    Role::ShopFees,
    Role::ProcessingFees,
    Role::Advertising,
    Role::Postage,
];

/// The kind of charge that is booked to an account.
pub(super) fn charge_on(facts: &Facts, account: AccountId) -> ChargeKind {
    let kinds = [
        (Role::ProcessingFees, ChargeKind::Processing),
        (Role::Advertising, ChargeKind::Advertising),
        (Role::Postage, ChargeKind::Label),
    ];
    let found = kinds
        .into_iter()
        .find(|(role, _)| facts.role(*role) == Some(account));
    found.map_or(ChargeKind::Other, |(_, kind)| kind)
}
