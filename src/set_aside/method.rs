//! The seam for ways of estimating: what every method is given and what it returns.
//! A worksheet of a place is a rates file and one more implementation.

use chrono::NaiveDate;

use super::{Calendar, CalendarError, Estimate, PercentOfProfit};
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
    fn name(&self) -> &'static str;

    /// What people read.
    fn title(&self) -> &'static str;

    /// The estimate.
    ///
    /// # Errors
    /// When the method has no figures for the year, or the calendar has no dates.
    fn estimate(&self, facts: &Facts) -> Result<Estimate, SetAsideError>;
}

/// Every method of the program.
const METHODS: &[&'static (dyn Method + Sync)] = &[&PercentOfProfit];

/// The method with this name in settings.
///
/// # Errors
/// When there is none; the nearest is named.
pub fn method_named(name: &str) -> Result<&'static (dyn Method + Sync), SetAsideError> {
    METHODS
        .iter()
        .copied()
        .find(|method| method.name() == name.trim())
        .ok_or_else(|| SetAsideError::NoRatesFile {
            wanted: name.trim().to_owned(),
            nearest: nearest(name.trim()).to_owned(),
        })
}

/// The names of all methods.
#[must_use]
pub fn method_names() -> Vec<&'static str> {
    METHODS.iter().map(|method| method.name()).collect()
}

/// The method whose name shares the longest beginning with the wanted one; the plain percentage among equals.
fn nearest(wanted: &str) -> &'static str {
    let common = |name: &str| {
        name.chars()
            .zip(wanted.chars())
            .take_while(|(a, b)| a == b)
            .count()
    };
    let mut best = PercentOfProfit.name();
    for name in method_names() {
        if common(name) > common(best) {
            best = name;
        }
    }
    best
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
