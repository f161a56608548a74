//! Trips and the workspace at home as JSON.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

use super::Period;
use crate::export::tables::{mileage_words, workspace_words};
use crate::mileage::Trip;
use crate::money::Currency;
use crate::reports::{MileageReport, WorkspaceReport};
use crate::workspace::Space;

fn plain(value: Decimal) -> String {
    value.round_dp(2).normalize().to_string()
}

/// A year of trips.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MileageJson {
    #[serde(flatten)]
    period: Period,
    unit: &'static str,
    distance: String,
    amount: String,
    method: &'static str,
    posted: String,
    to_post: String,
    rates: Vec<RateJson>,
    odometer: Option<ShareJson>,
    vehicle: VehicleJson,
    trips: Vec<TripJson>,
    late: usize,
    fairs_not_taken: Vec<FairJson>,
    notes: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct RateJson {
    from: NaiveDate,
    to: NaiveDate,
    distance: String,
    each: Option<String>,
    above_limit: Option<[String; 2]>,
    amount: String,
    source: String,
    read: String,
    checked: Option<NaiveDate>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ShareJson {
    from: NaiveDate,
    to: NaiveDate,
    all: String,
    business: String,
    percent: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct VehicleJson {
    vehicle: String,
    in_service_on: Option<NaiveDate>,
    other_vehicle: Option<bool>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct TripJson {
    date: NaiveDate,
    from: String,
    to: String,
    purpose: String,
    distance: String,
    unit: &'static str,
    fair: String,
    entered_on: NaiveDate,
    days_later: Option<i64>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct FairJson {
    fair: String,
    date: NaiveDate,
    distance: String,
    unit: &'static str,
}

fn trip(trip: &Trip) -> TripJson {
    TripJson {
        date: trip.date,
        from: trip.from.clone(),
        to: trip.to.clone(),
        purpose: trip.purpose.clone(),
        distance: trip.distance.number().to_string(),
        unit: trip.distance.unit.as_str(),
        fair: trip.fair.clone(),
        entered_on: trip.entered_on,
        days_later: trip.late_by(),
    }
}

/// A year of trips as JSON.
#[must_use]
pub fn mileage(report: &MileageReport, currency: &Currency) -> MileageJson {
    let year = &report.year;
    let rates = year.periods.iter().map(|one| RateJson {
        from: one.days.from,
        to: one.days.to,
        distance: plain(one.distance),
        each: one.each.map(|each| each.normalize().to_string()),
        above_limit: one
            .above
            .map(|(over, then)| [plain(over), then.normalize().to_string()]),
        amount: currency.plain(one.amount),
        source: one.source.clone(),
        read: one.read.clone(),
        checked: one.checked,
    });
    let fairs = report.fairs.iter().map(|fair| FairJson {
        fair: fair.fair.clone(),
        date: fair.date,
        distance: fair.distance.number().to_string(),
        unit: fair.distance.unit.as_str(),
    });
    MileageJson {
        period: Period::new(currency, year.range),
        unit: report.rates.unit.as_str(),
        distance: plain(year.distance),
        amount: currency.plain(year.amount),
        method: if report.is_actual { "actual" } else { "rate" },
        posted: currency.plain(report.posted),
        to_post: currency.plain(report.to_post()),
        rates: rates.collect(),
        odometer: year.share.as_ref().map(|share| ShareJson {
            from: share.from,
            to: share.to,
            all: plain(share.all),
            business: plain(share.business),
            percent: share.percent().normalize().to_string(),
        }),
        vehicle: VehicleJson {
            vehicle: report.vehicle.name.clone(),
            in_service_on: report.vehicle.in_service_on,
            other_vehicle: report.vehicle.has_other,
        },
        trips: year.trips.iter().map(trip).collect(),
        late: year.late().count(),
        fairs_not_taken: fairs.collect(),
        notes: mileage_words(report, currency),
    }
}

/// A year of a workspace at home.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WorkspaceJson {
    #[serde(flatten)]
    period: Period,
    method: &'static str,
    average_area: String,
    before_limit: String,
    profit_before: String,
    simplified: String,
    actual: String,
    amount: String,
    posted: String,
    to_post: String,
    months: Vec<MonthJson>,
    spaces: Vec<SpaceJson>,
    bills: Vec<BillJson>,
    notes: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct MonthJson {
    from: NaiveDate,
    area: String,
    counted: String,
    share_percent: String,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SpaceJson {
    space: String,
    area: String,
    home_area: String,
    used_for: &'static str,
    exclusive: bool,
    from: NaiveDate,
    until: Option<NaiveDate>,
    counts: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct BillJson {
    date: NaiveDate,
    what: String,
    amount: String,
    in_year: String,
    business: String,
    paid_by: &'static str,
}

fn space(space: &Space) -> SpaceJson {
    SpaceJson {
        space: space.name.clone(),
        area: space.area.to_string(),
        home_area: space.home_area.to_string(),
        used_for: space.used_for.as_str(),
        exclusive: space.is_exclusive,
        from: space.from,
        until: space.until,
        counts: space.counts(),
    }
}

/// A year of a workspace at home as JSON.
#[must_use]
pub fn workspace(report: &WorkspaceReport, currency: &Currency) -> WorkspaceJson {
    let year = &report.year;
    let months = year.months.iter().map(|one| MonthJson {
        from: one.month.first_day(),
        area: plain(one.area),
        counted: plain(one.counted),
        share_percent: plain(one.share * Decimal::ONE_HUNDRED),
    });
    let bills = year.bills.iter().map(|part| BillJson {
        date: part.bill.date,
        what: part.bill.what.clone(),
        amount: currency.plain(part.bill.amount),
        in_year: currency.plain(part.in_year),
        business: currency.plain(part.business),
        paid_by: if part.bill.is_paid_by_business {
            "business"
        } else {
            "owner"
        },
    });
    WorkspaceJson {
        period: Period::new(currency, year.range),
        method: report.method.as_str(),
        average_area: plain(year.average),
        before_limit: currency.plain(year.before_limit),
        profit_before: currency.plain(year.profit_before),
        simplified: currency.plain(year.simplified),
        actual: currency.plain(year.actual),
        amount: currency.plain(report.amount()),
        posted: currency.plain(report.posted),
        to_post: currency.plain(report.to_post()),
        months: months.collect(),
        spaces: year.spaces.iter().map(space).collect(),
        bills: bills.collect(),
        notes: workspace_words(report, currency),
    }
}
