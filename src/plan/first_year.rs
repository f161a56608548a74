//! What the costs of starting count for in the first year and after, by the rule of a place: an estimate.
//! The amounts stand in the files under `assets/rates`; which costs are meant is the owner's and her adviser's word.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Deserialize;

use crate::dates::{DateRange, Month, YearStart, parse_iso};
use crate::money::{Currency, Money};

/// Every file of a place's rule, by name.
const FILES: &[(&str, &str)] = &[("us", include_str!("../../assets/rates/start-up-us.toml"))];

/// What stands beside the estimate.
pub const FIRST_YEAR_CAUTION: &str = "An estimate and a sorting aid only: which costs of starting count, when and how depends on where the business is and on its form; confirm with local rules and a licensed professional.";

/// The names and the texts of all files, for checking them.
#[must_use]
pub const fn rule_files() -> &'static [(&'static str, &'static str)] {
    FILES
}

/// The rule of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartUpRule {
    /// Its name: `us`.
    pub name: String,
    /// What people read.
    pub title: String,
    /// The currency of its amounts.
    pub currency: String,
    /// Where it is published.
    pub source: String,
    /// The day it was read there.
    pub checked: NaiveDate,
    /// Which costs it means, in words.
    pub what: String,
    /// What it says of the costs of forming a company, in words.
    pub organising: String,
    years: Vec<YearsFile>,
}

/// The costs of starting by a rule: an estimate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstYear {
    /// What people read of the place.
    pub title: String,
    /// Where the amounts are published.
    pub source: String,
    /// The day they were read there.
    pub checked: NaiveDate,
    /// All costs that the rule was put to.
    pub cost: Money,
    /// What counts at once.
    pub at_once: Money,
    /// What is spread.
    pub rest: Money,
    /// Over how many months.
    pub months: u32,
    /// From which month on: the one the business begins in.
    pub begins: Month,
    /// The first financial year.
    pub year: DateRange,
    /// How many months of it count.
    pub months_in_year: u32,
    /// What of the rest counts in that year.
    pub spread_in_year: Money,
}

impl FirstYear {
    /// What of the rest has counted after so many months, rounded once, so that the months add up to the whole.
    #[must_use]
    pub fn spread_after(&self, months: u32) -> Money {
        let gone = Decimal::from(months.min(self.months));
        let all = Decimal::from(self.months.max(1));
        Money::rounded_minor(Decimal::from(self.rest.minor()) * gone / all)
    }

    /// What of the rest counts in the month of this place, from 1.
    #[must_use]
    pub fn in_month(&self, no: u32) -> Money {
        self.spread_after(no) - self.spread_after(no.saturating_sub(1))
    }

    /// What counts in the first year.
    #[must_use]
    pub fn in_first_year(&self) -> Money {
        self.at_once + self.spread_in_year
    }
}

impl StartUpRule {
    /// The rule of a place by its name.
    ///
    /// # Errors
    /// When there is no file of it, or the file has a hole.
    pub fn named(name: &str) -> Result<Self, FirstYearError> {
        let wanted = name.trim();
        let (known, text) = FILES
            .iter()
            .find(|(known, _text)| *known == wanted)
            .ok_or_else(|| FirstYearError::NoPlace(wanted.to_owned()))?;
        Self::read(known, text)
    }

    /// The rule offered to books in a currency.
    ///
    /// # Errors
    /// When no file is for that currency, or its file has a hole.
    pub fn for_currency(currency: &Currency) -> Result<Self, FirstYearError> {
        for (name, text) in FILES {
            let rule = Self::read(name, text)?;
            if rule.currency == currency.code() {
                return Ok(rule);
            }
        }
        Err(FirstYearError::NoPlace(format!(
            "books in {}",
            currency.code()
        )))
    }

    /// Reads the text of a file.
    ///
    /// # Errors
    /// When it has a hole.
    pub fn read(name: &str, text: &str) -> Result<Self, FirstYearError> {
        let hole = |what: String| FirstYearError::Hole {
            name: name.to_owned(),
            what,
        };
        let file: RuleFile =
            toml::from_str(text).map_err(|error| hole(error.message().to_owned()))?;
        let checked = parse_iso(&file.checked)
            .map_err(|error| hole(format!("it has no day checked: {error}")))?;
        file.check(name).map_err(hole)?;
        Ok(Self {
            name: file.name,
            title: file.title,
            currency: file.currency,
            source: file.source,
            checked,
            what: file.what,
            organising: file.organising,
            years: file.rule,
        })
    }

