//! The answers a worksheet asks of the owner: what each may hold, and reading what she gave.
//! They are kept as settings of the book; asking for them is the window's and the verbs'.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::bands::number;
use super::check::BOOK_FACTS;
use super::file::{AnswerFile, FileFault, Source};
use super::worksheet::is_name;
use crate::money::Currency;

/// Settings of the program under `set_aside.` that no worksheet asks for.
const TAKEN: [&str; 4] = ["method", "percent", "profit_basis", "forecast_profit"];

/// One way to answer a choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The word kept.
    pub key: String,
    /// What people read.
    pub label: String,
}

/// What an answer may hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AnswerKind {
    /// An amount, not below nothing.
    Amount,
    /// Per cent from 0 to 100.
    Percent,
    /// A number, not below nothing.
    Count,
    /// One of these.
    Choice(Vec<Choice>),
    /// Yes or no.
    YesNo,
}

/// One thing a worksheet asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its key; the setting is `set_aside.` and the key.
    pub key: String,
    /// What it may hold.
    pub kind: AnswerKind,
    /// The question, short.
    pub label: String,
    /// The word explained in a plain sentence.
    pub explain: String,
    /// Whether there is no estimate without it.
    pub is_required: bool,
    /// What holds until it is answered, as text; none where the sheet says what it does without.
    pub default: Option<String>,
    /// The most it may be.
    pub max: Option<Decimal>,
    /// Whether it belongs to the business, and so is left out where the sheet is worked without it.
    pub is_business: bool,
}

/// An answer as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Given {
    Number(Decimal),
    Word(String),
    Truth(bool),
}

impl Answer {
    pub(super) fn read(raw: AnswerFile, source: &Source<'_>) -> Result<Self, FileFault> {
        let key = raw.key.get_ref();
        if !is_name(key) {
            return Err(source.fault(&raw.key, format!("'{key}' is not a name")));
        }
        let is_fact = BOOK_FACTS.iter().any(|(fact, _words)| fact == key);
        if is_fact || TAKEN.contains(&key.as_str()) {
            let why = format!(
                "an answer cannot be called '{key}': the program means something else by it"
            );
            return Err(source.fault(&raw.key, why));
        }
        if raw.label.trim().is_empty() || raw.explain.trim().is_empty() {
            return Err(source.fault(&raw.key, "it has no label or no explanation"));
        }
        let kind = match raw.kind.get_ref().as_str() {
            "amount" => AnswerKind::Amount,
            "percent" => AnswerKind::Percent,
            "count" => AnswerKind::Count,
            "yes-no" => AnswerKind::YesNo,
            "choice" if raw.choices.len() > 1 => AnswerKind::Choice(
                raw.choices
                    .into_iter()
                    .map(|choice| Choice {
                        key: choice.key,
                        label: choice.label,
                    })
                    .collect(),
            ),
            "choice" => return Err(source.fault(&raw.kind, "a choice needs two or more choices")),
            other => {
                let why = format!("'{other}' is not amount, percent, count, choice or yes-no");
                return Err(source.fault(&raw.kind, why));
            }
        };
        if raw.required && raw.default.is_some() {
            return Err(source.fault(&raw.key, "what is required has no default"));
        }
        let max = match &raw.max {
            Some(text) => Some(number(text.get_ref()).map_err(|why| source.fault(text, why))?),
            None => None,
        };
        let answer = Self {
            kind,
            label: raw.label,
            explain: raw.explain,
            is_required: raw.required,
            default: raw.default.as_ref().map(|text| text.get_ref().clone()),
            max,
            is_business: raw.business,
            key: raw.key.into_inner(),
        };
        if let Some(text) = &raw.default {
            answer
                .given(text.get_ref())
                .map_err(|why| source.fault(text, why))?;
        }
        Ok(answer)
    }

    /// The name of its setting.
    #[must_use]
    pub fn setting(&self) -> String {
        format!("set_aside.{}", self.key)
    }

    /// The words that answer a choice or a yes-no, for a list; none for numbers.
    #[must_use]
    pub fn words(&self) -> Vec<&str> {
        match &self.kind {
            AnswerKind::Choice(choices) => choices.iter().map(|one| one.key.as_str()).collect(),
            AnswerKind::YesNo => vec!["yes", "no"],
            _ => Vec::new(),
        }
    }

    /// The answer as it is kept.
    ///
    /// # Errors
    /// Why it cannot be, in words.
    pub fn checked(&self, text: &str, currency: &Currency) -> Result<String, String> {
        let text = text.trim();
        if self.kind == AnswerKind::Amount {
            let amount = currency
                .parse_plain(text)
                .map_err(|error| error.to_string())?;
            self.given(&currency.plain(amount))?;
            return Ok(currency.plain(amount));
        }
        Ok(match self.given(text)? {
            Given::Number(number) => number.normalize().to_string(),
            Given::Word(word) => word,
            Given::Truth(is_so) => if is_so { "yes" } else { "no" }.to_owned(),
        })
    }

    pub(crate) fn given(&self, text: &str) -> Result<Given, String> {
        let text = text.trim();
        let words = self.words();
        match &self.kind {
            AnswerKind::Choice(_) if words.contains(&text) => Ok(Given::Word(text.to_owned())),
            AnswerKind::YesNo if words.contains(&text) => Ok(Given::Truth(text == "yes")),
            AnswerKind::Choice(_) | AnswerKind::YesNo => {
                Err(format!("'{text}' is not one of {}", words.join(", ")))
            }
            AnswerKind::Amount | AnswerKind::Count | AnswerKind::Percent => {
                let digits = text.trim_end_matches('%').trim();
                let value = number(digits).map_err(|_not| format!("'{text}' is not a number"))?;
                let most = match self.kind {
                    AnswerKind::Percent => Some(self.max.unwrap_or(Decimal::ONE_HUNDRED)),
                    _ => self.max,
                };
                if value.is_sign_negative() && !value.is_zero() {
                    return Err(format!("'{text}' is below nothing"));
                }
                if let Some(most) = most.filter(|most| value > *most) {
                    return Err(format!("'{text}' is more than {most}"));
                }
                Ok(Given::Number(value))
            }
        }
    }
}

/// The answers given, by key, as they stand among the settings; a key without text was not answered.
pub type Answers = BTreeMap<String, String>;
