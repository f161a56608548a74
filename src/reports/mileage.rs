//! A year of trips with what the book knows besides: fairs whose miles are no trip yet, what is posted already.
//! What trips come to is `crate::mileage`'s.

use chrono::NaiveDate;

use super::{ReportError, adjusting_tag};
use crate::book::{Book, BookError};
use crate::ledger::Role;
use crate::matters::{MatterKind, StepKind};
use crate::mileage::{Distance, MileageRates, MileageYear, Reading};
use crate::money::Money;

/// Miles told with a fair that stand in no trip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairMiles {
    /// The fair.
    pub fair: String,
    /// Its day.
    pub date: NaiveDate,
    /// Where.
    pub place: String,
    /// How far.
    pub distance: Distance,
}

/// What is known of the vehicle.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Vehicle {
    /// Which it is; may be empty.
    pub name: String,
    /// Since when it is driven for the business.
    pub in_service_on: Option<NaiveDate>,
    /// Whether another is there for private driving.
    pub has_other: Option<bool>,
}

/// A year of trips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MileageReport {
    /// The year by its last day's number.
    pub ending: i32,
    /// What the trips come to.
    pub year: MileageYear,
    /// The rates they are counted with.
    pub rates: MileageRates,
    /// Every reading of the odometer.
    pub readings: Vec<Reading>,
    /// What is known of the vehicle.
    pub vehicle: Vehicle,
    /// Whether the car's real costs are booked instead, so that nothing is posted by rate.
    pub is_actual: bool,
    /// Fairs whose miles are no trip yet; they are not counted.
    pub fairs: Vec<FairMiles>,
    /// What of it is posted.
    pub posted: Money,
    /// What the set-aside estimate was told of business miles, which it takes off besides; empty where it was told none.
    pub told_estimate: String,
}

impl MileageReport {
    /// What is still to be posted; below nothing where too much was.
    #[must_use]
    pub fn to_post(&self) -> Money {
        let wanted = if self.is_actual {
            Money::ZERO
        } else {
            self.year.amount
        };
        wanted - self.posted
    }

    /// Whether anything at all is known of driving.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.year.trips.is_empty()
            && self.fairs.is_empty()
            && self.posted.is_zero()
            && self.readings.is_empty()
    }
}

/// The trips of the financial year that ends in a calendar year.
///
/// # Errors
/// When the book cannot be read.
pub fn mileage(book: &Book, ending: i32) -> Result<MileageReport, ReportError> {
    let range = book.year_start().year_ending_in(ending);
    let rates = book.mileage_rates()?;
    let readings = book.odometer()?;
    let trips = book.trips(Some(range))?;
    let settings = book.settings();
    let text = |key: &str| settings.get(key).unwrap_or_default();
    let vehicle = Vehicle {
        name: text("mileage.vehicle").to_owned(),
        in_service_on: text("mileage.in_service_on").parse().ok(),
        has_other: match text("mileage.other_vehicle") {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
    };
    let travel = book.chart().role(Role::Travel)?;
    let posted = book.posted_with_tag(&adjusting_tag("mileage", ending), travel)?;
    let mut fairs = fairs_without_trip(book)?;
    fairs.retain(|fair| range.contains(fair.date));
    Ok(MileageReport {
        ending,
        year: MileageYear::of(range, trips, &readings, &rates, book.currency()),
        is_actual: settings.get("mileage.method") == Some("actual"),
        rates,
        readings,
        vehicle,
        fairs,
        posted,
        told_estimate: told_estimate(book, "business_miles"),
    })
}

/// Fairs that were driven to and whose miles stand in no trip, the oldest first.
///
/// # Errors
/// When the book cannot be read.
pub fn fairs_without_trip(book: &Book) -> Result<Vec<FairMiles>, BookError> {
    let trips = book.trips(None)?;
    let unit = book.mileage_rates()?.unit;
    let matters = book.matters()?;
    let held = matters
        .of_kind(MatterKind::Fair)
        .flat_map(|fair| fair.of(StepKind::Held));
    let mut list = Vec::new();
    for step in held {
        let is_taken = trips
            .iter()
            .any(|trip| trip.fair.to_lowercase() == step.key.to_lowercase());
        let distance = Distance::read(step.answer("miles"), unit);
        if let (false, Ok(distance)) = (is_taken, distance)
            && distance.hundredths > 0
        {
            list.push(FairMiles {
                fair: step.key.clone(),
                date: step.on,
                place: step.party.clone(),
                distance,
            });
        }
    }
    list.sort_by(|one, other| (one.date, &one.fair).cmp(&(other.date, &other.fair)));
    Ok(list)
}

/// An answer of the set-aside worksheet that is more than nothing; else empty.
pub(super) fn told_estimate(book: &Book, answer: &str) -> String {
    let answers = book.settings().set_aside_answers();
    let told = answers.get(answer).map(|text| text.trim().to_owned());
    let is_some = |text: &String| {
        text.parse::<rust_decimal::Decimal>()
            .is_ok_and(|it| !it.is_zero())
    };
    told.filter(is_some).unwrap_or_default()
}
