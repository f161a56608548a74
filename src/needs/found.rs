//! What may want doing, as those who look in the book hand it over.
//! Whether it does, and in which words, is `words`' business.

use chrono::NaiveDate;

use crate::catching_up::Behind;
use crate::dates::{DateRange, Month};
use crate::desk::Standing;
use crate::ledger::{AccountId, EntryNumber};
use crate::matters::MatterKind;
use crate::money::Money;
use crate::spreading::DueRelease;

/// A recurring purchase as far as its due date matters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DuePurchase {
    /// Its number in the book.
    pub id: i64,
    /// What it is.
    pub name: String,
    /// How much it usually is.
    pub amount: Money,
    /// When it is next due.
    pub due: NaiveDate,
}

/// Money that a channel owes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChannelDue {
    /// The channel's account.
    pub channel: AccountId,
    /// Its name.
    pub name: String,
    /// What it owes; negative when the shop bills the owner.
    pub due: Money,
    /// The day of its last payout or, before the first, of its first sale.
    pub last_payout: Option<NaiveDate>,
    /// The earliest day on which money held should have been released.
    pub held_until: Option<NaiveDate>,
}

/// Parts of what was paid ahead that are used up and not yet a cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UsedUp {
    /// The day of the oldest.
    pub since: NaiveDate,
    /// Through which day they were counted.
    pub through: NaiveDate,
    /// How much they come to.
    pub amount: Money,
    /// Of which things.
    pub names: Vec<String>,
}

impl UsedUp {
    /// What has fallen due, added up; nothing when nothing has.
    #[must_use]
    pub fn of(due: &[DueRelease], through: NaiveDate) -> Option<Self> {
        let since = due.iter().map(|one| one.date).min()?;
        let mut names: Vec<String> = due.iter().map(|one| one.spread.name.clone()).collect();
        names.sort();
        names.dedup();
        Some(Self {
            since,
            through,
            amount: due.iter().map(|one| one.amount).sum(),
            names,
        })
    }
}

/// What of the stock wants doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockFound {
    /// Items of which more went than ever came.
    pub below: Vec<String>,
    /// Items at or under their reorder point, each with how many are left.
    pub low: Vec<String>,
    /// What can be sold and has not been for months, each with what it cost.
    pub slow: Vec<String>,
    /// Items that lay there at the end of a finished year and were not counted: that day, and which.
    pub uncounted: Option<(NaiveDate, Vec<String>)>,
}

/// An order that should be here and is not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateOrder {
    /// Its number in the book.
    pub id: i64,
    /// Its key.
    pub key: String,
    /// From whom.
    pub supplier: String,
    /// When it was expected.
    pub expected_on: NaiveDate,
    /// What is still to come, each with how many.
    pub to_come: Vec<String>,
}

/// A claim that is still with the supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenClaim {
    /// The number of its order in the book.
    pub order: i64,
    /// From whom.
    pub supplier: String,
    /// How much is claimed.
    pub amount: Money,
    /// Since when.
    pub since: NaiveDate,
    /// For what.
    pub what: String,
}

/// A duty that comes near or has passed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueDuty {
    /// Its number in the book.
    pub id: i64,
    /// What it is, with the period of a return.
    pub name: String,
    /// When it is or was due.
    pub due: NaiveDate,
    /// From which day it is announced.
    pub since: NaiveDate,
    /// What there is to know; may be empty.
    pub note: String,
}

/// What of the orders wants doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrdersFound {
    /// Orders that should be here.
    pub late: Vec<LateOrder>,
    /// Claims that are still open.
    pub claims: Vec<OpenClaim>,
}

/// Accounts that were not held against their statements for a while.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToAgree {
    /// Those that agreed once and have entries since: the account, its name and the day it agreed through.
    pub again: Vec<(AccountId, String, NaiveDate)>,
    /// Those that never agreed.
    pub never: Vec<(AccountId, String)>,
}

/// Something that goes on and has come to its day: an invoice to be paid, an order to be ready, a shop to tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueMatter {
    /// The kind.
    pub kind: MatterKind,
    /// Which one.
    pub key: String,
    /// Whom it concerns; may be empty.
    pub party: String,
    /// The day.
    pub due: NaiveDate,
    /// What is left of it, in minor units.
    pub left: Money,
}

/// Everything that was found and may want doing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Recurring purchases, due or not.
    pub recurring: Vec<DuePurchase>,
    /// Wear that could be written down: through which day, how much, of which pieces.
    pub depreciation: Option<(NaiveDate, Money, Vec<String>)>,
    /// Parts of what was paid ahead that are used up: since when, through which day, how much, of which things.
    pub paid_ahead: Option<UsedUp>,
    /// Entries whose receipt is missing.
    pub receipts_missing: Vec<(EntryNumber, NaiveDate)>,
    /// Entries that lack a purpose.
    pub purpose_missing: Vec<(EntryNumber, NaiveDate)>,
    /// What should move to the set-aside account and by when.
    pub set_aside: Option<(Money, NaiveDate)>,
    /// What the channels owe.
    pub channels: Vec<ChannelDue>,
    /// Things that starting needs, planned up to this month and not bought: the first month and their names.
    pub plan_due: Option<(Month, Vec<String>)>,
    /// What of the orders wants doing.
    pub orders: OrdersFound,
    /// Forms kept for later: number in the book and name.
    pub drafts: Vec<(i64, String)>,
    /// What of the stock wants doing.
    pub stock: StockFound,
    /// How far behind the book is.
    pub behind: Behind,
    /// How many statement lines are to be sorted, and the day of the oldest.
    pub lines_to_sort: Option<(usize, NaiveDate)>,
    /// Sheets that no longer hold: number in the book, account, day and what changed.
    pub broken: Vec<(i64, String, NaiveDate, String)>,
    /// Duties that come near or have passed.
    pub duties: Vec<DueDuty>,
    /// What goes on and has come to its day.
    pub matters: Vec<DueMatter>,
    /// Through which day trips are told, where any ever was.
    pub trips_told_to: Option<NaiveDate>,
    /// How far the questions for the accountant are.
    pub questions: Standing,
    /// Accounts that want to be held against their statements.
    pub to_agree: ToAgree,
    /// A finished financial year that is not closed, and its range.
    pub year_to_close: Option<(i32, DateRange)>,
}
