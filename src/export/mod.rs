//! Figures on their way out: neutral tables shown as text or written as CSV, JSON objects, whole folders.
//! Nothing is computed here that a statement does not already say.

mod table;

pub use table::{Cell, Column, RowStyle, Table};
