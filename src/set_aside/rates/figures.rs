//! A rates file: the figures and tables of one worksheet for one tax year, each with its source and the day it was read.
//! An owner's own file may extend another one with figures of hers.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::answers::AnswerKind;
use super::bands::{Bands, number};
use super::file::{FigureFile, FileFault, RatesFile, Source, TableFile, sourced};
use super::worksheet::{Unit, Worksheet, is_name};
use crate::dates::{DateRange, parse_iso};

/// Values that may differ by the answer to a choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct By<T> {
    /// The choice's key; none where one value holds for all.
    pub choice: Option<String>,
    /// The values by the choice's word; the only one under an empty word.
    pub values: BTreeMap<String, T>,
}

impl<T> By<T> {
    pub(crate) fn of(&self, word: &str) -> Option<&T> {
        self.values
            .get(if self.choice.is_some() { word } else { "" })
    }
}

/// One figure or table with where it is published.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Published<T> {
    /// Its name in the worksheet.
    pub key: String,
    /// What people read.
    pub label: String,
    /// Its values.
    pub value: By<T>,
    /// Where it is published.
    pub source: String,
    /// How it was read where that was not in the publication itself; may be empty.
    pub read: String,
    /// The day it was read.
    pub checked: NaiveDate,
}

/// A number and what it is. A percent is kept as a fraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figured {
    /// The number.
    pub value: Decimal,
    /// What it is.
    pub unit: Unit,
}

impl Figured {
    /// The number as the file has it; a percent in per cent.
    #[must_use]
    pub fn plain(self) -> String {
        let number = match self.unit {
            Unit::Percent => self.value * Decimal::ONE_HUNDRED,
            Unit::Amount | Unit::Count => self.value,
        };
        number.normalize().to_string()
    }

    /// The number for people.
    #[must_use]
    pub fn shown(self) -> String {
        match self.unit {
            Unit::Percent => format!("{} %", self.plain()),
            Unit::Amount | Unit::Count => self.plain(),
        }
    }
}

/// The figures of a worksheet for one tax year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rates {
    /// Its name in settings: the worksheet's and the year's.
    pub name: String,
    /// What people read.
    pub title: String,
    /// The tax year as people call it: `2026`, `2026-27`.
    pub year: String,
    /// The days of the tax year.
    pub days: DateRange,
    /// The figures.
    pub figures: Vec<Published<Figured>>,
    /// The tables.
    pub tables: Vec<Published<Bands>>,
    pub(crate) file: String,
}

impl Rates {
    /// The name of the file that this one extends, if it does.
    pub(crate) fn extended(file: &str, text: &str) -> Result<Option<String>, FileFault> {
        let raw: RatesFile = Source { file, text }.read()?;
        Ok(raw.extends.map(toml::Spanned::into_inner))
    }

    /// The name of the worksheet it belongs to.
    pub(crate) fn worksheet(file: &str, text: &str) -> Result<String, FileFault> {
        let raw: RatesFile = Source { file, text }.read()?;
        Ok(raw.worksheet.into_inner())
    }

    /// Reads the text of a rates file; `under` is the one it extends.
    ///
    /// # Errors
    /// When it has a fault, with the line.
    pub fn read(
        file: &str,
        text: &str,
        sheet: &Worksheet,
        under: Option<&Self>,
    ) -> Result<Self, FileFault> {
        let source = Source { file, text };
        let raw: RatesFile = source.read()?;
        let name = file.trim_end_matches(".toml").to_owned();
        if raw.extends.is_none() && name != format!("{}-{}", sheet.name, raw.year.get_ref()) {
            let why = format!(
                "the file's name is not '{}-{}.toml'",
                sheet.name,
                raw.year.get_ref()
            );
            return Err(source.fault(&raw.year, why));
        }
        let day = |text: &toml::Spanned<String>| {
            parse_iso(text.get_ref()).map_err(|error| source.fault(text, error.to_string()))
        };
        let days = DateRange::new(day(&raw.from)?, day(&raw.to)?)
            .filter(|days| is_a_year(*days))
            .ok_or_else(|| source.fault(&raw.from, "its days are not one whole year"))?;
        if raw.title.trim().is_empty() {
            return Err(source.fault(&raw.year, "it has no title"));
        }
        let mut figures = Vec::with_capacity(raw.figure.len());
        for one in raw.figure {
            let read = read_figure(one, &source, sheet)?;
            add(&mut figures, read, &source)?;
        }
        let mut tables = Vec::with_capacity(raw.table.len());
        for one in raw.table {
            let read = read_table(one, &source, sheet)?;
            add(&mut tables, read, &source)?;
        }
        if let Some(under) = under {
            if under.days != days {
                return Err(source.fault(&raw.from, "its days are not those it extends"));
            }
            extend(&mut figures, &under.figures);
            extend(&mut tables, &under.tables);
        }
        Ok(Self {
            name,
            title: raw.title,
            year: raw.year.into_inner(),
            days,
            figures,
            tables,
            file: file.to_owned(),
        })
    }

    /// The figure with this name.
    #[must_use]
    pub fn figure(&self, key: &str) -> Option<&Published<Figured>> {
        self.figures.iter().find(|figure| figure.key == key)
    }

