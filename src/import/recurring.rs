//! Sheets of what goes on beside the entries: recurring purchases, money that channels hold, gross they report,
//! and which account a thing went to before.

use chrono::NaiveDate;

use super::purchases::payment;
use super::{Context, Faults, Rows, Sheet};
use crate::happenings::RememberedKind;
use crate::ledger::AccountId;
use crate::money::Money;
use crate::recurring::Recurring;

/// A recurring purchase with its row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecurringRow {
    /// Its row.
    pub row: u64,
    /// The purchase.
    pub recurring: Recurring,
}

/// Reads a sheet of recurring purchases.
///
/// # Errors
/// Every cell that cannot be.
pub fn recurring(sheet: &Sheet, context: Context<'_>) -> Result<Vec<RecurringRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let name = row.needed("name");
        let party = row.needed("party");
        let account = row.account("account", context.chart);
        let paid_from = payment(&mut row, "paid_from", context);
        let amount = row.positive("amount");
        let every_months = row.count("every_months", 1);
        let next_due = row.date("next_due");
        let business_share = row.share("business_share");
        let day = if row.has("day") {
            row.count("day", 1)
        } else {
            None
        };
        let active = row.yes_no("active", true);
        let (Some(name), Some(party), Some(account), Some(paid_from)) =
            (name, party, account, paid_from)
        else {
            continue;
        };
        let (Some(amount), Some(every_months), Some(next_due)) = (amount, every_months, next_due)
        else {
            continue;
        };
        let (Some(business_share), Some(active)) = (business_share, active) else {
            continue;
        };
        let mut one = Recurring::new(
            name,
            party,
            account,
            paid_from,
            amount,
            every_months,
            next_due,
        );
        one.business_share = business_share;
        one.day = day.unwrap_or(one.day);
        row.text("note").clone_into(&mut one.note);
        one.is_active = active;
        if let Err(error) = one.check() {
            row.row_fault(error.to_string());
            continue;
        }
        list.push(RecurringRow {
            row: row.number,
            recurring: one,
        });
    }
    rows.faults.into_result(list)
}

/// Money that a channel holds back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldRow {
    /// Its row.
    pub row: u64,
    /// The channel's account.
    pub channel: AccountId,
    /// How much.
    pub amount: Money,
    /// Since when.
    pub since: NaiveDate,
    /// Until when, where known.
    pub until: Option<NaiveDate>,
    /// When it was released.
    pub released: Option<NaiveDate>,
    /// Why.
    pub memo: String,
}

/// Reads a sheet of money that channels hold back.
///
/// # Errors
/// Every cell that cannot be.
pub fn holds(sheet: &Sheet, context: Context<'_>) -> Result<Vec<HoldRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let channel = row.account("channel", context.chart);
        let amount = row.positive("amount");
        let since = row.date("since");
        let until = row.may_date("until");
        let released = row.may_date("released");
        let (Some(channel), Some(amount), Some(since)) = (channel, amount, since) else {
            continue;
        };
        for (column, day) in [("until", until), ("released", released)] {
            if day.is_some_and(|day| day < since) {
                row.fault(column, "lies before since");
            }
        }
        list.push(HoldRow {
            row: row.number,
            channel,
            amount,
            since,
            until,
            released,
            memo: row.text("memo").to_owned(),
        });
    }
    rows.faults.into_result(list)
}

/// Reads a sheet of which account things from suppliers go to.
///
/// # Errors
/// Every cell that cannot be.
pub fn remembered(sheet: &Sheet, context: Context<'_>) -> Result<Vec<RememberedKind>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let supplier = row.needed("supplier");
        let thing = row.needed("thing");
        let account = row.account("account", context.chart);
        if let (Some(supplier), Some(thing), Some(account)) = (supplier, thing, account) {
            list.push(RememberedKind {
                supplier: supplier.to_owned(),
                thing: thing.to_owned(),
                account,
            });
        }
    }
    rows.faults.into_result(list)
}

/// The gross that a channel reports for a year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReportedRow {
    /// Its row.
    pub row: u64,
    /// The channel's account.
    pub channel: AccountId,
    /// The year.
    pub year: i32,
    /// How much.
    pub amount: Money,
}

/// Reads a sheet of gross sales as channels report them.
///
/// # Errors
/// Every cell that cannot be.
pub fn reported_gross(sheet: &Sheet, context: Context<'_>) -> Result<Vec<ReportedRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let channel = row.account("channel", context.chart);
        let year = row.count("year", 1900);
        let amount = row.part_needed("amount");
        let (Some(channel), Some(year), Some(amount)) = (channel, year, amount) else {
            continue;
        };
        let Ok(year) = i32::try_from(year) else {
            row.fault("year", "is not a year");
            continue;
        };
        list.push(ReportedRow {
            row: row.number,
            channel,
            year,
            amount,
        });
    }
    rows.faults.into_result(list)
}
