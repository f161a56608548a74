//! A sheet of payouts: what channels paid into the bank. A payout settles, it never sells.

use super::{Brought, Context, Faults, Row, Rows, Sheet};
use crate::happenings::{Happening, Payout, PayoutDetails, Recording};

/// Reads a sheet of payouts.
///
/// # Errors
/// Every cell that cannot be, every row that the books refuse.
pub fn payouts(sheet: &Sheet, context: Context<'_>) -> Result<Vec<Brought>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        if let Some(recording) = one(&mut row, context) {
            list.push(Brought::of(&mut rows, idx, recording));
        }
    }
    rows.faults.into_result(list)
}

fn one(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Recording> {
    let date = context.open_day(row, "date");
    let channel = row.account("channel", context.chart);
    let into = row.account("paid_into", context.chart);
    let amount = row.positive("amount");
    let made = Payout::new(PayoutDetails {
        date: date?,
        channel: channel?,
        into: into?,
        amount: amount?,
        memo: String::new(),
        reference: row.text("reference").to_owned(),
    });
    made.and_then(|happening| happening.recording(context.chart))
        .map_err(|error| row.happening_fault(&error, context.currency))
        .ok()
}
