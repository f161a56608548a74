//! The double-entry ledger as pure values: accounts and their chart, entries and their lines, balances.
//! No file, no window, no clock; where entries are kept is `book`'s business, what they mean is `happenings`'.

mod account;
mod balances;
mod chart;
mod entry;

pub use account::{Account, AccountClass, AccountId, Role};
pub use balances::{Balances, Movement};
pub use chart::{Chart, ChartError};
pub use entry::{
    EntryError, EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, Origin, PostedEntry,
};
