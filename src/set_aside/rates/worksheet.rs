//! A worksheet of a place: the answers it asks for, its numbered lines, its notes and how its instalments come about.
//! It holds no figure of any year; those are in the rates files.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::answers::{Answer, AnswerKind};
use super::bands::number;
use super::expression::{Expr, parse};
use super::file::{
    AnnualisedFile, FileFault, InstalmentsFile, LineFile, NoteFile, Source, TaxYearFile,
    WorksheetFile, sourced,
};
use crate::money::Currency;
use crate::set_aside::Calendar;

/// What a number is, for showing it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// An amount in the currency.
    Amount,
    /// A share, kept as a fraction.
    Percent,
    /// A count or a factor.
    Count,
}

impl Unit {
    pub(crate) fn named(word: &str) -> Result<Self, String> {
        match word {
            "amount" => Ok(Self::Amount),
            "percent" => Ok(Self::Percent),
            "count" => Ok(Self::Count),
            _ => Err(format!("the unit '{word}' is not amount, percent or count")),
        }
    }
}

/// How a line is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rounding {
    /// To the currency's smallest unit, half up.
    Smallest,
    /// To whole units, half up.
    Whole,
    /// Not at all.
    Exact,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) explain: String,
    pub(crate) value: Expr,
    pub(crate) unit: Unit,
    pub(crate) rounding: Rounding,
    pub(crate) source: String,
    pub(crate) caution: String,
    pub(crate) when: Option<Expr>,
    pub(crate) at: usize,
}

/// Something said in a situation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Note {
    pub(crate) when: Expr,
    pub(crate) say: String,
    pub(crate) is_warning: bool,
    pub(crate) at: usize,
}

/// One period of annualising.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct AnnualPeriod {
    pub(crate) factor: Decimal,
    pub(crate) share: Decimal,
}

/// The method of annualising by periods.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Annualised {
    pub(crate) tax: String,
    pub(crate) withheld: String,
    pub(crate) source: String,
    pub(crate) periods: Vec<AnnualPeriod>,
}

/// How the instalments come about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct InstalmentRules {
    pub(crate) source: String,
    /// The line paid in equal parts; none where each payment has its own line.
    pub(crate) equal: Option<String>,
    /// Label and line of each payment.
    pub(crate) parts: Vec<(String, String)>,
    pub(crate) annualised: Option<Annualised>,
    pub(crate) late: String,
}

/// A worksheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worksheet {
    /// Its name, with which its rates files begin.
    pub name: String,
    /// What people read.
    pub title: String,
    /// The ISO 4217 code of the books it is offered to.
    pub currency: String,
    /// The calendar of its instalments.
    pub calendar: String,
    /// Where the order of its lines is published.
    pub source: String,
    /// The day that was read.
    pub checked: NaiveDate,
    /// What it asks the owner, in order.
    pub answers: Vec<Answer>,
    pub(crate) tax_year: TaxYearFile,
    pub(crate) lines: Vec<Line>,
    pub(crate) notes: Vec<Note>,
    pub(crate) result: String,
    pub(crate) instalments: InstalmentRules,
    pub(crate) file: String,
}

