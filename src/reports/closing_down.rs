//! Closing down by what a book holds: the walk over what still stands, and the last entry that sets the owner's
//! accounts against each other. What becomes a line is `closing_down`'s.

use chrono::NaiveDate;

use super::{ReportError, orders, stock};
use crate::book::{Book, EntryFilter};
use crate::closing_down::{ClosingDown, PieceLeft, Standing, StockLeft, walk};
use crate::dates::DateRange;
use crate::happenings::{Happening, ManualEntry, ManualEntryDetails, Recording};
use crate::ledger::{AccountClass, EntryKind, Line, Role};
use crate::money::Money;
use crate::ordering::OrderState;

/// The walk with what the book tells of what no balance shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClosingReport {
    /// What is left to clear.
    pub walk: ClosingDown,
    /// What comes round again and is to be ended: its name and from whom.
    pub recurring: Vec<(String, String)>,
    /// To whom licences, registrations, yearly fees and insurance were paid in the last two years.
    pub permits: Vec<String>,
    /// Orders to suppliers that are still open, by their key and supplier.
    pub orders: Vec<(String, String)>,
    /// The shops that the book has accounts of.
    pub shops: Vec<String>,
}

/// What still stands on a day, and how it is cleared.
///
/// # Errors
/// When the book cannot be read.
pub fn closing_down(book: &Book, day: NaiveDate) -> Result<ClosingReport, ReportError> {
    let (n_lines, _oldest) = book.count_lines_to_sort(None)?;
    let list = stock(book, day)?;
    let mut left = Vec::new();
    for line in &list.lines {
        if line.value.is_zero() {
            continue;
        }
        let Ok(account) = book.chart().role(crate::stock::stock_role(line.item.kind)) else {
            continue;
        };
        left.push(StockLeft {
            code: line.item.code.clone(),
            words: format!("{} {} {}", line.quantity, line.item.unit, line.item.name),
            value: line.value,
            account,
        });
    }
    let standing = Standing {
        to_sort: (n_lines, book.sum_to_sort()?),
        stock: left,
        pieces: pieces(book, day)?,
    };
    let walk = walk(book.chart(), &book.balances_to(day)?, &standing);
    let is_open = |state| matches!(state, OrderState::Open | OrderState::PartlyHere);
    Ok(ClosingReport {
        walk,
        recurring: book
            .recurring()?
            .into_iter()
            .filter(|one| one.is_active)
            .map(|one| (one.name, one.party))
            .collect(),
        permits: permits(book, day)?,
        orders: orders(book, day)?
            .into_iter()
            .filter(|report| is_open(report.standing.state))
            .map(|report| (report.order.key, report.order.supplier))
            .collect(),
        shops: shops(book, day)?,
    })
}

/// The shops that ever sold or paid something.
fn shops(book: &Book, day: NaiveDate) -> Result<Vec<String>, ReportError> {
    let mut names = Vec::new();
    for account in book.chart().channels() {
        if account.is_active && book.last_movement(account.id, day)?.is_some() {
            names.push(account.name.clone());
        }
    }
    Ok(names)
}

/// The equipment that is there, at what is posted of its wear: what is not written down yet is charged when it goes.
fn pieces(book: &Book, day: NaiveDate) -> Result<Vec<PieceLeft>, ReportError> {
    let charged = book.depreciation_charged()?;
    let is_there = |piece: &crate::depreciation::Equipment| {
        piece.bought_on <= day
            && piece
                .disposal
                .as_ref()
                .is_none_or(|disposal| disposal.on > day)
    };
    let pieces = book.equipment()?.into_iter().filter(is_there);
    Ok(pieces
        .map(|piece| PieceLeft {
            carrying: piece.cost
                - piece.charged_before
                - charged.get(&piece.key).copied().unwrap_or_default(),
            key: piece.key,
            name: piece.name,
        })
        .collect())
}

/// With whom permits and insurance were taken out, by what was paid on their accounts.
fn permits(book: &Book, day: NaiveDate) -> Result<Vec<String>, ReportError> {
    let from = crate::dates::add_months(day, -24).max(book.first_day());
    let mut names = Vec::new();
    for role in [Role::Licences, Role::Taxes, Role::Insurance] {
        let Ok(account) = book.chart().role(role) else {
            continue;
        };
        let numbers = book.entry_numbers(&EntryFilter {
            account: Some(account),
            range: DateRange::new(from, day),
            ..EntryFilter::default()
        })?;
        for posted in book.entries(&numbers)? {
            let party = posted.entry.header.party.trim().to_owned();
            if !party.is_empty() && posted.reversed_by.is_none() && !names.contains(&party) {
                names.push(party);
            }
        }
    }
    Ok(names)
}

/// The entry that sets the owner's capital, drawings and profit brought forward against each other once everything
/// else is at nothing; nothing while they do not cancel out, or are at nothing already. It is dated on the day, or on
/// the first that is not locked.
///
/// # Errors
/// When the book cannot be read or the entry cannot be.
pub fn owners_accounts_entry(
    book: &Book,
    day: NaiveDate,
) -> Result<Option<Recording>, ReportError> {
    let date = match book.lock_date().and_then(|lock| lock.succ_opt()) {
        Some(open) => day.max(open),
        None => day,
    };
    let balances = book.balances_to(date)?;
    let mut lines = Vec::new();
    let mut sum = Money::ZERO;
    let mut has_others = false;
    for account in book.chart().accounts() {
        let net = balances.net(account.id);
        if net.is_zero() {
            continue;
        }
        if account.class == AccountClass::Equity {
            lines.push(Line::credit(account.id, net));
            sum += net;
        } else {
            has_others = true;
        }
    }
    if has_others || lines.len() < 2 || !sum.is_zero() {
        return Ok(None);
    }
    let entry = ManualEntry::new(ManualEntryDetails {
        date,
        kind: EntryKind::Adjusting,
        party: String::new(),
        memo: "The business is closed down: the owner's accounts set against each other".to_owned(),
        reference: String::new(),
        document: String::new(),
        lines,
    })?;
    Ok(Some(entry.recording(book.chart())?))
}
