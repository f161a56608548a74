//! Yearly limits kept as data: from how much a helper's payments are reported, how much of a gift counts.
//! Who was paid and given what is the book's.

use serde::Deserialize;

use crate::money::{Currency, Money};

const US: &str = include_str!("../../assets/rules/reporting-us.toml");

/// A limit of a year, with the law it is from and the day it was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// The amount, in minor units.
    pub amount: Money,
    /// Where it is written.
    pub source: String,
    /// When that was looked up.
    pub checked: String,
}

#[derive(Deserialize)]
struct File {
    checked: String,
    helper_report: Vec<HelperReport>,
    helper_left_out: LeftOut,
    gift: Vec<Gift>,
}

#[derive(Deserialize)]
struct HelperReport {
    years: Vec<i32>,
    from: i64,
    source: String,
}

#[derive(Deserialize)]
struct LeftOut {
    ways: Vec<String>,
    source: String,
}

#[derive(Deserialize)]
struct Gift {
    years: Vec<i32>,
    each: i64,
    source: String,
}

/// The limits of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limits {
    helper: Vec<(Vec<i32>, i64, String)>,
    gift: Vec<(Vec<i32>, i64, String)>,
    checked: String,
    /// Ways of payment that are not counted towards a helper's report.
    pub left_out: Vec<String>,
    /// Where that is written.
    pub left_out_source: String,
}

impl Limits {
    /// The federal limits of the United States, the only ones that are kept so far.
    ///
    /// # Errors
    /// When the file that came with the program cannot be read, which a test rules out.
    pub fn united_states() -> Result<Self, String> {
        let file: File = toml::from_str(US).map_err(|error| error.to_string())?;
        Ok(Self {
            helper: file
                .helper_report
                .into_iter()
                .map(|one| (one.years, one.from, one.source))
                .collect(),
            gift: file
                .gift
                .into_iter()
                .map(|one| (one.years, one.each, one.source))
                .collect(),
            checked: file.checked,
            left_out: file.helper_left_out.ways,
            left_out_source: file.helper_left_out.source,
        })
    }

    fn find(
        &self,
        list: &[(Vec<i32>, i64, String)],
        year: i32,
        currency: &Currency,
    ) -> Option<Limit> {
        // The limits are amounts of dollars; another currency has none here.
        if currency.code() != "USD" {
            return None;
        }
        let (_, amount, source) = list.iter().find(|(years, ..)| years.contains(&year))?;
        Some(Limit {
            amount: currency.exact((*amount).into(), &amount.to_string()).ok()?,
            source: source.clone(),
            checked: self.checked.clone(),
        })
    }

    /// From how much on the payments of a calendar year to one helper are reported; nothing when the year is not kept.
    #[must_use]
    pub fn helper_report(&self, year: i32, currency: &Currency) -> Option<Limit> {
        self.find(&self.helper, year, currency)
    }

    /// How much of the gifts of a calendar year to one person counts; nothing when the year is not kept.
    #[must_use]
    pub fn gift(&self, year: i32, currency: &Currency) -> Option<Limit> {
        self.find(&self.gift, year, currency)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 26 U.S.C. 6041(a) before and after Pub. L. 119-21, sec. 70433; 26 U.S.C. 274(b)(1).
    #[test]
    fn the_limits_are_those_of_the_law_and_a_year_without_one_has_none() {
        let limits = Limits::united_states().expect("readable");
        let dollars = Currency::from_code("USD").expect("a currency");
        let helper = |year| {
            limits
                .helper_report(year, &dollars)
                .map(|it| it.amount.minor())
        };
        assert_eq!(helper(2025), Some(60_000));
        assert_eq!(helper(2026), Some(200_000));
        assert_eq!(helper(2027), None);
        let pounds = Currency::from_code("GBP").expect("a currency");
        assert_eq!(limits.helper_report(2026, &pounds), None);
        assert_eq!(limits.gift(2026, &pounds), None);
        let gift = limits.gift(2026, &dollars).expect("kept");
        assert_eq!(gift.amount.minor(), 2_500);
        assert!(gift.source.contains("274(b)"));
        assert!(!gift.checked.is_empty());
    }
}
