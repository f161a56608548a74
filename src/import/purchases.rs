//! A sheet of purchases, one row a line of a receipt; rows of the same key are one receipt.
//! What a purchase writes is the happening's business.

use chrono::NaiveDate;

use super::entries::proof_of;
use super::movements::in_own_unit;
use super::{Brought, Context, Faults, Items, Row, Rows, Sheet};
use crate::depreciation::{Condition, Convention};
use crate::happenings::{
    EquipmentDetails, Happening, HappeningError, PaidAhead, Payment, ProofState, Purchase,
    PurchaseDetails, PurchaseLine,
};
use crate::ledger::{AccountId, Role};
use crate::money::Quantity;
use crate::stock::{Item, stock_role};

/// The columns about the receipt as a whole, that its other rows may repeat but not change.
const RECEIPT: [&str; 5] = ["date", "supplier", "paid_from", "reference", "proof"];
/// The columns that only the receipt's first row has.
const FIRST_ROW_ONLY: [&str; 3] = ["carriage", "tax", "discount"];
/// The columns that only a line for the equipment register has.
const REGISTER: [&str; 5] = [
    "life_months",
    "in_service_on",
    "convention",
    "condition",
    "serial",
];

/// Reads a sheet of purchases.
///
/// # Errors
/// Every cell that cannot be, every receipt that the books refuse.
pub fn purchases(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<Brought>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let common = rows.places(&RECEIPT);
    let mut list = Vec::new();
    for (key, places) in rows.groups("purchase") {
        let found_before = rows.faults.list().len();
        let first = places.first().copied().unwrap_or_default();
        let mut details = None;
        let mut lines = Vec::new();
        for idx in &places {
            rows.same_as_first(first, *idx, &common);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                details = receipt_of(&mut row, &key, context);
            } else {
                for column in FIRST_ROW_ONLY {
                    if row.part(column).is_some_and(|amount| !amount.is_zero()) {
                        row.fault(column, "stands on the receipt's first row only");
                    }
                }
            }
            let date = details.as_ref().map(|details| details.date);
            lines.extend(line_of(&mut row, date, context, items));
        }
        let Some(mut details) = details.filter(|_| rows.faults.list().len() == found_before) else {
            continue;
        };
        details.lines = lines;
        let recording =
            Purchase::new(details).and_then(|purchase| purchase.recording(context.chart));
        match recording {
            Ok(recording) => list.push(Brought::of(&mut rows, first, recording)),
            Err(error) => fault_on_line(&mut rows, &places, &error, context),
        }
    }
    rows.faults.into_result(list)
}

/// Says what was refused beside the row of the line it stands on.
fn fault_on_line(
    rows: &mut Rows<'_>,
    places: &[usize],
    error: &HappeningError,
    context: Context<'_>,
) {
    let idx = places.get(error.line().unwrap_or_default()).copied();
    if let Some(mut row) = rows.at(idx.unwrap_or_default()) {
        row.happening_fault(error, context.currency);
    }
}

fn receipt_of(row: &mut Row<'_, '_>, key: &str, context: Context<'_>) -> Option<PurchaseDetails> {
    let date = context.open_day(row, "date");
    let supplier = row.needed("supplier");
    let paid_from = payment(row, "paid_from", context);
    let carriage = row.part("carriage");
    let tax = row.part("tax");
    let discount = row.part("discount");
    let proof = proof_of(row);
    let mut details = PurchaseDetails::new(date?, supplier?, paid_from?, Vec::new());
    details.carriage = carriage?;
    details.tax = tax?;
    details.discount = discount?;
    row.text("reference").clone_into(&mut details.reference);
    key.clone_into(&mut details.document);
    details.proof = proof?;
    if !row.has("proof") {
        details.proof.state = if details.proof.stands_in.is_empty() {
            ProofState::Missing
        } else {
            ProofState::Substitute
        };
    }
    Some(details)
}

/// How something was paid: an account, or `owner` for the owner's own pocket, put in for good.
pub(super) fn payment(
    row: &mut Row<'_, '_>,
    column: &str,
    context: Context<'_>,
) -> Option<Payment> {
    match row.text(column) {
        "owner" => Some(Payment::OwnPocketPutIn),
        _ => row.account(column, context.chart).map(Payment::Account),
    }
}

