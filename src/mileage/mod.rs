//! Trips driven for the business with the owner's own car, and what a year of them comes to.
//! Keeping them is the book's business; nothing here is posted by itself.

mod rates;
mod year;

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::dates::show_day;

pub use rates::{MileRate, MileageRates, mileage_files};
pub use year::{MileageYear, OdometerShare, PeriodMiles};

/// From so many days after a trip on, it was not written down near the time.
pub const LATE_AFTER_DAYS: i64 = 14;

/// What must be said beside the log.
pub const MILEAGE_CAUTION: &str = "A log counts when it is kept near the time and says when, how far, where and what for. Whether a rate or the car's real \
     costs count, and which trips are for the business, depends on local rules. Confirm with them and a licensed professional.";

/// What distances are measured in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum DistanceUnit {
    /// International miles.
    #[default]
    Miles,
    /// Kilometres.
    Kilometres,
}

impl DistanceUnit {
    /// Both, as sheets write them and as people read them.
    pub const ALL: [(Self, &'static str); 2] = [(Self::Miles, "mi"), (Self::Kilometres, "km")];

    /// The word used in sheets, JSON and the book file.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Miles => "mi",
            Self::Kilometres => "km",
        }
    }

    /// What people read.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::Miles => "miles",
            Self::Kilometres => "kilometres",
        }
    }

    /// One of them only.
    #[must_use]
    pub const fn one(self) -> &'static str {
        match self {
            Self::Miles => "mile",
            Self::Kilometres => "kilometre",
        }
    }
}

impl fmt::Display for DistanceUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for DistanceUnit {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "mi" => Ok(Self::Miles),
            "km" => Ok(Self::Kilometres),
            other => Err(format!("'{other}' is neither mi nor km")),
        }
    }
}

/// A distance, in hundredths of its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Distance {
    /// How many hundredths.
    pub hundredths: i64,
    /// Of what.
    pub unit: DistanceUnit,
}

/// No trip is longer, and no odometer shows more.
const MOST_HUNDREDTHS: i64 = 1_000_000_000;

impl Distance {
    /// Reads a distance as it is typed: `12`, `12.5`, `1,250`.
    ///
    /// # Errors
    /// When it is no number of nothing or more, has more than two decimals, or is too large.
    pub fn read(text: &str, unit: DistanceUnit) -> Result<Self, MileageError> {
        let refused = || MileageError::NotADistance(text.trim().to_owned());
        let digits = text.trim().replace([' ', '_'], "");
        let value: Decimal = grouped(&digits)
            .parse()
            .map_err(|_not_a_number| refused())?;
        let hundredths = value * Decimal::ONE_HUNDRED;
        if value.is_sign_negative() || !hundredths.fract().is_zero() {
            return Err(refused());
        }
        let hundredths = i64::try_from(hundredths).map_err(|_too_large| refused())?;
        if hundredths > MOST_HUNDREDTHS {
            return Err(refused());
        }
        Ok(Self { hundredths, unit })
    }

    /// The number in its own unit.
    #[must_use]
    pub fn number(self) -> Decimal {
        Decimal::new(self.hundredths, 2).normalize()
    }

    /// The number in another unit, exact: an international mile is 1.609344 km.
    #[must_use]
    pub fn in_unit(self, unit: DistanceUnit) -> Decimal {
        let mile = Decimal::new(1_609_344, 6);
        match (self.unit, unit) {
            (DistanceUnit::Miles, DistanceUnit::Kilometres) => self.number() * mile,
            (DistanceUnit::Kilometres, DistanceUnit::Miles) => self.number() / mile,
            _ => self.number(),
        }
    }
}

impl fmt::Display for Distance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.unit)
    }
}

/// A comma before three digits groups thousands, before fewer it is the decimal sign.
fn grouped(digits: &str) -> String {
    let is_group = digits.rsplit_once(',').is_some_and(|(_, last)| {
        digits.contains('.') || last.chars().take_while(char::is_ascii_digit).count() == 3
    });
    if is_group {
        digits.replace(',', "")
    } else {
        digits.replace(',', ".")
    }
}

/// A trip for the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trip {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// When.
    pub date: NaiveDate,
    /// From where; may be empty.
    pub from: String,
    /// Where to; may be empty.
    pub to: String,
    /// What for.
    pub purpose: String,
    /// How far, there and back if both were driven.
    pub distance: Distance,
    /// The fair it was for, by its name; may be empty. Such a trip takes the place of the miles told with the fair.
    pub fair: String,
    /// The day it was written down, which shows that the log was kept near the time.
    pub entered_on: NaiveDate,
}