    /// The table with this name.
    #[must_use]
    pub fn table(&self, key: &str) -> Option<&Published<Bands>> {
        self.tables.iter().find(|table| table.key == key)
    }
}

fn is_a_year(days: DateRange) -> bool {
    let after = days.to.succ_opt().unwrap_or(days.to);
    crate::dates::add_months(days.from, 12) == after
}

fn add<T>(
    known: &mut Vec<Published<T>>,
    one: Published<T>,
    source: &Source<'_>,
) -> Result<(), FileFault> {
    if known.iter().any(|other| other.key == one.key) {
        return Err(source.whole(format!("'{}' stands twice", one.key)));
    }
    known.push(one);
    Ok(())
}

fn extend<T: Clone>(own: &mut Vec<Published<T>>, under: &[Published<T>]) {
    for one in under {
        if !own.iter().any(|mine| mine.key == one.key) {
            own.push(one.clone());
        }
    }
}

fn read_figure(
    raw: FigureFile,
    source: &Source<'_>,
    sheet: &Worksheet,
) -> Result<Published<Figured>, FileFault> {
    let unit = Unit::named(raw.unit.get_ref()).map_err(|why| source.fault(&raw.unit, why))?;
    let read = |text: &toml::Spanned<String>| -> Result<Figured, FileFault> {
        let value = number(text.get_ref())
            .and_then(|value| {
                if value.is_sign_negative() && !value.is_zero() {
                    Err(format!("'{value}' is below nothing"))
                } else {
                    Ok(value)
                }
            })
            .map_err(|why| source.fault(text, why))?;
        let value = if unit == Unit::Percent {
            value / Decimal::ONE_HUNDRED
        } else {
            value
        };
        Ok(Figured { value, unit })
    };
    let values = match (&raw.value, &raw.by) {
        (Some(one), None) if raw.values.is_empty() => By {
            choice: None,
            values: BTreeMap::from([(String::new(), read(one)?)]),
        },
        (None, Some(by)) => by_choice(by, source, sheet, &raw.key, |word| {
            raw.values.get(word).map(read)
        })?,
        _ => {
            let why = "it needs either one value, or values by a choice";
            return Err(source.fault(&raw.key, why));
        }
    };
    published(
        &raw.key,
        raw.label,
        values,
        [raw.source, raw.read, raw.checked],
        source,
    )
}

fn read_table(
    raw: TableFile,
    source: &Source<'_>,
    sheet: &Worksheet,
) -> Result<Published<Bands>, FileFault> {
    let read = |rows: &Vec<toml::Spanned<Vec<String>>>| -> Result<Bands, FileFault> {
        let plain: Vec<Vec<String>> = rows.iter().map(|row| row.get_ref().clone()).collect();
        Bands::read(&plain).map_err(|(no, why)| {
            let why = format!("band {no}: {why}");
            match rows.get(no - 1) {
                Some(row) => source.fault(row, why),
                None => source.fault(&raw.key, why),
            }
        })
    };
    let values = match &raw.by {
        None => match raw.bands.get("all") {
            Some(rows) if raw.bands.len() == 1 => By {
                choice: None,
                values: BTreeMap::from([(String::new(), read(rows)?)]),
            },
            _ => return Err(source.fault(&raw.key, "its bands stand under 'all'")),
        },
        Some(by) => by_choice(by, source, sheet, &raw.key, |word| {
            raw.bands.get(word).map(read)
        })?,
    };
    published(
        &raw.key,
        raw.label,
        values,
        [raw.source, raw.read, raw.checked],
        source,
    )
}

fn by_choice<T>(
    by: &toml::Spanned<String>,
    source: &Source<'_>,
    sheet: &Worksheet,
    key: &toml::Spanned<String>,
    of: impl Fn(&str) -> Option<Result<T, FileFault>>,
) -> Result<By<T>, FileFault> {
    let Some(AnswerKind::Choice(choices)) = sheet.choice(by.get_ref()).map(|one| &one.kind) else {
        let why = format!("the worksheet asks for no choice '{}'", by.get_ref());
        return Err(source.fault(by, why));
    };
    let mut values = BTreeMap::new();
    for choice in choices {
        let value = of(&choice.key).ok_or_else(|| {
            source.fault(
                key,
                format!("'{}' has no value for {}", key.get_ref(), choice.key),
            )
        })??;
        values.insert(choice.key.clone(), value);
    }
    Ok(By {
        choice: Some(by.get_ref().clone()),
        values,
    })
}

fn published<T>(
    key: &toml::Spanned<String>,
    label: String,
    value: By<T>,
    [from, read, checked]: [String; 3],
    source: &Source<'_>,
) -> Result<Published<T>, FileFault> {
    if !is_name(key.get_ref()) || label.trim().is_empty() {
        let why = format!("'{}' is not a name, or it has no label", key.get_ref());
        return Err(source.fault(key, why));
    }
    let checked = sourced(&from, &checked)
        .map_err(|why| source.fault(key, format!("'{}': {why}", key.get_ref())))?;
    Ok(Published {
        key: key.get_ref().clone(),
        label,
        value,
        source: from,
        read,
        checked,
    })
}
