//! Why the book refused or could not be reached, in one plain line each.
//! How an error is shown is for whoever called.

use std::path::PathBuf;

use chrono::NaiveDate;
use rusqlite::ErrorCode;

use crate::depreciation::EquipmentError;
use crate::ledger::{ChartError, EntryError, EntryNumber};
use crate::money::AmountError;
use crate::statements::ClosingError;
use crate::stock::{CostingError, MovementId};

/// What went wrong with a book. Whatever it was, the book is as it was before.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum BookError {
    /// No file is there.
    #[error("there is no book at {}", .0.display())]
    Missing(PathBuf),
    /// A new book would overwrite a file.
    #[error("a file with this name is already there and was left alone: {}", .0.display())]
    Exists(PathBuf),
    /// The file is something else.
    #[error("this file is not a Deckle book; it was left alone: {}", .0.display())]
    NotABook(PathBuf),
    /// A later version of the program wrote it.
    #[error("this book was written by a newer Deckle (its layout is {found}, this program knows up to {supported}); it was left alone: {}", path.display())]
    Newer {
        /// The layout of the file.
        found: i64,
        /// The newest layout this program knows.
        supported: i64,
        /// The file.
        path: PathBuf,
    },
    /// The file is no longer where it was opened.
    #[error("the book was moved or deleted while it was open, so nothing more was written; put it back, or save a copy from here: {}", .0.display())]
    Gone(PathBuf),
    /// Another program or window holds it.
    #[error("this book is open in another window; close it there first. Nothing was changed")]
    InUse,
    /// The file or its folder cannot be written to.
    #[error("the book or its folder is read-only; nothing was changed{}", at(path.as_ref()))]
    ReadOnly {
        /// The file or folder, when known.
        path: Option<PathBuf>,
    },
    /// There is no room left.
    #[error("the disk is full; nothing was changed")]
    Full,
    /// The file is broken.
    #[error("the book is damaged ({what}); nothing was changed. Open the newest backup instead{}", at(path.as_ref()))]
    Damaged {
        /// What was found.
        what: String,
        /// The file, when known.
        path: Option<PathBuf>,
    },
    /// The operating system refused.
    #[error("{doing} did not work: {source}; the book was not changed")]
    Io {
        /// What was being done.
        doing: String,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The day lies in a locked period.
    #[error(
        "{date} is on or before the lock date {lock}, so nothing was changed; date the correction after {lock}, or reopen the year with a reason"
    )]
    Locked {
        /// The day of the entry.
        date: NaiveDate,
        /// The lock date.
        lock: NaiveDate,
    },
    /// The day lies in a month the owner says is finished; asked again, it is written all the same.
    #[error("{} is finished; nothing was changed yet", crate::dates::Month::of(*date))]
    Finished {
        /// The day.
        date: NaiveDate,
    },
    /// The day lies before the book begins.
    #[error("{date} is before the book's first day {first_day}; nothing was changed")]
    BeforeFirstDay {
        /// The day of the entry.
        date: NaiveDate,
        /// The book's first day.
        first_day: NaiveDate,
    },
    /// There is no entry with this number.
    #[error("there is no entry {0} in this book")]
    NoSuchEntry(EntryNumber),
    /// The entry was taken back already.
    #[error("entry {entry} was taken back by entry {by} already; nothing was changed")]
    AlreadyReversed {
        /// The entry.
        entry: EntryNumber,
        /// Its reversal.
        by: EntryNumber,
    },
    /// A reversal mirrors its entry and cannot be amended.
    #[error("entry {0} takes back an earlier entry and stays its mirror; nothing was changed")]
    IsReversal(EntryNumber),
    /// A change that needs a reason came without one.
    #[error("please give a reason: it is kept in the book's history. Nothing was changed")]
    ReasonMissing,
    /// The lines make no entry.
    #[error("{0}; nothing was changed")]
    Entry(#[from] EntryError),
    /// The chart refuses.
    #[error("{0}; nothing was changed")]
    Chart(#[from] ChartError),
    /// An amount is not one.
    #[error("{0}; nothing was changed")]
    Amount(#[from] AmountError),
    /// The equipment cannot be so.
    #[error("{0}; nothing was changed")]
    Equipment(#[from] EquipmentError),
    /// The year cannot be closed.
    #[error("{0}; nothing was changed")]
    Closing(#[from] ClosingError),
    /// A setting has no such key.
    #[error("there is no setting '{key}'; the settings are {known}. Nothing was changed")]
    UnknownSetting {
        /// What was asked for.
        key: String,
        /// All keys.
        known: String,
    },
    /// A setting cannot have this value.
    #[error("{key}: {message}; nothing was changed")]
    Setting {
        /// The key.
        key: String,
        /// What is wrong.
        message: String,
    },
    /// A thing that the register, the list or the cupboard does not hold.
    #[error("there is no {what} '{key}' in this book")]
    NoSuch {
        /// What kind of thing.
        what: &'static str,
        /// What it was looked for by.
        key: String,
    },
    /// The change cannot be made.
    #[error("{0}; nothing was changed")]
    Refused(String),
    /// The history of stock cannot be as it is told.
    #[error("{why}; nothing was changed")]
    Costing {
        /// The movement that cannot be.
        movement: MovementId,
        /// Why.
        why: CostingError,
    },
    /// One of several recordings was refused, and with it all of them.
    #[error("{source}")]
    AtIndex {
        /// Which one, from 0.
        index: usize,
        /// Why.
        #[source]
        source: Box<BookError>,
    },
    /// The database refused for a reason that has no plainer name here.
    #[error("the book file refused: {0}; nothing was changed")]
    Sql(String),
}

impl BookError {
    /// A refusal in plain words, without a full stop.
    pub(crate) fn refused(why: impl Into<String>) -> Self {
        Self::Refused(why.into())
    }

    /// An error of the operating system while doing something.
    pub(super) fn io(doing: impl Into<String>, source: std::io::Error) -> Self {
        match source.kind() {
            std::io::ErrorKind::StorageFull => Self::Full,
            std::io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly { path: None },
            _ => Self::Io {
                doing: doing.into(),
                source,
            },
        }
    }

    /// A value in the file that cannot be what the program wrote.
    pub(super) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged {
            what: what.into(),
            path: None,
        }
    }

    /// The same error with the file it is about, where the error has room for it.
    pub(super) fn in_file(self, file: &std::path::Path) -> Self {
        match self {
            Self::Damaged { what, path: None } => Self::Damaged {
                what,
                path: Some(file.to_owned()),
            },
            Self::ReadOnly { path: None } => Self::ReadOnly {
                path: Some(file.to_owned()),
            },
            other => other,
        }
    }
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> Self {
        let rusqlite::Error::SqliteFailure(failure, message) = &error else {
            return match error {
                rusqlite::Error::FromSqlConversionFailure(..)
                | rusqlite::Error::InvalidColumnType(..)
                | rusqlite::Error::IntegralValueOutOfRange(..) => Self::damaged(error.to_string()),
                rusqlite::Error::ToSqlConversionFailure(_) => {
                    Self::refused("a number is larger than a book takes")
                }
                other => Self::Sql(other.to_string()),
            };
        };
        let said = message.clone().unwrap_or_else(|| failure.to_string());
        match failure.code {
            ErrorCode::DiskFull => Self::Full,
            ErrorCode::ReadOnly => Self::ReadOnly { path: None },
            ErrorCode::DatabaseBusy
            | ErrorCode::DatabaseLocked
            | ErrorCode::FileLockingProtocolFailed => Self::InUse,
            ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase => Self::damaged(said),
            ErrorCode::SystemIoFailure => Self::io("writing the book", std::io::Error::other(said)),
            ErrorCode::CannotOpen => Self::io("opening the book", std::io::Error::other(said)),
            ErrorCode::ConstraintViolation => Self::Refused(plain_constraint(&said)),
            _ => Self::Sql(said),
        }
    }
}

/// Constraints that people meet, in their words; triggers speak plainly already.
fn plain_constraint(said: &str) -> String {
    let known = [
        (
            "equipment.key",
            "a piece of equipment with this key is in the register already",
        ),
        (
            "equipment.name",
            "a piece of equipment with this name is in the register already",
        ),
        (
            "equipment_change.equipment",
            "new terms from that day are in the register already",
        ),
        (
            "account.number",
            "an account with this number is there already",
        ),
        ("account.name", "an account with this name is there already"),
        ("account.role", "another account has this role already"),
        ("entry.reverses", "the entry was taken back already"),
        (
            "attachment.entry",
            "this receipt is attached to that entry already",
        ),
        ("supplier_order.key", "another order has this key already"),
        (
            "supplier_arrival.of_order",
            "an arrival of this order has this key already",
        ),
        (
            "supplier_arrival.entry",
            "this entry belongs to an arrival already",
        ),
        (
            "supplier_arrival_line.movement",
            "this movement belongs to an arrival already",
        ),
        ("supplier_claim.key", "another claim has this key already"),
        (
            "supplier_claim.entry",
            "this entry is the credit of a claim already",
        ),
        (
            "plan_line.name",
            "something of this name is in the plan already",
        ),
        (
            "plan_purchase.entry",
            "this belongs to a line of the plan already",
        ),
        (
            "plan_line_chosen",
            "another way of the same thing is chosen already",
        ),
        (
            "FOREIGN KEY",
            "it refers to something that is not in the book, or something in the book still refers to it",
        ),
    ];
    known
        .iter()
        .find(|(needle, _plain)| said.contains(needle))
        .map_or_else(|| said.to_owned(), |(_needle, plain)| (*plain).to_owned())
}

fn at(path: Option<&PathBuf>) -> String {
    path.map(|path| format!(": {}", path.display()))
        .unwrap_or_default()
}
