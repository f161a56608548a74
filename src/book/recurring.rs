//! Recurring purchases in the file: the list, confirming one that is due, skipping it.
//! When one is due and what it proposes is `crate::recurring`'s.

use chrono::NaiveDate;
use rusqlite::{Row, params};

use super::reading::{day, word};
use super::{Book, BookError};
use crate::happenings::{Payment, Recording};
use crate::ledger::{AccountId, EntryNumber};
use crate::money::Money;
use crate::recurring::Recurring;

const COLUMNS: &str =
    "name, party, account, paid_how, paid_account, amount, business_share, every_months, day,
    next_due, note, is_active";

fn recurring_row(row: &Row<'_>) -> Result<Recurring, BookError> {
    let paid_how: String = row.get(4)?;
    let paid_account: Option<i64> = row.get(5)?;
    let paid_from = match (paid_how.as_str(), paid_account) {
        ("account", Some(id)) => Payment::Account(AccountId(id)),
        ("put-in", None) => Payment::OwnPocketPutIn,
        ("owed-back", None) => Payment::OwnPocketOwedBack,
        ("bill", None) => Payment::OnBill,
        _ => {
            return Err(BookError::damaged(
                "how a recurring purchase is paid is unreadable",
            ));
        }
    };
    let share: String = row.get(7)?;
    let next_due: String = row.get(10)?;
    Ok(Recurring {
        id: row.get(0)?,
        name: row.get(1)?,
        party: row.get(2)?,
        account: AccountId(row.get(3)?),
        paid_from,
        amount: Money::from_minor(row.get(6)?),
        business_share: word(&share)?,
        every_months: row.get(8)?,
        day: row.get(9)?,
        next_due: day(&next_due)?,
        note: row.get(11)?,
        is_active: row.get(12)?,
    })
}

impl Book {
    /// The recurring purchases, the soonest due first; those that ended come last.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn recurring(&self) -> Result<Vec<Recurring>, BookError> {
        let mut query = self.conn.prepare_cached(&format!(
            "SELECT id, {COLUMNS} FROM recurring ORDER BY is_active DESC, next_due, name"
        ))?;
        let mut rows = query.query([])?;
        let mut list = Vec::new();
        while let Some(row) = rows.next()? {
            list.push(recurring_row(row)?);
        }
        Ok(list)
    }

    /// Adds a recurring purchase and returns its number.
    ///
    /// # Errors
    /// When its details cannot be, or its account is not in the chart.
    pub fn add_recurring(&mut self, recurring: &Recurring) -> Result<i64, BookError> {
        self.refuse_wrong_recurring(recurring)?;
        let label = format!("Recurring purchase added: {}", recurring.name);
        self.write(&label, |book| {
            book.note("recurring", &label, "")?;
            let (paid_how, paid_account) = paid(recurring.paid_from);
            book.side(
                &format!(
                    "INSERT INTO recurring ({COLUMNS})
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)"
                ),
                params![
                    recurring.name.trim(),
                    recurring.party.trim(),
                    recurring.account.0,
                    paid_how,
                    paid_account,
                    recurring.amount.minor(),
                    recurring.business_share.to_string(),
                    recurring.every_months,
                    recurring.day,
                    recurring.next_due.to_string(),
                    recurring.note.trim(),
                    recurring.is_active,
                ],
            )?;
            Ok(book.conn.last_insert_rowid())
        })
    }

    /// Changes a recurring purchase, or ends it by making it inactive.
    ///
    /// # Errors
    /// When it is not in the book, or its details cannot be.
    pub fn update_recurring(&mut self, recurring: &Recurring) -> Result<(), BookError> {
        self.refuse_wrong_recurring(recurring)?;
        let label = format!("Recurring purchase changed: {}", recurring.name);
        self.write(&label, |book| book.put_recurring(recurring, &label))
    }

    /// Skips what is due next: nothing is posted, and it comes again in its turn.
    ///
    /// # Errors
    /// When it is not in the book.
    pub fn skip_recurring(&mut self, id: i64) -> Result<NaiveDate, BookError> {
        let recurring = self.recurring_by_id(id)?;
        let label = format!("Skipped: {}, due {}", recurring.name, recurring.next_due);
        let moved = recurring.moved_on();
        self.write(&label, |book| book.put_recurring(&moved, &label))?;
        Ok(moved.next_due)
    }

    /// Records what was due, as the owner confirmed it, and moves the due day on; both or neither.
    ///
    /// # Errors
    /// When it is not in the book, or the recording is refused.
    pub fn confirm_recurring(
        &mut self,
        id: i64,
        recording: &Recording,
    ) -> Result<EntryNumber, BookError> {
        let recurring = self.recurring_by_id(id)?;
        let label = format!("Confirmed: {}, due {}", recurring.name, recurring.next_due);
        self.write(&label, |book| {
            let number = book.record_one(recording)?;
            book.put_recurring(&recurring.moved_on(), &label)?;
            Ok(number)
        })
    }

    fn recurring_by_id(&self, id: i64) -> Result<Recurring, BookError> {
        let list = self.recurring()?;
        let found = list.into_iter().find(|recurring| recurring.id == id);
        found.ok_or_else(|| BookError::NoSuch {
            what: "recurring purchase",
            key: id.to_string(),
        })
    }

    fn refuse_wrong_recurring(&self, recurring: &Recurring) -> Result<(), BookError> {
        recurring
            .check()
            .map_err(|error| BookError::refused(error.to_string()))?;
        self.chart.account(recurring.account)?;
        if let Payment::Account(id) = recurring.paid_from {
            self.chart.account(id)?;
        }
        Ok(())
    }

    fn put_recurring(&mut self, recurring: &Recurring, label: &str) -> Result<(), BookError> {
        self.note("recurring", label, "")?;
        let (paid_how, paid_account) = paid(recurring.paid_from);
        let changed = self.side(
            "UPDATE recurring SET name = ?2, party = ?3, account = ?4, paid_how = ?5, paid_account = ?6, amount = ?7,
               business_share = ?8, every_months = ?9, day = ?10, next_due = ?11, note = ?12, is_active = ?13
             WHERE id = ?1",
            params![
                recurring.id,
                recurring.name.trim(),
                recurring.party.trim(),
                recurring.account.0,
                paid_how,
                paid_account,
                recurring.amount.minor(),
                recurring.business_share.to_string(),
                recurring.every_months,
                recurring.day,
                recurring.next_due.to_string(),
                recurring.note.trim(),
                recurring.is_active,
            ],
        )?;
        if changed == 0 {
            return Err(BookError::NoSuch {
                what: "recurring purchase",
                key: recurring.id.to_string(),
            });
        }
        Ok(())
    }
}

/// How a payment is kept.
fn paid(payment: Payment) -> (&'static str, Option<i64>) {
    match payment {
        Payment::Account(id) => ("account", Some(id.0)),
        Payment::OwnPocketPutIn => ("put-in", None),
        Payment::OwnPocketOwedBack => ("owed-back", None),
        Payment::OnBill => ("bill", None),
    }
}
