//! Sheets of orders to suppliers, of what came of them, and of claims. Which order or entry a key means is for whoever
//! holds the book.

use super::purchases::payment;
use super::{Context, Faults, Items, Row, Rows, Sheet};
use crate::deciding::UnitCost;
use crate::ledger::AccountId;
use crate::money::{Currency, Money, Percent};
use crate::ordering::{
    Arrival, ArrivalBill, ArrivalLine, Billing, ClaimState, ClaimWhat, OrderError, OrderLine,
    SupplierOrder, read_deals, read_tiers,
};
use crate::stock::MovementId;

/// The columns about an order as a whole, that its other rows may repeat but not change.
const WHOLE_ORDER: [&str; 13] = [
    "supplier",
    "ordered_on",
    "deals",
    "carriage",
    "lead_days",
    "wanted_on",
    "over_percent",
    "under_percent",
    "no_unders",
    "billing",
    "reference",
    "note",
    "closed_on",
];

/// The columns about an arrival as a whole.
const WHOLE_ARRIVAL: [&str; 8] = [
    "date",
    "ahead",
    "carriage",
    "tax",
    "discount",
    "paid_from",
    "reference",
    "entry",
];

/// An order as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderRow {
    /// Its first row.
    pub row: u64,
    /// The order.
    pub order: SupplierOrder,
}

/// What came of an order as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArrivalRow {
    /// Its first row.
    pub row: u64,
    /// The key of the order.
    pub order: String,
    /// What came.
    pub arrival: Arrival,
    /// What is billed with it; nothing when its entry is in the book already.
    pub bill: Option<ArrivalBill>,
    /// The key of its entry, where that is in the book already.
    pub entry: Option<String>,
}

/// A claim as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimRow {
    /// Its row.
    pub row: u64,
    /// The key of the order.
    pub order: String,
    /// The key of the arrival.
    pub arrival: String,
    /// The claim, its arrival still to be found.
    pub claim: crate::ordering::Claim,
    /// What was credited, and where it went, where that is to be written down.
    pub credit: Option<(Money, AccountId)>,
    /// The key of the credit's entry, where that is in the book already.
    pub entry: Option<String>,
    /// The number on the paper of the credit.
    pub reference: String,
}

/// Reads a sheet of orders.
///
/// # Errors
/// Every cell that cannot be, every order that holds what cannot be.
pub fn supplier_orders(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<OrderRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let whole = rows.places(&WHOLE_ORDER);
    let mut list = Vec::new();
    for (key, places) in rows.groups("order") {
        let first = places.first().copied().unwrap_or_default();
        let found_before = rows.faults.list().len();
        let mut order = None;
        let mut lines = Vec::new();
        for idx in &places {
            rows.same_as_first(first, *idx, &whole);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                order = order_of(&mut row, &key, context.currency).map(|order| OrderRow {
                    row: row.number,
                    order,
                });
            }
            lines.extend(order_line(&mut row, context.currency, items));
        }
        let Some(mut one) = order else { continue };
        one.order.lines = lines;
        let is_whole = rows.faults.list().len() == found_before;
        if let (true, Err(error)) = (is_whole, one.order.check()) {
            fault_at(&mut rows, &places, &error);
        }
        list.push(one);
    }
    rows.faults.into_result(list)
}

/// Says what is wrong on the row of the line it is about.
fn fault_at(rows: &mut Rows<'_>, places: &[usize], error: &OrderError) {
    let idx = places.get(error.line.unwrap_or_default());
    if let Some(mut row) = rows.at(idx.copied().unwrap_or_default()) {
        if row.is_in_sheet(error.field) {
            row.fault(error.field, error.message.clone());
        } else {
            row.row_fault(error.message.clone());
        }
    }
}

fn order_of(row: &mut Row<'_, '_>, key: &str, currency: &Currency) -> Option<SupplierOrder> {
    let supplier = row.needed("supplier");
    let ordered_on = row.date("ordered_on");
    let deals = match read_deals(row.text("deals"), |amount| currency.parse_plain(amount)) {
        Ok(deals) => Some(deals),
        Err(message) => {
            row.fault("deals", message);
            None
        }
    };
    let carriage = row.part("carriage");
    let lead_days = row.has("lead_days").then(|| row.count("lead_days", 0));
    let wanted_on = row.may_date("wanted_on");
    let over = row.value_or("over_percent", Percent::ZERO);
    let under = row.value_or("under_percent", Percent::ZERO);
    let no_unders = row.yes_no("no_unders", false);
    let billing = row.value_or("billing", Billing::default());
    let closed_on = row.may_date("closed_on");
    let mut order = SupplierOrder::new(key, supplier?, ordered_on?, Vec::new());
    order.deals = deals?;
    order.carriage = carriage?;
    order.lead_days = match lead_days {
        Some(days) => Some(days?),
        None => None,
    };
    order.wanted_on = wanted_on;
    order.over = over?;
    order.under = under?;
    order.no_unders = no_unders?;
    order.billing = billing?;
    order.closed_on = closed_on;
    row.text("reference").clone_into(&mut order.reference);
    row.text("note").clone_into(&mut order.note);
    Some(order)
}

