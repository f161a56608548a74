//! Deciding: make a piece or have it made, what a piece leaves at a price, whether a machine has paid.
//! Values in, values and their numbered lines out; nothing here is posted, and own time is only ever shown.
//! Start at [`Comparison`], [`CostCard`] or [`Payback`].

mod cost_card;
mod error;
mod make_or_buy;
mod payback;
mod unit_cost;
mod worksheet;

pub use cost_card::{
    Answer, BasisView, BreakEven, CardFigures, CardTerms, Channel, CostBasis, CostCard, Fee,
    FeeBase, FixedPer, Ingredient, Offer, OfferView, OnceCost, OncePer, OnceView, OwnMinutes, Part,
    Postage, PriceAlert, SalesTax, Spread, Wanted,
};
pub use error::DecidingError;
pub(crate) use make_or_buy::each;
pub use make_or_buy::{
    Band, CheaperRange, Comparison, Crossing, Deal, DealScope, Delivery, Leaning, MOST_PIECES,
    Order, OrderUp, Outcome, Outside, OutsideTerms, Own, OwnTerms, OwnTime, PriceTier, Run,
    SavedComparison, SideBySide, TierView, WAYS_LEAVE_OUT, Way, WaysAsk, WaysTold, months_of_cover,
    unsold_after,
};
pub use payback::{
    Earned, Machine, OrderBy, Pace, Payback, order_by, payback_periods, repair_is_dear,
};
pub use unit_cost::UnitCost;
pub use worksheet::{Figure, Line, Worksheet};
