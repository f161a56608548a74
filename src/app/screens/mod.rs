//! What the main area shows besides forms: the rooms, and the pages that any figure or search result opens.
//! Each is listed here once; the window knows them only through this list.

pub mod action;
pub mod explain;
pub mod facts;
pub mod first_run;
pub mod settings;
pub mod today;

use super::navigation::Room;
use super::screen::Screen;
use crate::ledger::{AccountId, EntryNumber};

pub use action::{AccountWish, FormWish, JournalWish, RoomAction};
pub use facts::Facts;

/// A room at its beginning, or `None` when this program has no such room.
#[must_use]
pub fn room(_room: Room) -> Option<Box<dyn Screen>> {
    None
}

/// The page of an entry.
#[must_use]
pub fn entry(_number: EntryNumber) -> Option<Box<dyn Screen>> {
    None
}

/// The ledger of an account.
#[must_use]
pub fn account(_id: AccountId) -> Option<Box<dyn Screen>> {
    None
}
