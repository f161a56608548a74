//! How long the records of a book are kept, year by year and piece by piece, and the list of things that are there.
//! The rules are `keeping`'s, the list is `statements`'.

use chrono::{Datelike, NaiveDate};

use super::{ReportError, small_things_by};
use crate::book::{Book, BookError};
use crate::dates::DateRange;
use crate::keeping::{KeepRule, keep_rule};
use crate::statements::{ListedThing, things_list};

/// A financial year and how long its records are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptYear {
    /// The calendar year in which it ends.
    pub year: i32,
    /// Its days.
    pub range: DateRange,
    /// The day its return is due.
    pub return_due: NaiveDate,
    /// The day until which its records are kept at least.
    pub until: NaiveDate,
}

/// A piece of equipment and how long its papers are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPiece {
    /// Its key in the register.
    pub key: String,
    /// Its name.
    pub name: String,
    /// The day it went, once it has.
    pub gone_on: Option<NaiveDate>,
    /// The day until which its papers are kept at least; none while it is there.
    pub until: Option<NaiveDate>,
}

/// How long the records of a book are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeepReport {
    /// The rule of the book's place.
    pub rule: KeepRule,
    /// The financial years with entries, the oldest first.
    pub years: Vec<KeptYear>,
    /// The register.
    pub equipment: Vec<KeptPiece>,
}

/// The rule of the place a book is in: that of its set-aside worksheet, or else of its currency.
#[must_use]
pub fn keep_rule_of(book: &Book) -> Option<KeepRule> {
    let method = book.settings().get("set_aside.method").unwrap_or_default();
    keep_rule(method, book.currency().code())
}

/// How long a financial year's records are kept by a rule.
#[must_use]
pub fn kept_year(book: &Book, rule: &KeepRule, year: i32) -> KeptYear {
    let range = book.year_start().year_ending_in(year);
    KeptYear {
        year,
        range,
        return_due: rule.return_due(range),
        until: rule.keep_until(range),
    }
}

/// How long the records are kept; nothing where no rule is known for the book's place.
///
/// # Errors
/// When the book cannot be read.
pub fn keep_until(book: &Book, today: NaiveDate) -> Result<Option<KeepReport>, BookError> {
    let Some(rule) = keep_rule_of(book) else {
        return Ok(None);
    };
    let years = book.year_start();
    let covered = book.days_covered()?;
    let first = years.year_of(covered.map_or(today, |covered| covered.from));
    let last = years.year_of(covered.map_or(today, |covered| covered.to));
    let equipment = book.equipment()?;
    let pieces = equipment.into_iter().map(|piece| {
        let gone_on = piece.disposal.as_ref().map(|gone| gone.on);
        KeptPiece {
            until: gone_on.map(|day| rule.keep_until(years.containing(day))),
            key: piece.key,
            name: piece.name,
            gone_on,
        }
    });
    Ok(Some(KeepReport {
        equipment: pieces.collect(),
        years: (first..=last)
            .map(|year| kept_year(book, &rule, year))
            .collect(),
        rule,
    }))
}

/// The things that are there on a day, for an insurer or a county.
///
/// # Errors
/// When the book cannot be read.
pub fn things(book: &Book, as_of: NaiveDate) -> Result<Vec<ListedThing>, ReportError> {
    Ok(things_list(
        &book.equipment()?,
        &small_things_by(book, as_of)?,
        as_of,
    ))
}

/// The day such a list is usually asked for: the last 1 January.
#[must_use]
pub fn usual_list_day(today: NaiveDate) -> NaiveDate {
    NaiveDate::from_ymd_opt(today.year(), 1, 1).unwrap_or(today)
}
