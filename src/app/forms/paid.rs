//! What something was paid from, as a list to choose from: accounts, cards, her own pocket, or not yet.
//! What that writes is `happenings`' business.

use super::facts::Facts;
use crate::happenings::Payment;
use crate::ledger::{AccountId, Role};

/// The ways something can be paid, in plain words: last used first to hand, the rest beneath.
#[must_use]
pub fn ways(facts: &Facts) -> Vec<(Payment, String)> {
    let mut ways: Vec<(Payment, String)> = facts
        .money()
        .into_iter()
        .map(|account| (Payment::Account(account.id), account.name.clone()))
        .collect();
    for account in facts.cards_and_bills() {
        if account.role != Some(Role::BillsToPay) {
            ways.push((Payment::Account(account.id), account.name.clone()));
        }
    }
    let mut own = [
        (Payment::OwnPocketPutIn, "My own pocket, put in for good"),
        (Payment::OwnPocketOwedBack, "My own pocket, owed back to me"),
    ];
    if facts.is_owed_back {
        own.reverse();
    }
    ways.extend(own.map(|(way, words)| (way, words.to_owned())));
    ways.push((Payment::OnBill, "Not yet: a bill to pay later".to_owned()));
    ways
}

/// What the last purchase was paid from, or the business bank account.
#[must_use]
pub fn usual(facts: &Facts) -> Payment {
    let last = facts
        .last_paid_from
        .filter(|id| facts.account(*id).is_some_and(|account| account.is_active));
    match last {
        Some(id) if facts.chart.has_role(id, Role::OwnerCapital) => Payment::OwnPocketPutIn,
        Some(id) if facts.chart.has_role(id, Role::OwedToOwner) => Payment::OwnPocketOwedBack,
        Some(id) if facts.chart.has_role(id, Role::BillsToPay) => Payment::OnBill,
        Some(id) => Payment::Account(id),
        None => facts
            .role(Role::BusinessBank)
            .map_or(Payment::OnBill, Payment::Account),
    }
}

/// Where money from a supplier can go, as a list to choose from.
#[must_use]
pub fn back_into(facts: &Facts) -> Vec<(Option<AccountId>, String)> {
    places(facts, &[Role::OwedToOwner, Role::OwnerCapital])
}

/// Channels, money, cards and bills, and then the accounts of these roles, as a list to choose from.
#[must_use]
pub fn places(facts: &Facts, more: &[Role]) -> Vec<(Option<AccountId>, String)> {
    let mut accounts = facts.channels();
    accounts.extend(facts.money());
    accounts.extend(facts.cards_and_bills());
    accounts.extend(
        more.iter()
            .filter_map(|role| facts.role(*role).and_then(|id| facts.account(id))),
    );
    accounts
        .into_iter()
        .map(|account| (Some(account.id), account.name.clone()))
        .collect()
}

/// The way in plain words.
#[must_use]
pub fn words(way: Payment, facts: &Facts) -> String {
    ways(facts)
        .into_iter()
        .find(|(known, _)| *known == way)
        .map_or_else(
            || match way {
                Payment::Account(id) => facts.name(id),
                _ => String::new(),
            },
            |(_, words)| words,
        )
}
