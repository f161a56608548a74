//! Sheets read into values: the open CSV layouts, typed cells, and what each kind of sheet means.
//! Nothing is written here; a sheet that has a fault yields its faults and nothing else.

mod cells;
mod fault;
pub mod layouts;
mod sheet;

pub use cells::{Row, Rows};
pub use fault::{Fault, Faults};
pub use layouts::{Column, Layout};
pub use sheet::Sheet;
