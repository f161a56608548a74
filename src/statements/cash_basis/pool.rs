//! What waits to be paid on one account, customer by customer and supplier by supplier, with the profit lines it is made of.
//! Pure arithmetic; which entry builds up and which settles is told by `walk`.

use std::collections::BTreeMap;

use crate::ledger::AccountId;
use crate::money::Money;

/// Debit amounts by the account they count on.
pub(super) type Parts = BTreeMap<AccountId, Money>;

/// What waits with one party: the balance, and what of profit it is made of, both debits positive. The two need not agree:
/// sales tax, stock and equipment wait with the balance and are no profit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Pool {
    pub(super) amount: Money,
    pub(super) parts: Parts,
}

impl Pool {
    /// Adds an amount and its parts. A pool that reaches nothing gives back whatever parts are left.
    pub(super) fn add(&mut self, amount: Money, parts: &Parts) -> Parts {
        self.amount += amount;
        add(&mut self.parts, parts);
        if self.amount.is_zero() {
            std::mem::take(&mut self.parts)
        } else {
            Parts::new()
        }
    }

    /// Takes out `amount` of the pool, which stands on the same side and is no larger, with its part of the parts.
    pub(super) fn take(&mut self, amount: Money) -> Parts {
        let taken = portion(&self.parts, amount, self.amount);
        self.amount -= amount;
        add(&mut self.parts, &negated(&taken));
        taken
    }

    /// Whether an amount goes against what stands here.
    pub(super) fn is_against(&self, amount: Money) -> bool {
        (self.amount.is_positive() && amount.is_negative())
            || (self.amount.is_negative() && amount.is_positive())
    }
}

/// Adds parts to parts; what comes to nothing is dropped.
pub(super) fn add(to: &mut Parts, parts: &Parts) {
    for (account, amount) in parts {
        *to.entry(*account).or_default() += *amount;
    }
    to.retain(|_, amount| !amount.is_zero());
}

/// The parts with their signs turned.
pub(super) fn negated(parts: &Parts) -> Parts {
    parts
        .iter()
        .map(|(account, amount)| (*account, -*amount))
        .collect()
}

/// The parts less others.
pub(super) fn less(parts: &Parts, others: &Parts) -> Parts {
    let mut left = parts.clone();
    add(&mut left, &negated(others));
    left
}

/// `share` of `whole` of each part, to the minor unit: together they come to the rounded share of the sum, the largest
/// remainders first. Nothing of nothing.
pub(super) fn portion(parts: &Parts, share: Money, whole: Money) -> Parts {
    if whole.is_zero() || share.is_zero() {
        return Parts::new();
    }
    if share == whole {
        return parts.clone();
    }
    let (share, whole) = (i128::from(share.minor()), i128::from(whole.minor()));
    // A share of the same sign turned so that the whole is positive.
    let (share, whole) = if whole < 0 {
        (-share, -whole)
    } else {
        (share, whole)
    };
    let exact = |minor: i128| (minor * share).div_euclid(whole);
    let rest = |minor: i128| (minor * share).rem_euclid(whole);
    let minors: Vec<(AccountId, i128)> = parts
        .iter()
        .map(|(account, amount)| (*account, i128::from(amount.minor())))
        .collect();
    let sum: i128 = minors.iter().map(|(_, minor)| minor).sum();
    let wanted = (2 * sum * share + whole).div_euclid(2 * whole);
    let floors: i128 = minors.iter().map(|(_, minor)| exact(*minor)).sum();
    let mut order: Vec<usize> = (0..minors.len()).collect();
    order.sort_by_key(|idx| (std::cmp::Reverse(rest(minors[*idx].1)), *idx));
    let n_up = usize::try_from(wanted - floors).unwrap_or_default();
    let rounded_up = &order[..n_up.min(order.len())];
    minors
        .iter()
        .enumerate()
        .map(|(idx, (account, minor))| {
            let up = i128::from(rounded_up.contains(&idx));
            let minor = i64::try_from(exact(*minor) + up).unwrap_or(i64::MAX);
            (*account, Money::from_minor(minor))
        })
        .filter(|(_, amount)| !amount.is_zero())
        .collect()
}
