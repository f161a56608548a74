//! Whether a worksheet and a rates file fit together: every name known, every value of the right kind.
//! What is found here cannot surprise anybody when the sheet is worked.

use chrono::Datelike as _;

use super::answers::AnswerKind;
use super::expression::Expr;
use super::figures::Rates;
use super::file::FileFault;
use super::worksheet::Worksheet;
use crate::dates::show_day;

/// What the books tell a worksheet, with its words: profit, sales, all costs, and wear of equipment among them.
pub(crate) const BOOK_FACTS: &[(&str, &str)] = &[
    ("profit", "profit"),
    ("sales", "sales"),
    ("costs", "costs"),
    ("depreciation", "wear of equipment in the books"),
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Type {
    Number,
    Word,
    Truth,
}

/// Checks every line and note of a sheet against the rates.
///
/// # Errors
/// The first fault, with the worksheet's line or the rates file that lacks something.
pub(crate) fn check(sheet: &Worksheet, rates: &Rates) -> Result<(), FileFault> {
    let scope = Scope {
        sheet,
        rates,
        lines: sheet.lines.len(),
    };
    let fault = |at: usize, what: String| FileFault {
        file: sheet.file.clone(),
        line: Some(at),
        what: format!("{what} (with {})", rates.file),
    };
    let in_rates = |what: String| FileFault {
        file: rates.file.clone(),
        line: None,
        what,
    };
    let starts = (sheet.tax_year.month, sheet.tax_year.day);
    if (rates.days.from.month(), rates.days.from.day()) != starts {
        return Err(in_rates(format!(
            "its tax year begins on {}, that of {} on day {} of month {}",
            show_day(rates.days.from),
            sheet.file,
            starts.1,
            starts.0
        )));
    }
    let figures = rates.figures.iter().map(|figure| &figure.key);
    let twice = figures.clone().find(|key| {
        sheet.answer(key).is_some() || BOOK_FACTS.iter().any(|(fact, _words)| fact == key)
    });
    if let Some(key) = twice {
        return Err(in_rates(format!(
            "the figure '{key}' has the name of an answer or of what the books tell"
        )));
    }
    for (idx, line) in sheet.lines.iter().enumerate() {
        let before = Scope {
            lines: idx,
            ..scope
        };
        if before.knows(&line.key) {
            return Err(fault(line.at, format!("'{}' means two things", line.key)));
        }
        before
            .expect(&line.value, Type::Number)
            .and_then(|()| match &line.when {
                Some(when) => before.expect(when, Type::Truth),
                None => Ok(()),
            })
            .map_err(|why| fault(line.at, why))?;
        let mut given = Vec::new();
        if let Some(when) = &line.when {
            scope
                .unasked(when, &given)
                .map_or(Ok(()), |name| Err(fault(line.at, unasked_words(name))))?;
            given = granted(when);
        }
        if let Some(name) = scope.unasked(&line.value, &given) {
            return Err(fault(line.at, unasked_words(name)));
        }
    }
    for note in &sheet.notes {
        scope
            .expect(&note.when, Type::Truth)
            .map_err(|why| fault(note.at, why))?;
        if let Some(name) = scope.unasked(&note.when, &[]) {
            return Err(fault(note.at, unasked_words(name)));
        }
    }
    Ok(())
}

fn unasked_words(name: &str) -> String {
    format!(
        "'{name}' may be without an answer; ask answered({name}) first, or give it a default or `required = true`"
    )
}

/// The answers that are there where a condition holds.
fn granted(condition: &Expr) -> Vec<&str> {
    match condition {
        Expr::Answered(name) => vec![name],
        Expr::And(one, other) => [granted(one), granted(other)].concat(),
        _ => Vec::new(),
    }
}

/// The answers that are there where a condition does not hold.
fn granted_without(condition: &Expr) -> Vec<&str> {
    match condition {
        Expr::Not(inner) => granted(inner),
        Expr::Or(one, other) => [granted_without(one), granted_without(other)].concat(),
        _ => Vec::new(),
    }
}

#[derive(Clone, Copy)]
struct Scope<'a> {
    sheet: &'a Worksheet,
    rates: &'a Rates,
    /// How many lines stand before.
    lines: usize,
}