    fn of_year(&self, year: i32) -> Result<&YearsFile, FirstYearError> {
        let distance =
            |rule: &YearsFile| (rule.from_year - year).max(year - rule.through_year).max(0);
        let nearest = self.years.iter().min_by_key(|rule| distance(rule));
        match nearest {
            Some(rule) if distance(rule) == 0 => Ok(rule),
            other => Err(FirstYearError::NoYear {
                title: self.title.clone(),
                year,
                nearest: other.map_or(year, |rule| year.clamp(rule.from_year, rule.through_year)),
            }),
        }
    }
}

/// Puts costs of starting to a rule, for a business that begins on a day.
///
/// # Errors
/// When the rule does not hold for the year, the amounts are in another currency, or the costs are below nothing.
pub fn first_year(
    rule: &StartUpRule,
    cost: Money,
    begins: NaiveDate,
    years: YearStart,
    currency: &Currency,
) -> Result<FirstYear, FirstYearError> {
    if rule.currency != currency.code() {
        return Err(FirstYearError::NoPlace(format!(
            "books in {}",
            currency.code()
        )));
    }
    if cost.is_negative() {
        return Err(FirstYearError::BelowNothing);
    }
    let year = years.containing(begins);
    let of_year = rule.of_year(Month::of(year.from).year())?;
    let amount = |text: &str| {
        currency
            .parse_plain(text)
            .map_err(|error| FirstYearError::Hole {
                name: rule.name.clone(),
                what: error.to_string(),
            })
    };
    let (limit, threshold) = (amount(&of_year.limit)?, amount(&of_year.threshold)?);
    let over = (cost - threshold).max(Money::ZERO);
    let at_once = cost.min((limit - over).max(Money::ZERO));
    let first = Month::of(begins);
    let months_in_year = Month::of(year.to).index() - first.index() + 1;
    let mut estimate = FirstYear {
        title: rule.title.clone(),
        source: of_year.source.clone(),
        checked: rule.checked,
        cost,
        at_once,
        rest: cost - at_once,
        months: of_year.months,
        begins: first,
        year,
        months_in_year: u32::try_from(months_in_year).unwrap_or_default(),
        spread_in_year: Money::ZERO,
    };
    estimate.spread_in_year = estimate.spread_after(estimate.months_in_year);
    Ok(estimate)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RuleFile {
    name: String,
    title: String,
    currency: String,
    source: String,
    checked: String,
    what: String,
    organising: String,
    rule: Vec<YearsFile>,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct YearsFile {
    from_year: i32,
    through_year: i32,
    limit: String,
    threshold: String,
    months: u32,
    source: String,
}

impl RuleFile {
    fn check(&self, name: &str) -> Result<(), String> {
        if self.name != name {
            return Err(format!("its name is '{}'", self.name));
        }
        for (what, text) in [
            ("title", &self.title),
            ("source", &self.source),
            ("words on which costs are meant", &self.what),
            ("words on costs of forming a company", &self.organising),
        ] {
            if text.trim().is_empty() {
                return Err(format!("its {what} is missing"));
            }
        }
        let currency = Currency::from_code(&self.currency).map_err(|error| error.to_string())?;
        let mut after: Option<i32> = None;
        for rule in &self.rule {
            let (from, through) = (rule.from_year, rule.through_year);
            if through < from || after.is_some_and(|after| from != after + 1) {
                return Err(format!("the years {from} to {through} do not follow on"));
            }
            after = Some(through);
            if rule.source.trim().is_empty() || rule.months == 0 {
                return Err(format!("{from} has no source or no months"));
            }
            for text in [&rule.limit, &rule.threshold] {
                let amount = currency
                    .parse_plain(text)
                    .map_err(|error| error.to_string())?;
                if amount.is_negative() {
                    return Err(format!("{from} has an amount below nothing"));
                }
            }
        }
        if after.is_none() {
            return Err("it has no years".to_owned());
        }
        Ok(())
    }
}

/// Why no estimate can be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FirstYearError {
    /// No file is for that place.
    #[error(
        "there is no rule for the costs of starting for {0}, so no estimate is made; ask a licensed professional"
    )]
    NoPlace(String),
    /// The file does not hold for that year.
    #[error(
        "{title}: there is no rule for a business that begins in {year}, so no estimate is made; the nearest year is {nearest}"
    )]
    NoYear {
        /// The place.
        title: String,
        /// The year asked for.
        year: i32,
        /// The nearest year there is a rule for.
        nearest: i32,
    },
    /// The file lacks something.
    #[error("the rule '{name}' for the costs of starting cannot be used: {what}")]
    Hole {
        /// The file.
        name: String,
        /// What is missing or wrong.
        what: String,
    },
    /// The costs are below nothing.
    #[error("the costs of starting are below nothing")]
    BelowNothing,
}
