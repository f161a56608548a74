//! The pure core against published examples and against itself.

mod accounting_cycle;
mod depreciation;
mod set_aside;
mod statements;
mod whole_story;
