//! A sheet of equipment: rows of the register, with the entry that bought a piece and the end of one that has gone.
//! Whether the ledger holds an end already is for whoever holds the ledger.

use std::collections::HashSet;

use chrono::NaiveDate;

use super::purchases::payment;
use super::{Context, Faults, Row, Rows, Sheet};
use crate::depreciation::{
    Condition, Convention, Disposal, Equipment, EquipmentError, TermsChange,
};
use crate::happenings::{
    BroughtIn, BroughtInDetails, BroughtInto, EquipmentDetails, Happening, HappeningError, Payment,
    Purchase, PurchaseDetails, PurchaseLine, Recording, Worth,
};
use crate::ledger::{AccountId, Origin, Role};

/// A piece of equipment as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EquipmentRow {
    /// Its row.
    pub row: u64,
    /// Its row of the register, still there.
    pub equipment: Equipment,
    /// The entry that buys it, unless its cost is in the ledger already. It brings the row of the register with it.
    pub bought: Option<Recording>,
    /// Its end, with the account that received the money.
    pub end: Option<(Disposal, Option<AccountId>)>,
    /// The number of the entry that bought it, where the ledger has it.
    pub purchase_entry: Option<u64>,
    /// Whether the sheet says what was charged before the book began.
    pub says_charged_before: bool,
}

/// Reads a sheet of equipment.
///
/// # Errors
/// Every cell that cannot be, every piece that cannot wear as it says.
pub fn equipment(sheet: &Sheet, context: Context<'_>) -> Result<Vec<EquipmentRow>, Faults> {
    let mut rows = Rows::new(sheet, context.currency);
    let mut names = HashSet::new();
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        if let Some(name) = row.needed("name")
            && !names.insert(name.to_lowercase())
        {
            row.fault("name", format!("'{name}' is in the sheet twice"));
        }
        let piece = piece(&mut row, context);
        let end = end(&mut row, context);
        let purchase_entry = row.may_value("purchase_entry");
        let says_charged_before = row.has("charged_before");
        let (Some(equipment), Some(end)) = (piece, end) else {
            continue;
        };
        if let Err(error) = equipment.check() {
            equipment_fault(&mut row, &error);
            continue;
        }
        if let Some((disposal, _into)) = &end
            && let Err(error) = equipment.check_disposal(disposal)
        {
            equipment_fault(&mut row, &error);
            continue;
        }
        let Some(bought) = bought(&mut row, &equipment, &sheet.file, context) else {
            continue;
        };
        list.push(EquipmentRow {
            row: row.number,
            equipment,
            bought,
            end,
            purchase_entry,
            says_charged_before,
        });
    }
    rows.faults.into_result(list)
}

fn equipment_fault(row: &mut Row<'_, '_>, error: &EquipmentError) {
    match error {
        EquipmentError::Field { field, message } if row.is_in_sheet(field) => {
            row.fault(field, message.clone());
        }
        other => row.row_fault(other.to_string()),
    }
}

fn piece(row: &mut Row<'_, '_>, _context: Context<'_>) -> Option<Equipment> {
    let bought_on = row.date("bought_on");
    let in_service_on = row.date("in_service_on");
    let cost = row.part_needed("cost");
    let life_months = row.count("life_months", 1);
    let residual = row.part("residual");
    let business_share = row.share("business_share");
    let convention = row.value_or("convention", Convention::default());
    let condition = row.value_or("condition", Condition::default());
    let tax_part = row.part("tax_part");
    let delivery_part = row.part("delivery_part");
    let charged_before = row.part("charged_before");
    let name = row.text("name").to_owned();
    Some(Equipment {
        key: Some(row.text("key"))
            .filter(|key| !key.is_empty())
            .map_or_else(|| name.clone(), str::to_owned),
        name,
        supplier: row.text("supplier").to_owned(),
        bought_on: bought_on?,
        in_service_on: in_service_on?,
        cost: cost?,
        tax_part: tax_part?,
        delivery_part: delivery_part?,
        residual: residual?,
        life_months: life_months?,
        business_share: business_share?,
        convention: convention?,
        condition: condition?,
        serial: row.text("serial").to_owned(),
        location: row.text("location").to_owned(),
        purchase_entry: None,
        charged_before: charged_before?,
        changes: Vec::new(),
        disposal: None,
    })
}

