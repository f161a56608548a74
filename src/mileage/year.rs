//! What a year of trips comes to: by rate, with the share of all driving and what was written down late.
//! Posting it is proposed elsewhere.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{MileRate, MileageRates, Reading, Trip};
use crate::dates::DateRange;
use crate::money::{Currency, Money};

/// The business distance of the days on which one rate holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PeriodMiles {
    /// The first and the last day, within the year.
    pub days: DateRange,
    /// How far, in the unit of the rates.
    pub distance: Decimal,
    /// What each counts for, in whole units of the currency; nothing where no rate is known.
    pub each: Option<Decimal>,
    /// So much of it counts for so much each, being above a limit of the year.
    pub above: Option<(Decimal, Decimal)>,
    /// What it comes to, rounded once.
    pub amount: Money,
    /// Where the rate is published; empty for the owner's own.
    pub source: String,
    /// How it was read there.
    pub read: String,
    /// The day it was looked up.
    pub checked: Option<NaiveDate>,
}

/// The share of business driving between two readings of the odometer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OdometerShare {
    /// The day of the first reading.
    pub from: NaiveDate,
    /// The day of the last one.
    pub to: NaiveDate,
    /// All that was driven between them, in the unit of the rates.
    pub all: Decimal,
    /// What of it was for the business.
    pub business: Decimal,
}

impl OdometerShare {
    /// The share in per cent, to one decimal.
    #[must_use]
    pub fn percent(&self) -> Decimal {
        (self.business * Decimal::ONE_HUNDRED / self.all).round_dp(1)
    }
}

/// A year of trips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MileageYear {
    /// Its days.
    pub range: DateRange,
    /// The trips, by day.
    pub trips: Vec<Trip>,
    /// How far by rate.
    pub periods: Vec<PeriodMiles>,
    /// How far in all, in the unit of the rates.
    pub distance: Decimal,
    /// What it comes to.
    pub amount: Money,
    /// The share of all driving, where the odometer was read twice.
    pub share: Option<OdometerShare>,
}

impl MileageYear {
    /// What the trips of a year come to.
    #[must_use]
    pub fn of(
        range: DateRange,
        mut trips: Vec<Trip>,
        readings: &[Reading],
        rates: &MileageRates,
        currency: &Currency,
    ) -> Self {
        trips.retain(|trip| range.contains(trip.date));
        trips.sort_by_key(|trip| (trip.date, trip.id));
        let far = |days: DateRange| -> Decimal {
            let within = trips.iter().filter(|trip| days.contains(trip.date));
            within.map(|trip| trip.distance.in_unit(rates.unit)).sum()
        };
        let distance = far(range);
        let share = share_of(range, readings, rates, far);
        let mut so_far = Decimal::ZERO;
        let mut periods = Vec::new();
        for (days, rate) in stretches(range, rates) {
            let driven = far(days);
            if driven.is_zero() {
                continue;
            }
            periods.push(period(days, driven, so_far, (rate, rates.own), currency));
            so_far += driven;
        }
        Self {
            range,
            distance,
            amount: periods.iter().map(|one| one.amount).sum(),
            periods,
            share,
            trips,
        }
    }

    /// The trips that were not written down near the time.
    pub fn late(&self) -> impl Iterator<Item = &Trip> {
        self.trips.iter().filter(|trip| trip.late_by().is_some())
    }

    /// How far was driven on days for which no rate is known.
    #[must_use]
    pub fn without_rate(&self) -> Decimal {
        let unknown = self.periods.iter().filter(|one| one.each.is_none());
        unknown.map(|one| one.distance).sum()
    }
}

/// The stretches of a range on which one rate, or none, holds.
fn stretches(range: DateRange, rates: &MileageRates) -> Vec<(DateRange, Option<&MileRate>)> {
    if rates.own.is_some() {
        return vec![(range, None)];
    }
    let mut all = Vec::new();
    let mut from = range.from;
    while from <= range.to {
        let rate = rates.on(from);
        let ends = match rate {
            Some(rate) => rate.through,
            None => {
                let next = rates
                    .rates
                    .iter()
                    .map(|one| one.from)
                    .filter(|day| *day > from);
                next.min()
                    .and_then(|day| day.pred_opt())
                    .unwrap_or(range.to)
            }
        };
        let to = ends.min(range.to);
        all.push((DateRange { from, to }, rate));
        let Some(next) = to.succ_opt() else { break };
        from = next;
    }
    all
}

fn period(
    days: DateRange,
    driven: Decimal,
    so_far: Decimal,
    (rate, own): (Option<&MileRate>, Option<Decimal>),
    currency: &Currency,
) -> PeriodMiles {
    let each = own.or_else(|| rate.map(|rate| rate.each));
    let limit = rate.and_then(|rate| rate.above).filter(|_| own.is_none());
    let above = limit.map(|(first, then)| {
        let over = (so_far + driven - first.max(so_far)).max(Decimal::ZERO);
        (over.min(driven), then)
    });
    let above = above.filter(|(over, _)| !over.is_zero());
    let (over, then) = above.unwrap_or_default();
    let major = each.map_or(Decimal::ZERO, |each| (driven - over) * each + over * then);
    let minor = major * Decimal::from(10_i64.pow(currency.decimals()));
    PeriodMiles {
        days,
        distance: driven,
        each,
        above,
        amount: Money::rounded_minor(minor),
        source: rate.map(|rate| rate.source.clone()).unwrap_or_default(),
        read: rate.map(|rate| rate.read.clone()).unwrap_or_default(),
        checked: rate.map(|rate| rate.checked),
    }
}

