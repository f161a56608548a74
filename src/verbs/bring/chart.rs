//! Sheets of settings and accounts.

use super::{Done, Options, VerbError, row_fault};
use crate::book::{Book, NewAccount};
use crate::dates::parse_iso;
use crate::import::{self, AccountRow, Faults, Sheet};
use crate::ledger::Account;

/// The key under which a written-out book keeps its lock; it is no setting of the owner's.
pub(super) const LOCK_DATE: &str = "lock_date";

pub(super) fn settings(
    book: &mut Book,
    sheet: &Sheet,
    options: Options,
) -> Result<Done, VerbError> {
    let list = import::settings(sheet, book.currency())?;
    let mut faults = Faults::new(&sheet.file);
    let count = list.len();
    // The lock comes last, so that nothing else in the sheet meets it.
    let (locks, others): (Vec<_>, Vec<_>) = list
        .into_iter()
        .partition(|setting| setting.key == LOCK_DATE);
    // Shares that add up to everything are only right together.
    let (shares, others): (Vec<_>, Vec<_>) = others
        .into_iter()
        .partition(|setting| setting.key.starts_with("split."));
    for together in others.chunks(1).chain([shares.as_slice()]) {
        let Some(first) = together.first() else {
            continue;
        };
        let changes: Vec<(&String, &String)> = together
            .iter()
            .map(|setting| (&setting.key, &setting.value))
            .collect();
        if let Err(error) = book.set_settings(&changes) {
            let column = if matches!(error, crate::book::BookError::UnknownSetting { .. }) {
                "key"
            } else {
                "value"
            };
            faults.cell(first.row, column, error.to_string());
        }
    }
    for lock in locks.iter().filter(|_| !options.leave_open) {
        match parse_iso(&lock.value) {
            Err(error) => faults.cell(lock.row, "value", error.to_string()),
            Ok(day) if book.lock_date() == Some(day) => {}
            Ok(day) => {
                if let Err(error) = book.lock_through(day) {
                    faults.cell(lock.row, "value", error.to_string());
                }
            }
        }
    }
    faults.into_result(())?;
    Ok(Done::of_count(count))
}

pub(super) fn accounts(book: &mut Book, sheet: &Sheet) -> Result<Done, VerbError> {
    let list = import::accounts(sheet, book.currency())?;
    for row in &list {
        account(book, row).map_err(|error| row_fault(sheet, row.row, &error))?;
    }
    Ok(Done::of_count(list.len()))
}

/// A row finds its account by its role, then by its number; a new number is a new account.
fn account(book: &mut Book, row: &AccountRow) -> Result<(), crate::book::BookError> {
    let known = row
        .role
        .and_then(|role| book.chart().role(role).ok())
        .and_then(|id| book.chart().account(id).ok())
        .or_else(|| {
            book.chart()
                .find(&row.number)
                .ok()
                .filter(|account| account.number == row.number)
        })
        .cloned();
    let Some(known) = known else {
        let group = row
            .group
            .clone()
            .unwrap_or_else(|| AccountRow::usual_group(row.class).to_owned());
        let mut new = NewAccount::new(&row.number, &row.name, row.class, group);
        new.is_contra = row.is_contra.unwrap_or_default();
        new.role = row.role;
        new.form_line = row.form_line.clone().filter(|line| !line.is_empty());
        let id = book.add_account(&new)?;
        if row.is_active == Some(false) {
            book.retire_account(id)?;
        }
        return Ok(());
    };
    let changed = Account {
        id: known.id,
        number: row.number.clone(),
        name: row.name.clone(),
        class: row.class,
        group: row.group.clone().unwrap_or_else(|| known.group.clone()),
        is_contra: row.is_contra.unwrap_or(known.is_contra),
        role: row.role.or(known.role),
        form_line: match &row.form_line {
            Some(line) => Some(line.clone()).filter(|line| !line.is_empty()),
            None => known.form_line.clone(),
        },
        is_active: row.is_active.unwrap_or(known.is_active),
    };
    if changed == known {
        return Ok(());
    }
    book.update_account(&changed)
}
