//! Things ordered from a print house or any other supplier: terms, the bill that is expected, arrivals in parts, claims.
//! Pure: the money of an arrival is an ordinary purchase, which the book records; nothing here reads, posts or draws.

mod arrival;
mod bill;
mod claim;
mod order;
mod standing;
mod words;

pub use crate::happenings::LateBill;
pub use arrival::{
    Arrival, ArrivalBill, ArrivalLine, billed_for, document_of, expected_arrival, late_bill,
    purchase_of,
};
pub use bill::{ExpectedBill, LineBill, OrderUpHint, expected_bill, order_up};
pub use claim::{Claim, ClaimState, ClaimWhat, Credit, credit_of};
pub use order::{
    Billing, Deal, DealOn, MOST_PIECES_ORDERED, Off, OrderError, OrderLine, SupplierOrder,
    last_order_of,
};
pub use standing::{ItemStanding, OrderState, Standing, days, open_words, standing};
pub use words::{deals_text, read_deals, read_tiers, tiers_text};
