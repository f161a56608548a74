//! Deciding: make a piece or have it made, what a piece leaves at a price, whether a machine has paid.
//! Values in, values and their numbered lines out; nothing here is posted, and own time is only ever shown.
//! Start at [`Comparison`].

mod error;
mod make_or_buy;
mod unit_cost;
mod worksheet;

pub use error::DecidingError;
pub use make_or_buy::{
    Band, CheaperRange, Comparison, Crossing, Deal, DealScope, Delivery, Leaning, MOST_PIECES,
    Order, OrderUp, Outcome, Outside, OutsideTerms, Own, OwnTerms, OwnTime, PriceTier, Run,
    SideBySide, TierView, Way, months_of_cover, unsold_after,
};
pub use unit_cost::UnitCost;
pub use worksheet::{Figure, Line, Worksheet};
