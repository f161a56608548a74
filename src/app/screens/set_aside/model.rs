//! What the Set aside room shows: the estimate or why there is none, what is tried out, how the year went.
//! Nothing here is drawn; what is needed for a figure is read from the book in `refresh` alone.

use std::collections::VecDeque;
use std::sync::Arc;
use std::time::{Duration, Instant};

use chrono::NaiveDate;

use crate::app::screens::facts::Facts;
use crate::book::{Book, BookError};
use crate::dates::{DateRange, Month};
use crate::ledger::Role;
use crate::money::{Currency, Money};
use crate::reports::{self, MonthKept, QuarterKept, ReportError, Trial};
use crate::set_aside::{Answer, Estimate, EstimateLine, Figure, Library, Offer, SetAsideError};

/// What the room shows.
#[derive(Debug)]
pub(super) struct SetAsideModel {
    pub facts: Facts,
    /// The financial year, by the calendar year it ends in.
    pub year: i32,
    /// Why the chosen method gives no estimate; the facts then hold a plain share of profit.
    pub refusal: Option<SetAsideError>,
    pub library: Arc<Library>,
    pub offers: Vec<Offer>,
    /// The chosen method's name.
    pub method: String,
    /// What is kept of the settings of this room.
    pub kept: super::Texts,
    /// What a trial comes to.
    pub tried: Option<Result<Estimate, String>>,
    /// What answers that are not kept yet come to.
    pub previewed: Option<Result<Estimate, SetAsideError>>,
    pub quarters: Vec<QuarterKept>,
    pub months: Vec<MonthKept>,
    /// Month ends still to be read for the chart.
    months_left: VecDeque<NaiveDate>,
    /// What was tried last, so that the same is not worked again.
    last_trial: Option<Trial>,
    last_preview: Option<Trial>,
}

/// How long months of the chart may be read in one frame; a few always fit in.
const READS_FOR: Duration = Duration::from_millis(4);
const MONTHS_AT_LEAST: usize = 2;

impl SetAsideModel {
    pub fn read(book: &Book, facts: Facts) -> Result<Self, BookError> {
        let year = facts.year_start.year_of(facts.period.to);
        let as_of = facts.today.clamp(facts.year.from, facts.year.to);
        let refusal = match reports::estimate_with(book, year, as_of, &Trial::default()) {
            Err(ReportError::SetAside(why)) => Some(why),
            Err(other) => return Err(other.into()),
            Ok(_same) => None,
        };
        let library = book.rates();
        let settings = book.settings();
        let method = settings.get("set_aside.method").unwrap_or("percent");
        let kept = settings
            .set_aside_answers()
            .into_iter()
            .map(|(key, text)| (format!("set_aside.{key}"), text))
            .chain(["percent", "profit_basis", "forecast_profit"].map(|key| {
                let key = format!("set_aside.{key}");
                let text = settings.get(&key).unwrap_or_default().to_owned();
                (key, text)
            }))
            .collect();
        Ok(Self {
            offers: library.offers(book.currency().code()),
            library,
            method: method.to_owned(),
            kept,
            quarters: reports::quarters_kept(book, &facts.estimate, facts.today)?,
            months: Vec::new(),
            months_left: month_ends(facts.year, as_of),
            tried: None,
            previewed: None,
            last_trial: None,
            last_preview: None,
            refusal,
            year,
            facts,
        })
    }

    /// Reads more of the chart's months, as far as the time of a frame goes.
    pub fn read_further(&mut self, book: &Book) -> Result<(), BookError> {
        let start = Instant::now();
        let mut n_read = 0;
        while n_read < MONTHS_AT_LEAST || start.elapsed() < READS_FOR {
            let Some(day) = self.months_left.pop_front() else {
                break;
            };
            n_read += 1;
            if let Some(month) = reports::month_kept(book, self.year, day)? {
                self.months.push(month);
            }
        }
        Ok(())
    }

    /// Whether every month of the chart was read.
    pub fn is_whole(&self) -> bool {
        self.months_left.is_empty()
    }

    /// Works what is tried out, unless it is what was tried last.
    pub fn try_out(&mut self, book: &Book, trial: Option<Trial>) -> Result<(), BookError> {
        if self.last_trial == trial {
            return Ok(());
        }
        self.tried = match &trial {
            None => None,
            Some(trial) => {
                let worked = reports::estimate_with(book, self.year, self.as_of(), trial);
                Some(match worked {
                    Err(ReportError::SetAside(why)) => Err(why.to_string()),
                    other => Ok(other?),
                })
            }
        };
        self.last_trial = trial;
        Ok(())
    }

