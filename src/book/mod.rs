//! The book file: one SQLite file holds everything, and all of the program's SQL is here.
//! Rows go in and core values come out; sums and rules are the core's, and what a number means is decided above.
//!
//! Start reading at [`Book`]; `write.rs` is the one way in, `migrations/` the layout with its triggers.

mod accounts;
mod arrivals;
mod backup;
mod bank_kept;
mod bank_lines;
mod batch_notes;
mod bundles;
mod channels;
mod check;
mod comparisons;
mod content;
mod desk;
mod entries;
mod error;
mod file_layouts;
mod finding;
mod finished;
mod history;
mod known_lines;
mod matters;
mod memory;
mod mileage;
mod open;
mod order_check;
mod orders;
mod own_rates;
mod packs;
mod plan;
mod posting;
mod practice;
mod reading;
mod receipts;
mod reconciled;
mod recurring;
mod register;
mod setting_keys;
mod settings;
mod shared_bills;
mod shop_steps;
mod sorted;
mod sorting_rules;
mod statement_months;
mod stock;
mod stock_check;
mod stock_differences;
mod stock_reading;
mod stock_rows;
mod stock_sold;
mod sums;
mod together;
mod workspace;
mod write;
mod years;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::Connection;

use crate::dates::{Month, YearStart};
use crate::ledger::Chart;
use crate::money::Currency;

pub use accounts::NewAccount;
pub use arrivals::LaterOnArrival;
pub use backup::{Thinned, backups_beside, thin_out};
pub use bank_lines::{KeptLine, NewLine, NewStatement, StatementBrought, StatementFile};
pub use channels::{Hold, ShopReport};
pub use check::Fault;
pub use entries::Reclassified;
pub use error::BookError;
pub use file_layouts::{FileLayout, ShopItem, ShopRecord};
pub use finding::{EntryFilter, Found};
pub use history::HistoryRow;
pub use memory::{BroughtFile, Draft, Supplier};
pub use open::NewBook;
pub use packs::{BookHead, PackRecord};
pub use practice::practice_beside;
pub use reading::AccountLine;
pub use receipts::{Receipt, ReceiptId};
pub use setting_keys::{SETTING_KEYS, SettingKey, SettingKind};
pub use settings::{PRACTICE_OF, Settings};
pub use sorted::Became;
pub use stock::ItemStock;
pub use stock_reading::ItemPosting;
pub use stock_rows::{StockPosting, StoredMovement};
pub use stock_sold::SoldOnDay;
pub use sums::Closings;
pub use together::Told;

/// A book that is open and held by this program alone.
///
/// Every write is one transaction together with its row of history and one step that can be undone; when a write
/// is refused, the book is as it was. Reads take `&self`; [`Book::revision`] tells when they would answer anew.
pub struct Book {
    path: PathBuf,
    identity: Option<(u64, u64)>,
    conn: Connection,
    chart: Chart,
    settings: Settings,
    revision: u64,
    chain: history::ChainHead,
    steps: write::Steps,
    stale_chart: bool,
    stale_settings: bool,
    has_changed: bool,
    // The highest number that a kept form has had in this run.
    newest_draft: i64,
    months: write::MonthRevisions,
    last_balances: std::cell::RefCell<Option<((u64, NaiveDate), crate::ledger::Balances)>>,
    own_rates: std::cell::RefCell<own_rates::Kept>,
}

impl std::fmt::Debug for Book {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Book")
            .field("path", &self.path)
            .field("revision", &self.revision)
            .finish_non_exhaustive()
    }
}

impl Book {
    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// A number that grows with every change, so that whoever keeps rows knows when to read again.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// The revision in which entries of a month, or the accounts they lie on, changed last: what was added up of the
    /// month in that revision or later still holds.
    #[must_use]
    pub fn month_revision(&self, month: Month) -> u64 {
        self.months.of(month)
    }

    /// The accounts.
    #[must_use]
    pub fn chart(&self) -> &Chart {
        &self.chart
    }

    /// The settings.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The currency of every amount.
    #[must_use]
    pub fn currency(&self) -> &Currency {
        self.settings.currency()
    }

    /// When financial years begin.
    #[must_use]
    pub fn year_start(&self) -> YearStart {
        self.settings.year_start()
    }

    /// The first day of the book.
    #[must_use]
    pub fn first_day(&self) -> NaiveDate {
        self.settings.first_day()
    }

    /// The day up to which nothing changes any more.
    #[must_use]
    pub fn lock_date(&self) -> Option<NaiveDate> {
        self.settings.lock_date()
    }

    /// Whether anything was changed since the book was opened.
    #[must_use]
    pub fn has_changed(&self) -> bool {
        self.has_changed
    }

    /// Closes the book, with a verified backup in its backup folder when something was changed.
    ///
    /// # Errors
    /// When the backup could not be made; the book itself is safe and closed all the same.
    pub fn close(self) -> Result<Option<PathBuf>, BookError> {
        if !self.has_changed {
            return Ok(None);
        }
        self.drop_loose_receipts()?;
        self.drop_loose_lines()?;
        self.conn.execute_batch("PRAGMA optimize")?;
        self.back_up_beside(chrono::Local::now().naive_local())
            .map(Some)
    }
}
