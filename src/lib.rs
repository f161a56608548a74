//! Deckle: a native desktop ledger for a one-person craft business.
//!
//! Read in this order: [`money`] and [`dates`] (exact values), [`ledger`] (accounts, entries, balances), then what
//! stands on them. The layers point one way and `tests/architecture.rs` keeps them so.

#[cfg(feature = "window")]
pub mod app;
#[deny(clippy::float_arithmetic)]
pub mod bank;
#[deny(clippy::float_arithmetic)]
pub mod book;
#[deny(clippy::float_arithmetic)]
pub mod catching_up;
#[deny(clippy::float_arithmetic)]
pub mod closing_down;
#[deny(clippy::float_arithmetic)]
pub mod dates;
#[deny(clippy::float_arithmetic)]
pub mod deciding;
#[deny(clippy::float_arithmetic)]
pub mod depreciation;
#[deny(clippy::float_arithmetic)]
pub mod desk;
#[deny(clippy::float_arithmetic)]
pub mod export;
#[deny(clippy::float_arithmetic)]
pub mod form_lines;
#[deny(clippy::float_arithmetic)]
pub mod free_to_spend;
#[deny(clippy::float_arithmetic)]
pub mod happenings;
#[deny(clippy::float_arithmetic)]
pub mod import;
#[deny(clippy::float_arithmetic)]
pub mod keeping;

pub mod kinds;
#[deny(clippy::float_arithmetic)]
pub mod ledger;
#[deny(clippy::float_arithmetic)]
pub mod matters;
#[deny(clippy::float_arithmetic)]
pub mod mileage;
#[deny(clippy::float_arithmetic)]
pub mod money;
#[deny(clippy::float_arithmetic)]
pub mod needs;
#[deny(clippy::float_arithmetic)]
pub mod occasions;
#[deny(clippy::float_arithmetic)]
pub mod ordering;
#[deny(clippy::float_arithmetic)]
pub mod plan;
#[deny(clippy::float_arithmetic)]
pub mod reconciling;
#[deny(clippy::float_arithmetic)]
pub mod recurring;
#[deny(clippy::float_arithmetic)]
pub mod reports;
#[deny(clippy::float_arithmetic)]
pub mod set_aside;
#[deny(clippy::float_arithmetic)]
pub mod shared_bills;
#[deny(clippy::float_arithmetic)]
pub mod shops;
#[deny(clippy::float_arithmetic)]
pub mod sorting;
#[deny(clippy::float_arithmetic)]
pub mod spreading;
#[deny(clippy::float_arithmetic)]
pub mod statements;
#[deny(clippy::float_arithmetic)]
pub mod stock;
#[deny(clippy::float_arithmetic)]
pub mod verbs;
mod word_list;
#[deny(clippy::float_arithmetic)]
pub mod workspace;
