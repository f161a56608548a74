//! Files that shops export, read by a layout that the owner set: rows of text in, orders and charges out.
//! What follows from them for the books is `shops`' business.

mod cells;
mod charges;
mod orders;
mod propose;
mod table;

pub use charges::charges;
pub use orders::{OrdersRead, orders};
pub use propose::{Asked, Given, Proposal, propose};
pub use table::ShopTable;
