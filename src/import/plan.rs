//! Sheets of the start-up plan: its lines, its money, the purchases that belong to it, and accounts that count under
//! another group of the cost to start. Whether an entry is there is for whoever holds the ledger.

use super::{Context, Faults, Row, Rows, Sheet};
use crate::dates::Month;
use crate::ledger::AccountId;
use crate::money::Currency;
use crate::plan::{CostRange, Need, Plan, PlanError, PlanLine, PlanMoney, read_month};
use crate::statements::StartUpGroup;

/// A row being read: the line, and whether its cell says that it is chosen.
struct Said {
    row: u64,
    line: PlanLine,
    is_chosen: Option<bool>,
}

/// Reads a sheet of lines that join a plan.
///
/// # Errors
/// Every cell that cannot be, every line that does not fit the others.
pub fn plan(sheet: &Sheet, currency: &Currency, before: &Plan) -> Result<Vec<PlanLine>, Faults> {
    let mut rows = Rows::new(sheet, currency);
    let mut said = Vec::new();
    for idx in 0..rows.len() {
        if let Some(mut row) = rows.at(idx) {
            said.extend(line(&mut row));
        }
    }
    let mut faults = std::mem::take(&mut rows.faults);
    if faults.is_empty() {
        group(&mut said, before, &mut faults);
    }
    if faults.is_empty() {
        choose(&mut said, before);
        fit(&said, before, &mut faults);
    }
    faults.into_result(said.into_iter().map(|one| one.line).collect())
}

fn line(row: &mut Row<'_, '_>) -> Option<Said> {
    let name = row.needed("name");
    let kind = row.value("kind");
    let how = row.may_value("how");
    let likely = row.part_needed("likely");
    let low = row.has("low").then(|| row.part("low"));
    let high = row.has("high").then(|| row.part("high"));
    let need = row.value_or("need", Need::Must);
    let month = month(row);
    let is_chosen = row
        .has("chosen")
        .then(|| row.yes_no("chosen", true))
        .flatten();
    let (name, kind, likely) = (name?, kind?, likely?);
    let mut line = PlanLine::new(name, kind, likely);
    line.how = how;
    line.cost = CostRange {
        low: low.unwrap_or(Some(likely))?,
        likely,
        high: high.unwrap_or(Some(likely))?,
    };
    line.need = need?;
    line.month = month;
    line.alternative_of = Some(row.text("alternative_of").to_owned()).filter(|of| !of.is_empty());
    row.text("note").clone_into(&mut line.note);
    if let Err(error) = line.check() {
        plan_fault(row, &error);
        return None;
    }
    Some(Said {
        row: row.number,
        line,
        is_chosen,
    })
}

fn plan_fault(row: &mut Row<'_, '_>, error: &PlanError) {
    if row.is_in_sheet(error.field) {
        row.fault(error.field, error.message.clone());
    } else {
        row.row_fault(error.to_string());
    }
}

fn month(row: &mut Row<'_, '_>) -> Option<Month> {
    if !row.has("month") {
        return None;
    }
    match read_month(row.text("month")) {
        Ok(month) => Some(month),
        Err(message) => {
            row.fault("month", message);
            None
        }
    }
}

/// Leads each other way to the first line of its group, by way of other ways where a sheet names those.
fn group(said: &mut [Said], before: &Plan, faults: &mut Faults) {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let lines: Vec<PlanLine> = before
        .lines
        .iter()
        .chain(said.iter().map(|one| &one.line))
        .cloned()
        .collect();
    for one in said {
        let Some(mut of) = one.line.alternative_of.clone() else {
            continue;
        };
        let mut steps = 0;
        loop {
            let Some(first) = lines.iter().find(|line| same(&line.name, &of)) else {
                let message = format!("there is no '{of}' in the sheet or in the plan");
                faults.cell(one.row, "alternative_of", message);
                break;
            };
            steps += 1;
            match &first.alternative_of {
                None => {
                    one.line.alternative_of = Some(first.name.clone());
                    break;
                }
                Some(_) if steps > lines.len() => {
                    let message = "these lines are each another way of the other; one of them must stand first";
                    faults.cell(one.row, "alternative_of", message);
                    break;
                }
                Some(next) => of = next.clone(),
            }
        }
    }
}

/// Where nothing is said, the first of a group counts and the others do not; a line on its own counts.
fn choose(said: &mut [Said], before: &Plan) {
    let group = |line: &PlanLine| line.group().trim().to_lowercase();
    let is_said: Vec<String> = said
        .iter()
        .filter(|one| one.is_chosen == Some(true))
        .map(|one| group(&one.line))
        .chain(before.counted().map(group))
        .collect();
    for one in said {
        let is_first = one.line.alternative_of.is_none();
        one.line.is_chosen = one
            .is_chosen
            .unwrap_or(is_first && !is_said.contains(&group(&one.line)));
    }
}

/// Says what is wrong with the lines together, each fault at its row.
fn fit(said: &[Said], before: &Plan, faults: &mut Faults) {
    let known = before.lines.len();
    let mut whole = before.clone();
    whole.lines.extend(said.iter().map(|one| one.line.clone()));
    for (idx, error) in whole.faults() {
        // What is wrong at a line that was there before is told at the first row of its group.
        let group = whole.lines[idx].group().to_lowercase();
        let row = match idx.checked_sub(known) {
            Some(idx) => said.get(idx),
            None => said
                .iter()
                .find(|one| one.line.group().to_lowercase() == group),
        };
        match row {
            Some(one) => faults.cell(one.row, error.field, error.message),
            None => faults.file(error.message),
        }
    }
}

/// Reads a sheet of money that there is for starting.
///
/// # Errors
/// Every cell that cannot be.
pub fn plan_money(sheet: &Sheet, currency: &Currency) -> Result<Vec<PlanMoney>, Faults> {
    Rows::read(sheet, currency, |row| {
        let amount = row.positive("amount");
        let month = month(row);
        Some(PlanMoney {
            id: 0,
            month,
            amount: amount?,
            note: row.text("note").to_owned(),
        })
    })
}

/// A purchase that belongs to a line of the plan, as a sheet gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanPurchaseRow {
    /// Its row.
    pub row: u64,
    /// The name of the line.
    pub plan: String,
    /// The entry: the key of its document, or `#` and its number.
    pub entry: String,
    /// Which of the entry's lines, by what they say; all when empty.
    pub what: String,
}

/// Reads a sheet of purchases that belong to lines of the plan.
///
/// # Errors
/// Every cell that cannot be.
pub fn plan_purchases(sheet: &Sheet, currency: &Currency) -> Result<Vec<PlanPurchaseRow>, Faults> {
    Rows::read(sheet, currency, |row| {
        let plan = row.needed("plan");
        let entry = row.needed("entry");
        Some(PlanPurchaseRow {
            row: row.number,
            plan: plan?.to_owned(),
            entry: entry?.to_owned(),
            what: row.text("what").to_owned(),
        })
    })
}

/// Reads a sheet of accounts that count under another group of the cost to start.
///
/// # Errors
/// Every cell that cannot be.
pub fn start_up_marks(
    sheet: &Sheet,
    context: Context<'_>,
) -> Result<Vec<(u64, AccountId, StartUpGroup)>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let account = row.account("account", context.chart);
        let counts = row.value("counts_as");
        Some((row.number, account?, counts?))
    })
}
