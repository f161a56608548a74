//! The command line: verbs, their arguments and what each is for.
//! What they do is in the verbs' own files.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};

use super::VerbError;
use super::bring::BankArgs;
use super::deciding::DecidingArgs;
use super::free::FreeArgs;
use super::month::month;
use super::reconcile::ReconcileArgs;
use super::sort::SortArgs;
pub use super::what::What;
use crate::dates::{Month, parse_iso};
use crate::statements::Basis;

/// Deckle, a ledger for a one-person craft business. With a book or nothing it opens its window;
/// every other verb works on the book without one.
#[derive(Debug, Parser)]
#[command(
    name = "deckle",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "Figures are records and estimates. Where they meet tax or law, confirm with local rules and a licensed professional."
)]
pub struct CommandLine {
    /// The book to open in the window
    pub book: Option<PathBuf>,
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What is to be done.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Look at the sample book; without a display, print its statements and write its year-end folder
    Demo {
        /// Where the year-end folder goes when there is no display
        #[arg(long)]
        out: Option<PathBuf>,
        /// Work without a window even when there is a display
        #[arg(long)]
        no_window: bool,
    },
    /// Make a new book
    New(NewArgs),
    /// Change settings of a book
    Set {
        /// The book
        book: PathBuf,
        /// Settings as KEY=VALUE; an empty value takes the setting back
        #[arg(required = true, value_name = "KEY=VALUE")]
        settings: Vec<String>,
    },
    /// Bring a sheet into a book, whole or not at all
    Bring(BringArgs),
    /// Write the whole book as sheets and receipts into an empty folder
    WriteOut {
        /// The book
        book: PathBuf,
        /// The folder; made when it is not there
        folder: PathBuf,
    },
    /// Show figures
    Show(Box<ShowArgs>),
    /// Make a year's pack for the accountant: a folder and an archive
    YearEnd {
        /// The book
        book: PathBuf,
        /// The financial year, by the calendar year it ends in
        #[arg(long)]
        year: i32,
        /// The folder; must not be there yet, or be empty
        #[arg(long)]
        out: PathBuf,
        /// Close and lock the year first
        #[arg(long)]
        close: bool,
        /// Print what was written as JSON
        #[arg(long)]
        json: bool,
    },
    /// Hold a year-end pack against its list of files, and against its book
    Verify {
        /// The pack's folder
        folder: PathBuf,
        /// The book that it was made from
        #[arg(long)]
        book: Option<PathBuf>,
        /// Print what was found as JSON
        #[arg(long)]
        json: bool,
    },
    /// Write an invoice that was sent to a shop as a PDF
    Invoice {
        /// The book
        book: PathBuf,
        /// Its number
        number: String,
        /// The file, which must not be there yet
        #[arg(long)]
        out: PathBuf,
    },
    /// Check the file, its invariants, its history and its receipts
    Check {
        /// The book
        book: PathBuf,
        /// Print the answer as JSON
        #[arg(long)]
        json: bool,
    },
    /// Copy the book to a safe place and open the copy to be sure
    Backup {
        /// The book
        book: PathBuf,
        /// The copy; beside the book's other backups when left out
        #[arg(long)]
        to: Option<PathBuf>,
    },
    /// Make a practice copy of a book: a whole copy to try things in, marked as one for good
    Practice(PracticeArgs),
    /// Post the wear of equipment up to a day, never twice for a period
    Depreciate {
        /// The book
        book: PathBuf,
        /// The last day to be charged
        #[arg(long, value_parser = day)]
        through: NaiveDate,
        /// Show what would be posted and leave the book alone
        #[arg(long)]
        propose: bool,
        /// Print figures as JSON
        #[arg(long)]
        json: bool,
    },
    /// Post the adjusting entries that a year proposes, each never twice: wear, paid-ahead, start-up, mileage, workspace
    Adjust {
        /// The book
        book: PathBuf,
        /// The financial year, by the calendar year it ends in
        #[arg(long)]
        year: i32,
        /// Only this one
        #[arg(long)]
        only: Option<String>,
        /// Print what was posted as JSON
        #[arg(long)]
        json: bool,
    },
    /// Make what was paid ahead a cost where it is used up by a day
    Release {
        /// The book
        book: PathBuf,
        /// The last day that counts
        #[arg(long, value_parser = day)]
        through: NaiveDate,
    },
    /// Move lines from one account to another, kept in the history
    Reclassify(ReclassifyArgs),
    /// Keep a receipt beside an entry
    Attach {
        /// The book
        book: PathBuf,
        /// The entry's number
        entry: u64,
        /// The receipt
        file: PathBuf,
    },
    /// Change an entry's words or day; the earlier version is kept
    Amend(AmendArgs),
    /// Take an entry back with its mirror
    Reverse {
        /// The book
        book: PathBuf,
        /// The entry's number
        entry: u64,
        /// Why
        #[arg(long)]
        reason: String,
        /// The day of the mirror; the entry's own day when left out
        #[arg(long, value_parser = day)]
        on: Option<NaiveDate>,
    },
    /// Lock every day up to and including this one
    Lock {
        /// The book
        book: PathBuf,
        /// The last locked day
        #[arg(long, value_parser = day)]
        through: NaiveDate,
    },
    /// Say that a month is finished: nothing is locked, but what is written there later is noted
    FinishMonth {
        /// The book
        book: PathBuf,
        /// The month, as 2026-09
        #[arg(value_parser = month)]
        month: Month,
        /// Open the month, and every later one, again
        #[arg(long)]
        open_again: bool,
    },
    /// Open the lock, with a reason that is kept
    Unlock {
        /// The book
        book: PathBuf,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Close a financial year into profit brought forward
    Close {
        /// The book
        book: PathBuf,
        /// The financial year, by the calendar year it ends in
        #[arg(long)]
        year: i32,
        /// Close it though it is not over yet; its remaining days are locked too
        #[arg(long)]
        early: bool,
        /// Close it though something stands not yet explained
        #[arg(long)]
        unexplained: bool,
    },
    /// Set the owner's accounts against each other, the last entry of a business that closes down
    SettleOwner {
        /// The book
        book: PathBuf,
        /// The day; the first that is not locked when that is later
        #[arg(long, value_parser = day)]
        on: NaiveDate,
    },
    /// Reopen the year that was closed last, with a reason that is kept
    Reopen {
        /// The book
        book: PathBuf,
        /// The financial year, to be sure that it is this one
        #[arg(long)]
        year: Option<i32>,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// List recurring purchases that are due, confirm or skip one
    Recur(RecurArgs),
    /// Sort statement lines into the books: show them, accept what rules cover, say what one is
    Sort(SortArgs),
    /// Bring an account into agreement with its statement
    Reconcile(ReconcileArgs),
}

/// A practice copy.
#[derive(Debug, Args)]
pub struct PracticeArgs {
    /// The real book
    pub book: PathBuf,
    /// The copy; beside the book under its name with "practice" when left out
    #[arg(long)]
    pub to: Option<PathBuf>,
    /// Replace an earlier practice copy of this book; what was tried in it is gone then
    #[arg(long)]
    pub afresh: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// A new book.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// The file to make
    pub book: PathBuf,
    /// The currency by its ISO 4217 code
    #[arg(long)]
    pub currency: String,
    /// The first day of the book
    #[arg(long, value_parser = day)]
    pub first_day: NaiveDate,
    /// The month in which the financial year begins
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=12))]
    pub year_starts: u32,
    /// How stock is valued
    #[arg(long, value_enum, default_value_t = CostingArg::Average)]
    pub costing: CostingArg,
    /// The name on statements
    #[arg(long, default_value = "")]
    pub name: String,
}

