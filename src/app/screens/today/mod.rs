//! Today: what is, what wants doing, how the months went, where the money went.
//! `model` says it from the facts of the book, `view` draws it.

mod model;
mod view;

pub use model::{Card, MonthBar, Stretch, ToDo, TodayModel};
pub use view::today_ui;
