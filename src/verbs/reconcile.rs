//! Bringing an account into agreement with its statement without a window.
//! The figures are `reconciling`'s, keeping the sheet is `book`'s.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::args::day;
use super::entry::account;
use super::outcome::{print, print_json};
use super::{VerbError, open_book, with_book};
use crate::book::Book;
use crate::export::{json, tables};
use crate::ledger::{AccountId, EntryNumber};
use crate::reports;

/// An account and its statement.
#[derive(Debug, Args)]
pub struct ReconcileArgs {
    /// The book
    pub book: PathBuf,
    /// The account: bank, card, cash or a sales channel
    #[arg(long)]
    pub account: String,
    /// The day of the statement; that of the newest statement file when left out
    #[arg(long, value_parser = day)]
    pub date: Option<NaiveDate>,
    /// Its closing balance as it stands there: what is owed on a card is positive
    #[arg(long, allow_hyphen_values = true)]
    pub balance: Option<String>,
    /// Tick these entries
    #[arg(long, value_delimiter = ',')]
    pub tick: Vec<u64>,
    /// Tick every movement up to the day
    #[arg(long)]
    pub tick_all: bool,
    /// Take the ticks of these entries away
    #[arg(long, value_delimiter = ',')]
    pub untick: Vec<u64>,
    /// Finish the sheet; only at a difference of nothing
    #[arg(long)]
    pub finish: bool,
    /// What to note on the sheet
    #[arg(long)]
    pub note: Option<String>,
    /// Take the account's last sheet back, with this reason
    #[arg(long, value_name = "REASON")]
    pub take_back: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Begins, ticks, finishes or takes back, as asked, and shows the sheet.
pub fn reconcile(args: &ReconcileArgs, today: NaiveDate) -> Result<(), VerbError> {
    let id = with_book(&args.book, |book| {
        let on = account(book, &args.account)?;
        if let Some(reason) = &args.take_back {
            let last = book
                .reconciliations()?
                .into_iter()
                .rfind(|one| one.account == on);
            let Some(last) = last else {
                return Err(VerbError::refused(format!(
                    "{} has no sheet that could be taken back",
                    book.chart().title(on)
                )));
            };
            book.take_back_reconciliation(last.id, reason)?;
            return Ok(None);
        }
        work_on(book, on, args).map(Some)
    })?;
    let book = open_book(&args.book)?;
    let Some(id) = id else {
        return print("The sheet is taken back.");
    };
    let sheet = reports::sheet(&book, id)?;
    let accounts = reports::agreed(&book)?;
    if args.json {
        let (chart, currency) = (book.chart(), book.currency());
        return print_json(&json::reconciliation(
            &accounts,
            &[sheet],
            chart,
            today,
            currency,
        ));
    }
    let on = book
        .chart()
        .account(sheet.sheet.account)
        .map_err(crate::book::BookError::from)?;
    print(&tables::reconciliation(&sheet, on, book.currency()).text(book.currency()))
}

fn work_on(book: &mut Book, on: AccountId, args: &ReconcileArgs) -> Result<i64, VerbError> {
    let open = book.open_reconciliation(on)?;
    let of = book
        .chart()
        .account(on)
        .map_err(crate::book::BookError::from)?
        .clone();
    let balance = args
        .balance
        .as_deref()
        .map(|text| {
            book.currency()
                .parse_plain(text)
                .map(|amount| reports::as_on_statement(&of, amount))
                .map_err(|error| VerbError::Usage(format!("--balance: {error}")))
        })
        .transpose()?;
    let told = book.last_statement_balance(on, args.date)?;
    let day = args
        .date
        .or(open.as_ref().map(|one| one.day))
        .or(told.map(|(day, _balance)| day));
    // A balance that a file told belongs to its day and to no other.
    let told_on = told.filter(|(told_day, _balance)| Some(*told_day) == day);
    let balance = balance
        .or(open
            .as_ref()
            .filter(|one| Some(one.day) == day)
            .map(|one| one.balance))
        .or(told_on.map(|(_day, balance)| balance));
    let (Some(day), Some(balance)) = (day, balance) else {
        return Err(VerbError::Usage(
            "say the statement's day and closing balance with --date and --balance".to_owned(),
        ));
    };
    Ok(book.group("Account against its statement", |book| {
        let id = book.begin_reconciliation(on, day, balance)?;
        let sheet = book.reconciliation(id)?;
        let numbers =
            |list: &[u64]| -> Vec<EntryNumber> { list.iter().copied().map(EntryNumber).collect() };
        if args.tick_all {
            let all: Vec<EntryNumber> = book
                .movements_to_reconcile(on, day)?
                .iter()
                .map(|one| one.entry)
                .filter(|entry| !sheet.ticked.iter().any(|one| one.entry == *entry))
                .collect();
            book.tick(id, &all, true)?;
        }
        if !args.tick.is_empty() {
            book.tick(id, &numbers(&args.tick), true)?;
        }
        if !args.untick.is_empty() {
            book.tick(id, &numbers(&args.untick), false)?;
        }
        if args.finish {
            book.finish_reconciliation(id, args.note.as_deref().unwrap_or_default())?;
        }
        Ok::<i64, crate::book::BookError>(id)
    })?)
}