/// How stock is valued.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CostingArg {
    /// Moving weighted average
    Average,
    /// First in, first out
    Fifo,
}

/// A sheet to bring in.
#[derive(Debug, Args)]
pub struct BringArgs {
    /// The book
    pub book: PathBuf,
    /// What the sheet holds: settings, accounts, items, recipes, bundles, movements, entries, purchases, sales, refunds,
    /// payouts, owner, equipment, receipts, recurring, plan, supplier-orders, supplier-arrivals, supplier-claims,
    /// comparisons, shop-fees, questions, duties, duties-done, papers,
    /// decisions, hours, mileage, odometer, workspaces, workspace-bills, shared-bills; bank for statements of a bank or card;
    /// orders, or payouts with --channel, for files that a shop exports; or sheets or written-out for a whole folder
    pub kind: String,
    /// The sheet, or the folder; of statements and of a shop's files there may be several
    #[arg(required = true)]
    pub file: Vec<PathBuf>,
    /// What a file of a shop means
    #[command(flatten)]
    pub shop: ShopArgs,
    /// Bring a file that was brought before
    #[arg(long)]
    pub again: bool,
    /// Take rows that look like a channel's payout booked as a sale
    #[arg(long)]
    pub allow_lookalikes: bool,
    /// Take movements after which more of an item has gone than ever came
    #[arg(long)]
    pub allow_short: bool,
    /// Print what was brought as JSON
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub bank: BankArgs,
}

