//! What the book knows for deciding, and what the rules of `deciding` make of it: the cost card of a product and both ways
//! to have it. Shared by the window and the verbs; fields and options are read there, the arithmetic is `deciding`'s.

mod batches;
mod card;
mod known;
mod making;
mod products;

pub use batches::{BatchTold, batches, lost_percent};
pub use card::{CardAsk, CardTold};
pub use known::{CardKnown, ChannelShare, card_known};
pub use making::{Input, Making, Recorded, making};
pub use products::{
    PAYBACK_CAUTION, PaybackReport, made_items, margins, margins_of, payback, product_days,
};
