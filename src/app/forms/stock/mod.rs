//! The forms of stock: an item, its recipe, a batch, what went out, a count, what lies elsewhere.
//! Each file holds its draft and how it is drawn; what a movement is worth the book works out.

mod batch;
mod bundle;
mod carry;
mod codes;
mod count;
mod item;
mod known;
mod line;
mod out;
mod recipe;
mod worth_less;

pub use batch::{BatchDraft, batch_ui};
pub use bundle::{BundleDraft, bundle_ui};
pub use carry::{CarryDraft, carry_ui};
pub use count::{CountDraft, count_ui};
pub use item::{ItemDraft, item_ui};
pub use known::{KnownStock, SoldPieces, stock_of, stock_value};
pub use line::{ItemLineDraft, Offered, item_field, read_quantity, unit_select};
pub use out::{OutDraft, out_ui};
pub use recipe::{RecipeDraft, recipe_ui};
pub use worth_less::{WorthLessDraft, worth_less_ui};

pub use crate::stock::in_units;