    /// Works what answers come to that are not kept yet.
    pub fn preview(&mut self, book: &Book, trial: Option<Trial>) -> Result<(), BookError> {
        if self.last_preview == trial {
            return Ok(());
        }
        self.previewed = match &trial {
            None => None,
            Some(trial) => {
                let worked = reports::estimate_with(book, self.year, self.as_of(), trial);
                Some(match worked {
                    Err(ReportError::SetAside(why)) => Err(why),
                    other => Ok(other?),
                })
            }
        };
        self.last_preview = trial;
        Ok(())
    }

    /// The day up to which the books are read.
    pub fn as_of(&self) -> NaiveDate {
        self.facts
            .today
            .clamp(self.facts.year.from, self.facts.year.to)
    }

    /// What the chosen method asks.
    pub fn asked(&self) -> &[Answer] {
        self.library.answers_of(&self.method)
    }

    /// What a method is called.
    pub fn title_of(&self, method: &str) -> String {
        self.offers
            .iter()
            .find(|offer| offer.name == method)
            .map_or_else(|| method.to_owned(), |offer| offer.title.clone())
    }

    /// Whether the book has an account for what is put by.
    pub fn has_savings(&self) -> bool {
        self.facts.chart.role(Role::SetAside).is_ok()
    }
}

fn month_ends(year: DateRange, as_of: NaiveDate) -> VecDeque<NaiveDate> {
    year.by_month()
        .into_iter()
        .filter(|month| month.from <= as_of)
        .map(|month| month.to.min(as_of))
        .collect()
}

/// The room's one sentence: how much, by when, what is there of it, what to do now.
pub(super) fn headline(estimate: &Estimate, today: NaiveDate, currency: &Currency) -> String {
    let show = |amount: Money| currency.show(amount);
    if !estimate.total.is_positive() {
        return "Nothing needs to be kept back so far.".to_owned();
    }
    if !estimate.to_move.is_positive() {
        return "Everything needed so far is put by.".to_owned();
    }
    let by = estimate
        .next_due(today)
        .map(|instalment| format!(" by {}", day_and_month(instalment.due)))
        .unwrap_or_default();
    let (put_by, paid) = (show(estimate.put_by), show(estimate.already_paid));
    let there = match (
        estimate.put_by.is_positive(),
        estimate.already_paid.is_positive(),
    ) {
        (true, true) => format!("{put_by} is put by, {paid} is paid,"),
        (true, false) => format!("{put_by} is put by,"),
        (false, true) => format!("{paid} is paid,"),
        (false, false) => "nothing is put by yet,".to_owned(),
    };
    format!(
        "Keep back {}{by}: {there} move {} now.",
        show(estimate.total),
        show(estimate.to_move)
    )
}

/// `15 January`.
pub(super) fn day_and_month(day: NaiveDate) -> String {
    use chrono::Datelike as _;
    format!("{} {}", day.day(), Month::of(day).name())
}

/// `Jan to Mar`, `Apr, May`, `Sep`; with the years where they differ.
pub(super) fn in_months(range: DateRange) -> String {
    let short = |month: Month| -> String { month.name().chars().take(3).collect() };
    let (from, to) = (Month::of(range.from), Month::of(range.to));
    match to.index() - from.index() {
        0 => short(from),
        1 => format!("{}, {}", short(from), short(to)),
        _ => format!("{} to {}", short(from), short(to)),
    }
}

/// A line that differs between two sheets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Moved {
    /// Its number on the sheet after, if it is still there.
    pub no: Option<u32>,
    pub label: String,
    pub before: Option<Figure>,
    pub after: Option<Figure>,
    pub formula: String,
    pub explanation: String,
}

/// The lines that make up the books' own profit.
const MADE_OF: [&str; 4] = ["sales", "cost-of-goods-sold", "costs", "other-income"];

/// The lines that differ, in the order of the sheet after; what is gone comes last.
pub(super) fn moved_lines(before: &Estimate, after: &Estimate) -> Vec<Moved> {
    let moved = |before: Option<&EstimateLine>, after: Option<&EstimateLine>| {
        let line = after.or(before)?;
        let (was, is) = (
            before.map(|line| line.amount),
            after.map(|line| line.amount),
        );
        (was != is).then(|| Moved {
            no: after.map(|line| line.no),
            label: line.label.clone(),
            before: was,
            after: is,
            formula: after.map_or_else(String::new, |line| line.formula.clone()),
            explanation: line.explanation.clone(),
        })
    };
    let still = after
        .lines
        .iter()
        .filter_map(|line| moved(before.line(&line.key), Some(line)));
    let gone = before
        .lines
        .iter()
        .filter(|line| after.line(&line.key).is_none())
        // What the profit is made of in the books says nothing of one that is tried.
        .filter(|line| !MADE_OF.contains(&line.key.as_str()))
        .filter_map(|line| moved(Some(line), None));
    still.chain(gone).collect()
}
