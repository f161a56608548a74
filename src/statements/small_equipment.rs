//! The list of small equipment: what lasts but fell under the threshold, expensed and still remembered.
//! It is for the insurer, the county and the day it is sold; the ledger counts it as a cost.

use chrono::NaiveDate;

use crate::ledger::{Chart, ChartError, EntryNumber, PostedEntry, Role};
use crate::money::{Money, Quantity};

/// One thing on the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallEquipment {
    /// The entry that bought it.
    pub entry: EntryNumber,
    /// The day.
    pub bought_on: NaiveDate,
    /// From whom.
    pub supplier: String,
    /// What it is: the line's memo, or else the entry's.
    pub what: String,
    /// How many.
    pub quantity: Option<Quantity>,
    /// What was charged as a cost; below nothing when it was returned.
    pub amount: Money,
}

/// Everything expensed as small equipment in these entries. Entries taken back, and what took them back, are left out.
///
/// # Errors
/// When the chart lacks the account.
pub fn small_equipment<'a>(
    chart: &Chart,
    entries: impl IntoIterator<Item = &'a PostedEntry>,
) -> Result<Vec<SmallEquipment>, ChartError> {
    let account = chart.role(Role::SmallTools)?;
    let mut list = Vec::new();
    for posted in entries {
        if posted.reversed_by.is_some() || posted.reverses.is_some() {
            continue;
        }
        let header = &posted.entry.header;
        if header.kind == crate::ledger::EntryKind::Closing {
            continue;
        }
        let lines = posted.entry.lines().iter();
        for line in lines.filter(|line| line.account == account) {
            let what = if line.memo.is_empty() {
                &header.memo
            } else {
                &line.memo
            };
            list.push(SmallEquipment {
                entry: posted.number,
                bought_on: header.date,
                supplier: header.party.clone(),
                what: what.clone(),
                quantity: line.quantity,
                amount: line.amount,
            });
        }
    }
    list.sort_by_key(|thing| (thing.bought_on, thing.entry));
    Ok(list)
}
