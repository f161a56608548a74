//! A sheet of accounts: which are there, what they are called, where they stand.
//! Whether a row adds or changes an account is decided by whoever holds the chart.

use std::collections::HashSet;

use super::{Faults, Rows, Sheet};
use crate::ledger::{AccountClass, Role};
use crate::money::Currency;

/// An account as a sheet gives it. What the sheet does not give is `None`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountRow {
    /// Its row.
    pub row: u64,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// Its class.
    pub class: AccountClass,
    /// Its group in the statements.
    pub group: Option<String>,
    /// Whether it reduces its class.
    pub is_contra: Option<bool>,
    /// Its line on a tax form; empty takes it away.
    pub form_line: Option<String>,
    /// Whether it is offered for new entries.
    pub is_active: Option<bool>,
    /// What the program uses it for.
    pub role: Option<Role>,
}

impl AccountRow {
    /// The group of a new account of this class that names none.
    #[must_use]
    pub const fn usual_group(class: AccountClass) -> &'static str {
        match class {
            AccountClass::Asset => "Other things owned",
            AccountClass::Liability => "Other debts",
            AccountClass::Equity => "Owner's capital",
            AccountClass::Income => "Other income",
            AccountClass::Expense => "Other costs",
        }
    }
}

/// Reads a sheet of accounts.
///
/// # Errors
/// Every cell that cannot be, every number or name that is there twice.
pub fn accounts(sheet: &Sheet, currency: &Currency) -> Result<Vec<AccountRow>, Faults> {
    let mut rows = Rows::new(sheet, currency);
    let mut numbers = HashSet::new();
    let mut names = HashSet::new();
    let mut list = Vec::new();
    for idx in 0..rows.len() {
        let Some(mut row) = rows.at(idx) else {
            continue;
        };
        let number = row.needed("number");
        let name = row.needed("name");
        let class = row.value("class");
        let contra = row.yes_no("contra", false);
        let active = row.yes_no("active", true);
        let role = row.may_value("role");
        if let Some(number) = number {
            if number.chars().any(char::is_whitespace) || number.len() > 12 {
                row.fault("number", format!("'{number}' is not an account number"));
            }
            if !numbers.insert(number) {
                row.fault("number", format!("{number} is in the sheet twice"));
            }
        }
        if let Some(name) = name
            && !names.insert(name.to_lowercase())
        {
            row.fault("name", format!("'{name}' is in the sheet twice"));
        }
        let (Some(number), Some(name), Some(class)) = (number, name, class) else {
            continue;
        };
        list.push(AccountRow {
            row: row.number,
            number: number.to_owned(),
            name: name.to_owned(),
            class,
            group: Some(row.text("group"))
                .filter(|group| !group.is_empty())
                .map(str::to_owned),
            is_contra: contra.filter(|_given| row.has("contra")),
            form_line: row
                .is_in_sheet("form_line")
                .then(|| row.text("form_line").to_owned()),
            is_active: active.filter(|_given| row.has("active")),
            role,
        });
    }
    rows.faults.into_result(list)
}
