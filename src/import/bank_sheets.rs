//! Sheets of what came in with statements: the files, their lines and what became of them, rules, choices, and
//! accounts against their statements. Reading a bank's own file is `bank`'s.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::layouts::{Layout, may, needed};
use super::{Context, Faults, Row, Rows, Sheet};
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::reconciling::{Reconciliation, Ticked};
use crate::sorting::{Choice, Direction, Payee, Rule, Treatment};

/// Statements of banks and cards that lie beside the sheet.
pub const STATEMENTS: Layout = Layout {
    kind: "statements",
    columns: &[needed("file"), needed("account"), may("layout")],
};

/// Statement files that were brought in.
pub const STATEMENT_FILES: Layout = Layout {
    kind: "statement-files",
    columns: &[
        needed("file"),
        needed("account"),
        needed("name"),
        needed("hash"),
        needed("format"),
        may("brought_at"),
        may("closing_day"),
        may("closing_balance"),
        may("bank_account"),
    ],
};

/// Lines of statement files and what became of them.
pub const STATEMENT_LINES: Layout = Layout {
    kind: "statement-lines",
    columns: &[
        needed("file"),
        needed("row"),
        needed("date"),
        needed("amount"),
        may("text"),
        may("bank_id"),
        may("balance"),
        may("became"),
        may("entries"),
        may("why"),
        may("line"),
    ],
};

/// Rules by which statement lines are sorted.
pub const SORTING_RULES: Layout = Layout {
    kind: "sorting-rules",
    columns: &[
        needed("words"),
        needed("becomes"),
        may("account"),
        may("party"),
        may("business_share"),
        may("for_account"),
        may("direction"),
        may("at_least"),
        may("at_most"),
        may("active"),
    ],
};

/// What payees' lines were made into before.
pub const SORTING_CHOICES: Layout = Layout {
    kind: "sorting-choices",
    columns: &[
        needed("payee"),
        needed("direction"),
        needed("becomes"),
        may("account"),
        may("party"),
        may("business_share"),
        needed("times"),
        needed("last_day"),
    ],
};

/// Accounts against their statements, one row a movement.
pub const RECONCILIATIONS: Layout = Layout {
    kind: "reconciliations",
    columns: &[
        needed("reconciliation"),
        needed("account"),
        needed("day"),
        needed("balance"),
        may("opening"),
        may("finished_at"),
        may("note"),
        may("entry"),
        may("date"),
        may("amount"),
        may("ticked"),
    ],
};

/// A statement that lies beside a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementRow {
    /// Its row.
    pub row: u64,
    /// The file, from the sheet on.
    pub file: String,
    /// The account it is of.
    pub account: AccountId,
    /// The kept layout to read it by; empty where it is recognised.
    pub layout: String,
}

/// Reads a sheet of statements that lie beside it.
///
/// # Errors
/// Every cell that cannot be.
pub fn statements(sheet: &Sheet, context: Context<'_>) -> Result<Vec<StatementRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let file = row.needed("file").map(str::to_owned);
        let account = row.account("account", context.chart);
        Some(StatementRow {
            row: row.number,
            file: file?,
            account: account?,
            layout: row.text("layout").to_owned(),
        })
    })
}

/// A statement file as a sheet tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementFileRow {
    /// Its row.
    pub row: u64,
    /// Its key within the sheets.
    pub key: String,
    /// The account.
    pub account: AccountId,
    /// The file's name.
    pub name: String,
    /// Its SHA-256 in hexadecimal.
    pub hash: String,
    /// What it is written in.
    pub format: String,
    /// When it was brought in, as UTC; empty for now.
    pub brought_at: String,
    /// The balance it closes with and the day.
    pub closing: Option<(NaiveDate, Money)>,
    /// The account as the bank names it; may be empty.
    pub bank_account: String,
}

