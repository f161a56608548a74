//! The owner's own way of sharing out what is free: so much to pay herself, to keep in reserve, to buy things with.
//! A proposal only; nothing is moved by it.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use crate::money::{Money, Percent};

/// So many decimals a share may have.
const FINEST: u32 = 4;

/// How what is free is shared out; the shares add up to 100.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Split {
    /// Pay for the owner.
    pub pay: Percent,
    /// Reserve.
    pub reserve: Percent,
    /// For buying things.
    pub buy: Percent,
}

/// Why shares are no split.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SplitError {
    /// One is there and another is not.
    #[error("give all three shares, pay, reserve and buy, or none; 0 is a share too")]
    Missing,
    /// One is finer than anybody splits.
    #[error("a share has at most four decimals")]
    TooFine,
    /// They are more or less than everything.
    #[error("the three shares must add up to 100; they add up to {0}")]
    Sum(Decimal),
}

/// What the split comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// Pay for the owner.
    pub pay: Money,
    /// Reserve.
    pub reserve: Money,
    /// For buying things.
    pub buy: Money,
}

impl Split {
    /// The split of three shares; none when no share was given.
    ///
    /// # Errors
    /// When only some are given, or they do not add up to 100.
    pub fn of(
        pay: Option<Percent>,
        reserve: Option<Percent>,
        buy: Option<Percent>,
    ) -> Result<Option<Self>, SplitError> {
        match (pay, reserve, buy) {
            (None, None, None) => Ok(None),
            (Some(pay), Some(reserve), Some(buy)) => {
                let shares = [pay, reserve, buy].map(Percent::percent);
                if shares.iter().any(|share| share.scale() > FINEST) {
                    return Err(SplitError::TooFine);
                }
                let sum: Decimal = shares.iter().sum();
                if sum == Decimal::ONE_HUNDRED {
                    Ok(Some(Self { pay, reserve, buy }))
                } else {
                    Err(SplitError::Sum(sum.normalize()))
                }
            }
            _ => Err(SplitError::Missing),
        }
    }

    /// What is free in the three parts, which add up to it; none when nothing is free.
    #[must_use]
    pub fn propose(self, free: Money) -> Option<Proposal> {
        if !free.is_positive() {
            return None;
        }
        let shares = [self.pay, self.reserve, self.buy].map(Percent::percent);
        let whole = Decimal::from(10_i64.pow(FINEST));
        let weights = shares.map(|share| (share * whole).to_i64().unwrap_or(0));
        match free.allocate(&weights)[..] {
            [pay, reserve, buy] => Some(Proposal { pay, reserve, buy }),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(text: &str) -> Option<Percent> {
        text.parse().ok()
    }

    #[test]
    fn what_is_free_is_shared_out_to_the_last_cent() {
        // By hand: 100.01 by 50, 30 and 20 is 50.005, 30.003 and 20.002; the cent left goes to the largest remainder.
        let split = Split::of(share("50"), share("30"), share("20"));
        let split = split.expect("adds up").expect("is given");
        let parts = split.propose(Money::from_minor(10_001)).expect("free");
        assert_eq!(
            [parts.pay, parts.reserve, parts.buy].map(Money::minor),
            [5_001, 3_000, 2_000]
        );
        // By hand: 10.00 by 33.3, 33.3 and 33.4 is 3.33, 3.33 and 3.34.
        let split = Split::of(share("33.3"), share("33.3"), share("33.4"));
        let split = split.expect("adds up").expect("is given");
        let parts = split.propose(Money::from_minor(1_000)).expect("free");
        assert_eq!(
            [parts.pay, parts.reserve, parts.buy].map(Money::minor),
            [333, 333, 334]
        );
    }

    #[test]
    fn nothing_free_proposes_nothing_and_shares_must_be_whole() {
        let split = Split::of(share("60"), share("40"), share("0"));
        let split = split.expect("adds up").expect("is given");
        assert_eq!(split.propose(Money::ZERO), None);
        assert_eq!(split.propose(Money::from_minor(-1)), None);
        assert_eq!(Split::of(None, None, None), Ok(None));
        assert_eq!(
            Split::of(share("50"), None, share("50")),
            Err(SplitError::Missing)
        );
        assert_eq!(
            Split::of(share("50"), share("30"), share("10")),
            Err(SplitError::Sum(Decimal::from(90)))
        );
    }
}