type End = Option<(Disposal, Option<AccountId>)>;

fn end(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<End> {
    if !row.has("disposed_on") {
        for column in ["proceeds", "proceeds_into"] {
            row.refuse(
                column,
                "belongs to a piece that has gone; disposed_on is empty",
            );
        }
        return Some(None);
    }
    let on = row.may_date("disposed_on");
    let proceeds = row.part("proceeds");
    let into = row.may_account("proceeds_into", context.chart);
    if row.has("proceeds_into") && into.is_none() {
        return None;
    }
    Some(Some((
        Disposal {
            on: on?,
            proceeds: proceeds?,
        },
        into,
    )))
}

/// The entry that buys the piece; `Some(None)` when its cost is in the ledger already.
fn bought(
    row: &mut Row<'_, '_>,
    equipment: &Equipment,
    file: &str,
    context: Context<'_>,
) -> Option<Option<Recording>> {
    if row.text("paid_from") == "none" {
        return Some(None);
    }
    let paid_from = payment(row, "paid_from", context);
    let date = context.open_day(row, "bought_on");
    let made = recording_of(equipment, paid_from?, date?, context);
    match made {
        Ok(mut recording) => {
            recording.entry.header.origin = Origin::Brought {
                file: file.to_owned(),
                row: row.number,
            };
            // The sheet says more about the piece than the happening asks.
            recording.equipment = vec![equipment.clone()];
            Some(Some(recording))
        }
        Err(error) => {
            row.happening_fault(&error, context.currency);
            None
        }
    }
}

fn recording_of(
    equipment: &Equipment,
    paid_from: Payment,
    date: NaiveDate,
    context: Context<'_>,
) -> Result<Recording, HappeningError> {
    let details = EquipmentDetails {
        name: equipment.key.clone(),
        life_months: equipment.life_months,
        residual: equipment.residual,
        in_service_on: equipment.in_service_on,
        convention: equipment.convention,
        condition: equipment.condition,
        serial: equipment.serial.clone(),
        location: equipment.location.clone(),
    };
    if equipment.condition == Condition::BroughtIn && paid_from.is_own_pocket() {
        return BroughtIn::new(BroughtInDetails {
            date,
            description: equipment.name.clone(),
            into: BroughtInto::Equipment(details, equipment.business_share),
            worth: Worth::Given(equipment.cost),
            how_known: String::new(),
            quantity: None,
            item: None,
        })?
        .recording(context.chart);
    }
    let account = context.chart.role(Role::Equipment)?;
    let mut line = PurchaseLine::new(account, equipment.cost, equipment.name.as_str());
    line.business_share = equipment.business_share;
    line.equipment = Some(details);
    let supplier = match equipment.supplier.as_str() {
        "" => "Supplier not noted",
        known => known,
    };
    Purchase::new(PurchaseDetails::new(date, supplier, paid_from, vec![line]))?
        .recording(context.chart)
}

/// New terms of a piece, from a sheet of equipment changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TermsRow {
    /// Its row.
    pub row: u64,
    /// The piece's key or name.
    pub equipment: String,
    /// The terms.
    pub change: TermsChange,
}

/// Reads a sheet of changed terms.
///
/// # Errors
/// Every cell that cannot be.
pub fn equipment_changes(sheet: &Sheet, context: Context<'_>) -> Result<Vec<TermsRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let equipment = row.needed("equipment");
        let from = context.open_day(row, "from");
        let life_months = row.count("life_months", 1);
        let residual = row.part("residual");
        let business_share = row.share("business_share");
        let reason = row.needed("reason");
        Some(TermsRow {
            row: row.number,
            equipment: equipment?.to_owned(),
            change: TermsChange {
                from: from?,
                life_months: life_months?,
                residual: residual?,
                business_share: business_share?,
                reason: reason?.to_owned(),
            },
        })
    })
}
