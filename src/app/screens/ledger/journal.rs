//! The journal: every entry that a filter finds, in a table of which only the rows in sight are fetched.
//! Numbers are collected once after a change of the filter, a stretch of months at a time so that the window never
//! waits.

use std::time::Instant;

use chrono::NaiveDate;
use egui::Ui;

use crate::app::action::Action;
use crate::app::screen::{Screen, ViewContext};
use crate::app::screens::entry;
use crate::app::screens::explain::what_was_it;
use crate::app::theme::space;
use crate::app::widgets::{
    AccountPick, ChunkCache, Column, Field, account_picker, choice_chips, data_table, quiet_button,
    soft, suggest_field, text_field,
};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, Month, show_day};
use crate::happenings::ProofState;
use crate::ledger::{Account, AccountClass, Chart, EntryKind, EntryNumber, PostedEntry};
use crate::money::{Currency, Money};

/// So long may collecting take in one frame.
const FRAME_BUDGET_MS: u128 = 3;

/// So many months are asked for at once.
const MONTHS_AT_ONCE: i32 = 3;

/// The journal with its filter.
pub struct JournalPart {
    text: String,
    kind: String,
    account: AccountPick,
    is_all_time: bool,
    /// The days it is about where neither the period above nor all of the book is meant.
    only: Option<DateRange>,
    proof: Option<ProofState>,
    sought: Option<Sought>,
    collecting: Option<Collecting>,
    numbers: Vec<EntryNumber>,
    rows: ChunkCache<JournalRow>,
    trouble: Option<String>,
}

/// What the rows in the table were looked for with.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Sought {
    filter: EntryFilter,
    range: DateRange,
    revision: u64,
}

/// Numbers being collected, newest months first.
struct Collecting {
    sought: Sought,
    until: NaiveDate,
    newest_first: Vec<EntryNumber>,
}

#[derive(Clone, Debug)]
struct JournalRow {
    number: EntryNumber,
    cells: Vec<String>,
}

impl Default for JournalPart {
    fn default() -> Self {
        Self {
            text: String::new(),
            kind: String::new(),
            account: AccountPick::default(),
            is_all_time: false,
            only: None,
            proof: None,
            sought: None,
            collecting: None,
            numbers: Vec::new(),
            rows: ChunkCache::new(0),
            trouble: None,
        }
    }
}

impl JournalPart {
    /// The journal of entries whose receipt is missing, of these days or of all time.
    #[must_use]
    pub fn missing_receipts(only: Option<DateRange>) -> Self {
        Self {
            is_all_time: true,
            only,
            proof: Some(ProofState::Missing),
            ..Self::default()
        }
    }

    fn wanted(&self, cx: &ViewContext<'_>, whole: DateRange) -> Sought {
        let kind = EntryKind::ALL
            .iter()
            .copied()
            .find(|kind| kind.plain().eq_ignore_ascii_case(self.kind.trim()));
        Sought {
            filter: EntryFilter {
                text: self.text.trim().to_owned(),
                kind,
                account: self.account.chosen(),
                proof: self.proof,
                ..EntryFilter::default()
            },
            range: match self.only {
                Some(only) => only,
                None if self.is_all_time => whole,
                None => cx.period,
            },
            revision: cx.revision,
        }
    }

