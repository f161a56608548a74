//! A sheet of what passes between the owner and the business: money in and out, things brought in,
//! what she paid privately and got back.

use chrono::NaiveDate;

use super::purchases::register_row;
use super::{Brought, Context, Faults, Row, Rows, Sheet};
use crate::happenings::{
    BroughtIn, BroughtInDetails, BroughtInto, Happening, HappeningError, OwnerMoneyIn,
    OwnerMoneyInDetails, OwnerMoneyOut, OwnerMoneyOutDetails, PaidBack, Payment, Purchase,
    PurchaseDetails, PurchaseLine, Recording, Repayment, RepaymentDetails, Worth,
};
use crate::ledger::{AccountId, EntryHeader, EntryKind, JournalEntry, Line, Role};
use crate::money::Money;

const DIRECTIONS: &str = "in, out, brought-in, paid-privately-owed-back or repaid";

/// What the business came to owe the owner on a day; negative where it paid her back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Owed {
    /// The day.
    pub date: NaiveDate,
    /// By how much what is owed to her grew.
    pub amount: Money,
}

/// Reads a sheet of what passes between the owner and the business. `owed` is what the ledger knows of that.
///
/// # Errors
/// Every cell that cannot be, every row that the books refuse, every repayment of more than is owed to the owner.
pub fn owner(sheet: &Sheet, context: Context<'_>, owed: Vec<Owed>) -> Result<Vec<Brought>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    let mut places = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        if let Some(recording) = one(&mut row, context) {
            list.push(Brought::of(&mut rows, idx, recording));
            places.push(idx);
        }
    }
    refuse_overpaid(&mut rows, &list, &places, owed, context);
    rows.faults.into_result(list)
}

/// Repayments count in the order of their days, whatever the order of the rows.
fn refuse_overpaid(
    rows: &mut Rows<'_>,
    list: &[Brought],
    places: &[usize],
    mut owed: Vec<Owed>,
    context: Context<'_>,
) {
    let Ok(account) = context.chart.role(Role::OwedToOwner) else {
        return;
    };
    let mut repaid = Vec::new();
    for (brought, idx) in list.iter().zip(places) {
        let header = &brought.recording.entry.header;
        let lines = brought.recording.entry.lines().iter();
        for line in lines.filter(|line| line.account == account) {
            let change = Owed {
                date: header.date,
                amount: -line.amount,
            };
            if header.kind == EntryKind::Repayment {
                repaid.push((*idx, change));
            } else {
                owed.push(change);
            }
        }
    }
    repaid.sort_by_key(|(_idx, change)| change.date);
    for (idx, change) in repaid {
        owed.sort_by_key(|one| one.date);
        let left = still_owed(&owed, change.date);
        if -change.amount <= left {
            owed.push(change);
        } else if let Some(mut row) = rows.at(idx) {
            let what = if left.is_zero() {
                "nothing".to_owned()
            } else {
                format!("only {}", context.currency.show(left))
            };
            row.fault(
                "amount",
                format!(
                    "{what} is owed to you on {} and not paid back yet; write the rest as money out, direction 'out'",
                    change.date
                ),
            );
        }
    }
}

/// What may be paid back on a day: what is owed at its end, less what later repayments took already.
/// `owed` is in the order of days.
fn still_owed(owed: &[Owed], date: NaiveDate) -> Money {
    let (mut balance, mut least) = (Money::ZERO, None);
    for day in owed.chunk_by(|a, b| a.date == b.date) {
        if day[0].date > date {
            least = Some(least.map_or(balance, |least: Money| least.min(balance)));
        }
        balance += day.iter().map(|one| one.amount).sum();
    }
    least
        .map_or(balance, |least| least.min(balance))
        .max(Money::ZERO)
}