/// The share between the first and the last reading of a year; one on the morning after it counts as its last.
fn share_of(
    range: DateRange,
    readings: &[Reading],
    rates: &MileageRates,
    far: impl Fn(DateRange) -> Decimal,
) -> Option<OdometerShare> {
    let after = range.to.succ_opt()?;
    let within = readings
        .iter()
        .filter(|reading| range.from <= reading.date && reading.date <= after);
    let first = within.clone().min_by_key(|reading| reading.date)?;
    let last = within.max_by_key(|reading| reading.date)?;
    let all = last.shows.in_unit(rates.unit) - first.shows.in_unit(rates.unit);
    let days = DateRange::new(first.date, last.date.min(range.to))?;
    (all > Decimal::ZERO).then(|| OdometerShare {
        from: first.date,
        to: last.date,
        all,
        business: far(days),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::parse_iso;
    use crate::mileage::{Distance, DistanceUnit, mileage_files};

    fn day(text: &str) -> NaiveDate {
        parse_iso(text).expect("a day")
    }

    fn trip(date: &str, miles: i64) -> Trip {
        Trip {
            id: 0,
            date: day(date),
            from: String::new(),
            to: String::new(),
            purpose: "fair".to_owned(),
            distance: Distance {
                hundredths: miles * 100,
                unit: DistanceUnit::Miles,
            },
            fair: String::new(),
            entered_on: day(date),
        }
    }

    fn year(code: &str, from: &str, to: &str, trips: &[Trip]) -> MileageYear {
        let currency = Currency::from_code(code).expect("a currency");
        let rates = MileageRates::for_currency(&currency).expect("rates");
        let range = DateRange::new(day(from), day(to)).expect("a range");
        MileageYear::of(range, trips.to_vec(), &[], &rates, &currency)
    }

    #[test]
    fn every_file_is_whole() {
        for (name, text) in mileage_files() {
            MileageRates::read(name, text).expect("the file is whole");
        }
    }

    /// IRS Notice 2022-3 and Announcement 2022-13: 58.5 cents to 30 June 2022, 62.5 from 1 July. Worked by hand.
    #[test]
    fn a_rate_that_changes_within_a_year_counts_from_its_day() {
        let trips = [trip("2022-05-10", 1000), trip("2022-08-10", 1000)];
        let year = year("USD", "2022-01-01", "2022-12-31", &trips);
        let amounts: Vec<i64> = year.periods.iter().map(|one| one.amount.minor()).collect();
        assert_eq!(amounts, [58_500, 62_500]);
        assert_eq!(year.amount.minor(), 121_000);
    }

    /// IRS Notices 2025-5 and 2026-10: 70 and 72.5 cents. Worked by hand.
    #[test]
    fn the_day_of_the_trip_decides() {
        let one = year(
            "USD",
            "2026-01-01",
            "2026-12-31",
            &[trip("2026-03-01", 1234)],
        );
        assert_eq!(one.amount.minor(), 89_465);
        let turn = [trip("2025-12-31", 100), trip("2026-01-01", 100)];
        let both = year("USD", "2025-07-01", "2026-06-30", &turn);
        let amounts: Vec<i64> = both.periods.iter().map(|one| one.amount.minor()).collect();
        assert_eq!(amounts, [7_000, 7_250]);
        assert_eq!(both.amount.minor(), 14_250);
        let unknown = year("USD", "2027-01-01", "2027-12-31", &[trip("2027-03-01", 10)]);
        assert_eq!(unknown.amount, Money::ZERO);
        assert_eq!(unknown.without_rate(), Decimal::TEN);
    }

    /// GOV.UK, Simplified expenses, Vehicles, its example: 11,000 miles are 4,500 + 250 = 4,750.
    #[test]
    fn above_the_limit_of_a_year_another_rate_counts() {
        let trips = [trip("2025-05-01", 6_000), trip("2025-11-01", 5_000)];
        let year = year("GBP", "2025-04-06", "2026-04-05", &trips);
        assert_eq!(year.amount.minor(), 475_000);
        assert_eq!(
            year.periods.first().and_then(|one| one.above),
            Some((1000.into(), Decimal::new(25, 2)))
        );
    }

    #[test]
    fn the_share_lies_between_two_readings() {
        let currency = Currency::from_code("USD").expect("a currency");
        let rates = MileageRates::for_currency(&currency).expect("rates");
        let at = |date: &str, miles: i64| Reading {
            id: 0,
            date: day(date),
            shows: Distance {
                hundredths: miles * 100,
                unit: DistanceUnit::Miles,
            },
        };
        let readings = [at("2026-01-01", 41_000), at("2027-01-01", 47_000)];
        let range = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a range");
        let trips = vec![trip("2026-02-01", 900), trip("2026-12-31", 300)];
        let share = MileageYear::of(range, trips, &readings, &rates, &currency)
            .share
            .expect("a share");
        // 1,200 of 6,000 miles.
        assert_eq!(share.percent(), Decimal::from(20));
    }

    #[test]
    fn what_is_written_down_later_than_two_weeks_is_late() {
        let mut one = trip("2026-03-01", 10);
        one.entered_on = day("2026-03-15");
        assert_eq!(one.late_by(), None);
        one.entered_on = day("2026-03-16");
        assert_eq!(one.late_by(), Some(15));
    }
}
