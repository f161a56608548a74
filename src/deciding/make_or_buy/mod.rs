//! Make it or have it made: what either way costs for a quantity, and from which quantities the other is cheaper.
//! `outside` is the house that prints, cuts or casts, on its `terms`; `own` is the owner's table; `crossing` compares them exactly;
//! `asked` is all of it in one value.

mod asked;
mod comparison;
mod crossing;
pub(super) mod exact;
mod outcome;
mod outside;
mod own;
mod terms;

pub use asked::{SavedComparison, WAYS_LEAVE_OUT, WaysAsk, WaysTold};
pub use comparison::{Band, CheaperRange, Comparison, Crossing, Leaning, SideBySide, Way};
pub(crate) use outcome::each;
pub use outcome::{Outcome, OwnTime, Run, months_of_cover, unsold_after};
pub use outside::{Order, OrderUp, Outside, TierView};
pub use own::{Own, OwnTerms};
pub use terms::{Deal, DealScope, Delivery, OutsideTerms, PriceTier};

use super::DecidingError;

/// The largest quantity that can be asked for.
pub const MOST_PIECES: u64 = 1_000_000;

/// Refuses a quantity that cannot be asked for.
fn check_wanted(wanted: u64) -> Result<(), DecidingError> {
    exact::in_range("the number of pieces wanted", wanted, 1, MOST_PIECES)
}