/// Reads a sheet of statement files.
///
/// # Errors
/// Every cell that cannot be.
pub fn statement_files(
    sheet: &Sheet,
    context: Context<'_>,
) -> Result<Vec<StatementFileRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let key = row.needed("file").map(str::to_owned);
        let account = row.account("account", context.chart);
        let name = row.needed("name").map(str::to_owned);
        let hash = row.needed("hash").map(str::to_owned);
        let format = row.needed("format").map(str::to_owned);
        let day = row.may_date("closing_day");
        let balance = row.may_amount("closing_balance");
        if day.is_some() != balance.is_some() {
            row.fault("closing_balance", "stands with its day, or not at all");
        }
        let is_hash =
            |hash: &String| hash.len() == 64 && hash.bytes().all(|b| b.is_ascii_hexdigit());
        if hash.as_ref().is_some_and(|hash| !is_hash(hash)) {
            row.fault("hash", "is not a SHA-256 in hexadecimal");
        }
        Some(StatementFileRow {
            row: row.number,
            key: key?,
            account: account?,
            name: name?,
            hash: hash?,
            format: format?,
            brought_at: row.text("brought_at").to_owned(),
            closing: day.zip(balance),
            bank_account: row.text("bank_account").to_owned(),
        })
    })
}

/// What a sheet says became of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LineBecame {
    /// It is to be sorted.
    Nothing,
    /// It belongs to these entries, posted from it or not.
    Entries(Vec<EntryNumber>, bool),
    /// It was left out, for this reason.
    LeftOut(String),
}

/// A statement line as a sheet tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementLineRow {
    /// Its row in the sheet.
    pub row: u64,
    /// The key of its file.
    pub file: String,
    /// Its row in the bank's file.
    pub file_row: u64,
    /// The day.
    pub date: NaiveDate,
    /// The amount, positive for money that came in.
    pub amount: Money,
    /// What the bank wrote.
    pub text: String,
    /// The bank's own number of it.
    pub bank_id: Option<String>,
    /// The balance after it.
    pub balance: Option<Money>,
    /// What became of it.
    pub became: LineBecame,
    /// Its number in the book that wrote it out.
    pub line: Option<i64>,
}

/// Reads a sheet of statement lines.
///
/// # Errors
/// Every cell that cannot be.
pub fn statement_lines(
    sheet: &Sheet,
    context: Context<'_>,
) -> Result<Vec<StatementLineRow>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let file = row.needed("file").map(str::to_owned);
        let file_row = row.value::<u64>("row");
        let date = row.date("date");
        let amount = row.amount("amount");
        let balance = row.may_amount("balance");
        if amount.is_some_and(Money::is_zero) {
            row.fault("amount", "a line that moves nothing is not kept");
        }
        let became = became(row);
        let line = row.may_value::<i64>("line");
        if line.is_some_and(|line| line < 1) {
            row.fault("line", "is a number from 1");
        }
        Some(StatementLineRow {
            row: row.number,
            file: file?,
            file_row: file_row?,
            date: date?,
            amount: amount?,
            text: row.text("text").to_owned(),
            bank_id: Some(row.text("bank_id").to_owned()).filter(|id| !id.is_empty()),
            balance,
            became: became?,
            line,
        })
    })
}

fn became(row: &mut Row<'_, '_>) -> Option<LineBecame> {
    let numbers: Result<Vec<EntryNumber>, _> = row
        .text("entries")
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| part.trim_start_matches('#').parse().map(EntryNumber))
        .collect();
    let Ok(numbers) = numbers else {
        row.fault("entries", "are numbers of entries, parted by ;");
        return None;
    };
    match row.text("became") {
        "" if numbers.is_empty() => Some(LineBecame::Nothing),
        "" => Some(LineBecame::Entries(numbers, false)),
        word @ ("posted" | "matched") => {
            if numbers.is_empty() {
                row.fault("entries", "name the entries that it became");
                return None;
            }
            Some(LineBecame::Entries(numbers, word == "posted"))
        }
        "left-out" => {
            let why = row.needed("why")?.to_owned();
            Some(LineBecame::LeftOut(why))
        }
        other => {
            let message = format!("'{other}' is none of posted, matched and left-out");
            row.fault("became", message);
            None
        }
    }
}

