//! What the files of worksheets and rates look like as TOML, and where in them a fault lies.
//! What their parts mean is the other files' business.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Deserialize;
use toml::Spanned;

use crate::dates::parse_iso;

/// A fault of a file: which, where and what.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}{}: {what}", match line { Some(line) => format!(", line {line}"), None => String::new() })]
pub struct FileFault {
    /// The file's name.
    pub file: String,
    /// The line, from 1, where it is known.
    pub line: Option<usize>,
    /// What is wrong, in words.
    pub what: String,
}

/// A file's name and text, for telling where a fault lies.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) file: &'a str,
    pub(crate) text: &'a str,
}

impl Source<'_> {
    /// Reads the file.
    pub(crate) fn read<T: for<'de> Deserialize<'de>>(&self) -> Result<T, FileFault> {
        toml::from_str(self.text).map_err(|error| FileFault {
            file: self.file.to_owned(),
            line: error.span().map(|span| self.line_at(span.start)),
            what: error.message().to_owned(),
        })
    }

    /// A fault where something stands in the file.
    pub(crate) fn fault<T>(&self, at: &Spanned<T>, what: impl Into<String>) -> FileFault {
        FileFault {
            file: self.file.to_owned(),
            line: Some(self.line_at(at.span().start)),
            what: what.into(),
        }
    }

    /// A fault of the whole file.
    pub(crate) fn whole(&self, what: impl Into<String>) -> FileFault {
        FileFault {
            file: self.file.to_owned(),
            line: None,
            what: what.into(),
        }
    }

    fn line_at(&self, at: usize) -> usize {
        let before = self.text.get(..at).unwrap_or(self.text);
        before.matches('\n').count() + 1
    }
}

/// The text of a source and the day it was read there, or what is missing.
pub(crate) fn sourced(source: &str, checked: &str) -> Result<NaiveDate, String> {
    if source.trim().is_empty() {
        return Err("it has no source".to_owned());
    }
    parse_iso(checked).map_err(|error| format!("it has no day checked: {error}"))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WorksheetFile {
    pub(crate) name: Spanned<String>,
    pub(crate) title: String,
    pub(crate) currency: Spanned<String>,
    pub(crate) calendar: Spanned<String>,
    pub(crate) source: String,
    pub(crate) checked: Spanned<String>,
    pub(crate) tax_year: TaxYearFile,
    #[serde(default)]
    pub(crate) answer: Vec<AnswerFile>,
    pub(crate) line: Vec<LineFile>,
    #[serde(default)]
    pub(crate) note: Vec<NoteFile>,
    pub(crate) result: Spanned<String>,
    pub(crate) instalments: InstalmentsFile,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TaxYearFile {
    pub(crate) month: u32,
    pub(crate) day: u32,
    /// The month whose first day begins a book's year that counts as the tax year.
    pub(crate) same_as_month: Option<u32>,
    #[serde(default)]
    pub(crate) source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AnswerFile {
    pub(crate) key: Spanned<String>,
    pub(crate) kind: Spanned<String>,
    #[serde(default)]
    pub(crate) choices: Vec<ChoiceFile>,
    pub(crate) label: String,
    pub(crate) explain: String,
    #[serde(default)]
    pub(crate) required: bool,
    pub(crate) default: Option<Spanned<String>>,
    pub(crate) max: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) business: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ChoiceFile {
    pub(crate) key: String,
    pub(crate) label: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LineFile {
    pub(crate) key: Spanned<String>,
    pub(crate) label: String,
    pub(crate) explain: String,
    pub(crate) value: Spanned<String>,
    #[serde(default)]
    pub(crate) unit: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) round: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) source: String,
    #[serde(default)]
    pub(crate) caution: String,
    #[serde(default)]
    pub(crate) when: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct NoteFile {
    pub(crate) when: Spanned<String>,
    pub(crate) say: String,
    #[serde(default)]
    pub(crate) warning: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct InstalmentsFile {
    pub(crate) source: String,
    pub(crate) checked: Spanned<String>,
    /// The line that is paid in equal parts.
    pub(crate) equal: Option<Spanned<String>>,
    /// Or one line for each payment.
    #[serde(default)]
    pub(crate) part: Vec<PartFile>,
    pub(crate) annualised: Option<AnnualisedFile>,
    /// What is said when a day has passed and less was paid than was asked.
    pub(crate) late: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PartFile {
    pub(crate) label: String,
    pub(crate) line: Spanned<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AnnualisedFile {
    /// The line whose share is due.
    pub(crate) tax: Spanned<String>,
    /// The line of what is paid through the year anyway, in even parts.
    pub(crate) withheld: Spanned<String>,
    /// The line below which nothing is asked, if any.
    pub(crate) source: String,
    pub(crate) checked: Spanned<String>,
    pub(crate) period: Vec<AnnualPeriodFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AnnualPeriodFile {
    pub(crate) factor: Spanned<String>,
    pub(crate) share: Spanned<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RatesFile {
    pub(crate) worksheet: Spanned<String>,
    pub(crate) year: Spanned<String>,
    pub(crate) title: String,
    pub(crate) from: Spanned<String>,
    pub(crate) to: Spanned<String>,
    pub(crate) extends: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) figure: Vec<FigureFile>,
    #[serde(default)]
    pub(crate) table: Vec<TableFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FigureFile {
    pub(crate) key: Spanned<String>,
    pub(crate) label: String,
    pub(crate) unit: Spanned<String>,
    pub(crate) value: Option<Spanned<String>>,
    pub(crate) by: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) values: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub(crate) source: String,
    #[serde(default)]
    pub(crate) read: String,
    #[serde(default)]
    pub(crate) checked: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TableFile {
    pub(crate) key: Spanned<String>,
    pub(crate) label: String,
    pub(crate) by: Option<Spanned<String>>,
    pub(crate) bands: BTreeMap<String, Vec<Spanned<Vec<String>>>>,
    #[serde(default)]
    pub(crate) source: String,
    #[serde(default)]
    pub(crate) read: String,
    #[serde(default)]
    pub(crate) checked: String,
}
