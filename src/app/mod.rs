//! The window: its state, what it draws, and the one place that turns what the owner asks for into writes.
//! It joins the parts and decides nothing about money; screens and forms live in their own folders.

pub mod charts;
pub mod theme;
pub mod widgets;
