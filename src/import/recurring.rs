//! Sheets of what goes on beside the entries: recurring purchases, money that channels hold, gross they report,
//! and which account a thing went to before.

use chrono::NaiveDate;

use super::purchases::payment;
use super::{Context, Faults, Row, Rows, Sheet};
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
    Rows::read(sheet, context.currency, |row| {
        let recurring = purchase(row, context)?;
        if let Err(error) = recurring.check() {
            row.row_fault(error.to_string());
            return None;
        }
        Some(RecurringRow {
            row: row.number,
            recurring,
        })
    })
}

/// The purchase of a row. Every cell is read before any is missed, so that all faults are told.
fn purchase(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Recurring> {
    let name = row.needed("name");
    let party = row.needed("party");
    let account = row.account("account", context.chart);
    let paid_from = payment(row, "paid_from", context);
    let amount = row.positive("amount");
    let every_months = row.count("every_months", 1);
    let next_due = row.date("next_due");
    let business_share = row.share("business_share");
    let day = row.has("day").then(|| row.count("day", 1)).flatten();
    let is_active = row.yes_no("active", true);
    let mut purchase = Recurring::new(
        name?,
        party?,
        account?,
        paid_from?,
        amount?,
        every_months?,
        next_due?,
    );
    purchase.business_share = business_share?;
    purchase.day = day.unwrap_or(purchase.day);
    row.text("note").clone_into(&mut purchase.note);
    purchase.is_active = is_active?;
    Some(purchase)
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
    Rows::read(sheet, context.currency, |row| {
        let channel = row.account("channel", context.chart);
        let amount = row.positive("amount");
        let since = row.date("since");
        let until = row.may_date("until");
        let released = row.may_date("released");
        for (column, day) in [("until", until), ("released", released)] {
            if since.zip(day).is_some_and(|(since, day)| day < since) {
                row.fault(column, "lies before since");
            }
        }
        Some(HoldRow {
            row: row.number,
            channel: channel?,
            amount: amount?,
            since: since?,
            until,
            released,
            memo: row.text("memo").to_owned(),
        })
    })
}

/// Reads a sheet of which account things from suppliers go to.
///
/// # Errors
/// Every cell that cannot be.
pub fn remembered(sheet: &Sheet, context: Context<'_>) -> Result<Vec<RememberedKind>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let supplier = row.needed("supplier");
        let thing = row.needed("thing");
        let account = row.account("account", context.chart);
        Some(RememberedKind {
            supplier: supplier?.to_owned(),
            thing: thing?.to_owned(),
            account: account?,
        })
    })
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
    /// What was said of the report; nothing where the sheet has no column for it.
    pub said: Option<(Option<bool>, String)>,
}

/// Reads a sheet of gross sales as channels report them.
///
/// # Errors
/// Every cell that cannot be.
pub fn reported_gross(sheet: &Sheet, context: Context<'_>) -> Result<Vec<ReportedRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let channel = row.account("channel", context.chart);
        let year = row.count("year", 1900);
        let amount = row.part_needed("amount");
        let name_right = match row.has("name_right") {
            true => row.yes_no("name_right", false).map(Some),
            false => Some(None),
        };
        let is_said = row.is_in_sheet("name_right") || row.is_in_sheet("note");
        let note = row.text("note").to_owned();
        let Ok(year) = i32::try_from(year?) else {
            row.fault("year", "is not a year");
            return None;
        };
        Some(ReportedRow {
            row: row.number,
            channel: channel?,
            year,
            amount: amount?,
            said: Some((name_right?, note)).filter(|_| is_said),
        })
    })
}
