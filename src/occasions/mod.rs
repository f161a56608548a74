//! Unusual happenings as data: what each asks, in which words, and what its answers make of the books.
//! One list serves the window's forms and the sheets alike; keeping what is told is the book's business.

mod adjusting;
mod ask;
mod commission;
mod costs;
mod deposits;
mod disputes;
mod fairs;
mod helpers;
mod invoices;
mod limits;
mod lists;
mod loans;
mod parcels;
mod parts;
mod reading;
mod swaps;
mod told;
mod untaxed;
mod vouchers;

use crate::matters::MatterKind;

pub use ask::{Accounts, Ask, AskKind, Occasion, Start};
pub use fairs::{FairDay, fair_day};
pub use helpers::WAYS;
pub use limits::{Limit, Limits};
pub use loans::terms_of;
pub use reading::{Known, Reading, StallFee, Wrong};
pub use told::{Told, What};

/// Every occasion, by sheet and in the order in which its steps are taken.
#[must_use]
pub fn all() -> Vec<&'static Occasion> {
    [
        fairs::ALL,
        commission::ALL,
        invoices::ALL,
        deposits::ALL,
        vouchers::ALL,
        disputes::ALL,
        parcels::ALL,
        swaps::ALL,
        loans::ALL,
        costs::ALL,
        helpers::ALL,
        untaxed::ALL,
        adjusting::ALL,
    ]
    .concat()
}

/// The occasion with this key.
#[must_use]
pub fn of_key(key: &str) -> Option<&'static Occasion> {
    all().into_iter().find(|occasion| occasion.key == key)
}

/// What must be confirmed with somebody who knows, beside a list of this kind; empty where nothing touches on tax or law.
#[must_use]
pub const fn caution_of(kind: MatterKind) -> &'static str {
    match kind {
        MatterKind::Voucher => vouchers::CAUTION,
        MatterKind::Deposit => deposits::CAUTION,
        MatterKind::Untaxed => untaxed::CAUTION,
        MatterKind::Commission => commission::CAUTION,
        MatterKind::Swap => swaps::CAUTION,
        MatterKind::Loan => loans::CAUTION,
        MatterKind::Fair
        | MatterKind::Invoice
        | MatterKind::Dispute
        | MatterKind::Replacement
        | MatterKind::Claim
        | MatterKind::Helper => "",
    }
}

/// The occasions that a kind of sheet tells of.
#[must_use]
pub fn of_sheet(sheet: &str) -> Vec<&'static Occasion> {
    all()
        .into_iter()
        .filter(|occasion| occasion.sheet == sheet)
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn keys_are_unique_and_what_is_asked_is_asked_once() {
        let all = all();
        let keys: BTreeSet<&str> = all.iter().map(|one| one.key).collect();
        assert_eq!(keys.len(), all.len());
        for occasion in &all {
            let asked: BTreeSet<&str> = occasion.asks.iter().map(|ask| ask.key).collect();
            assert_eq!(asked.len(), occasion.asks.len(), "{}", occasion.key);
            let labels: BTreeSet<&str> = occasion.asks.iter().map(|ask| ask.label).collect();
            assert_eq!(labels.len(), occasion.asks.len(), "{}", occasion.key);
            assert!(occasion.second.ends_with('.'), "{}", occasion.key);
        }
    }

    #[test]
    fn several_occasions_of_a_sheet_are_told_apart_by_a_word() {
        for occasion in all() {
            let same = of_sheet(occasion.sheet);
            assert_eq!(
                same.len() > 1,
                !occasion.word.is_empty(),
                "{}",
                occasion.key
            );
            let words: BTreeSet<&str> = same.iter().map(|one| one.word).collect();
            assert_eq!(words.len(), same.len(), "{}", occasion.sheet);
        }
    }
}
