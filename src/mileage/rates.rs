//! What a mile counts for on a day: the published rates of a place, or the owner's own.
//! The figures stand in the files under `assets/rates`; which trips are meant is the log's.

use std::sync::OnceLock;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Deserialize;

use super::DistanceUnit;
use crate::dates::parse_iso;
use crate::money::Currency;

const FILES: &[(&str, &str)] = &[
    ("us", include_str!("../../assets/rates/mileage-us.toml")),
    ("uk", include_str!("../../assets/rates/mileage-uk.toml")),
];

/// The names and the texts of all files, for checking them.
#[must_use]
pub const fn mileage_files() -> &'static [(&'static str, &'static str)] {
    FILES
}

#[derive(Clone, Debug, Deserialize)]
struct File {
    name: String,
    title: String,
    currency: String,
    unit: String,
    caution: String,
    rate: Vec<RateRow>,
}

#[derive(Clone, Debug, Deserialize)]
struct RateRow {
    from: String,
    through: String,
    each: String,
    first: Option<String>,
    then: Option<String>,
    source: String,
    read: String,
    checked: String,
}

/// What a mile or a kilometre counts for between two days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MileRate {
    /// The first day it holds.
    pub from: NaiveDate,
    /// The last day it holds.
    pub through: NaiveDate,
    /// What each counts for, in whole units of the currency.
    pub each: Decimal,
    /// Above so many of a year, each counts for so much instead.
    pub above: Option<(Decimal, Decimal)>,
    /// Where it is published.
    pub source: String,
    /// How it was read there.
    pub read: String,
    /// The day it was looked up.
    pub checked: NaiveDate,
}

/// The rates that a book counts with.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MileageRates {
    /// What people read of the place; the owner's own when empty.
    pub title: String,
    /// What the rates are for.
    pub unit: DistanceUnit,
    /// Which rate holds when.
    pub rates: Vec<MileRate>,
    /// The owner's own rate, which holds on every day instead, in whole units of the currency.
    pub own: Option<Decimal>,
    /// What must be confirmed with somebody who knows.
    pub caution: String,
}

impl MileageRates {
    /// The rates of the place whose currency a book is kept in; none where no file is for it.
    ///
    /// # Errors
    /// When a file that came with the program has a hole, which a test rules out.
    pub fn for_currency(currency: &Currency) -> Result<Self, String> {
        static KNOWN: OnceLock<Result<Vec<(String, MileageRates)>, String>> = OnceLock::new();
        let known = KNOWN.get_or_init(|| {
            let read = |(name, text): &(&str, &str)| Self::read(name, text);
            FILES.iter().map(read).collect()
        });
        let known = known.as_ref().map_err(Clone::clone)?;
        let found = known.iter().find(|(code, _)| code == currency.code());
        Ok(found.map(|(_, rates)| rates.clone()).unwrap_or_default())
    }

    /// Reads the text of a file; answers its currency with its rates.
    ///
    /// # Errors
    /// When it has a hole, or its rates overlap.
    pub fn read(name: &str, text: &str) -> Result<(String, Self), String> {
        let hole = |what: String| format!("the mileage rates '{name}': {what}");
        let file: File = toml::from_str(text).map_err(|error| hole(error.message().to_owned()))?;
        if file.name != name {
            return Err(hole(format!("it calls itself '{}'", file.name)));
        }
        let mut rates = Vec::new();
        for row in file.rate {
            rates.push(row.rate().map_err(&hole)?);
        }
        rates.sort_by_key(|rate: &MileRate| rate.from);
        let overlaps = |pair: &[MileRate]| matches!(pair, [one, next] if next.from <= one.through);
        if rates.windows(2).any(overlaps) || rates.iter().any(|rate| rate.through < rate.from) {
            return Err(hole("two rates hold on the same day".to_owned()));
        }
        let unit = file.unit.parse().map_err(&hole)?;
        Ok((
            file.currency,
            Self {
                title: file.title,
                unit,
                rates,
                own: None,
                caution: file.caution,
            },
        ))
    }

    /// The rate that holds on a day.
    #[must_use]
    pub fn on(&self, day: NaiveDate) -> Option<&MileRate> {
        self.rates
            .iter()
            .find(|rate| rate.from <= day && day <= rate.through)
    }

    /// What one mile or kilometre counts for on a day before any limit of a year, in whole units of the currency.
    #[must_use]
    pub fn each_on(&self, day: NaiveDate) -> Option<Decimal> {
        self.own.or_else(|| self.on(day).map(|rate| rate.each))
    }
}

impl RateRow {
    fn rate(self) -> Result<MileRate, String> {
        let day = |text: &str| parse_iso(text).map_err(|error| error.to_string());
        let number = |text: &str| {
            let read = text.parse::<Decimal>();
            read.map_err(|_not_a_number| format!("'{text}' is no number"))
        };
        let above = match (&self.first, &self.then) {
            (Some(first), Some(then)) => Some((number(first)?, number(then)?)),
            (None, None) => None,
            _ => return Err("'first' and 'then' go together".to_owned()),
        };
        if self.source.trim().is_empty() {
            return Err("a rate has no source".to_owned());
        }
        Ok(MileRate {
            from: day(&self.from)?,
            through: day(&self.through)?,
            each: number(&self.each)?,
            above,
            source: self.source,
            read: self.read,
            checked: day(&self.checked)?,
        })
    }
}