fn one(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Recording> {
    let date = context.open_day(row, "date");
    let account = row.account("account", context.chart);
    let direction = row.needed("direction")?;
    let memo = row.text("description").to_owned();
    if direction == "brought-in" {
        let worth = worth_of(row);
        return brought_in(row, date?, account?, worth?, context);
    }
    for column in ["adjusted_cost", "market_value", "equipment_name"] {
        row.refuse(column, "belongs to things brought in only");
    }
    let amount = row.positive("amount");
    let (date, account) = (date, account);
    let made = match direction {
        "in" => OwnerMoneyIn::new(OwnerMoneyInDetails {
            date: date?,
            account: account?,
            amount: amount?,
            memo,
        })
        .and_then(|happening| happening.recording(context.chart)),
        "out" => OwnerMoneyOut::new(OwnerMoneyOutDetails {
            date: date?,
            account: account?,
            amount: amount?,
            memo,
        })
        .and_then(|happening| happening.recording(context.chart)),
        "repaid" => Repayment::new(RepaymentDetails {
            date: date?,
            paid_back: PaidBack::Owner,
            account: account?,
            amount: amount?,
            still_owed: None,
            memo,
        })
        .and_then(|happening| happening.recording(context.chart)),
        "paid-privately-owed-back" => paid_privately(date?, account?, amount?, memo)
            .and_then(|happening| happening.recording(context.chart)),
        other => {
            row.fault(
                "direction",
                format!("'{other}' is not a direction; use {DIRECTIONS}"),
            );
            return None;
        }
    };
    made.map_err(|error| row.happening_fault(&error, context.currency))
        .ok()
}

/// The sheet has no column for the supplier, so the description stands for it.
fn paid_privately(
    date: NaiveDate,
    account: AccountId,
    amount: Money,
    memo: String,
) -> Result<Purchase, HappeningError> {
    let supplier = if memo.is_empty() {
        "Paid privately".to_owned()
    } else {
        memo.clone()
    };
    let line = PurchaseLine::new(account, amount, memo);
    Purchase::new(PurchaseDetails::new(
        date,
        supplier,
        Payment::OwnPocketOwedBack,
        vec![line],
    ))
}

/// Both values, or the one amount.
fn worth_of(row: &mut Row<'_, '_>) -> Option<Worth> {
    if row.has("adjusted_cost") || row.has("market_value") {
        row.refuse("amount", "a thing brought in has its two values instead");
        let adjusted_cost = row.positive("adjusted_cost");
        let market_value = row.positive("market_value");
        return Some(Worth::Both {
            adjusted_cost: adjusted_cost?,
            market_value: market_value?,
        });
    }
    row.positive("amount").map(Worth::Given)
}

fn brought_in(
    row: &mut Row<'_, '_>,
    date: NaiveDate,
    account: AccountId,
    worth: Worth,
    context: Context<'_>,
) -> Option<Recording> {
    let is_equipment = context.chart.has_role(account, Role::Equipment);
    let into = if row.has("equipment_name") {
        if !is_equipment {
            row.fault(
                "account",
                "a thing for the register is booked to the account of equipment at cost",
            );
            return None;
        }
        let details = register_row(row, Some(date));
        let share = row.share("business_share");
        BroughtInto::Equipment(details?, share?)
    } else {
        BroughtInto::Account(account)
    };
    let description = match row.text("description") {
        "" => row.text("equipment_name"),
        text => text,
    };
    let made = BroughtIn::new(BroughtInDetails {
        date,
        description: description.to_owned(),
        into,
        worth,
        how_known: row.text("how_known").to_owned(),
        quantity: None,
        item: None,
    });
    made.and_then(|happening| match happening.details().into {
        // Its register row comes with a sheet of equipment that says the cost is in the ledger already.
        BroughtInto::Account(_) if is_equipment => cost_alone(&happening, account, context),
        _ => happening.recording(context.chart),
    })
    .map_err(|error| row.happening_fault(&error, context.currency))
    .ok()
}

fn cost_alone(
    happening: &BroughtIn,
    equipment: AccountId,
    context: Context<'_>,
) -> Result<Recording, HappeningError> {
    let told = happening.details();
    let value = happening.value();
    let memo = format!("{}: {}", told.description, happening.taken().reason());
    let header = EntryHeader::new(told.date, EntryKind::BroughtIn).memo(told.description.as_str());
    let capital = context.chart.role(Role::OwnerCapital)?;
    let entry = JournalEntry::new(
        header,
        vec![
            Line::debit(equipment, value).memo(memo),
            Line::credit(capital, value),
        ],
    )?;
    Ok(Recording::new(entry))
}