impl Scope<'_> {
    fn is_line(&self, name: &str) -> bool {
        let before = self.sheet.lines.iter().take(self.lines);
        before.into_iter().any(|line| line.key == name)
    }

    /// The first answer that an expression takes for granted though it may be missing.
    fn unasked<'e>(&self, expr: &'e Expr, given: &[&str]) -> Option<&'e str> {
        match expr {
            Expr::Name(name) => {
                let answer = self.sheet.answer(name)?;
                let may_be_missing = !answer.is_required && answer.default.is_none();
                (may_be_missing && !given.contains(&name.as_str())).then_some(name)
            }
            Expr::If(condition, then, otherwise) => {
                let holds = [given, &granted(condition)[..]].concat();
                let fails = [given, &granted_without(condition)[..]].concat();
                self.unasked(condition, given)
                    .or_else(|| self.unasked(then, &holds))
                    .or_else(|| self.unasked(otherwise, &fails))
            }
            Expr::And(one, other) => {
                let holds = [given, &granted(one)[..]].concat();
                self.unasked(one, given)
                    .or_else(|| self.unasked(other, &holds))
            }
            _ => expr
                .parts()
                .into_iter()
                .find_map(|part| self.unasked(part, given)),
        }
    }

    fn knows(&self, name: &str) -> bool {
        self.type_of_name(name).is_some()
    }

    fn type_of_name(&self, name: &str) -> Option<Type> {
        if let Some(answer) = self.sheet.answer(name) {
            return Some(match answer.kind {
                AnswerKind::Choice(_) => Type::Word,
                AnswerKind::YesNo => Type::Truth,
                _ => Type::Number,
            });
        }
        let is_number = BOOK_FACTS.iter().any(|(fact, _words)| *fact == name)
            || self.rates.figure(name).is_some()
            || self.is_line(name);
        is_number.then_some(Type::Number)
    }

    fn expect(&self, expr: &Expr, wanted: Type) -> Result<(), String> {
        let found = self.type_of(expr)?;
        if found == wanted {
            return Ok(());
        }
        let words = |kind| match kind {
            Type::Number => "a number",
            Type::Word => "a word",
            Type::Truth => "yes or no",
        };
        Err(format!(
            "{} is wanted where {} stands",
            words(wanted),
            words(found)
        ))
    }

    fn type_of(&self, expr: &Expr) -> Result<Type, String> {
        let numbers = |parts: Vec<&Expr>, gives: Type| -> Result<Type, String> {
            for part in parts {
                self.expect(part, Type::Number)?;
            }
            Ok(gives)
        };
        match expr {
            Expr::Number(_) | Expr::Percent(_) => Ok(Type::Number),
            Expr::Name(name) => self
                .type_of_name(name)
                .ok_or_else(|| format!("nothing is called '{name}' before this line")),
            Expr::Is(name, word) => {
                let answer = self.sheet.choice(name);
                match answer {
                    Some(answer) if answer.words().contains(&word.as_str()) => Ok(Type::Truth),
                    Some(_) => Err(format!("'{word}' is no choice of '{name}'")),
                    None => Err(format!("'{name}' is not a choice")),
                }
            }
            Expr::Negative(_) | Expr::Arithmetic(..) | Expr::Call(..) => {
                numbers(expr.parts(), Type::Number)
            }
            Expr::Compare(..) => numbers(expr.parts(), Type::Truth),
            Expr::And(..) | Expr::Or(..) | Expr::Not(_) => {
                for part in expr.parts() {
                    self.expect(part, Type::Truth)?;
                }
                Ok(Type::Truth)
            }
            Expr::If(condition, then, otherwise) => {
                self.expect(condition, Type::Truth)?;
                self.expect(then, Type::Number)?;
                self.expect(otherwise, Type::Number)?;
                Ok(Type::Number)
            }
            Expr::Bands(amount, table) | Expr::RateOf(amount, table) => {
                if self.rates.table(table).is_none() {
                    return Err(format!("there is no table '{table}'"));
                }
                self.expect(amount, Type::Number)?;
                Ok(Type::Number)
            }
            Expr::WithoutBusiness(name) if self.is_line(name) => Ok(Type::Number),
            Expr::WithoutBusiness(name) => Err(format!("there is no earlier line '{name}'")),
            Expr::Answered(name) if self.sheet.answer(name).is_some() => Ok(Type::Truth),
            Expr::Answered(name) => Err(format!("there is no answer '{name}'")),
        }
    }
}
