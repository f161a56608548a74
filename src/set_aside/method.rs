//! The seam for ways of estimating: what every method is given and what it returns.
//! A worksheet of a place is a rates file and one more implementation.

use chrono::NaiveDate;

use super::rates::{Answers, FileFault};
use super::{Calendar, CalendarError, Estimate};
use crate::dates::{DateRange, Month, YearStart};
use crate::money::{Currency, Money, Percent};

/// The sums of a profit statement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ProfitToDate {
    /// Sales less refunds and discounts.
    pub net_sales: Money,
    /// What the sold things cost.
    pub cost_of_goods_sold: Money,
    /// All other costs, wear included.
    pub costs: Money,
    /// Income that is not sales.
    pub other_income: Money,
    /// What is left; a loss below nothing.
    pub net_profit: Money,
}

/// Everything a method may rest on.
#[derive(Clone, Debug)]
pub struct Facts {
    /// The calendar year in which the financial year ends.
    pub year: i32,
    /// The book's financial years.
    pub years: YearStart,
    /// The day up to which the books are read; usually today, or the year's last day.
    pub as_of: NaiveDate,
    /// The sums of the year's profit statement through that day.
    pub profit: ProfitToDate,
    /// How many accounts stand behind the costs, for the explanation.
    pub cost_accounts: usize,
    /// Net profit by calendar month through that day; months without movement may be missing.
    pub profit_by_month: Vec<(Month, Money)>,
    /// What the set-aside savings hold.
    pub put_by: Money,
    /// Tax instalments of the year already paid.
    pub already_paid: Money,
    /// The owner's own share of profit to keep back.
    pub percent: Percent,
    /// The day she chose it, if known.
    pub percent_chosen_on: Option<NaiveDate>,
    /// A profit to try instead of the books', for the whole year.
    pub what_if_profit: Option<Money>,
    /// When instalments are due.
    pub calendar: Calendar,
    /// The book's currency, for the formulas' figures.
    pub currency: Currency,
    /// What only the worksheet of a place needs.
    pub worksheet: WorksheetFacts,
}

/// Sums of the books that a worksheet may ask for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BookSums {
    /// Net profit; a loss below nothing.
    pub profit: Money,
    /// Sales less refunds and discounts.
    pub sales: Money,
    /// All costs, what the sold things cost among them.
    pub costs: Money,
    /// Wear of equipment among the costs.
    pub depreciation: Money,
}

/// Which profit a worksheet rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ProfitBasis {
    /// What the books hold so far.
    #[default]
    ToDate,
    /// The profit foreseen for the whole year; without an amount the year so far, stretched by its days.
    Forecast(Option<Money>),
}

/// What the worksheet of a place rests on beside the profit statement.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WorksheetFacts {
    /// The owner's answers by key.
    pub answers: Answers,
    /// The tax year's sums so far.
    pub to_date: BookSums,
    /// The sums from the tax year's first day through the end of each instalment's period, as far as the books go.
    pub through_periods: Vec<BookSums>,
    /// Which profit counts.
    pub basis: ProfitBasis,
}

impl Facts {
    /// The days of the financial year.
    #[must_use]
    pub fn days(&self) -> DateRange {
        self.years.year_ending_in(self.year)
    }

    /// Profit from the year's first day through the month of `to`.
    #[must_use]
    pub fn profit_through(&self, to: NaiveDate) -> Money {
        let first = Month::of(self.days().from);
        let last = Month::of(to);
        self.profit_by_month
            .iter()
            .filter(|(month, _)| (first..=last).contains(month))
            .map(|(_, profit)| *profit)
            .sum()
    }
}

/// A way of estimating what to keep back.
pub trait Method {
    /// Its name in settings.
    fn name(&self) -> &str;

    /// What people read.
    fn title(&self) -> &str;

    /// The estimate.
    ///
    /// # Errors
    /// When the method has no figures for the year, or the calendar has no dates.
    fn estimate(&self, facts: &Facts) -> Result<Estimate, SetAsideError>;
}

/// Why there is no estimate.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SetAsideError {
    /// No method and no rates file has that name.
    #[error("there is no set-aside method or rates file '{wanted}'; the nearest is '{nearest}'")]
    NoRatesFile {
        /// The name asked for.
        wanted: String,
        /// The nearest there is.
        nearest: String,
    },
    /// A place has no rates for the year.
    #[error(
        "there are no rates of '{wanted}' for {year}; the nearest are '{nearest}': choose them as the method and every sheet says that this is an assumption"
    )]
    NoRatesForYear {
        /// The worksheet asked for.
        wanted: String,
        /// The tax year asked for.
        year: String,
        /// The nearest rates there are.
        nearest: String,
    },
    /// A file of rates, a worksheet or a calendar has a fault.
    #[error("{0}; it is not used, and nothing else is changed by it")]
    File(#[from] FileFault),
    /// An answer is needed that was not given.
    #[error("'{label}' is not answered yet; set {setting}={example}")]
    Missing {
        /// The question.
        label: String,
        /// The setting that answers it.
        setting: String,
        /// What it may be.
        example: String,
    },
    /// An answer that cannot be.
    #[error("{setting}: {why}")]
    Answer {
        /// The setting.
        setting: String,
        /// What is wrong with it.
        why: String,
    },
    /// The tax year of a place begins after the day up to which the books are read.
    #[error(
        "the tax year of {title} begins on {begins}, after {day}; try out a profit for it, or take a year before"
    )]
    TaxYearNotBegun {
        /// The rates.
        title: String,
        /// The tax year's first day.
        begins: String,
        /// The day.
        day: String,
    },
    /// A sheet is for books in another currency.
    #[error("{title} is worked in {wanted}, and this book is in {currency}")]
    Currency {
        /// The worksheet.
        title: String,
        /// Its currency.
        wanted: String,
        /// The book's.
        currency: String,
    },
    /// A sheet could not be worked out.
    #[error("the worksheet cannot be worked out: {0}")]
    Worksheet(String),
    /// A worksheet without rates.
    #[error(
        "the worksheet '{0}' has no file of rates that can be used; `show rates` says what was refused"
    )]
    NoRatesYet(String),
    /// The calendar cannot be used.
    #[error(transparent)]
    Calendar(#[from] CalendarError),
    /// The year begins after the day up to which the books are read.
    #[error("the year {year} has not begun on {day}; try out a profit for it instead")]
    NotBegun {
        /// The calendar year in which the financial year ends.
        year: i32,
        /// The day.
        day: String,
    },
}
