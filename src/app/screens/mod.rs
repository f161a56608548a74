//! What the main area shows besides forms: the rooms, and the pages that any figure or search result opens.
//! Each is listed here once; the window knows them only through this list.
//!
//! A room has a model (rows made from the book, no drawing) and a view (drawing, no book); it only asks.

pub mod adjusting;
pub mod buy;
pub mod by_month;
pub mod catching_up;
pub mod closing_down;
pub mod desk;
pub mod entry;
pub mod equipment;
pub mod explain;
pub mod facts;
pub mod first_run;
pub mod free;
pub mod going_on;
mod lately;
pub mod ledger;
pub mod make;
pub mod money;
mod moves;
pub mod orders;
pub mod plan;
pub mod sell;
pub mod set_aside;
pub mod settings;
pub mod today;
pub mod year_end;

use super::navigation::Room;
use super::screen::Screen;
use crate::ledger::{AccountId, EntryNumber};

pub use facts::Facts;

/// A room at its beginning, or `None` when this program has no such room.
#[must_use]
pub fn room(room: Room) -> Option<Box<dyn Screen>> {
    Some(match room {
        Room::Today => Box::new(today::TodayRoom::default()),
        Room::Plan => Box::new(plan::PlanRoom::default()),
        Room::Buy => Box::new(buy::BuyRoom::default()),
        Room::Make => Box::new(make::MakeRoom::default()),
        Room::Sell => Box::new(sell::SellRoom::default()),
        Room::Money => Box::new(money::MoneyRoom::default()),
        Room::Equipment => Box::new(equipment::EquipmentRoom::default()),
        Room::Ledger => Box::new(ledger::LedgerRoom::default()),
        Room::SetAside => Box::new(set_aside::SetAsideRoom::default()),
        Room::YearEnd => Box::new(year_end::YearEndRoom::default()),
    })
}

/// A page that was kept for later, when it is none of the forms.
#[must_use]
pub fn take_up(draft: &crate::book::Draft) -> Option<Box<dyn Screen>> {
    let receipts = catching_up::ReceiptsScreen::taken_up_from(draft)?;
    Some(Box::new(receipts))
}

/// The page of an entry.
#[must_use]
pub fn entry(number: EntryNumber) -> Option<Box<dyn Screen>> {
    Some(Box::new(entry::EntryScreen::new(number)))
}

/// The ledger of an account.
#[must_use]
pub fn account(id: AccountId) -> Option<Box<dyn Screen>> {
    Some(Box::new(money::AccountScreen::new(id)))
}