/// What a row says is made of lines.
fn treatment(row: &mut Row<'_, '_>, context: Context<'_>) -> Option<Treatment> {
    let meaning = row.value("becomes");
    let account = row.may_account("account", context.chart);
    let share = row.share("business_share");
    let mut treatment = Treatment::new(meaning?);
    treatment.account = account;
    row.text("party").clone_into(&mut treatment.party);
    treatment.share = share?;
    Some(treatment)
}

/// Reads a sheet of rules for sorting, with the row of each.
///
/// # Errors
/// Every cell that cannot be.
pub fn sorting_rules(sheet: &Sheet, context: Context<'_>) -> Result<Vec<(u64, Rule)>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let words = row.needed("words").map(str::to_owned);
        let treatment = treatment(row, context);
        let for_account = row.may_account("for_account", context.chart);
        let direction = row.value_or("direction", Direction::Either);
        let at_least = row.may_amount("at_least");
        let at_most = row.may_amount("at_most");
        let is_active = row.yes_no("active", true);
        let mut rule = Rule::new(words?, direction?, treatment?);
        rule.account = for_account;
        rule.at_least = at_least;
        rule.at_most = at_most;
        rule.is_active = is_active?;
        if let Err(message) = rule.check() {
            row.row_fault(message);
            return None;
        }
        Some((row.number, rule))
    })
}

/// Reads a sheet of what payees' lines were made into.
///
/// # Errors
/// Every cell that cannot be.
pub fn sorting_choices(sheet: &Sheet, context: Context<'_>) -> Result<Vec<Choice>, Faults> {
    Rows::read(sheet, context.currency, |row| {
        let payee = row.needed("payee").map(str::to_owned);
        let direction: Option<Direction> = row.value("direction");
        if direction == Some(Direction::Either) {
            row.fault("direction", "is in or out");
        }
        let treatment = treatment(row, context);
        let times = row.count("times", 1);
        let last_day = row.date("last_day");
        Some(Choice {
            payee: Payee::kept(payee?),
            direction: direction?,
            treatment: treatment?,
            times: times?,
            last_day: last_day?,
        })
    })
}

/// Reads a sheet of accounts against their statements: one row a movement, rows of one key are one sheet.
///
/// # Errors
/// Every cell that cannot be.
pub fn reconciliations(
    sheet: &Sheet,
    context: Context<'_>,
) -> Result<Vec<(u64, Reconciliation)>, Faults> {
    let rows = Rows::read(sheet, context.currency, |row| {
        let key = row.needed("reconciliation").map(str::to_owned);
        let account = row.account("account", context.chart);
        let day = row.date("day");
        let balance = row.amount("balance");
        let opening = row.amount_or_nothing("opening");
        let moved = row.has("entry").then(|| {
            let entry = row.value::<u64>("entry");
            let date = row.date("date");
            let amount = row.amount("amount");
            let is_ticked = row.yes_no("ticked", true);
            let one = Ticked {
                entry: EntryNumber(entry?),
                date: date?,
                amount: amount?,
            };
            Some((one, is_ticked?))
        });
        let finished = row.text("finished_at");
        let kept = Reconciliation {
            id: row.text("reconciliation").parse().unwrap_or_default(),
            account: account?,
            day: day?,
            balance: balance?,
            opening: opening?,
            finished_at: Some(finished.to_owned()).filter(|at| !at.is_empty()),
            note: row.text("note").to_owned(),
            ticked: Vec::new(),
            outstanding: Vec::new(),
        };
        let moved = match moved {
            None => None,
            Some(moved) => Some(moved?),
        };
        Some((row.number, key?, kept, moved))
    })?;
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut list: Vec<(u64, Reconciliation)> = Vec::new();
    for (number, key, kept, moved) in rows {
        let place = *places.entry(key).or_insert_with(|| {
            list.push((number, kept));
            list.len() - 1
        });
        let Some((one, is_ticked)) = moved else {
            continue;
        };
        let (_, into) = &mut list[place];
        if is_ticked {
            into.ticked.push(one);
        } else {
            into.outstanding.push(one);
        }
    }
    Ok(list)
}
