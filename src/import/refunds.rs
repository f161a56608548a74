//! A sheet of refunds to customers. Each finds its sale by the sale's key; finding it is asked of the caller.

use std::collections::HashMap;

use super::{Brought, Context, Faults, Row, Rows, Sheet};
use crate::happenings::{
    CustomerRefund, CustomerRefundDetails, Fee, FeeKind, Happening, Recording, RefundedSale,
};
use crate::ledger::JournalEntry;

/// A sale and the refunds of it that are in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleFound {
    /// The sale's entry.
    pub sale: JournalEntry,
    /// Its refunds so far.
    pub refunds: Vec<JournalEntry>,
}

/// Reads a sheet of refunds. `find` gives the sale of a key, `None` when there is none.
///
/// # Errors
/// Every cell that cannot be, every refund without its sale or above what is left of it; what `find` refuses.
pub fn refunds<E>(
    sheet: &Sheet,
    context: Context<'_>,
    mut find: impl FnMut(&str) -> Result<Option<SaleFound>, E>,
) -> Result<Result<Vec<Brought>, Faults>, E> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut sales: HashMap<String, Option<SaleFound>> = HashMap::new();
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let key = row.needed("sale").unwrap_or_default().to_owned();
        if !key.is_empty() && !sales.contains_key(&key) {
            let found = find(&key)?;
            sales.insert(key.clone(), found);
        }
        let found = sales.get_mut(&key).and_then(Option::as_mut);
        if let Some(recording) = one(&mut row, &key, found, context) {
            list.push(Brought::of(&mut rows, idx, recording));
        }
    }
    Ok(rows.faults.into_result(list))
}

fn one(
    row: &mut Row<'_, '_>,
    key: &str,
    found: Option<&mut SaleFound>,
    context: Context<'_>,
) -> Option<Recording> {
    let date = context.open_day(row, "date");
    let amount = row.positive("amount");
    let returned = row.quantity("returned_quantity");
    let fee_credit = row.part("fee_credit");
    let paid_from = row.may_account("paid_from", context.chart);
    let Some(found) = found else {
        if !key.is_empty() {
            row.fault("sale", format!("there is no sale '{key}' in the book"));
        }
        return None;
    };
    let (date, amount, fee_credit) = (date?, amount?, fee_credit?);
    let made =
        RefundedSale::of_entries(&found.sale, &found.refunds, context.chart).and_then(|sale| {
            let Some(from) = paid_from.or(sale.paid_into) else {
                return Err(crate::happenings::HappeningError::field(
                    "paid_from",
                    "say where the money came from",
                ));
            };
            let mut details = CustomerRefundDetails::new(date, sale, from, amount);
            if !fee_credit.is_zero() {
                details
                    .fee_credits
                    .push(Fee::new(FeeKind::Commission, fee_credit));
            }
            if let Some(returned) = returned {
                details.memo = format!("{returned} returned");
            }
            CustomerRefund::new(details)?.recording(context.chart)
        });
    match made {
        Ok(recording) => {
            found.refunds.push(recording.entry.clone());
            Some(recording)
        }
        Err(error) => {
            row.happening_fault(&error, context.currency);
            None
        }
    }
}
