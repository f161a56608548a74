//! Why a question cannot be worked out, naming the field and what it would take.
//! Which form or sheet it stood in is added by whoever read it.

use crate::money::AmountError;

/// Why a question cannot be worked out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DecidingError {
    /// There is no price at all.
    #[error("at least one price is needed: from how many pieces, and the price of each")]
    NoTiers,
    /// A tier does not begin above the one before it.
    #[error(
        "tiers out of order: tier {place} is from {from} pieces, the one before it from {before}"
    )]
    TiersOutOfOrder {
        /// Its place in the list, from 1.
        place: usize,
        /// Where it begins.
        from: u64,
        /// Where the one before it begins.
        before: u64,
    },
    /// A number of pieces outside what is worked out.
    #[error("{what} must be between {least} and {most}, not {found}")]
    PiecesOutOfRange {
        /// Which number.
        what: &'static str,
        /// The least taken.
        least: u64,
        /// The most taken.
        most: u64,
        /// What was given.
        found: u64,
    },
    /// An order that is no whole multiple of the house's step.
    #[error("orders are made in multiples of {step}, and {ordered} is none")]
    NotAStep {
        /// The order.
        ordered: u64,
        /// The step.
        step: u64,
    },
    /// An amount that may not be below nothing, or is beyond what a book takes.
    #[error("{0} must not be below nothing or beyond what a book takes")]
    AmountOutOfRange(&'static str),
    /// A share with more decimals than are worked with.
    #[error("{0} may have at most two decimals")]
    ShareTooFine(&'static str),
    /// A share so large that nothing sensible is left.
    #[error("{what} may be at most {most} per cent")]
    ShareTooLarge {
        /// Which share.
        what: &'static str,
        /// The most taken, in per cent.
        most: u32,
    },
    /// Minutes that are negative, endless or too fine.
    #[error("{0} must be between 0 and 100,000 with at most two decimals")]
    MinutesOutOfRange(&'static str),
    /// A quantity of an ingredient that cannot be.
    #[error("the quantity of '{0}' must be between 0 and 1,000,000")]
    QuantityOutOfRange(String),
    /// A comparison to be kept has no name.
    #[error("give the comparison a name")]
    Nameless,
    /// No price is given.
    #[error("write a price to see what is kept of it")]
    NoPrice,
    /// No price does it.
    #[error("fees, tax and what is wanted take all of every further cent, so no price reaches it")]
    NoPriceReaches,
    /// An hour's earning was asked for without minutes.
    #[error("own minutes are needed to say what an hour earns")]
    NoMinutes,
    /// A machine bought after the day that is asked about.
    #[error("bought on {bought}, so it cannot have paid by {day}")]
    NotBoughtYet {
        /// The day it was bought.
        bought: String,
        /// The day asked about.
        day: String,
    },
    /// A unit cost cannot be taken.
    #[error(transparent)]
    Amount(#[from] AmountError),
}
