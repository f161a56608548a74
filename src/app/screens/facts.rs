//! What the rooms have in common, read from the book once after each change: balances, the register, the estimate.
//! Each room makes its own rows from it; nothing here is drawn.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::book::Book;
use crate::dates::{DateRange, Month, YearStart, show_day};
use crate::depreciation::{DepreciationProposal, Equipment};
use crate::ledger::{Balances, Chart};
use crate::money::{Currency, Money};
use crate::needs::{ChannelDue, DuePurchase, Need};
use crate::reports::{self, FreeReport, ReportError};
use crate::set_aside::Estimate;
use crate::statements::{CostToStart, ProfitStatement};

/// What the rooms draw from.
#[derive(Debug)]
pub struct Facts {
    /// The day it is.
    pub today: NaiveDate,
    /// The period chosen for every room.
    pub period: DateRange,
    /// The financial year in which the period ends.
    pub year: DateRange,
    /// When financial years begin.
    pub year_start: YearStart,
    /// The book's first day.
    pub first_day: NaiveDate,
    /// The day up to which nothing changes any more.
    pub lock_date: Option<NaiveDate>,
    /// The accounts.
    pub chart: Chart,
    /// The currency.
    pub currency: Currency,
    /// How many entries there are.
    pub entry_count: u64,
    /// The days that entries cover.
    pub covered: Option<DateRange>,
    /// Balances up to today.
    pub to_date: Balances,
    /// The profit statement of the period.
    pub profit: ProfitStatement,
    /// The profit statement of each month of the period.
    pub months: Vec<(Month, ProfitStatement)>,
    /// The register.
    pub equipment: Vec<Equipment>,
    /// What each piece was charged, by its key.
    pub charged: BTreeMap<String, Money>,
    /// Wear that could be written down.
    pub proposal: DepreciationProposal,
    /// The set-aside estimate of the year.
    pub estimate: Estimate,
    /// Recurring purchases.
    pub recurring: Vec<DuePurchase>,
    /// What the channels owe.
    pub channels: Vec<ChannelDue>,
    /// What is free to spend, with its working.
    pub free: FreeReport,
    /// What starting has cost.
    pub start: CostToStart,
    /// What wants doing.
    pub needs: Vec<Need>,
}

impl Facts {
    /// Reads everything.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn read(book: &Book, period: DateRange, today: NaiveDate) -> Result<Self, ReportError> {
        let year_start = book.year_start();
        let year = year_start.containing(period.to);
        // A year that is over is estimated to its end, one to come from its beginning.
        let as_of = today.clamp(year.from, year.to);
        let estimate =
            reports::estimate_or_plain(book, year_start.year_of(period.to), as_of, None)?;
        // What is free is free today, whichever period the rooms show.
        let free = if year.contains(today) {
            reports::free_with(book, Some(estimate.clone()), today)?
        } else {
            reports::free(book, today)?
        };
        Ok(Self {
            today,
            period,
            year,
            year_start,
            first_day: book.first_day(),
            lock_date: book.lock_date(),
            entry_count: book.entry_count()?,
            covered: book.days_covered()?,
            to_date: book.balances_to(today)?,
            profit: reports::profit(book, period)?,
            months: reports::profit_by_month(book, period)?,
            equipment: book.equipment()?,
            charged: book.depreciation_charged()?,
            proposal: reports::wear_proposal(book, reports::last_whole_month(today))?,
            recurring: reports::due_purchases(book)?,
            channels: reports::channels_due(book, today)?,
            free,
            start: reports::start_cost(book, today)?,
            needs: reports::open_needs(book, today)?,
            chart: book.chart().clone(),
            currency: book.currency().clone(),
            estimate,
        })
    }

    /// Whether nothing has been written down yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entry_count == 0
    }

    /// An amount for a maker's room.
    #[must_use]
    pub fn show(&self, amount: Money) -> String {
        self.currency.show(amount)
    }

    /// The day the next instalment is due.
    #[must_use]
    pub fn next_instalment(&self) -> Option<NaiveDate> {
        self.estimate
            .next_due(self.today)
            .map(|instalment| instalment.due)
    }

    /// The period in words: "this year" when it is the running financial year.
    #[must_use]
    pub fn period_in_words(&self) -> String {
        if self.period.from == self.year.from && self.year.contains(self.today) {
            "this year".to_owned()
        } else {
            format!(
                "from {} to {}",
                show_day(self.period.from),
                show_day(self.period.to)
            )
        }
    }

    /// What was counted as the cost to start, in words.
    #[must_use]
    pub fn start_sentence(&self) -> String {
        if self.start.through < self.today {
            format!(
                "everything bought or brought in up to {}",
                show_day(self.start.through)
            )
        } else {
            "everything bought or brought in so far; it stops with the first sale".to_owned()
        }
    }
}