impl BringArgs {
    /// The file, where only one can be meant.
    ///
    /// # Errors
    /// When there are several.
    pub fn one_file(&self) -> Result<&Path, VerbError> {
        match self.file.as_slice() {
            [one] => Ok(one),
            _ => Err(VerbError::Usage(
                "one sheet or folder at a time; nothing was changed".to_owned(),
            )),
        }
    }
}

/// What a shop's file means.
#[derive(Debug, Default, Args)]
pub struct ShopArgs {
    /// The shop
    #[arg(long, value_name = "NAME")]
    pub channel: Option<String>,
    /// Where payouts arrive, by number or name; the business's bank account when left out
    #[arg(long, value_name = "ACCOUNT")]
    pub into: Option<String>,
    /// What a kind of row means, as "Adjustment=fee-other"
    #[arg(long, value_name = "WORDS=MEANING")]
    pub rows: Vec<String>,
    /// Which product words mean, as "Blue notebook=NOTEBOOK"; no code when they mean none
    #[arg(long, value_name = "WORDS=CODE")]
    pub items: Vec<String>,
    /// How fees are written: plus or minus
    #[arg(long)]
    pub fees: Option<String>,
    /// An amount that counts on each row of an order, as discount
    #[arg(long, value_name = "MEANING")]
    pub each_row: Vec<String>,
}

/// Figures to show.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// The book
    pub book: PathBuf,
    /// What to show
    #[arg(value_enum)]
    pub what: What,
    /// The first day
    #[arg(long, value_parser = day)]
    pub from: Option<NaiveDate>,
    /// The last day
    #[arg(long, value_parser = day)]
    pub to: Option<NaiveDate>,
    /// Split the period
    #[arg(long, value_enum)]
    pub by: Option<By>,
    /// When sales and costs count, instead of as the setting says: accrual (when they happen) or cash (when they are paid)
    #[arg(long)]
    pub basis: Option<Basis>,
    /// The tax form to sort by, instead of the book's: us-schedule-c, uk-sa103s
    #[arg(long, value_name = "NAME")]
    pub form: Option<String>,
    /// The account, by number or name
    #[arg(long)]
    pub account: Option<String>,
    /// The day a list of things is for
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub as_of: Option<NaiveDate>,
    /// The month, as 2026-09
    #[arg(long, value_name = "MONTH", value_parser = month)]
    pub month: Option<Month>,
    /// The order, by its key
    #[arg(long)]
    pub order: Option<String>,
    /// Only one kind of what goes on: voucher, deposit, invoice, commission, dispute, claim, loan, fair …
    #[arg(long, value_name = "KIND")]
    pub of: Option<String>,
    /// The financial year, by the calendar year it ends in
    #[arg(long)]
    pub year: Option<i32>,
    /// Work the set-aside estimate for this profit instead
    #[arg(long, allow_hyphen_values = true, value_name = "AMOUNT")]
    pub what_if_profit: Option<String>,
    /// Work the set-aside estimate by this method, or show only its rates: percent, us, us-2026
    #[arg(long, value_name = "NAME")]
    pub method: Option<String>,
    /// Write the days instalments, or duties and instalments, are due to this calendar file (iCalendar), which must not be there yet
    #[arg(long, value_name = "FILE.ics")]
    pub calendar: Option<PathBuf>,
    /// Put what is needed for each day into the calendar file too
    #[arg(long, requires = "calendar")]
    pub with_amounts: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub deciding: DecidingArgs,
    #[command(flatten)]
    pub free: FreeArgs,
}

