//! What stood at the year's end against a paper from outside: accounts against their statements with what was on its way,
//! and what people and firms owed. Shops are `shop_lists`'.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::lists::side;
use crate::book::{AccountLine, Book};
use crate::dates::{DateRange, show_day};
use crate::export::{Cell, ExportError, RowStyle, Table};
use crate::ledger::{AccountClass, AccountId, EntryNumber, Role};
use crate::money::Money;
use crate::reconciling::Reconciliation;
use crate::reports;

/// What one party owes, or is owed, on an account.
#[derive(Default)]
struct Owed {
    amount: Money,
    since: Option<NaiveDate>,
    document: String,
    paid_since: Money,
    paid_on: Option<NaiveDate>,
}

impl Owed {
    fn add(&mut self, line: &AccountLine) {
        if self.amount.is_zero() {
            self.since = Some(line.date);
            self.document.clear();
        }
        if self.document.is_empty() {
            self.document.clone_from(&line.reference);
        }
        self.amount += line.amount;
    }

    /// What came after the year's end and lowers what was owed then.
    fn settle(&mut self, line: &AccountLine) {
        if line.amount.is_positive() != self.amount.is_positive() && !line.amount.is_zero() {
            self.paid_since += line.amount.abs();
            self.paid_on = Some(line.date);
        }
    }
}

/// How each account that has statements stands against them at the year's end.
pub(super) fn reconciled(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new(
        "Accounts against their statements",
        format!("At the end of {}", show_day(days.to)),
    )
    .column("account", "Account")
    .column("statement_day", "Statement of")
    .column("statement_balance", "Its balance")
    .column("outstanding", "Outstanding")
    .column("book_then", "In the book that day")
    .column("difference", "Difference")
    .column("moved_since", "Moved since")
    .column("book_balance", "In the book at the end");
    let balances = book.balances_to(days.to)?;
    let sheets = book.reconciliations()?;
    for account in book.chart().accounts() {
        if !reports::has_statements(account) {
            continue;
        }
        let at_end = balances.net(account.id);
        let newest = newest_sheet(&sheets, account.id, days);
        let title: Cell = account.title().into();
        let Some(sheet) = newest else {
            if book
                .first_movement(account.id)?
                .is_some_and(|first| first <= days.to)
            {
                let mut cells = vec![title, "no statement agreed".into()];
                cells.extend([const { Cell::Empty }; 5]);
                cells.push(at_end.into());
                table.line(cells);
            }
            continue;
        };
        let figures = reports::sheet(book, sheet.id)?.agreement;
        let then = book.balances_to(sheet.day)?.net(account.id);
        table.line(vec![
            title,
            sheet.day.to_string().into(),
            figures.balance.into(),
            figures.outstanding.into(),
            then.into(),
            (then - figures.balance - figures.outstanding).into(),
            (at_end - then).into(),
            at_end.into(),
        ]);
    }
    table.note(
        "Statement balance and what is outstanding come to the book of that day when the difference is nothing. What is \
         owed on a card or a loan stands in parentheses.",
    );
    Ok(table)
}

/// The last statement that an account was agreed with in the year, or before it.
fn newest_sheet(
    sheets: &[Reconciliation],
    account: AccountId,
    days: DateRange,
) -> Option<&Reconciliation> {
    sheets
        .iter()
        .filter(|sheet| {
            sheet.account == account && sheet.day <= days.to && sheet.finished_at.is_some()
        })
        .max_by_key(|sheet| (sheet.day, sheet.id))
}

/// What the book knew and the last statement did not, account by account: paid out and not yet taken, or the other way.
pub(super) fn outstanding(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new(
        "Outstanding on the last statements",
        format!("At the end of {}", show_day(days.to)),
    )
    .column("account", "Account")
    .column("statement_day", "Statement of")
    .column("entry", "No.")
    .column("date", "Day")
    .column("party", "With")
    .column("memo", "What")
    .column("amount", book.currency().code());
    let sheets = book.reconciliations()?;
    for account in book.chart().accounts() {
        let Some(sheet) = newest_sheet(&sheets, account.id, days) else {
            continue;
        };
        let ticked: BTreeSet<EntryNumber> = sheet.ticked.iter().map(|one| one.entry).collect();
        for movement in book.movements_of_sheet(sheet)? {
            if movement.date > sheet.day || ticked.contains(&movement.entry) {
                continue;
            }
            table.line(vec![
                account.title().into(),
                sheet.day.to_string().into(),
                Cell::Number(movement.entry.to_string()),
                movement.date.to_string().into(),
                movement.party.into(),
                movement.memo.into(),
                movement.amount.into(),
            ]);
        }
    }
    Ok(table)
}

