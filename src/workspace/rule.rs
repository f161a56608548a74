//! The published rule of the simplified method, as a file of a place has it.
//! Which spaces there are is the owner's word.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Deserialize;

use crate::dates::parse_iso;
use crate::money::Currency;

const FILES: &[(&str, &str)] = &[("us", include_str!("../../assets/rates/workspace-us.toml"))];

/// The names and the texts of all files, for checking them.
#[must_use]
pub const fn workspace_files() -> &'static [(&'static str, &'static str)] {
    FILES
}

#[derive(Deserialize)]
struct File {
    name: String,
    title: String,
    currency: String,
    area_unit: String,
    each: String,
    most: String,
    days: i64,
    from_year: i32,
    through_year: i32,
    source: String,
    read: String,
    checked: String,
    caution: String,
}

/// The simplified method of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkspaceRule {
    /// What people read of the place.
    pub title: String,
    /// What the area is measured in.
    pub area_unit: String,
    /// What each counts for a year, in whole units of the currency.
    pub each: Decimal,
    /// How much area counts at most.
    pub most: Decimal,
    /// From how many days of use on a month counts.
    pub days: i64,
    /// The first and the last year that it was looked up for.
    pub years: (i32, i32),
    /// Where it is published.
    pub source: String,
    /// How it was read there.
    pub read: String,
    /// The day it was looked up.
    pub checked: NaiveDate,
    /// What must be confirmed with somebody who knows.
    pub caution: String,
}

impl WorkspaceRule {
    /// The rule for a year of a book in a currency; nothing where none is kept.
    ///
    /// # Errors
    /// When a file that came with the program has a hole, which a test rules out.
    pub fn for_year(currency: &Currency, year: i32) -> Result<Option<Self>, String> {
        for (name, text) in FILES {
            let (code, rule) = Self::read(name, text)?;
            if code == currency.code() && (rule.years.0..=rule.years.1).contains(&year) {
                return Ok(Some(rule));
            }
        }
        Ok(None)
    }

    /// Reads the text of a file; answers its currency with its rule.
    ///
    /// # Errors
    /// When it has a hole.
    pub fn read(name: &str, text: &str) -> Result<(String, Self), String> {
        let hole = |what: String| format!("the workspace rule '{name}': {what}");
        let file: File = toml::from_str(text).map_err(|error| hole(error.message().to_owned()))?;
        if file.name != name {
            return Err(hole(format!("it calls itself '{}'", file.name)));
        }
        let number = |text: &str| {
            let read = text.parse::<Decimal>();
            read.map_err(|_not_a_number| hole(format!("'{text}' is no number")))
        };
        let rule = Self {
            each: number(&file.each)?,
            most: number(&file.most)?,
            checked: parse_iso(&file.checked).map_err(|error| hole(error.to_string()))?,
            title: file.title,
            area_unit: file.area_unit,
            days: file.days,
            years: (file.from_year, file.through_year),
            source: file.source,
            read: file.read,
            caution: file.caution,
        };
        Ok((file.currency, rule))
    }
}