    /// Reads on: numbers first, then the rows in sight.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        let whole = book.days_covered()?.unwrap_or(cx.period);
        let wanted = self.wanted(cx, whole);
        if self.sought.as_ref() != Some(&wanted) {
            self.sought = Some(wanted.clone());
            self.collecting = Some(Collecting {
                until: wanted.range.to,
                sought: wanted,
                newest_first: Vec::new(),
            });
        }
        self.collect(book)?;
        let numbers = &self.numbers;
        let chart = book.chart();
        let currency = book.currency();
        self.rows.fill(|range| {
            let asked = numbers.get(range).unwrap_or_default();
            let entries = book.entries(asked)?;
            Ok(entries
                .iter()
                .map(|posted| JournalRow {
                    number: posted.number,
                    cells: cells(posted, chart, currency),
                })
                .collect())
        })
    }

    fn collect(&mut self, book: &Book) -> Result<(), BookError> {
        let Some(collecting) = &mut self.collecting else {
            return Ok(());
        };
        let begun = Instant::now();
        let first = collecting.sought.range.from;
        while collecting.until >= first {
            let month = Month::of(collecting.until).plus(1 - MONTHS_AT_ONCE);
            let from = month.first_day().max(first);
            let part = EntryFilter {
                range: DateRange::new(from, collecting.until),
                ..collecting.sought.filter.clone()
            };
            let found = book.entry_numbers(&part)?;
            collecting.newest_first.extend(found.into_iter().rev());
            let Some(eve) = from.pred_opt() else {
                break;
            };
            collecting.until = eve;
            if begun.elapsed().as_millis() >= FRAME_BUDGET_MS {
                return Ok(());
            }
        }
        if let Some(done) = self.collecting.take() {
            self.rows = ChunkCache::new(done.newest_first.len());
            self.numbers = done.newest_first;
        }
        Ok(())
    }

    /// Whether there is more to read.
    #[must_use]
    pub fn is_stale(&self) -> bool {
        self.collecting.is_some() || self.rows.is_wanting() || self.is_filter_changed()
    }

    /// Compares without the book: the period and the revision are the window's to notice.
    fn is_filter_changed(&self) -> bool {
        self.sought.as_ref().is_none_or(|sought| {
            let filter = &sought.filter;
            let kind = filter.kind.map_or("", EntryKind::plain);
            let typed = self.kind.trim();
            let is_known = EntryKind::ALL
                .iter()
                .any(|kind| kind.plain().eq_ignore_ascii_case(typed));
            filter.text != self.text.trim()
                || filter.account != self.account.chosen()
                || filter.proof != self.proof
                || (is_known && !kind.eq_ignore_ascii_case(typed))
                || (!is_known && filter.kind.is_some())
        })
    }

    /// Shows it.
    pub fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        self.filter_ui(ui, cx);
        if let Some(words) = &self.trouble {
            soft(ui, words);
        }
        let count = self.numbers.len();
        let words = match (&self.collecting, count) {
            (Some(collecting), _) => {
                format!("Looking… {} found so far", collecting.newest_first.len())
            }
            (None, 0) => {
                "No entry fits. Choose a longer period above, or clear the filter.".to_owned()
            }
            (None, 1) => "1 entry".to_owned(),
            (None, n) => format!("{n} entries, newest first"),
        };
        soft(ui, &words);
        ui.add_space(space::SMALL);
        if count == 0 {
            return None;
        }
        // Where there is little room, the accounts stay on the entry's own page.
        let is_roomy = ui.available_width() >= 760.0;
        let mut columns = vec![
            Column::figures("No.", 64.0),
            Column::words("Day", 96.0),
            Column::rest("What"),
        ];
        if is_roomy {
            columns.push(Column::words("In the books", 290.0));
        }
        columns.push(Column::figures("Amount", 104.0));
        let rows = &mut self.rows;
        let pressed = data_table(ui, "journal", &columns, count, None, |idx| {
            rows.get(idx).map(|row| {
                let mut cells = row.cells.clone();
                if !is_roomy && cells.len() > 3 {
                    cells.remove(3);
                }
                cells
            })
        });
        let number = pressed
            .and_then(|idx| self.rows.get(idx))
            .map(|row| row.number);
        number.map(entry::open)
    }

    fn filter_ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) {
        let kinds: Vec<String> = EntryKind::ALL
            .iter()
            .map(|kind| kind.plain().to_owned())
            .collect();
        let accounts: Vec<&Account> = cx.chart.accounts();
        let before = self.is_all_time;
        ui.horizontal_wrapped(|ui| {
            text_field(
                ui,
                Field::new("Find in the journal")
                    .width(200.0)
                    .hint("name, text, amount"),
                &mut self.text,
            );
            suggest_field(
                ui,
                Field::new("What happened").width(170.0).hint("anything"),
                &mut self.kind,
                &kinds,
            );
            account_picker(
                ui,
                Field::new("On the account").width(210.0).hint("any"),
                &mut self.account,
                &accounts,
            );
            if self.is_filtered() && quiet_button(ui, "Clear").clicked() {
                *self = Self::default();
            }
        });
        match self.only {
            Some(only) => drop(soft(
                ui,
                &format!("{} to {}.", show_day(only.from), show_day(only.to)),
            )),
            None => drop(choice_chips(
                ui,
                "Time",
                &mut self.is_all_time,
                &[(false, "The period above"), (true, "All of the book")],
            )),
        }
        if self.proof == Some(ProofState::Missing) {
            soft(ui, "Only entries whose receipt is still to be found.");
        }
        if before != self.is_all_time {
            // The range belongs to what is sought, so it is looked for again.
            self.sought = None;
        }
    }

    fn is_filtered(&self) -> bool {
        !self.text.is_empty()
            || !self.kind.is_empty()
            || self.account != AccountPick::default()
            || self.proof.is_some()
    }
}

