//! Files that shops export, as values: what their columns and rows mean, and which entries follow from what they tell.
//! Reading bytes is `import::shops`; finding what the book knows and writing it down is `reports` and the book.

mod facts;
mod guess;
mod known;
mod layout;
mod order;
mod reconcile;
mod settle;
mod steps;
mod targets;

pub use facts::Fact;
pub use guess::{guess_columns, guess_rows, row_words};
pub use known::{HoldKnown, Known, OrderKnown, RefundKnown, moved};
pub use layout::{
    ColumnMeaning, FeeSign, FileKind, LayoutColumn, LayoutError, RowMeaning, ShopLayout,
    read_columns, read_rows,
};
pub use order::{Product, ShopOrder, ShopOrderLine};
pub use reconcile::{Told, reconcile};
pub use steps::{Counts, Step, Steps};
