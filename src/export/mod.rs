//! Figures on their way out: neutral tables shown as text or written as CSV, JSON objects, whole folders.
//! `reports` gathers them from a book; nothing is computed here that a statement does not already say.

mod comparisons;
mod error;
pub mod folder;
pub mod icalendar;
pub mod json;
// Places on a page are measures, not money; those stay exact.
#[allow(clippy::float_arithmetic)]
pub mod pdf;
mod table;
pub mod tables;
mod words;
mod written_desk;
mod written_log;
mod written_matters;
mod written_orders;
pub mod written_out;
mod written_shops;
mod written_statements;
pub mod year_end;

pub use error::ExportError;
pub use table::{Cell, Column, RowStyle, SumPart, Table, csv_bytes, csv_writer};
pub use words::counted;
