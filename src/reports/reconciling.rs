//! Accounts against their statements: how far each agrees, the sheets with their figures, and what broke since.
//! The arithmetic is `reconciling`'s.

use chrono::NaiveDate;

use super::ReportError;
use crate::book::{Book, BookError};
use crate::ledger::{Account, AccountClass, AccountId, Role};
use crate::money::Money;
use crate::reconciling::{Agreement, Broken, Hint, Reconciliation, hints};
use crate::sorting::LedgerMovement;

/// A sheet with everything that is told of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetReport {
    /// The sheet.
    pub sheet: Reconciliation,
    /// The account's name.
    pub name: String,
    /// Its figures.
    pub agreement: Agreement,
    /// Movements up to its day that were in no earlier sheet, ticked or not, oldest first. For a finished sheet what
    /// is outstanding today may be less than it was then.
    pub movements: Vec<LedgerMovement>,
    /// What may explain a difference.
    pub hints: Vec<Hint>,
    /// What no longer holds of a finished sheet.
    pub broken: Vec<Broken>,
}

/// How far an account agrees with its statements.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AgreedReport {
    /// The account.
    pub account: AccountId,
    /// Its name.
    pub name: String,
    /// The day of the last finished sheet.
    pub agreed_to: Option<NaiveDate>,
    /// Whether a finished sheet no longer holds.
    pub is_broken: bool,
    /// The sheet being worked on.
    pub open: Option<i64>,
    /// The newest closing balance that a statement file told, as the ledger signs it.
    pub last_statement: Option<(NaiveDate, Money)>,
    /// Whether it ever moved.
    pub is_used: bool,
}

/// Whether an account has statements to agree with: bank, savings, cash, cards, sales channels.
#[must_use]
pub fn has_statements(account: &Account) -> bool {
    account.is_money()
        || account.is_channel()
        || account.role == Some(Role::CreditCard)
        || account.role == Some(Role::Loans)
}

/// An amount as the owner reads it on the statement: what is owed on a card is positive there.
#[must_use]
pub fn as_on_statement(account: &Account, amount: Money) -> Money {
    if account.class == AccountClass::Liability {
        -amount
    } else {
        amount
    }
}

/// Every account that has statements, with how far it agrees.
///
/// # Errors
/// When the book cannot be read.
pub fn agreed(book: &Book) -> Result<Vec<AgreedReport>, BookError> {
    let far_off = NaiveDate::from_ymd_opt(9999, 12, 31).unwrap_or(NaiveDate::MAX);
    let sheets = book.reconciliations()?;
    let broken = book.broken_reconciliations()?;
    let mut list = Vec::new();
    for account in book.chart().accounts() {
        if !has_statements(account) {
            continue;
        }
        let own = || sheets.iter().filter(|one| one.account == account.id);
        list.push(AgreedReport {
            account: account.id,
            name: account.name.clone(),
            agreed_to: own()
                .filter(|one| one.finished_at.is_some())
                .map(|one| one.day)
                .max(),
            is_broken: broken.iter().any(|(one, _)| one.account == account.id),
            open: own()
                .find(|one| one.finished_at.is_none())
                .map(|one| one.id),
            last_statement: book.last_statement_balance(account.id, None)?,
            is_used: book.last_movement(account.id, far_off)?.is_some(),
        });
    }
    Ok(list)
}

/// The accounts that do not agree with their statements up to a day: used by then, and moved since the last sheet that
/// agreed. An account without statement files and without a sheet is left out: there is nothing to hold it against.
///
/// # Errors
/// When the book cannot be read.
pub fn not_agreed(book: &Book, by: NaiveDate) -> Result<Vec<String>, BookError> {
    let mut names = Vec::new();
    for one in agreed(book)? {
        let is_asked = one.agreed_to.is_some() || one.last_statement.is_some();
        let Some(moved) = book.last_movement(one.account, by)?.filter(|_| is_asked) else {
            continue;
        };
        if one.is_broken || one.agreed_to.is_none_or(|to| to < moved) {
            names.push(one.name);
        }
    }
    Ok(names)
}

/// A sheet with its figures.
///
/// # Errors
/// When there is none with this number, or the book cannot be read.
pub fn sheet(book: &Book, id: i64) -> Result<SheetReport, ReportError> {
    let sheet = book.reconciliation(id)?;
    let name = book.chart().account(sheet.account)?.name.clone();
    let movements = book.movements_of_sheet(&sheet)?;
    let agreement = sheet.agreement(&movements);
    let broken = book
        .broken_reconciliations()?
        .into_iter()
        .find(|(one, _)| one.id == id)
        .map(|(_, broken)| broken)
        .unwrap_or_default();
    Ok(SheetReport {
        hints: hints(&sheet, &movements, agreement.difference),
        sheet,
        name,
        agreement,
        movements,
        broken,
    })
}
