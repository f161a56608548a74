//! The rooms. Each has a model (rows made from the book, no drawing), a view (drawing, no book) and asks for what it
//! wants done with a [`RoomAction`]; the app answers.

pub mod action;
pub mod explain;
pub mod facts;
pub mod today;

pub use action::{AccountWish, FormWish, JournalWish, RoomAction};
pub use facts::Facts;
