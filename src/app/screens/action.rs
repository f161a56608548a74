//! What a room asks for. Rooms only ask; the app answers in one place.

use std::path::PathBuf;

use chrono::NaiveDate;

use super::explain::Source;
use crate::depreciation::{Disposal, Equipment, TermsChange};
use crate::happenings::Proof;
use crate::ledger::{Account, AccountClass, AccountId, EntryKind, EntryNumber, JournalEntry};
use crate::money::Money;

/// What a room asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum RoomAction {
    /// Show where a figure comes from.
    Explain(Source),
    /// Open an entry's page.
    OpenEntry(EntryNumber),
    /// Open a form, filled as far as is known.
    Write(FormWish),
    /// Show an account's own ledger.
    ShowAccount(AccountId),
    /// Show a piece of equipment.
    ShowEquipment(String),
    /// Show the entries that a filter finds.
    ShowJournal(JournalWish),
    /// Go to the room that prepares the year's end.
    GoYearEnd,
    /// Write a recurring purchase down as due.
    ConfirmRecurring(i64),
    /// Leave a recurring purchase out this time.
    SkipRecurring(i64),
    /// Write wear of equipment down through a day.
    PostDepreciation(NaiveDate),
    /// Make what was paid ahead and is used up by a day a cost.
    ReleasePaidAhead(NaiveDate),
    /// Move money to the set-aside account.
    MoveToSetAside(Money),
    /// Change settings.
    Set(Vec<(String, String)>),
    /// Change a piece's name, serial number or location.
    UpdateEquipment(Box<Equipment>),
    /// Change a piece's terms from a day on.
    ChangeTerms(String, TermsChange),
    /// Take a piece out of the register: sold or scrapped, the money into an account.
    Dispose(String, Disposal, AccountId),
    /// Lock everything up to a day.
    Lock(NaiveDate),
    /// Unlock, with a reason.
    Unlock(String),
    /// Close a financial year.
    CloseYear(i32),
    /// Reopen what was closed last, with a reason.
    Reopen(String),
    /// Write the year-end folder.
    WriteYearEnd(i32, PathBuf),
    /// Add an account.
    AddAccount(AccountWish),
    /// Change an account's number, name, group or form line.
    UpdateAccount(Box<Account>),
    /// Offer an account no more, or offer it again.
    RetireAccount(AccountId),
    /// Take an entry back, with a reason.
    Reverse(EntryNumber, NaiveDate, String),
    /// Change an entry, with a reason.
    Amend(EntryNumber, Box<JournalEntry>, String),
    /// Keep a file as an entry's receipt.
    Attach(EntryNumber, PathBuf),
    /// Ask for a file to keep as an entry's receipt.
    ChooseReceipt(EntryNumber),
    /// Take a receipt off an entry.
    Detach(EntryNumber, String),
    /// Open a receipt in the program that the system has for it.
    OpenReceipt(String),
    /// Change the state of an entry's proof.
    SetProof(EntryNumber, Proof),
    /// Close the panel or page on top.
    Back,
}

/// Which form to open and what to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormWish {
    /// The key of the happening in the catalogue.
    pub form: &'static str,
    /// The account it is about.
    pub account: Option<AccountId>,
    /// How much.
    pub amount: Option<Money>,
}

impl FormWish {
    /// An empty form.
    #[must_use]
    pub fn new(form: &'static str) -> Self {
        Self {
            form,
            account: None,
            amount: None,
        }
    }

    /// The form about an account.
    #[must_use]
    pub fn about(form: &'static str, account: AccountId) -> Self {
        Self {
            form,
            account: Some(account),
            amount: None,
        }
    }
}

/// Which entries to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JournalWish {
    /// Those whose receipt is missing.
    ReceiptsMissing,
    /// Those on an account.
    Account(AccountId),
    /// Those of a kind.
    Kind(EntryKind),
}

/// A new account as it was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountWish {
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Its class.
    pub class: AccountClass,
    /// Its group in the statements.
    pub group: String,
}
