//! Stock: items, their movements, and what each movement is worth.
//! Pure: the book keeps movements and writes the lines that `costing` works out; nothing here reads or draws.

mod costing;
mod item;
mod movement;
mod pool;

pub use costing::{CostingError, OnHand, Posting, Side, Stocks, cost};
pub use item::{Item, ItemError, ItemKind, Pack, Unit};
pub use movement::{BatchKey, Movement, MovementError, MovementId, MovementKind};
pub use pool::CostMethod;
