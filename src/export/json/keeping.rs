//! How long records are kept, and the list of things for an insurer or a county, as JSON.
//! What they say is `reports`'.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::keeping::KEEPING_CAUTION;
use crate::money::{Currency, Money};
use crate::reports::KeepReport;
use crate::statements::{ListedThing, THINGS_CAUTION, ThingSource};

/// How long records are kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KeepJson {
    place: String,
    title: String,
    years_kept: i32,
    counted_from: String,
    longer: Vec<String>,
    property: String,
    source: String,
    property_source: String,
    checked: String,
    years: Vec<KeptYearJson>,
    equipment: Vec<KeptPieceJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct KeptYearJson {
    year: i32,
    from: NaiveDate,
    to: NaiveDate,
    return_due: NaiveDate,
    keep_until: NaiveDate,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct KeptPieceJson {
    name: String,
    gone_on: Option<NaiveDate>,
    keep_until: Option<NaiveDate>,
}

/// How long records are kept as JSON.
#[must_use]
pub fn keep_until(report: &KeepReport) -> KeepJson {
    let rule = &report.rule;
    KeepJson {
        place: rule.name.clone(),
        title: rule.title.clone(),
        years_kept: rule.years,
        counted_from: rule.counted_from.clone(),
        longer: rule.longer.clone(),
        property: rule.property.clone(),
        source: rule.source.clone(),
        property_source: rule.property_source.clone(),
        checked: rule.checked.clone(),
        years: report
            .years
            .iter()
            .map(|one| KeptYearJson {
                year: one.year,
                from: one.range.from,
                to: one.range.to,
                return_due: one.return_due,
                keep_until: one.until,
            })
            .collect(),
        equipment: report
            .equipment
            .iter()
            .map(|one| KeptPieceJson {
                name: one.name.clone(),
                gone_on: one.gone_on,
                keep_until: one.until,
            })
            .collect(),
        caution: KEEPING_CAUTION,
    }
}

/// The list of things.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ThingsJson {
    #[serde(flatten)]
    as_of: AsOf,
    things: Vec<ThingJson>,
    total_price: String,
    total_whole: String,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct ThingJson {
    name: String,
    place: String,
    since: NaiveDate,
    how: &'static str,
    supplier: String,
    serial: String,
    quantity: Option<String>,
    price: String,
    tax: Option<String>,
    delivery: Option<String>,
    whole: String,
    equipment: Option<String>,
    entry: Option<u64>,
}

/// The list of things as JSON.
#[must_use]
pub fn things_list(list: &[ListedThing], as_of: NaiveDate, currency: &Currency) -> ThingsJson {
    let plain = |amount: Money| currency.plain(amount);
    ThingsJson {
        as_of: AsOf::new(currency, as_of),
        things: list
            .iter()
            .map(|one| {
                let (equipment, entry) = match &one.source {
                    ThingSource::Register(key) => (Some(key.clone()), None),
                    ThingSource::Entry(number) => (None, Some(number.0)),
                };
                ThingJson {
                    name: one.name.clone(),
                    place: one.place.clone(),
                    since: one.since,
                    how: one.how,
                    supplier: one.supplier.clone(),
                    serial: one.serial.clone(),
                    quantity: one.quantity.map(|quantity| quantity.to_string()),
                    price: plain(one.price),
                    tax: one.tax.map(plain),
                    delivery: one.delivery.map(plain),
                    whole: plain(one.whole),
                    equipment,
                    entry,
                }
            })
            .collect(),
        total_price: plain(list.iter().map(|one| one.price).sum()),
        total_whole: plain(list.iter().map(|one| one.whole).sum()),
        caution: THINGS_CAUTION,
    }
}