fn order_line(row: &mut Row<'_, '_>, currency: &Currency, items: &Items) -> Option<OrderLine> {
    let item = items.needed(row, "item").map(|item| item.code.clone());
    let quantity = pieces(row, "quantity", None);
    let minimum = pieces(row, "minimum", Some(1));
    let tiers = tiers(row, currency);
    let once_per_design = row.part("once_per_design");
    let once_per_run = row.part("set_up");
    let is_first_run = row.yes_no("first_run", true);
    let mut line = OrderLine::new(item?, quantity?, tiers?);
    line.minimum = minimum?;
    line.once_per_design = once_per_design?;
    line.once_per_run = once_per_run?;
    line.is_first_run = is_first_run?;
    Some(line)
}

fn tiers(row: &mut Row<'_, '_>, currency: &Currency) -> Option<Vec<crate::deciding::PriceTier>> {
    let text = row.needed("tiers")?;
    let price = |each: &str| -> Result<UnitCost, String> {
        let major = each
            .parse()
            .map_err(|_not_a_number| format!("'{each}' is not a price"))?;
        UnitCost::from_major(major, currency).map_err(|error| error.to_string())
    };
    match read_tiers(text, price) {
        Ok(tiers) => Some(tiers),
        Err(message) => {
            row.fault("tiers", message);
            None
        }
    }
}

/// Whole pieces; `otherwise` when the cell is empty, a fault where there is none.
fn pieces(row: &mut Row<'_, '_>, column: &str, otherwise: Option<u64>) -> Option<u64> {
    let text = row.text(column);
    if text.is_empty() {
        if otherwise.is_none() {
            row.fault(column, "is empty");
        }
        return otherwise;
    }
    let count = text.parse().ok();
    if count.is_none() {
        row.fault(column, format!("'{text}' is not a whole number of pieces"));
    }
    count
}

/// Reads a sheet of what came of orders; rows of the same order and arrival are one arrival.
///
/// # Errors
/// Every cell that cannot be.
pub fn supplier_arrivals(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<ArrivalRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let whole = rows.places(&WHOLE_ARRIVAL);
    let mut list: Vec<ArrivalRow> = Vec::new();
    let mut firsts: Vec<usize> = Vec::new();
    for idx in 0..rows.len() {
        let Some((order, key)) = rows.at(idx).and_then(|mut row| {
            let (order, key) = (row.needed("order"), row.needed("arrival"));
            Some((order?.to_owned(), key?.to_owned()))
        }) else {
            continue;
        };
        let known = list.iter().position(|one| {
            one.order.eq_ignore_ascii_case(&order) && one.arrival.key.eq_ignore_ascii_case(&key)
        });
        let place = match known {
            Some(place) => {
                rows.same_as_first(firsts[place], idx, &whole);
                place
            }
            None => {
                let Some(one) = rows
                    .at(idx)
                    .and_then(|mut row| arrival_of(&mut row, order, key, context))
                else {
                    continue;
                };
                list.push(one);
                firsts.push(idx);
                list.len() - 1
            }
        };
        if let Some(mut row) = rows.at(idx) {
            arrival_line(&mut row, items, &mut list[place]);
        }
    }
    for (one, first) in list.iter().zip(&firsts) {
        let is_billed = one
            .bill
            .as_ref()
            .is_some_and(|bill| bill.total().is_positive());
        if let Some(mut row) = rows.at(*first)
            && is_billed
            && !row.has("paid_from")
        {
            row.fault("paid_from", "is empty; say how the bill was paid");
        }
    }
    rows.faults.into_result(list)
}

fn arrival_of(
    row: &mut Row<'_, '_>,
    order: String,
    key: String,
    context: Context<'_>,
) -> Option<ArrivalRow> {
    let entry = Some(row.text("entry").to_owned()).filter(|entry| !entry.is_empty());
    let is_kept = entry.is_some() || row.has("movement");
    let date = if is_kept {
        row.date("date")
    } else {
        context.open_day(row, "date")
    };
    let bill = if is_kept {
        for column in ["ahead", "carriage", "tax", "discount", "paid_from"] {
            row.refuse(column, "is what the entry says; leave it empty");
        }
        None
    } else {
        Some(bill_of(row, context)?)
    };
    Some(ArrivalRow {
        row: row.number,
        order,
        arrival: Arrival {
            id: 0,
            key,
            date: date?,
            entry: None,
            is_void: false,
            lines: Vec::new(),
        },
        bill,
        entry,
    })
}