impl Worksheet {
    /// Reads the text of a worksheet file.
    ///
    /// # Errors
    /// When it has a fault, with the line.
    pub fn read(file: &str, text: &str) -> Result<Self, FileFault> {
        let source = Source { file, text };
        let raw: WorksheetFile = source.read()?;
        let name = raw.name.get_ref().clone();
        if file != format!("worksheet-{name}.toml") {
            return Err(source.fault(&raw.name, format!("the name '{name}' is not the file's")));
        }
        let checked = sourced(&raw.source, raw.checked.get_ref())
            .map_err(|why| source.fault(&raw.checked, why))?;
        if raw.title.trim().is_empty() {
            return Err(source.whole("the title is missing"));
        }
        if Currency::from_code(raw.currency.get_ref()).is_err() {
            let why = format!("'{}' is no ISO 4217 code", raw.currency.get_ref());
            return Err(source.fault(&raw.currency, why));
        }
        if NaiveDate::from_ymd_opt(2023, raw.tax_year.month, raw.tax_year.day).is_none() {
            return Err(source.whole("the day on which the tax year begins does not exist"));
        }
        let mut answers: Vec<Answer> = Vec::with_capacity(raw.answer.len());
        for one in raw.answer {
            let answer = Answer::read(one, &source)?;
            if answers.iter().any(|known| known.key == answer.key) {
                return Err(source.whole(format!("the answer '{}' stands twice", answer.key)));
            }
            answers.push(answer);
        }
        let mut lines: Vec<Line> = Vec::with_capacity(raw.line.len());
        for one in raw.line {
            let line = read_line(one, &source)?;
            if lines.iter().any(|known| known.key == line.key) {
                return Err(FileFault {
                    file: file.to_owned(),
                    line: Some(line.at),
                    what: format!("the line '{}' stands twice", line.key),
                });
            }
            lines.push(line);
        }
        let notes = raw
            .note
            .into_iter()
            .map(|one| read_note(one, &source))
            .collect::<Result<_, _>>()?;
        let is_line = |key: &toml::Spanned<String>| {
            if lines.iter().any(|line| line.key == *key.get_ref()) {
                Ok(key.get_ref().clone())
            } else {
                Err(source.fault(key, format!("there is no line '{}'", key.get_ref())))
            }
        };
        let instalments = read_instalments(raw.instalments, &source, &is_line)?;
        Ok(Self {
            result: is_line(&raw.result)?,
            name,
            title: raw.title,
            currency: raw.currency.into_inner(),
            calendar: raw.calendar.into_inner(),
            source: raw.source,
            checked,
            answers,
            tax_year: raw.tax_year,
            notes,
            instalments,
            file: file.to_owned(),
            lines,
        })
    }

    /// The answer with this key.
    #[must_use]
    pub fn answer(&self, key: &str) -> Option<&Answer> {
        self.answers.iter().find(|answer| answer.key == key)
    }

    /// The factor by which each period's income is taken for the year and the share of the year's tax due by then, where
    /// the place has instalments by annualised income.
    #[must_use]
    pub fn annual_periods(&self) -> Vec<(Decimal, Decimal)> {
        let rules = self.instalments.annualised.iter();
        rules
            .flat_map(|rules| rules.periods.iter())
            .map(|period| (period.factor, period.share))
            .collect()
    }

    /// Whether its instalments go with the calendar it names.
    ///
    /// # Errors
    /// When there is no such calendar among those that were read, its tax year is another, or the payments or periods
    /// are not as many as the calendar's.
    pub(crate) fn fits(&self, calendar: Option<&Calendar>) -> Result<(), FileFault> {
        let fault = |what: String| {
            Err(FileFault {
                file: self.file.clone(),
                line: None,
                what,
            })
        };
        let name = &self.calendar;
        let Some(calendar) = calendar else {
            return fault(format!(
                "its calendar-{name}.toml is missing or was refused"
            ));
        };
        let Some(periods) = calendar.payments() else {
            return Ok(());
        };
        if !calendar.begins_with(self.tax_year.month, self.tax_year.day) {
            return fault(format!("the tax year of calendar-{name}.toml is another"));
        }
        let rules = &self.instalments;
        let given = [
            (rules.equal.is_none()).then_some((rules.parts.len(), "payments")),
            (rules.annualised.as_ref()).map(|rules| (rules.periods.len(), "periods of the year")),
        ];
        for (count, what) in given.into_iter().flatten() {
            if count != periods {
                return fault(format!(
                    "its {what} are {count}, those of calendar-{name}.toml {periods}"
                ));
            }
        }
        Ok(())
    }

    /// The choice by which figures and tables may differ.
    pub(crate) fn choice(&self, key: &str) -> Option<&Answer> {
        self.answer(key)
            .filter(|answer| matches!(answer.kind, AnswerKind::Choice(_)))
    }
}