fn cells(posted: &PostedEntry, chart: &Chart, currency: &Currency) -> Vec<String> {
    let header = &posted.entry.header;
    let mut what = what_was_it(&header.party, &header.memo, header.kind.plain());
    if posted.reversed_by.is_some() {
        what.push_str(" (taken back)");
    }
    vec![
        posted.number.to_string(),
        show_day(header.date),
        what,
        in_the_books(posted, chart),
        currency.show(amount(posted)),
    ]
}

fn amount(posted: &PostedEntry) -> Money {
    posted.entry.named_amount()
}

/// Debit and credit accounts in a few words: `Consumables and 2 more from Business bank account`.
fn in_the_books(posted: &PostedEntry, chart: &Chart) -> String {
    let side = |is_debit: bool| -> String {
        let mut names: Vec<(bool, &str)> = posted
            .entry
            .lines()
            .iter()
            .filter(|line| line.amount.is_positive() == is_debit)
            .filter_map(|line| chart.account(line.account).ok())
            .map(|account| (account.class == AccountClass::Equity, account.name.as_str()))
            .collect();
        names.sort_by_key(|(is_equity, _name)| *is_equity);
        names.dedup();
        match names.as_slice() {
            [] => String::new(),
            [(_, one)] => (*one).to_owned(),
            [(_, one), rest @ ..] => format!("{one} +{}", rest.len()),
        }
    };
    format!("{} / {}", side(true), side(false))
}

/// Opens the entries whose receipt is missing.
#[must_use]
pub fn open_missing_receipts() -> Action {
    open_missing(None)
}

/// Opens the entries of some days whose receipt is missing.
#[must_use]
pub fn open_missing_receipts_of(days: DateRange) -> Action {
    open_missing(Some(days))
}

fn open_missing(only: Option<DateRange>) -> Action {
    Action::Open(Box::new(MissingReceipts(JournalPart::missing_receipts(
        only,
    ))))
}

struct MissingReceipts(JournalPart);

impl Screen for MissingReceipts {
    fn title(&self) -> String {
        "Receipts still to find".to_owned()
    }

    fn refresh(&mut self, book: &Book, cx: &ViewContext<'_>) -> Result<(), BookError> {
        self.0.refresh(book, cx)
    }

    fn is_stale(&self) -> bool {
        self.0.is_stale()
    }

    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>) -> Option<Action> {
        crate::app::widgets::page_heading(
            ui,
            "Receipts still to find",
            "Open an entry and drop its receipt on the page, say what stands in for it, or that none is needed.",
        );
        self.0.ui(ui, cx)
    }
}
