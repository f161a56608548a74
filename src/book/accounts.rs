//! The chart in the file: adding, changing and retiring accounts.
//! Looking accounts up is `ledger::Chart`'s.

use rusqlite::{Connection, Row, params};

use super::{Book, BookError};
use crate::ledger::{Account, AccountClass, AccountId, Chart, Role};

/// An account to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewAccount {
    /// Its number; unique.
    pub number: String,
    /// Its name; unique in any case.
    pub name: String,
    /// Its class.
    pub class: AccountClass,
    /// The heading it stands under in the statements.
    pub group: String,
    /// Whether it reduces its class.
    pub is_contra: bool,
    /// What the program uses it for, if anything.
    pub role: Option<Role>,
    /// The line of a tax form it is sorted under, if any.
    pub form_line: Option<String>,
}

impl NewAccount {
    /// An ordinary account.
    #[must_use]
    pub fn new(
        number: impl Into<String>,
        name: impl Into<String>,
        class: AccountClass,
        group: impl Into<String>,
    ) -> Self {
        Self {
            number: number.into(),
            name: name.into(),
            class,
            group: group.into(),
            is_contra: false,
            role: None,
            form_line: None,
        }
    }
}

pub(super) fn load_chart(conn: &Connection) -> Result<Chart, BookError> {
    let mut query = conn.prepare_cached(
        "SELECT id, number, name, class, heading, is_contra, role, form_line, is_active FROM account",
    )?;
    let mut rows = query.query([])?;
    let mut accounts = Vec::new();
    while let Some(row) = rows.next()? {
        accounts.push(account_row(row)?);
    }
    Chart::new(accounts).map_err(|error| BookError::damaged(error.to_string()))
}

fn account_row(row: &Row<'_>) -> Result<Account, BookError> {
    let class: String = row.get(3)?;
    let role: Option<String> = row.get(6)?;
    Ok(Account {
        id: AccountId(row.get(0)?),
        number: row.get(1)?,
        name: row.get(2)?,
        class: super::reading::word(&class)?,
        group: row.get(4)?,
        is_contra: row.get(5)?,
        role: role.map(|role| super::reading::word(&role)).transpose()?,
        form_line: row.get(7)?,
        is_active: row.get(8)?,
    })
}

/// Writes an account of a new book, identity and all.
pub(super) fn insert(conn: &Connection, account: &Account) -> Result<(), BookError> {
    conn.prepare_cached(
        "INSERT INTO account (id, number, name, class, heading, is_contra, role, form_line, is_active)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        account.id.0,
        account.number.trim(),
        account.name.trim(),
        account.class.as_str(),
        account.group.trim(),
        account.is_contra,
        account.role.map(Role::as_str),
        account.form_line,
        account.is_active,
    ])?;
    Ok(())
}

impl Book {
    /// Adds an account.
    ///
    /// # Errors
    /// When its number, name or role is taken, or one of them is empty.
    pub fn add_account(&mut self, new: &NewAccount) -> Result<AccountId, BookError> {
        let label = format!("Account added: {} {}", new.number.trim(), new.name.trim());
        self.write(&label, |book| {
            book.note("account", &label, "")?;
            let id: i64 =
                book.conn
                    .query_row("SELECT ifnull(max(id), 0) + 1 FROM account", [], |row| {
                        row.get(0)
                    })?;
            let account = Account {
                id: AccountId(id),
                number: new.number.trim().to_owned(),
                name: new.name.trim().to_owned(),
                class: new.class,
                group: new.group.trim().to_owned(),
                is_contra: new.is_contra,
                role: new.role,
                form_line: new.form_line.clone(),
                is_active: true,
            };
            book.refuse_wrong_account(&account)?;
            book.steps.expect_side_changes();
            insert(&book.conn, &account)?;
            book.stale_chart = true;
            Ok(account.id)
        })
    }

    /// Changes an account's number, name, heading, role, form line, contra or active flag. Its identity stays,
    /// and so does its class once it has entries.
    ///
    /// # Errors
    /// When the new number, name or role is taken, one of them is empty, or the class may not change.
    pub fn update_account(&mut self, account: &Account) -> Result<(), BookError> {
        let before = self.chart.account(account.id)?.title();
        let label = format!("Account changed: {before} to {}", account.title());
        self.refuse_wrong_account(account)?;
        self.write(&label, |book| {
            book.note("account", &label, "")?;
            book.side(
                "UPDATE account SET number = ?2, name = ?3, class = ?4, heading = ?5, is_contra = ?6, role = ?7,
                        form_line = ?8, is_active = ?9 WHERE id = ?1",
                params![
                    account.id.0,
                    account.number.trim(),
                    account.name.trim(),
                    account.class.as_str(),
                    account.group.trim(),
                    account.is_contra,
                    account.role.map(Role::as_str),
                    account.form_line,
                    account.is_active,
                ],
            )?;
            book.stale_chart = true;
            Ok(())
        })
    }

    /// Takes an account out of the lists for new entries. Its entries stay, and so does the account.
    ///
    /// # Errors
    /// When there is no such account.
    pub fn retire_account(&mut self, id: AccountId) -> Result<(), BookError> {
        let account = Account {
            is_active: false,
            ..self.chart.account(id)?.clone()
        };
        self.update_account(&account)
    }

    /// The account of a sales channel by its name, opened when the book has none of that name.
    ///
    /// # Errors
    /// When an account of another kind has the name.
    pub fn open_channel(&mut self, name: &str) -> Result<AccountId, BookError> {
        let name = name.trim();
        if let Ok(account) = self.chart.find(name) {
            return if account.is_channel() {
                Ok(account.id)
            } else {
                Err(BookError::refused(format!(
                    "'{}' is an account already and not a sales channel",
                    account.title()
                )))
            };
        }
        let first = self
            .chart
            .role(Role::PayoutsDue)
            .and_then(|id| self.chart.account(id))
            .map_or_else(|_none| "1050".to_owned(), |account| account.number.clone());
        self.add_account(&NewAccount::new(
            self.chart.free_number(&first),
            name,
            AccountClass::Asset,
            Account::PAYOUTS_DUE_GROUP,
        ))
    }

    /// What the chart would refuse, found before the file does, so that the message is the chart's.
    fn refuse_wrong_account(&self, wanted: &Account) -> Result<(), BookError> {
        if wanted.group.trim().is_empty() {
            return Err(BookError::refused(format!(
                "account {} needs a group for the statements",
                wanted.title()
            )));
        }
        let others = self.chart.accounts().into_iter();
        let mut accounts: Vec<Account> = others
            .filter(|account| account.id != wanted.id)
            .cloned()
            .collect();
        accounts.push(wanted.clone());
        Chart::new(accounts)?;
        Ok(())
    }
}