/// How a period is split.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// By calendar month
    Month,
    /// By quarter, counted from the first month
    Quarter,
}

/// Lines to be moved to another account.
#[derive(Debug, Args)]
pub struct ReclassifyArgs {
    /// The book
    pub book: PathBuf,
    /// The account they are on now
    #[arg(long)]
    pub from: String,
    /// The account they belong on
    #[arg(long)]
    pub to: String,
    /// Only lines of this supplier or customer
    #[arg(long)]
    pub party: Option<String>,
    /// Only lines whose words contain this
    #[arg(long)]
    pub text: Option<String>,
    /// Only lines from this day on
    #[arg(long, value_parser = day)]
    pub since: Option<NaiveDate>,
    /// Only lines up to this day
    #[arg(long, value_parser = day)]
    pub until: Option<NaiveDate>,
    /// Why
    #[arg(long)]
    pub reason: String,
}

/// A change of an entry.
#[derive(Debug, Args)]
pub struct AmendArgs {
    /// The book
    pub book: PathBuf,
    /// The entry's number
    pub entry: u64,
    /// Why
    #[arg(long)]
    pub reason: String,
    /// Another day
    #[arg(long, value_parser = day)]
    pub date: Option<NaiveDate>,
    /// Another party
    #[arg(long)]
    pub party: Option<String>,
    /// Another memo
    #[arg(long)]
    pub memo: Option<String>,
    /// Another reference
    #[arg(long)]
    pub reference: Option<String>,
    /// New lines from a sheet of entries that holds one entry
    #[arg(long)]
    pub lines: Option<PathBuf>,
}

/// Recurring purchases.
#[derive(Debug, Args)]
pub struct RecurArgs {
    /// The book
    pub book: PathBuf,
    /// Due on or before this day; today when left out
    #[arg(long, value_parser = day)]
    pub on: Option<NaiveDate>,
    /// Post the due purchase of this name
    #[arg(long, conflicts_with = "skip")]
    pub confirm: Option<String>,
    /// Skip the due purchase of this name
    #[arg(long)]
    pub skip: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

pub(super) fn day(text: &str) -> Result<NaiveDate, String> {
    parse_iso(text).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        CommandLine::command().debug_assert();
    }

    #[test]
    fn a_loss_is_a_profit_to_try() {
        for arguments in [
            vec!["deckle", "show", "b", "set-aside", "--what-if-profit=-7300"],
            vec![
                "deckle",
                "show",
                "b",
                "set-aside",
                "--what-if-profit",
                "-7300",
            ],
        ] {
            let line = CommandLine::try_parse_from(arguments).expect("is understood");
            let Some(Verb::Show(show)) = line.verb else {
                panic!("is show");
            };
            assert_eq!(show.what_if_profit.as_deref(), Some("-7300"));
        }
    }
}
