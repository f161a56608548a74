//! A worksheet worked with the figures of a year: each line's number, and the same sheet without the business.
//! Exact decimal arithmetic; how a line is said in words is `say`'s.

use std::collections::BTreeMap;

use rust_decimal::{Decimal, RoundingStrategy};

use super::answers::Given;
use super::expression::{Expr, Function, Order, Sum};
use super::figures::Rates;
use super::worksheet::{Line, Rounding, Worksheet};

/// What a sheet is worked from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Inputs {
    /// What the books tell, by the names of `BOOK_FACTS`.
    pub(crate) facts: BTreeMap<&'static str, Decimal>,
    /// What the owner answered.
    pub(crate) answers: BTreeMap<String, Given>,
    /// Decimals of the currency's smallest unit.
    pub(crate) decimals: u32,
    /// Whether every line is rounded to whole units, as some printed forms do.
    pub(crate) whole_units: bool,
}

/// A sheet that was worked.
#[derive(Clone, Debug)]
pub(crate) struct Worked<'a> {
    pub(crate) sheet: &'a Worksheet,
    pub(crate) rates: &'a Rates,
    pub(crate) inputs: Inputs,
    /// The lines' numbers; none where a line does not apply.
    values: Vec<Option<Decimal>>,
    without: Option<Box<Worked<'a>>>,
}

impl<'a> Worked<'a> {
    /// Works a sheet, and the same sheet without the business.
    ///
    /// # Errors
    /// When a number grows beyond all measure or something is divided by nothing, in words.
    pub(crate) fn new(
        sheet: &'a Worksheet,
        rates: &'a Rates,
        inputs: Inputs,
    ) -> Result<Self, String> {
        let mut other = inputs.clone();
        other.facts.clear();
        for answer in sheet.answers.iter().filter(|answer| answer.is_business) {
            other.answers.remove(&answer.key);
            if let Some(given) = answer
                .default
                .as_deref()
                .and_then(|text| answer.given(text).ok())
            {
                other.answers.insert(answer.key.clone(), given);
            }
        }
        let without = Self::run(sheet, rates, other, None)?;
        Self::run(sheet, rates, inputs, Some(Box::new(without)))
    }

    fn run(
        sheet: &'a Worksheet,
        rates: &'a Rates,
        inputs: Inputs,
        without: Option<Box<Self>>,
    ) -> Result<Self, String> {
        let mut worked = Self {
            sheet,
            rates,
            inputs,
            values: Vec::with_capacity(sheet.lines.len()),
            without,
        };
        for line in &sheet.lines {
            let applies = match &line.when {
                Some(when) => worked.truth(when)?,
                None => true,
            };
            let value = if applies {
                Some(worked.rounded(line)?)
            } else {
                None
            };
            worked.values.push(value);
        }
        Ok(worked)
    }

