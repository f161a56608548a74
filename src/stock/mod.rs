//! Stock: items, their movements, recipes, and what each movement is worth.
//! Pure: the book keeps movements and writes the lines that `costing` works out; nothing here reads or draws.

mod batch_note;
mod bundle;
mod costing;
mod item;
mod lines;
mod movement;
mod periodic;
mod pool;
mod recipe;

pub use batch_note::{BatchNote, BatchNoteError};
pub use bundle::{Bundle, BundleError, BundlePart};
pub use costing::{CostingError, OnHand, Posting, Side, Stocks, cost, cost_or_where};
pub use item::{Item, ItemError, ItemKind, Pack, Unit, in_units};
pub use lines::{counter_role, stock_role};
pub use movement::{
    BatchKey, Movement, MovementError, MovementId, MovementKind, millionths, of_millionths,
};
pub use periodic::{StockKeeping, at_counts, cost_role, is_taken_out};
pub use pool::CostMethod;
pub use recipe::{Recipe, RecipeError, RecipeInput, refuse_circles};
