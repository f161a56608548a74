//! Trips and the workspace at home as tables: what they come to, and what stands behind it.
//! The figures are `reports`'.

use rust_decimal::Decimal;

use super::span;
use crate::dates::show_day;
use crate::export::{Cell, Table};
use crate::mileage::MILEAGE_CAUTION;
use crate::money::Currency;
use crate::reports::{MileageReport, WorkspaceReport};
use crate::workspace::{SpaceMethod, WORKSPACE_CAUTION};

fn number(value: Decimal) -> Cell {
    Cell::Number(value.round_dp(2).normalize().to_string())
}

/// The trips of a year, one a row.
#[must_use]
pub fn mileage_log(report: &MileageReport) -> Table {
    let mut table = Table::new("Trips for the business", span(report.year.range))
        .column("date", "Date")
        .column("from", "From")
        .column("to", "To")
        .column("purpose", "What for")
        .column("distance", "Distance")
        .column("unit", "")
        .column("fair", "Fair")
        .column("entered_on", "Written down on")
        .column("days_later", "Days later");
    for trip in &report.year.trips {
        let late = trip.late_by().map(|days| Cell::Number(days.to_string()));
        table.line(vec![
            trip.date.to_string().into(),
            trip.from.as_str().into(),
            trip.to.as_str().into(),
            trip.purpose.as_str().into(),
            number(trip.distance.number()),
            trip.distance.unit.as_str().into(),
            trip.fair.as_str().into(),
            trip.entered_on.to_string().into(),
            late.unwrap_or(Cell::Empty),
        ]);
    }
    if report.year.trips.is_empty() {
        table.note("No trip is written down.");
    }
    table.note(MILEAGE_CAUTION);
    table
}

/// What a year of trips comes to, by rate.
#[must_use]
pub fn mileage(report: &MileageReport, currency: &Currency) -> Table {
    let year = &report.year;
    let unit = report.rates.unit;
    let mut table = Table::new("Driving for the business", span(year.range))
        .column("days", "Days")
        .column("distance", "Distance")
        .column("each", format!("For each {}", unit.one()))
        .column("amount", "Amount")
        .column("source", "Rate from");
    for one in &year.periods {
        let source = match (one.each, one.checked) {
            (None, _) => "no rate is known for these days".to_owned(),
            (Some(_), None) => "your own rate".to_owned(),
            (Some(_), Some(checked)) => {
                let read = &one.read;
                format!("{}, {read}, looked up {}", one.source, show_day(checked))
            }
        };
        table.line(vec![
            span(one.days).into(),
            number(one.distance),
            one.each.map_or(Cell::Empty, |each| {
                Cell::Number(each.normalize().to_string())
            }),
            one.amount.into(),
            source.into(),
        ]);
        if let Some((over, then)) = one.above {
            table.note(format!(
                "{} of these {} are above the limit of a year and count {} each.",
                over.normalize(),
                unit.plain(),
                then.normalize()
            ));
        }
    }
    table.push(
        crate::export::RowStyle::Total,
        vec![
            "In all".into(),
            number(year.distance),
            Cell::Empty,
            year.amount.into(),
            Cell::Empty,
        ],
    );
    for sentence in mileage_words(report, currency) {
        table.note(sentence);
    }
    table
}

/// What there is to say of a year of trips beside its figures.
#[must_use]
pub fn mileage_words(report: &MileageReport, currency: &Currency) -> Vec<String> {
    let (year, unit) = (&report.year, report.rates.unit);
    let mut words = Vec::new();
    match &year.share {
        Some(share) => words.push(format!(
            "{} of {} {} between {} and {} were for the business: {} %.",
            share.business.round_dp(2).normalize(),
            share.all.round_dp(2).normalize(),
            unit.plain(),
            show_day(share.from),
            show_day(share.to),
            share.percent().normalize()
        )),
        None => words.push(
            "The share of all driving is not known: write down what the odometer shows on the first and the last day of the year."
                .to_owned(),
        ),
    }
    let n_late = year.late().count();
    if n_late > 0 {
        let trips = crate::export::counted(n_late, "trip was", "trips were");
        words.push(format!(
            "{trips} written down more than 14 days after the day."
        ));
    }
    let unknown = year.without_rate();
    if !unknown.is_zero() {
        words.push(format!(
            "For {} {} no rate is known; they come to nothing here.",
            unknown.round_dp(2).normalize(),
            unit.plain()
        ));
    }
    for fair in &report.fairs {
        words.push(format!(
            "{} to {} on {} is no trip yet and not counted.",
            fair.distance,
            fair.fair,
            show_day(fair.date)
        ));
    }
    if report.is_actual {
        words.push(
            "The car's real costs count instead of the rate, so nothing of this is posted."
                .to_owned(),
        );
    } else {
        words.push(format!(
            "Posted so far: {}; still to post: {}.",
            currency.show(report.posted),
            currency.show(report.to_post())
        ));
    }
    words.extend(told_twice(&report.told_estimate, "business miles"));
    if !report.rates.caution.is_empty() && report.rates.own.is_none() {
        words.push(report.rates.caution.clone());
    }
    words.push(MILEAGE_CAUTION.to_owned());
    words
}

