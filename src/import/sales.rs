//! A sheet of sales, one row a line; rows of the same key are one sale. Amounts beside the lines add up over its rows.
//! What a sale writes is the happening's business.

use std::collections::BTreeSet;

use super::{Brought, Context, Faults, Items, Row, Rows, Sheet};
use crate::happenings::{Fee, FeeKind, Happening, Sale, SaleDetails, SaleLine};
use crate::ledger::Chart;
use crate::money::{Currency, Money};
use crate::stock::{Movement, MovementId, MovementKind};

/// The columns about the sale as a whole, that its other rows may repeat but not change.
const SALE: [&str; 3] = ["date", "paid_into", "reference"];

/// Names under `paid_into` that the chart does not know: sales channels to be opened. A number that is not known
/// is no name and stays a fault of its row.
#[must_use]
pub fn new_channels(sheet: &Sheet, chart: &Chart, currency: &Currency) -> Vec<String> {
    let mut rows = Rows::new(sheet, currency);
    let mut names = Vec::new();
    let mut seen = BTreeSet::new();
    for idx in 0..rows.len() {
        let Some(row) = rows.at(idx) else {
            continue;
        };
        let name = row.text("paid_into");
        let is_number = name.chars().all(|c| c.is_ascii_digit());
        if !is_number && chart.find(name).is_err() && seen.insert(name.to_lowercase()) {
            names.push(name.to_owned());
        }
    }
    names
}

/// Reads a sheet of sales. The channels it names must be in the chart by now.
///
/// # Errors
/// Every cell that cannot be, every sale that the books refuse.
pub fn sales(sheet: &Sheet, context: Context<'_>, items: &Items) -> Result<Vec<Brought>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let common = rows.places(&SALE);
    let mut list = Vec::new();
    for (key, places) in rows.groups("sale") {
        let found_before = rows.faults.list().len();
        let first = places.first().copied().unwrap_or_default();
        let mut details = None;
        let mut taken = Vec::new();
        for idx in &places {
            rows.same_as_first(first, *idx, &common);
            let Some(mut row) = rows.at(*idx) else {
                continue;
            };
            if *idx == first {
                details = sale_of(&mut row, &key, context);
            }
            add_row(&mut row, details.as_mut(), items);
            taken.extend(taken_from(&row, details.as_ref(), items));
        }
        let Some(details) = details.filter(|_| rows.faults.list().len() == found_before) else {
            continue;
        };
        match Sale::new(details).and_then(|sale| sale.recording(context.chart)) {
            Ok(mut recording) => {
                // Where all leaves from home, the lines say enough.
                if taken.iter().any(|one: &Movement| !one.place.is_empty()) {
                    recording.movements = taken;
                }
                list.push(Brought::of(&mut rows, first, recording));
            }
            Err(error) => {
                let idx = places.get(error.line().unwrap_or_default()).copied();
                if let Some(mut row) = rows.at(idx.unwrap_or(first)) {
                    row.happening_fault(&error, context.currency);
                }
            }
        }
    }
    rows.faults.into_result(list)
}

fn sale_of(row: &mut Row<'_, '_>, key: &str, context: Context<'_>) -> Option<SaleDetails> {
    let date = context.open_day(row, "date");
    let paid_into = row.account("paid_into", context.chart);
    let mut details = SaleDetails::new(date?, paid_into?, Vec::new());
    row.text("reference").clone_into(&mut details.reference);
    key.clone_into(&mut details.document);
    Some(details)
}

/// Adds a row's line and its amounts. Every cell is read even when the sale cannot be, so that all faults are told.
fn add_row(row: &mut Row<'_, '_>, details: Option<&mut SaleDetails>, items: &Items) {
    let amount = row.positive("amount");
    let kept = items.find(row.text("item"));
    let bundle = items.bundle(row.text("item"));
    let quantity = row.quantity("quantity");
    if let Some(item) = kept.filter(|item| item.kind.is_sold())
        && !row.has("quantity")
    {
        row.fault(
            "quantity",
            format!(
                "say how many {} of {} were sold",
                item.unit.plural(),
                item.name
            ),
        );
    }
    if let Some(bundle) = bundle
        && !row.has("quantity")
    {
        row.fault(
            "quantity",
            format!("say how many of {} were sold", bundle.name),
        );
    }
    let sums = ["discount", "postage", "tax_ours", "tax_by_channel"].map(|column| row.part(column));
    let fees = FeeKind::ALL.map(|kind| {
        let amount = row.part(fee_column(kind)).unwrap_or(Money::ZERO);
        Fee::new(kind, amount)
    });
    let (Some(details), Some(amount)) = (details, amount) else {
        return;
    };
    let name = kept
        .map(|item| item.name.as_str())
        .or(bundle.map(|bundle| bundle.name.as_str()));
    let code = kept
        .map(|item| item.code.as_str())
        .or(bundle.map(|bundle| bundle.code.as_str()));
    let description = match row.text("description") {
        "" => name.unwrap_or_default(),
        text => text,
    };
    let mut line = SaleLine::new(amount, description);
    line.quantity = quantity;
    line.item = Some(code.unwrap_or(row.text("item")))
        .filter(|item| !item.is_empty())
        .map(str::to_owned);
    details.lines.push(line);
    let places = [
        &mut details.discount,
        &mut details.postage,
        &mut details.tax_ours,
        &mut details.tax_by_channel,
    ];
    for (place, sum) in places.into_iter().zip(sums) {
        *place += sum.unwrap_or(Money::ZERO);
    }
    for fee in fees.into_iter().filter(|fee| !fee.amount.is_zero()) {
        match details.fees.iter_mut().find(|known| known.kind == fee.kind) {
            Some(known) => known.amount += fee.amount,
            None => details.fees.push(fee),
        }
    }
}

/// The pieces that a row takes from the place it names: those of its item, or the parts of its set.
fn taken_from(row: &Row<'_, '_>, details: Option<&SaleDetails>, items: &Items) -> Vec<Movement> {
    let Some(line) = details.and_then(|details| details.lines.last()) else {
        return Vec::new();
    };
    let (Some(code), Some(quantity)) = (&line.item, line.quantity) else {
        return Vec::new();
    };
    let parts = match (items.find(code), items.bundle(code)) {
        (Some(item), _) if item.kind.is_sold() => vec![(item.code.clone(), quantity)],
        (None, Some(bundle)) => bundle
            .parts_for(quantity)
            .into_iter()
            .map(|part| (part.item, part.quantity))
            .collect(),
        _ => Vec::new(),
    };
    let date = details.map(|details| details.date).unwrap_or_default();
    parts
        .into_iter()
        .map(|(item, quantity)| {
            let mut one = Movement::new(MovementId(0), date, item, MovementKind::Sell, quantity);
            row.text("place").clone_into(&mut one.place);
            one
        })
        .collect()
}

const fn fee_column(kind: FeeKind) -> &'static str {
    match kind {
        FeeKind::Listing => "fee_listing",
        FeeKind::Commission => "fee_commission",
        FeeKind::Processing => "fee_processing",
        FeeKind::Other => "fee_other",
    }
}