fn line_of(
    row: &mut Row<'_, '_>,
    bought_on: Option<NaiveDate>,
    context: Context<'_>,
    items: &Items,
) -> Option<PurchaseLine> {
    let amount = row.positive("amount");
    let kept = items.find(row.text("item"));
    let account = cost_account(row, context, kept);
    let quantity = quantity(row, context, kept, account);
    let share = row.share("business_share");
    let is_register =
        account.is_some_and(|account| context.chart.has_role(account, Role::Equipment));
    let equipment = if is_register {
        register_row(row, bought_on).map(Some)
    } else {
        row.refuse(
            "equipment_name",
            "a thing for the register is booked to the account of equipment at cost",
        );
        if row.part("residual").is_some_and(|amount| !amount.is_zero()) {
            row.fault("residual", "belongs to a line of equipment only");
        }
        for column in REGISTER {
            row.refuse(column, "belongs to a line of equipment only");
        }
        Some(None)
    };
    let thing = match row.text("description") {
        "" => kept.map_or(row.text("equipment_name"), |item| item.name.as_str()),
        text => text,
    };
    let paid_ahead = paid_ahead(row);
    let mut line = PurchaseLine::new(account?, amount?, thing);
    line.quantity = quantity?;
    line.item = Some(kept.map_or(row.text("item"), |item| item.code.as_str()))
        .filter(|item| !item.is_empty())
        .map(str::to_owned);
    line.business_share = share?;
    line.equipment = equipment?;
    line.paid_ahead = paid_ahead?;
    Some(line)
}

/// The months that a line covers, where it is paid ahead.
fn paid_ahead(row: &mut Row<'_, '_>) -> Option<Option<PaidAhead>> {
    if !row.has("covers_from") && !row.has("covers_months") {
        return Some(None);
    }
    let from = row.date("covers_from");
    let months = row.count("covers_months", 1);
    Some(Some(PaidAhead {
        from: from?,
        months: months?,
    }))
}

/// The account of a line: the one it names, or the stock account of its item.
fn cost_account(
    row: &mut Row<'_, '_>,
    context: Context<'_>,
    kept: Option<&Item>,
) -> Option<AccountId> {
    if row.has("account") {
        return row.account("account", context.chart);
    }
    if !row.has("item") {
        row.fault("account", "is empty; give an account or an item");
        return None;
    }
    let Some(item) = kept else {
        let code = row.text("item");
        row.fault(
            "item",
            format!("there is no item '{code}' in the book; bring it with a sheet of items, or give the line's account"),
        );
        return None;
    };
    match context.chart.role(stock_role(item.kind)) {
        Ok(account) => Some(account),
        Err(error) => {
            row.fault("item", error.to_string());
            None
        }
    }
}

/// How many a line brings, in its item's own unit; needed when the line goes into stock.
fn quantity(
    row: &mut Row<'_, '_>,
    context: Context<'_>,
    kept: Option<&Item>,
    account: Option<AccountId>,
) -> Option<Option<Quantity>> {
    let many = row.quantity("quantity");
    let Some(item) = kept else {
        row.refuse("unit", "is for a line with an item that the book keeps");
        return Some(many);
    };
    let goes_into_stock =
        account.is_some() && context.chart.role(stock_role(item.kind)).ok() == account;
    let Some(many) = many else {
        if goes_into_stock && !row.has("quantity") {
            row.fault(
                "quantity",
                format!("say how many {} of {} came", item.unit.plural(), item.name),
            );
        }
        return Some(None);
    };
    in_own_unit(row, item, many).map(Some)
}

/// The columns of the register on a row whose account is equipment at cost.
pub(super) fn register_row(
    row: &mut Row<'_, '_>,
    came_on: Option<NaiveDate>,
) -> Option<EquipmentDetails> {
    let name = row.needed("equipment_name");
    let life_months = row.count("life_months", 1);
    let residual = row.part("residual");
    let in_service_on = if row.has("in_service_on") {
        row.may_date("in_service_on")
    } else {
        came_on
    };
    let convention = row.value_or("convention", Convention::default());
    let condition = row.value_or("condition", Condition::default());
    let mut details = EquipmentDetails::new(name?, life_months?, in_service_on?);
    details.residual = residual?;
    details.convention = convention?;
    details.condition = condition?;
    row.text("serial").clone_into(&mut details.serial);
    Some(details)
}
