//! A sheet of refunds to customers. Each finds its sale by the sale's key; finding it is asked of the caller.

use std::collections::HashMap;

use super::{Brought, Context, Faults, Row, Rows, Sheet};
use crate::happenings::{
    CustomerRefund, CustomerRefundDetails, Fee, FeeKind, Happening, Recording, RefundedSale,
};
use crate::ledger::{AccountId, JournalEntry};
use crate::money::Money;
use crate::money::Quantity;
use crate::stock::{Bundle, Movement, MovementId, MovementKind};

/// A sale and the refunds of it that are in the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleFound {
    /// The sale's entry.
    pub sale: JournalEntry,
    /// Its refunds so far.
    pub refunds: Vec<JournalEntry>,
    /// What of its payment is in dispute.
    pub in_dispute: Money,
    /// The pieces that left the stock with it, where it moved any.
    pub sold: Vec<Movement>,
    /// The sets that were sold with it, and how many of each.
    pub bundles: Vec<(Bundle, Quantity)>,
}

/// Reads a sheet of refunds. `find` gives the sales of a key: usually one, but two shops may have the same order number.
///
/// # Errors
/// Every cell that cannot be, every refund without its one sale or above what is left of it; what `find` refuses.
pub fn refunds<E>(
    sheet: &Sheet,
    context: Context<'_>,
    mut find: impl FnMut(&str) -> Result<Vec<SaleFound>, E>,
) -> Result<Result<Vec<Brought>, Faults>, E> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut sales: HashMap<String, Vec<SaleFound>> = HashMap::new();
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
        let found = sales.get_mut(&key).map(Vec::as_mut_slice);
        if let Some(recording) = one(&mut row, &key, found.unwrap_or_default(), context) {
            list.push(Brought::of(&mut rows, idx, recording));
        }
    }
    Ok(rows.faults.into_result(list))
}

fn one(
    row: &mut Row<'_, '_>,
    key: &str,
    found: &mut [SaleFound],
    context: Context<'_>,
) -> Option<Recording> {
    let date = context.open_day(row, "date");
    let amount = row.positive("amount");
    let returned = row.quantity("returned_quantity");
    let fee_credit = row.part("fee_credit");
    let paid_from = row.may_account("paid_from", context.chart);
    let found = the_one(row, key, found, paid_from, context)?;
    let (date, amount, fee_credit) = (date?, amount?, fee_credit?);
    let made = RefundedSale::of_entries(&found.sale, &found.refunds, context.chart).and_then(
        |mut sale| {
            sale.in_dispute = found.in_dispute;
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
        },
    );
    let back = match returned {
        Some(returned) => came_back(row, returned, found)?,
        None => Vec::new(),
    };
    match made {
        Ok(mut recording) => {
            found.refunds.push(recording.entry.clone());
            recording.movements = back;
            Some(recording)
        }
        Err(error) => {
            row.happening_fault(&error, context.currency);
            None
        }
    }
}

/// The pieces that a customer sent back, each from the movement with which it went. A sale that moved no stock has its
/// quantity noted only.
fn came_back(
    row: &mut Row<'_, '_>,
    returned: Quantity,
    found: &SaleFound,
) -> Option<Vec<Movement>> {
    let sold = found.sold.as_slice();
    let code = row.text("item");
    let of_item: Vec<&Movement> = sold
        .iter()
        .filter(|one| code.is_empty() || one.item.eq_ignore_ascii_case(code))
        .collect();
    if sold.is_empty() || returned.value().is_zero() {
        return Some(Vec::new());
    }
    if returned.value().is_sign_negative() {
        row.fault("returned_quantity", "must not be below zero");
        return None;
    }
    if let Some((bundle, sets)) = bundle_named(found, code) {
        if returned > *sets {
            row.fault(
                "returned_quantity",
                format!("more comes back than was sold, which was {sets}"),
            );
            return None;
        }
        return Some(parts_back(bundle, returned, sold));
    }
    let whole: rust_decimal::Decimal = of_item.iter().map(|one| one.quantity.value()).sum();
    if of_item.is_empty() {
        row.fault("item", format!("the sale has no '{code}'"));
        return None;
    }
    if returned.value() > whole {
        row.fault(
            "returned_quantity",
            format!(
                "more comes back than was sold, which was {}",
                whole.normalize()
            ),
        );
        return None;
    }
    let is_one_item = of_item.iter().all(|one| one.item == of_item[0].item);
    if is_one_item || returned.value() == whole {
        let mut left = returned.value();
        let mut list = Vec::new();
        for one in of_item {
            let part = left.min(one.quantity.value());
            left -= part;
            if let Ok(part) = Quantity::new(part)
                && !part.value().is_zero()
            {
                list.push(back(one, part));
            }
        }
        return Some(list);
    }
    let codes: Vec<&str> = of_item.iter().map(|one| one.item.as_str()).collect();
    row.fault(
        "item",
        format!("say which came back: the sale was of {}", codes.join(", ")),
    );
    None
}

