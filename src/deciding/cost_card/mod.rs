//! The cost card of a product: what goes into a piece, what selling it takes, what is kept, and which price would do.
//! `terms` is what is asked, `card` the figures at a price, `price` the other way round, `views` what an offer, another
//! cost or a run leaves.

mod card;
mod fees;
mod price;
mod terms;
mod views;

pub use card::{CardFigures, CostCard, Part};
pub use fees::{Channel, Fee, FeeBase, FixedPer, SalesTax};
pub use price::{BreakEven, Wanted};
pub use terms::{
    Answer, CardTerms, CostBasis, Ingredient, OnceCost, OncePer, OwnMinutes, Postage, Spread,
};
pub use views::{BasisView, Offer, OfferView, OnceView, PriceAlert};
