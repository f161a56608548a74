//! The business's shares of bills used privately too, as JSON.

use chrono::NaiveDate;
use serde::Serialize;

use super::AsOf;
use crate::money::Currency;
use crate::shared_bills::{SHARED_BILL_CAUTION, SharedBill, until};

/// Shares with the days on which they hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SharedBillsJson {
    #[serde(flatten)]
    as_of: AsOf,
    shared_bills: Vec<SharedBillJson>,
    caution: &'static str,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct SharedBillJson {
    what: String,
    party: String,
    business_share: String,
    basis: String,
    sampled_from: Option<NaiveDate>,
    sampled_to: Option<NaiveDate>,
    since: NaiveDate,
    until: Option<NaiveDate>,
    holds: bool,
    note: String,
}

/// Shares as JSON, and whether each holds on a day.
#[must_use]
pub fn shared_bills(list: &[SharedBill], day: NaiveDate, currency: &Currency) -> SharedBillsJson {
    let rows = list.iter().map(|bill| {
        let last = until(list, bill);
        SharedBillJson {
            what: bill.what.clone(),
            party: bill.party.clone(),
            business_share: bill.share.to_string(),
            basis: bill.basis.clone(),
            sampled_from: bill.sampled.map(|days| days.from),
            sampled_to: bill.sampled.map(|days| days.to),
            since: bill.since,
            until: last,
            holds: bill.since <= day && last.is_none_or(|last| last >= day),
            note: bill.note.clone(),
        }
    });
    SharedBillsJson {
        as_of: AsOf::new(currency, day),
        shared_bills: rows.collect(),
        caution: SHARED_BILL_CAUTION,
    }
}