impl Trip {
    /// Refuses what cannot be.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), MileageError> {
        if self.purpose.trim().is_empty() {
            return Err(MileageError::NoPurpose);
        }
        if self.distance.hundredths <= 0 {
            return Err(MileageError::NoDistance);
        }
        if self.date > self.entered_on {
            return Err(MileageError::Later(self.entered_on));
        }
        Ok(())
    }

    /// How many days after the trip it was written down, when that was too late to be near the time.
    #[must_use]
    pub fn late_by(&self) -> Option<i64> {
        let days = (self.entered_on - self.date).num_days();
        (days > LATE_AFTER_DAYS).then_some(days)
    }

    /// Where it went, in words: `Home to Alder Market`.
    #[must_use]
    pub fn way(&self) -> String {
        match (self.from.trim(), self.to.trim()) {
            ("", "") => String::new(),
            ("", to) => format!("to {to}"),
            (from, "") => format!("from {from}"),
            (from, to) => format!("{from} to {to}"),
        }
    }
}

/// What the odometer showed in the morning of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Its number in the book; 0 before it is there.
    pub id: i64,
    /// The day.
    pub date: NaiveDate,
    /// What it showed.
    pub shows: Distance,
}

impl Reading {
    /// Refuses a reading that goes backwards beside the others.
    ///
    /// # Errors
    /// The reading that it does not fit.
    pub fn check_beside(&self, others: &[Self]) -> Result<(), MileageError> {
        let here = self.shows.in_unit(DistanceUnit::Miles);
        for other in others.iter().filter(|other| other.id != self.id) {
            let there = other.shows.in_unit(DistanceUnit::Miles);
            let is_backwards = (other.date < self.date && there > here)
                || (other.date > self.date && there < here);
            if is_backwards {
                return Err(MileageError::Backwards(other.date, other.shows));
            }
        }
        Ok(())
    }
}

/// Why a trip or a reading was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MileageError {
    /// It does not say what for.
    #[error("say what the trip was for")]
    NoPurpose,
    /// It has no length.
    #[error("say how far it was")]
    NoDistance,
    /// It is written down before it was driven.
    #[error("it was written down on {}, and cannot be later than that", show_day(*.0))]
    Later(NaiveDate),
    /// The distance cannot be read.
    #[error("'{0}' is no distance; write 12 or 12.5")]
    NotADistance(String),
    /// The odometer would have gone backwards.
    #[error("the odometer showed {1} on {day}", day = show_day(*.0))]
    Backwards(NaiveDate, Distance),
}

impl MileageError {
    /// The column of the sheet, and the field on the page, that it is about.
    #[must_use]
    pub const fn field(&self) -> &'static str {
        match self {
            Self::NoPurpose => "purpose",
            Self::NoDistance | Self::NotADistance(_) => "distance",
            Self::Later(_) => "date",
            Self::Backwards(..) => "odometer",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;

    #[test]
    fn distances_are_read_as_people_write_them() {
        let read = |text: &str| Distance::read(text, DistanceUnit::Miles).map(|one| one.hundredths);
        assert_eq!(read("12"), Ok(1200));
        assert_eq!(read(" 12.5 "), Ok(1250));
        assert_eq!(read("12,5"), Ok(1250));
        assert_eq!(read("1,234"), Ok(123_400));
        assert_eq!(read("1,234.5"), Ok(123_450));
        for text in ["", "far", "-3", "1.234.5", "0.005"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    /// One international mile is 1.609344 km (international yard and pound agreement, 1959): 160.9344 km are 100 miles.
    #[test]
    fn kilometres_are_miles_exactly() {
        let hundred = Distance {
            hundredths: 10_000,
            unit: DistanceUnit::Miles,
        };
        assert_eq!(
            hundred.in_unit(DistanceUnit::Kilometres),
            "160.9344".parse().expect("a number")
        );
        let km = Distance {
            hundredths: 16_093,
            unit: DistanceUnit::Kilometres,
        };
        assert_eq!(
            km.in_unit(DistanceUnit::Miles).round_dp(2),
            "100".parse::<Decimal>().expect("a number").round_dp(2)
        );
    }

    #[test]
    fn an_odometer_does_not_go_backwards() {
        let day = |text: &str| parse_iso(text).expect("a day");
        let at = |id, date: &str, miles: i64| Reading {
            id,
            date: day(date),
            shows: Distance {
                hundredths: miles * 100,
                unit: DistanceUnit::Miles,
            },
        };
        let first = at(1, "2026-01-01", 41_000);
        assert_eq!(at(0, "2026-12-31", 47_000).check_beside(&[first]), Ok(()));
        let refused = at(0, "2026-12-31", 40_000)
            .check_beside(&[first])
            .expect_err("backwards");
        assert_eq!(
            refused.to_string(),
            "the odometer showed 41000 mi on 1 Jan 2026"
        );
        assert!(at(0, "2025-12-31", 42_000).check_beside(&[first]).is_err());
    }
}
