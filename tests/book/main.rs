//! The book file: everything that is kept, refused, taken back, backed up and found out.
//! Figures of statements are `tests/core`'s.

mod attacks;
mod bank_lines;
mod beside;
mod deciding;
mod desk;
mod file;
mod finished;
mod full_disk;
mod layouts;
mod occasions;
mod orders;
mod orders_course;
mod paid_ahead;
mod plan;
mod properties;
mod reconciled;
mod sequences;
mod shops;
mod stock;
mod stock_attacks;
mod stock_periodic;
mod sums;
mod support;
mod writing;