/// The area of a workspace at home by month, with both methods beside each other.
#[must_use]
pub fn workspace(report: &WorkspaceReport, currency: &Currency) -> Table {
    let year = &report.year;
    let mut table = Table::new("Workspace at home", span(year.range))
        .column("month", "Month")
        .column("area", "Area used")
        .column("counted", "Area that counts")
        .column("share", "Share of the home, in per cent");
    for one in &year.months {
        let name = format!("{} {}", one.month.name(), one.month.year());
        table.line(vec![
            name.into(),
            number(one.area),
            number(one.counted),
            number(one.share * Decimal::ONE_HUNDRED),
        ]);
    }
    for sentence in workspace_words(report, currency) {
        table.note(sentence);
    }
    table
}

/// The spaces of a year, one a row.
#[must_use]
pub fn workspace_spaces(report: &WorkspaceReport) -> Table {
    let mut table = Table::new("Spaces at home", span(report.year.range))
        .column("space", "Space")
        .column("area", "Area")
        .column("home_area", "Whole home")
        .column("used_for", "For")
        .column("exclusive", "For nothing else")
        .column("from", "From")
        .column("until", "Until")
        .column("counts", "Counts");
    let yes_no = |yes: bool| Cell::from(if yes { "yes" } else { "no" });
    for space in &report.year.spaces {
        table.line(vec![
            space.name.as_str().into(),
            number(space.area.value()),
            number(space.home_area.value()),
            space.used_for.as_str().into(),
            yes_no(space.is_exclusive),
            space.from.to_string().into(),
            space
                .until
                .map_or(Cell::Empty, |day| day.to_string().into()),
            yes_no(space.counts()),
        ]);
    }
    table
}

/// The bills of the home with the business's part, one a row.
#[must_use]
pub fn workspace_bills(report: &WorkspaceReport) -> Table {
    let mut table = Table::new("Bills of the home", span(report.year.range))
        .column("date", "Date")
        .column("what", "What for")
        .column("amount", "Amount")
        .column("in_year", "Of this year")
        .column("business", "The business\u{2019}s part")
        .column("paid_by", "Paid by");
    for part in &report.year.bills {
        let paid_by = if part.bill.is_paid_by_business {
            "business"
        } else {
            "owner"
        };
        table.line(vec![
            part.bill.date.to_string().into(),
            part.bill.what.as_str().into(),
            part.bill.amount.into(),
            part.in_year.into(),
            part.business.into(),
            paid_by.into(),
        ]);
    }
    table
}

/// What there is to say of a workspace beside its figures.
#[must_use]
pub fn workspace_words(report: &WorkspaceReport, currency: &Currency) -> Vec<String> {
    let year = &report.year;
    let mut words = Vec::new();
    for space in year.spaces.iter().filter(|space| !space.counts()) {
        words.push(format!(
            "{} does not count: it is used for other things too and is no place for stock.",
            space.name
        ));
    }
    match &year.rule {
        Some(rule) => {
            words.push(format!(
                "Simplified: {} {} on average \u{00D7} {} = {}; {} after the limit of the profit before it, {}. {}, {}, looked up {}.",
                year.average.normalize(),
                rule.area_unit,
                rule.each.normalize(),
                currency.show(year.before_limit),
                currency.show(year.simplified),
                currency.show(year.profit_before),
                rule.source,
                rule.read,
                show_day(rule.checked)
            ));
        }
        None => words.push(
            "No rule of a simplified method is kept for this currency and year; the home\u{2019}s bills can be shared instead."
                .to_owned(),
        ),
    }
    words.push(format!(
        "By the home\u{2019}s bills, month by month with the share of the area: {}.",
        currency.show(year.actual)
    ));
    let chosen = match report.method {
        SpaceMethod::Simplified => "the simplified method",
        SpaceMethod::Actual => "the home\u{2019}s bills",
    };
    words.push(format!(
        "Counted by {chosen}. Posted so far: {}; still to post: {}.",
        currency.show(report.posted),
        currency.show(report.to_post())
    ));
    words.extend(told_twice(&report.told_estimate, "of workspace"));
    if let Some(rule) = &year.rule {
        words.push(rule.caution.clone());
    }
    words.push(WORKSPACE_CAUTION.to_owned());
    words
}

/// What is posted counts in the profit already, so that an estimate must not take it off again.
fn told_twice(told: &str, of: &str) -> Option<String> {
    (!told.is_empty()).then(|| {
        format!(
            "The set-aside estimate was told {told} {of} of its own and takes them off as well: count them in one place only."
        )
    })
}
