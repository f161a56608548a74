//! How long records are kept: a rule of a place, as published, and the days that follow from it for years and equipment.
//! Which place a book is in, and what it holds, is `reports`' business.

use chrono::{Datelike, NaiveDate};
use serde::Deserialize;

use crate::dates::{DateRange, Month, parse_iso};

/// The caution beside every day until which something is kept.
pub const KEEPING_CAUTION: &str = "Counted by a published rule from the day a return is due. Filed later, claimed back, \
     left open or looked into, a year is kept longer, and a state, a county, an insurer or a lender may ask for more. \
     Confirm with local rules and a licensed professional before anything is thrown away.";

/// The rules, as published.
const FILE: &str = include_str!("../assets/rules/keep-records.toml");

/// How long a place asks records to be kept.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeepRule {
    /// The place's name, as methods of set-aside begin with.
    pub name: String,
    /// What people read.
    pub title: String,
    /// The currency of its books.
    pub currency: String,
    /// The month and day on which its tax year ends, as `04-05`; the book's own year without it.
    #[serde(default)]
    pub tax_year_ends: Option<String>,
    /// A return is due in the so manieth month after the tax year ends.
    pub due_months: i32,
    /// On this day of that month.
    pub due_day: u32,
    /// Records are kept for so many years from then.
    pub years: i32,
    /// From when it is counted, in words.
    pub counted_from: String,
    /// When it is longer, in words.
    pub longer: Vec<String>,
    /// How it is with equipment, in words.
    pub property: String,
    /// Where that is published.
    pub property_source: String,
    /// Where the rule is published.
    pub source: String,
    /// The day it was checked.
    pub checked: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RulesFile {
    place: Vec<KeepRule>,
}

/// The rule of the place whose worksheet a book uses, or else of its currency; none where no rule is known.
#[must_use]
pub fn keep_rule(method: &str, currency: &str) -> Option<KeepRule> {
    let file: RulesFile = toml::from_str(FILE).ok()?;
    let place = method.split('-').next().unwrap_or_default();
    let mut rules = file.place;
    let found = rules
        .iter()
        .position(|rule| rule.name == place)
        .or_else(|| rules.iter().position(|rule| rule.currency == currency))?;
    Some(rules.swap_remove(found))
}

impl KeepRule {
    /// The last day of the tax year to which a financial year belongs: its own, or the one in which it ends.
    #[must_use]
    pub fn tax_year_end(&self, year: DateRange) -> NaiveDate {
        let Some(ends) = &self.tax_year_ends else {
            return year.to;
        };
        let in_year = |year: i32| parse_iso(&format!("{year:04}-{ends}")).ok();
        let this = in_year(year.to.year());
        match this {
            Some(day) if day >= year.to => day,
            _ => in_year(year.to.year() + 1).unwrap_or(year.to),
        }
    }

    /// The day the return of a financial year is due, weekends and holidays left out of account.
    #[must_use]
    pub fn return_due(&self, year: DateRange) -> NaiveDate {
        let month = Month::of(self.tax_year_end(year)).plus(self.due_months);
        let last = month.last_day();
        last.with_day(self.due_day.min(last.day())).unwrap_or(last)
    }

    /// The day until which the records of a financial year are kept at least.
    #[must_use]
    pub fn keep_until(&self, year: DateRange) -> NaiveDate {
        let due = self.return_due(year);
        crate::dates::add_months(due, self.years * 12)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::YearStart;

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    /// IRS Topic no. 305: three years from filing, a return filed early counting as filed on the day it is due, 15 April.
    #[test]
    fn the_united_states_keep_three_years_from_the_day_the_return_is_due() {
        let rule = keep_rule("us-2026", "USD").expect("a rule");
        let year = YearStart::default().year_ending_in(2026);
        assert_eq!(rule.return_due(year), day("2027-04-15"));
        assert_eq!(rule.keep_until(year), day("2030-04-15"));
        assert_eq!(keep_rule("percent", "USD"), Some(rule));
    }

    /// GOV.UK gives the example of the tax year 2013 to 2014: sent by 31 January 2015, kept until the end of January 2020.
    #[test]
    fn the_united_kingdom_keeps_five_years_from_the_january_after() {
        let rule = keep_rule("percent", "GBP").expect("a rule");
        let april = YearStart::new(4).expect("April").year_ending_in(2014);
        assert_eq!(rule.tax_year_end(april), day("2014-04-05"));
        assert_eq!(rule.return_due(april), day("2015-01-31"));
        assert_eq!(rule.keep_until(april), day("2020-01-31"));
        // A year that ends in December lies in the tax year that ends in the April after.
        let calendar = YearStart::default().year_ending_in(2026);
        assert_eq!(rule.keep_until(calendar), day("2033-01-31"));
    }

    #[test]
    fn every_rule_has_its_source_and_a_place_without_one_has_none() {
        let file: RulesFile = toml::from_str(FILE).expect("the file reads");
        for rule in &file.place {
            assert!(!rule.source.is_empty() && !rule.property_source.is_empty());
            assert!(parse_iso(&rule.checked).is_ok(), "{}", rule.name);
        }
        assert_eq!(keep_rule("percent", "CHF"), None);
    }
}