/// The set that a row means: the one it names, or the only thing that was sold.
fn bundle_named<'f>(found: &'f SaleFound, code: &str) -> Option<&'f (Bundle, Quantity)> {
    let named = |(bundle, _sets): &&(Bundle, Quantity)| bundle.code.eq_ignore_ascii_case(code);
    let only = || match found.bundles.as_slice() {
        [only] if code.is_empty() => {
            let parts = &only.0.parts;
            let is_part = |item: &str| parts.iter().any(|part| part.item == item);
            found
                .sold
                .iter()
                .all(|one| is_part(&one.item))
                .then_some(only)
        }
        _ => None,
    };
    found.bundles.iter().find(named).or_else(only)
}

/// The parts of so many sets, each from the movements with which it went.
fn parts_back(bundle: &Bundle, sets: Quantity, sold: &[Movement]) -> Vec<Movement> {
    let mut list = Vec::new();
    for part in bundle.parts_for(sets) {
        let mut left = part.quantity.value();
        for one in sold.iter().filter(|one| one.item == part.item) {
            let now = left.min(one.quantity.value());
            left -= now;
            if let Ok(quantity) = Quantity::new(now)
                && !now.is_zero()
            {
                list.push(back(one, quantity));
            }
        }
    }
    list
}

/// So many of a movement's pieces coming back.
fn back(one: &Movement, quantity: Quantity) -> Movement {
    let mut back = Movement::new(
        MovementId(0),
        one.date,
        one.item.clone(),
        MovementKind::Return,
        quantity,
    );
    back.of = Some(one.id);
    back
}

/// The sale that a row means: the only one of its key, or the one whose money went where the refund comes from.
fn the_one<'f>(
    row: &mut Row<'_, '_>,
    key: &str,
    found: &'f mut [SaleFound],
    paid_from: Option<AccountId>,
    context: Context<'_>,
) -> Option<&'f mut SaleFound> {
    if found.is_empty() {
        if !key.is_empty() {
            row.fault("sale", format!("there is no sale '{key}' in the book"));
        }
        return None;
    }
    if found.len() == 1 {
        return found.first_mut();
    }
    let into: Vec<Option<AccountId>> = found
        .iter()
        .map(|one| {
            let sale = RefundedSale::of_entries(&one.sale, [], context.chart);
            sale.ok().and_then(|sale| sale.paid_into)
        })
        .collect();
    let is_meant = |place: &Option<AccountId>| place.is_some() && *place == paid_from;
    if into.iter().filter(|place| is_meant(place)).count() == 1 {
        let idx = into.iter().position(is_meant).unwrap_or_default();
        return found.get_mut(idx);
    }
    let sales: Vec<String> = found
        .iter()
        .zip(&into)
        .map(|(one, place)| {
            let place = place.and_then(|place| context.chart.account(place).ok());
            let name = place.map_or("no one account", |account| account.name.as_str());
            format!("{name} on {}", one.sale.header.date)
        })
        .collect();
    row.fault(
        "sale",
        format!(
            "'{key}' is the key of {} sales ({}); give the channel of the one you mean in paid_from, or take the \
             others back and bring them under keys of their own",
            found.len(),
            sales.join("; ")
        ),
    );
    None
}
