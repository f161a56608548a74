//! The real program, driven as a script would: what it prints, what it refuses, how it exits.

mod any_book;
mod bank_story;
mod bundles;
mod deciding;
mod desk;
mod documents;
mod due_dates;
mod duties;
mod entries;
mod kinds;
mod orders;
mod plan;
mod product;
mod questions;
mod refused;
mod round_trip;
mod set_aside;
mod shop_bridge;
mod shops;
mod statements;
mod stock;
mod stock_attacks;
mod stock_story;
mod story;
mod years;