/// The statement files that were brought in for days of the year, each with what proves it is the same file.
pub(super) fn statements(book: &Book, days: DateRange) -> Result<Table, ExportError> {
    let mut table = Table::new("Statement files brought in", "")
        .column("account", "Account")
        .column("file", "File")
        .column("from", "First line")
        .column("to", "Last line")
        .column("lines", "New lines")
        .column("closing_day", "Closes on")
        .column("closing_balance", "With")
        .column("book_then", "In the book that day")
        .column("difference", "Difference")
        .csv_column("sha256");
    for file in book.statement_files()? {
        let of_year = file
            .days
            .filter(|(first, last)| *first <= days.to && *last >= days.from);
        let Some((first, last)) = of_year else {
            continue;
        };
        let closing: [Cell; 4] = match file.closing {
            Some((day, balance)) => {
                let then = book.balances_to(day)?.net(file.account);
                [
                    day.to_string().into(),
                    balance.into(),
                    then.into(),
                    (then - balance).into(),
                ]
            }
            None => [const { Cell::Empty }; 4],
        };
        let mut cells = vec![
            book.chart().title(file.account).into(),
            file.name.into(),
            first.to_string().into(),
            last.to_string().into(),
            Cell::Number(file.n_lines.to_string()),
        ];
        cells.extend(closing);
        cells.push(file.hash.into());
        table.line(cells);
    }
    if !table.rows().is_empty() {
        table.note(
            "A difference is what was not yet on the statement that day, or is not in the book: lines still to sort, or \
             entries written since.",
        );
    }
    Ok(table)
}

/// What people and firms owe and are owed at the year's end, by name.
pub(super) fn owed(book: &Book, days: DateRange, today: NaiveDate) -> Result<Table, ExportError> {
    let mut table = Table::new(
        "Owed to and by the business",
        format!("At the end of {}", show_day(days.to)),
    )
    .column("account", "Account")
    .column("party", "With")
    .column("since", "Since")
    .column("amount", "Owed to it")
    .column("owes", "It owes")
    .column("document", "Paper")
    .column("paid_since", "Paid since")
    .column("paid_on", "Last on");
    let Some(range) = DateRange::new(book.first_day(), days.to) else {
        return Ok(table);
    };
    let after = days
        .to
        .succ_opt()
        .and_then(|next| DateRange::new(next, today));
    let roles = [
        Role::CustomersOwe,
        Role::InDispute,
        Role::OwedByOwner,
        Role::BillsToPay,
        Role::OwedToOwner,
    ];
    let mut sums = [Money::ZERO; 2];
    for role in roles {
        let Ok(account) = book.chart().role(role) else {
            continue;
        };
        // With the owner it is one account, whatever name stood on the paper.
        let is_owners = matches!(role, Role::OwedByOwner | Role::OwedToOwner);
        let party_of = |line: &AccountLine| match is_owners {
            true => "the owner".to_owned(),
            false => line.party.clone(),
        };
        let mut parties: BTreeMap<String, Owed> = BTreeMap::new();
        for line in book.account_lines(account, range)? {
            parties.entry(party_of(&line)).or_default().add(&line);
        }
        parties.retain(|_party, owed| !owed.amount.is_zero());
        if let Some(after) = after {
            for line in book.account_lines(account, after)? {
                if let Some(owed) = parties.get_mut(&party_of(&line)) {
                    owed.settle(&line);
                }
            }
        }
        for (party, owed) in parties {
            let amount = owed.amount;
            let (to_it, by_it) = if amount.is_positive() {
                (Cell::from(amount), Cell::Empty)
            } else {
                (Cell::Empty, Cell::from(-amount))
            };
            sums[0] += amount.max(Money::ZERO);
            sums[1] += (-amount).max(Money::ZERO);
            table.line(vec![
                book.chart().title(account).into(),
                party.into(),
                owed.since
                    .map(|day| day.to_string())
                    .unwrap_or_default()
                    .into(),
                to_it,
                by_it,
                owed.document.into(),
                side(owed.paid_since.min(amount.abs())),
                owed.paid_on
                    .map(|day| day.to_string())
                    .unwrap_or_default()
                    .into(),
            ]);
        }
    }
    let balances = book.balances_to(days.to)?;
    let by_people = [Role::BillsToPay, Role::OwedToOwner, Role::CustomerDeposits];
    for account in book.chart().accounts() {
        let owed = -balances.net(account.id);
        let is_listed = by_people
            .iter()
            .any(|role| book.chart().has_role(account.id, *role));
        if account.class == AccountClass::Liability && !is_listed && !owed.is_zero() {
            sums[1] += owed;
            let mut cells = vec![
                account.title().into(),
                Cell::Empty,
                Cell::Empty,
                Cell::Empty,
            ];
            cells.push(owed.into());
            cells.extend([const { Cell::Empty }; 3]);
            table.line(cells);
        }
    }
    if table.rows().is_empty() {
        return Ok(table);
    }
    table.note("What shops owe stands in schedule I, customers\u{2019} money held in schedule O.");
    table.push(
        RowStyle::Final,
        vec![
            "Together".into(),
            Cell::Empty,
            Cell::Empty,
            sums[0].into(),
            sums[1].into(),
        ],
    );
    Ok(table)
}