    fn rounded(&self, line: &Line) -> Result<Decimal, String> {
        let value = self
            .number(&line.value)
            .map_err(|why| format!("{}: {why}", line.label))?;
        let places = match line.rounding {
            Rounding::Exact => return Ok(value),
            Rounding::Smallest if !self.inputs.whole_units => self.inputs.decimals,
            Rounding::Smallest | Rounding::Whole => 0,
        };
        Ok(value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero))
    }

    /// The number of a line; nothing where it does not apply.
    pub(crate) fn line(&self, key: &str) -> Decimal {
        self.index(key)
            .and_then(|idx| self.at(idx))
            .unwrap_or_default()
    }

    /// The number of the line at a place, if it applies.
    pub(crate) fn at(&self, idx: usize) -> Option<Decimal> {
        self.values.get(idx).copied().flatten()
    }

    pub(crate) fn index(&self, key: &str) -> Option<usize> {
        self.sheet.lines.iter().position(|line| line.key == key)
    }

    /// A line of the same sheet without the business.
    pub(crate) fn without(&self, key: &str) -> Decimal {
        match &self.without {
            Some(other) => other.line(key),
            None => self.line(key),
        }
    }

    /// The word a choice was answered with.
    pub(crate) fn word(&self, choice: &str) -> &str {
        match self.inputs.answers.get(choice) {
            Some(Given::Word(word)) => word,
            _ => "",
        }
    }

    /// The number of a name.
    pub(crate) fn named(&self, name: &str) -> Decimal {
        if self.index(name).is_some() {
            return self.line(name);
        }
        if let Some(Given::Number(number)) = self.inputs.answers.get(name) {
            let is_share = self
                .sheet
                .answer(name)
                .is_some_and(|answer| answer.kind == super::answers::AnswerKind::Percent);
            return if is_share {
                number / Decimal::ONE_HUNDRED
            } else {
                *number
            };
        }
        if let Some(figure) = self.rates.figure(name) {
            let word = figure
                .value
                .choice
                .as_deref()
                .map(|choice| self.word(choice));
            let found = figure.value.of(word.unwrap_or_default());
            return found.map_or(Decimal::ZERO, |figured| figured.value);
        }
        self.inputs.facts.get(name).copied().unwrap_or_default()
    }

    /// The bands of a table that hold for the owner.
    pub(crate) fn bands(&self, table: &str) -> Option<&super::bands::Bands> {
        let table = self.rates.table(table)?;
        let word = table
            .value
            .choice
            .as_deref()
            .map(|choice| self.word(choice));
        table.value.of(word.unwrap_or_default())
    }

    /// Works a value.
    pub(crate) fn number(&self, expr: &Expr) -> Result<Decimal, String> {
        Ok(match expr {
            Expr::Number(number) => *number,
            Expr::Percent(number) => number / Decimal::ONE_HUNDRED,
            Expr::Name(name) => self.named(name),
            Expr::Negative(one) => -self.number(one)?,
            Expr::Arithmetic(sum, a, b) => arithmetic(*sum, self.number(a)?, self.number(b)?)?,
            Expr::Call(function, values) => {
                let values = values
                    .iter()
                    .map(|value| self.number(value))
                    .collect::<Result<Vec<_>, _>>()?;
                call(*function, &values)?
            }
            Expr::If(condition, then, otherwise) => self.number(if self.truth(condition)? {
                then
            } else {
                otherwise
            })?,
            Expr::Bands(amount, table) => {
                let amount = self.number(amount)?;
                self.bands(table)
                    .map_or(Decimal::ZERO, |bands| bands.on(amount))
            }
            Expr::RateOf(amount, table) => {
                let amount = self.number(amount)?;
                let rate = self.bands(table).map(|bands| bands.rate_at(amount));
                rate.unwrap_or_default() / Decimal::ONE_HUNDRED
            }
            Expr::WithoutBusiness(line) => self.without(line),
            Expr::Compare(..)
            | Expr::Is(..)
            | Expr::And(..)
            | Expr::Or(..)
            | Expr::Not(_)
            | Expr::Answered(_) => return Err("it is no number".to_owned()),
        })
    }

    /// Whether a condition holds.
    pub(crate) fn truth(&self, expr: &Expr) -> Result<bool, String> {
        Ok(match expr {
            Expr::Compare(order, a, b) => {
                let (a, b) = (self.number(a)?, self.number(b)?);
                match order {
                    Order::Less => a < b,
                    Order::AtMost => a <= b,
                    Order::More => a > b,
                    Order::AtLeast => a >= b,
                    Order::Equal => a == b,
                }
            }
            Expr::Is(name, word) => self.word(name) == word,
            Expr::And(a, b) => self.truth(a)? && self.truth(b)?,
            Expr::Or(a, b) => self.truth(a)? || self.truth(b)?,
            Expr::Not(one) => !self.truth(one)?,
            Expr::Answered(name) => self.inputs.answers.contains_key(name),
            Expr::Name(name) => self.inputs.answers.get(name) == Some(&Given::Truth(true)),
            _ => return Err("it is neither so nor not so".to_owned()),
        })
    }
}

fn arithmetic(sum: Sum, a: Decimal, b: Decimal) -> Result<Decimal, String> {
    let made = match sum {
        Sum::Add => a.checked_add(b),
        Sum::Subtract => a.checked_sub(b),
        Sum::Multiply => a.checked_mul(b),
        Sum::Divide if b.is_zero() => return Err("it is divided by nothing".to_owned()),
        Sum::Divide => a.checked_div(b),
    };
    made.ok_or_else(too_large)
}

fn too_large() -> String {
    "the number is too large".to_owned()
}

fn call(function: Function, values: &[Decimal]) -> Result<Decimal, String> {
    let first = values.first().copied().unwrap_or_default();
    let stepped = |strategy| {
        let step = values.get(1).copied().unwrap_or(Decimal::ONE);
        let steps = arithmetic(Sum::Divide, first, step)?;
        let whole: Decimal = steps.round_dp_with_strategy(0, strategy);
        whole.checked_mul(step).ok_or_else(too_large)
    };
    match function {
        Function::Min => Ok(values.iter().copied().min().unwrap_or_default()),
        Function::Max => Ok(values.iter().copied().max().unwrap_or_default()),
        Function::Clip => Ok(first.max(Decimal::ZERO)),
        Function::Taper => match values {
            [amount, start, width] if !width.is_zero() => {
                let way = arithmetic(Sum::Divide, amount - start, *width)?;
                Ok(way.clamp(Decimal::ZERO, Decimal::ONE))
            }
            _ => Err("it is divided by nothing".to_owned()),
        },
        Function::Round => stepped(RoundingStrategy::MidpointAwayFromZero),
        Function::RoundDown => stepped(RoundingStrategy::ToZero),
    }
}
