//! What was typed, read as values, and what is wrong with it beside its field.
//! Which values a form needs is the form's own business.

use chrono::NaiveDate;

use crate::app::widgets::parse_day;
use crate::happenings::HappeningError;
use crate::ledger::AccountId;
use crate::money::{Currency, Money, Percent, Quantity};

/// What is wrong with one field of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The field, in the words of the sheets' columns.
    pub field: &'static str,
    /// The line it stands on, counted from 0, in a form with lines.
    pub line: Option<usize>,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// Whether the field is only empty so far: said once she tries to write the form down.
    pub is_missing: bool,
}

impl Problem {
    /// A field that holds what cannot be.
    #[must_use]
    pub fn wrong(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            field,
            line: None,
            message: message.into(),
            is_missing: false,
        }
    }

    /// A field that is still empty.
    #[must_use]
    pub fn missing(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            is_missing: true,
            ..Self::wrong(field, message)
        }
    }

    /// The same, on one of several lines.
    #[must_use]
    pub fn on_line(self, line: usize) -> Self {
        Self {
            line: Some(line),
            ..self
        }
    }

    /// What a happening refused, with its amounts in this currency.
    #[must_use]
    pub fn of_happening(error: &HappeningError, currency: &Currency) -> Self {
        Self {
            line: error.line(),
            ..Self::wrong(error.field_name().unwrap_or(""), error.describe(currency))
        }
    }
}

/// All that is wrong with a form, asked for field by field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems {
    all: Vec<Problem>,
    was_tried: bool,
}

impl Problems {
    /// These problems; those of empty fields are shown only after the form `was_tried`.
    #[must_use]
    pub fn new(all: Vec<Problem>, was_tried: bool) -> Self {
        Self { all, was_tried }
    }

    /// What to show beneath a field.
    #[must_use]
    pub fn of(&self, field: &str) -> Option<&str> {
        self.find(field, None)
    }

    /// What to show beneath a field of a line.
    #[must_use]
    pub fn on(&self, field: &str, line: usize) -> Option<&str> {
        self.find(field, Some(line))
    }

    fn find(&self, field: &str, line: Option<usize>) -> Option<&str> {
        self.all
            .iter()
            .filter(|problem| self.was_tried || !problem.is_missing)
            .find(|problem| {
                problem.field == field && problem.line.unwrap_or(0) == line.unwrap_or(0)
            })
            .map(|problem| problem.message.as_str())
    }

    /// A problem that belongs to no field drawn, to be said under the form.
    #[must_use]
    pub fn elsewhere(&self, fields: &[&str]) -> Option<&str> {
        self.all
            .iter()
            .filter(|problem| self.was_tried || !problem.is_missing)
            .find(|problem| !fields.contains(&problem.field))
            .map(|problem| problem.message.as_str())
    }

    /// What is still to be filled in, in a sentence for the card that shows the books.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self.all.iter().find(|problem| !problem.is_missing) {
            Some(problem) => format!("Not yet: {}.", problem.message),
            None => match self.all.first() {
                Some(problem) => format!("Nothing yet: {}.", problem.message),
                None => "Nothing is written yet.".to_owned(),
            },
        }
    }
}

/// Collects values and problems while a form is read, so that all that is wrong is said at once.
#[derive(Debug)]
pub struct Reader<'a> {
    currency: &'a Currency,
    today: NaiveDate,
    line: Option<usize>,
    /// What is wrong so far.
    pub problems: Vec<Problem>,
}

impl<'a> Reader<'a> {
    /// A reader of amounts in this currency, for whom it is this day.
    #[must_use]
    pub fn new(currency: &'a Currency, today: NaiveDate) -> Self {
        Self {
            currency,
            today,
            line: None,
            problems: Vec::new(),
        }
    }

    /// From here on the fields stand on this line.
    pub fn line(&mut self, line: Option<usize>) {
        self.line = line;
    }

    /// Notes a problem on the line that is being read.
    pub fn note(&mut self, mut problem: Problem) {
        problem.line = self.line;
        self.problems.push(problem);
    }

    /// An amount that must be given.
    pub fn amount(&mut self, field: &'static str, text: &str, missing: &str) -> Money {
        if text.trim().is_empty() {
            self.note(Problem::missing(field, missing));
            return Money::ZERO;
        }
        self.amount_or_none(field, text)
    }

    /// An amount that may be left empty, which is nothing.
    pub fn amount_or_none(&mut self, field: &'static str, text: &str) -> Money {
        if text.trim().is_empty() {
            return Money::ZERO;
        }
        self.currency.parse_typed(text).unwrap_or_else(|error| {
            self.note(Problem::wrong(field, error.to_string()));
            Money::ZERO
        })
    }

    /// A day that must be given.
    pub fn day(&mut self, field: &'static str, text: &str) -> NaiveDate {
        parse_day(text, self.today).unwrap_or_else(|| {
            self.note(if text.trim().is_empty() {
                Problem::missing(field, "say on which day")
            } else {
                Problem::wrong(field, "not a day; write 28 Sep or 2026-09-28")
            });
            self.today
        })
    }

    /// A quantity that may be left empty.
    pub fn quantity(&mut self, field: &'static str, text: &str) -> Option<Quantity> {
        let digits = text.trim().replace(',', ".");
        if digits.is_empty() {
            return None;
        }
        match digits.parse() {
            Ok(quantity) => Some(quantity),
            Err(_) => {
                self.note(Problem::wrong(field, "write how many as a number"));
                None
            }
        }
    }

    /// A share in per cent; empty is the whole.
    pub fn share(&mut self, field: &'static str, text: &str) -> Percent {
        if text.trim().is_empty() {
            return Percent::WHOLE;
        }
        text.parse().unwrap_or_else(|_not_a_share| {
            self.note(Problem::wrong(field, "write a share from 0 to 100"));
            Percent::WHOLE
        })
    }

    /// A whole number from 1 on.
    pub fn count(&mut self, field: &'static str, text: &str, missing: &str) -> u32 {
        if text.trim().is_empty() {
            self.note(Problem::missing(field, missing));
            return 1;
        }
        text.trim().parse().unwrap_or_else(|_not_a_number| {
            self.note(Problem::wrong(field, "write a whole number"));
            1
        })
    }

    /// An account that must be chosen.
    pub fn account(
        &mut self,
        field: &'static str,
        chosen: Option<AccountId>,
        missing: &str,
    ) -> AccountId {
        chosen.unwrap_or_else(|| {
            self.note(Problem::missing(field, missing));
            AccountId(0)
        })
    }

    /// A text that must be given.
    pub fn text(&mut self, field: &'static str, text: &str, missing: &str) -> String {
        if text.trim().is_empty() {
            self.note(Problem::missing(field, missing));
        }
        text.trim().to_owned()
    }

    /// The value when nothing was wrong, the problems otherwise.
    ///
    /// # Errors
    /// When anything was noted.
    pub fn finish<T>(self, value: T) -> Result<T, Vec<Problem>> {
        if self.problems.is_empty() {
            Ok(value)
        } else {
            Err(self.problems)
        }
    }
}

/// Turns a happening's refusal into the form's problems.
///
/// # Errors
/// The problem, when the happening was refused.
pub fn told<T>(result: Result<T, HappeningError>, currency: &Currency) -> Result<T, Vec<Problem>> {
    result.map_err(|error| vec![Problem::of_happening(&error, currency)])
}