/// A name of a line, answer or figure: lower-case letters, digits and `_`, beginning with a letter.
pub(crate) fn is_name(text: &str) -> bool {
    let mut chars = text.chars();
    chars.next().is_some_and(|c| c.is_ascii_lowercase())
        && chars.all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

fn read_line(raw: LineFile, source: &Source<'_>) -> Result<Line, FileFault> {
    let key = raw.key.get_ref();
    if !is_name(key) {
        return Err(source.fault(&raw.key, format!("'{key}' is not a name")));
    }
    if raw.label.trim().is_empty() || raw.explain.trim().is_empty() {
        return Err(source.fault(&raw.key, "it has no label or no explanation"));
    }
    let value = expr(&raw.value, source)?;
    let unit = match &raw.unit {
        Some(word) => Unit::named(word.get_ref()).map_err(|why| source.fault(word, why))?,
        None => Unit::Amount,
    };
    let rounding = match &raw.round {
        None if unit == Unit::Amount => Rounding::Smallest,
        None => Rounding::Exact,
        Some(word) => match word.get_ref().as_str() {
            "whole" => Rounding::Whole,
            "exact" => Rounding::Exact,
            other => {
                let why = format!("the rounding '{other}' is not whole or exact");
                return Err(source.fault(word, why));
            }
        },
    };
    let at = source.fault(&raw.value, "").line.unwrap_or(1);
    Ok(Line {
        when: raw.when.map(|when| expr(&when, source)).transpose()?,
        key: raw.key.into_inner(),
        label: raw.label,
        explain: raw.explain,
        value,
        unit,
        rounding,
        source: raw.source,
        caution: raw.caution,
        at,
    })
}

fn read_note(raw: NoteFile, source: &Source<'_>) -> Result<Note, FileFault> {
    if raw.say.trim().is_empty() {
        return Err(source.fault(&raw.when, "it says nothing"));
    }
    Ok(Note {
        when: expr(&raw.when, source)?,
        say: raw.say,
        is_warning: raw.warning,
        at: source.fault(&raw.when, "").line.unwrap_or(1),
    })
}

fn expr(text: &toml::Spanned<String>, source: &Source<'_>) -> Result<Expr, FileFault> {
    parse(text.get_ref()).map_err(|why| source.fault(text, why))
}

fn read_instalments(
    raw: InstalmentsFile,
    source: &Source<'_>,
    is_line: &dyn Fn(&toml::Spanned<String>) -> Result<String, FileFault>,
) -> Result<InstalmentRules, FileFault> {
    sourced(&raw.source, raw.checked.get_ref()).map_err(|why| source.fault(&raw.checked, why))?;
    if raw.equal.is_some() != raw.part.is_empty() {
        let why = "the instalments need either one line in equal parts or a line for each";
        return Err(source.fault(&raw.checked, why));
    }
    Ok(InstalmentRules {
        equal: raw.equal.as_ref().map(is_line).transpose()?,
        parts: raw
            .part
            .into_iter()
            .map(|part| Ok((part.label, is_line(&part.line)?)))
            .collect::<Result<_, _>>()?,
        annualised: raw
            .annualised
            .map(|raw| read_annualised(raw, source, is_line))
            .transpose()?,
        source: raw.source,
        late: raw.late,
    })
}

fn read_annualised(
    raw: AnnualisedFile,
    source: &Source<'_>,
    is_line: &dyn Fn(&toml::Spanned<String>) -> Result<String, FileFault>,
) -> Result<Annualised, FileFault> {
    sourced(&raw.source, raw.checked.get_ref()).map_err(|why| source.fault(&raw.checked, why))?;
    let mut periods: Vec<AnnualPeriod> = Vec::with_capacity(raw.period.len());
    for one in &raw.period {
        let read = |text: &toml::Spanned<String>| {
            number(text.get_ref()).map_err(|why| source.fault(text, why))
        };
        let period = AnnualPeriod {
            factor: read(&one.factor)?,
            share: read(&one.share)? / Decimal::ONE_HUNDRED,
        };
        let grows = periods
            .last()
            .is_none_or(|last| period.share > last.share && period.factor < last.factor);
        if !grows || period.factor < Decimal::ONE || period.share > Decimal::ONE {
            let why = "the factors fall to 1 and the shares rise from period to period";
            return Err(source.fault(&one.factor, why));
        }
        periods.push(period);
    }
    if periods
        .last()
        .is_none_or(|last| last.factor != Decimal::ONE)
    {
        return Err(source.fault(&raw.checked, "the last period's factor is not 1"));
    }
    Ok(Annualised {
        tax: is_line(&raw.tax)?,
        withheld: is_line(&raw.withheld)?,
        source: raw.source,
        periods,
    })
}
