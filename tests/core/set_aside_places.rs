//! What the tests of the worksheets share: a year of a book without entries of its own, and an estimate from answers.
//! The worksheets' own tests stand in a file for each place.

use deckle::dates::{DateRange, Month, YearStart, parse_iso};
use deckle::money::{Currency, Money, Percent};
use deckle::set_aside::{
    BookSums, Calendar, Estimate, Facts, Figure, Library, Method, ProfitToDate, SetAsideError,
    WorksheetFacts,
};

/// A book's year to be estimated.
#[derive(Clone)]
pub struct Case {
    pub method: &'static str,
    pub currency: &'static str,
    pub year: i32,
    pub years: YearStart,
    pub as_of: Option<&'static str>,
    pub sums: BookSums,
    pub through_periods: Vec<BookSums>,
    pub answers: Vec<(&'static str, String)>,
    pub what_if: Option<Money>,
    pub paid: Money,
    pub basis: deckle::set_aside::ProfitBasis,
}

/// Whole units as an amount.
pub fn whole(units: i64) -> Money {
    Money::from_minor(units * 100)
}

/// Sums with nothing but a profit.
pub fn profit(amount: Money) -> BookSums {
    BookSums {
        profit: amount,
        ..BookSums::default()
    }
}

impl Case {
    /// A profit that was made evenly over the year and no answers.
    pub fn new(method: &'static str, currency: &'static str, year: i32, amount: Money) -> Self {
        Self {
            method,
            currency,
            year,
            years: YearStart::default(),
            as_of: None,
            sums: profit(amount),
            through_periods: Vec::new(),
            answers: Vec::new(),
            what_if: None,
            paid: Money::ZERO,
            basis: deckle::set_aside::ProfitBasis::ToDate,
        }
    }

    pub fn answer(mut self, key: &'static str, text: impl ToString) -> Self {
        self.answers.push((key, text.to_string()));
        self
    }

    pub fn facts(&self) -> Facts {
        let days = self.days();
        Facts {
            year: self.year,
            years: self.years,
            as_of: self
                .as_of
                .map_or(days.to, |text| parse_iso(text).expect("a day")),
            profit: ProfitToDate {
                net_profit: self.sums.profit,
                ..ProfitToDate::default()
            },
            cost_accounts: 0,
            profit_by_month: vec![(Month::of(days.to), self.sums.profit)],
            put_by: Money::ZERO,
            already_paid: self.paid,
            percent: Percent::ZERO,
            percent_chosen_on: None,
            what_if_profit: self.what_if,
            calendar: Calendar::quarters(),
            currency: Currency::from_code(self.currency).expect("ISO 4217"),
            worksheet: WorksheetFacts {
                answers: self
                    .answers
                    .iter()
                    .map(|(key, text)| ((*key).to_owned(), text.clone()))
                    .collect(),
                to_date: self.sums,
                through_periods: self.through_periods.clone(),
                basis: self.basis,
            },
        }
    }

    fn days(&self) -> DateRange {
        self.years.year_ending_in(self.year)
    }

    pub fn estimate_in(&self, library: &Library) -> Result<Estimate, SetAsideError> {
        let method = library
            .place(self.method, self.days())?
            .expect("a worksheet");
        method.estimate(&self.facts())
    }

    pub fn estimate(&self) -> Estimate {
        match self.estimate_in(&Library::shipped()) {
            Ok(estimate) => estimate,
            Err(error) => panic!("{error}"),
        }
    }

    pub fn refusal(&self) -> String {
        self.estimate_in(&Library::shipped())
            .expect_err("a refusal")
            .to_string()
    }
}

/// The amount of a line, as plain text; `-` where it does not apply.
pub fn line(estimate: &Estimate, key: &str) -> String {
    let currency = Currency::from_code("USD").expect("ISO 4217");
    estimate.line(key).map_or("-".to_owned(), |line| {
        assert!(!line.label.is_empty() && !line.formula.is_empty(), "{key}");
        match line.amount {
            Figure::Money(amount) => currency.plain(amount),
            Figure::Percent(share) => format!("{share} %"),
        }
    })
}

/// Compares lines with what they should be.
pub fn assert_lines(estimate: &Estimate, wanted: &[(&str, &str)]) {
    for (key, amount) in wanted {
        assert_eq!(line(estimate, key), *amount, "{key}");
    }
}