fn bill_of(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<ArrivalBill> {
    let ahead = row.part("ahead");
    let carriage = row.part("carriage");
    let tax = row.part("tax");
    let discount = row.part("discount");
    // Pieces sent for nothing are paid with nothing.
    let paid_from = if row.has("paid_from") {
        payment(row, "paid_from", context)
    } else {
        Some(crate::happenings::Payment::OnBill)
    };
    let mut bill = ArrivalBill::nothing(0, paid_from?);
    bill.ahead = ahead?;
    bill.carriage = carriage?;
    bill.tax = tax?;
    bill.discount = discount?;
    row.text("reference").clone_into(&mut bill.reference);
    Some(bill)
}

fn arrival_line(row: &mut Row<'_, '_>, items: &Items, one: &mut ArrivalRow) {
    if !row.has("item") {
        for column in ["good", "spoiled", "billed", "movement"] {
            row.refuse(column, "belongs to a row with an item");
        }
        return;
    }
    let item = items.needed(row, "item").map(|item| item.code.clone());
    let good = pieces(row, "good", Some(0));
    let spoiled = pieces(row, "spoiled", Some(0));
    let billed = row.part("billed");
    if one.bill.is_none() {
        row.refuse("billed", "is what the entry says; leave it empty");
    }
    let movement: Option<u64> = row.may_value("movement");
    let (Some(item), Some(good), Some(spoiled), Some(billed)) = (item, good, spoiled, billed)
    else {
        return;
    };
    if good + spoiled == 0 {
        row.fault("good", "say how many came, good or spoiled");
        return;
    }
    one.arrival.lines.push(ArrivalLine {
        item,
        good,
        spoiled,
        movement: movement.map(MovementId),
    });
    if let Some(bill) = &mut one.bill {
        bill.billed.push(billed);
    }
}

/// Reads a sheet of claims.
///
/// # Errors
/// Every cell that cannot be.
pub fn supplier_claims(
    sheet: &Sheet,
    context: Context<'_>,
    items: &Items,
) -> Result<Vec<ClaimRow>, Faults> {
    Rows::read(sheet, context.currency, |row| claim(row, context, items))
}

fn claim(row: &mut Row<'_, '_>, context: Context<'_>, items: &Items) -> Option<ClaimRow> {
    let key = row.needed("claim");
    let order = row.needed("order");
    let arrival = row.needed("arrival");
    let opened_on = row.date("opened_on");
    let amount = row.positive("amount");
    let item = if row.has("item") {
        Some(items.needed(row, "item").map(|item| item.code.clone()))
    } else {
        None
    };
    let count = pieces(row, "pieces", Some(0));
    let what = row.value_or("what", ClaimWhat::Spoiled);
    let state = row.value_or("state", ClaimState::Open);
    let settled_on = row.may_date("settled_on");
    let entry = Some(row.text("entry").to_owned()).filter(|entry| !entry.is_empty());
    let mut credit = None;
    match state? {
        ClaimState::Open => {
            for column in ["settled_on", "credited", "paid_into", "entry"] {
                row.refuse(column, "belongs to a claim that is settled");
            }
        }
        ClaimState::Refused => {
            row.date("settled_on")?;
            for column in ["credited", "paid_into", "entry"] {
                row.refuse(column, "belongs to a claim that was credited");
            }
        }
        ClaimState::Credited if entry.is_some() => {
            row.date("settled_on")?;
            for column in ["credited", "paid_into"] {
                row.refuse(column, "is what the entry says; leave it empty");
            }
        }
        ClaimState::Credited => {
            let on = context.open_day(row, "settled_on");
            let much = row.positive("credited");
            let into = row.account("paid_into", context.chart);
            on?;
            credit = Some((much?, into?));
        }
    }
    let item = match item {
        Some(code) => Some(code?),
        None => None,
    };
    let mut claim = crate::ordering::Claim::new(key?, 0, item, opened_on?, count?, amount?);
    claim.what = what?;
    claim.state = state?;
    claim.settled_on = settled_on;
    row.text("note").clone_into(&mut claim.note);
    Some(ClaimRow {
        row: row.number,
        order: order?.to_owned(),
        arrival: arrival?.to_owned(),
        claim,
        credit,
        entry,
        reference: row.text("reference").to_owned(),
    })
}
