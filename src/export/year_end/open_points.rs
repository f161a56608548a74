//! What an accountant should know is not done yet, in a sentence each. Nothing here keeps a pack from being made.
//! Mending it is the window's.

use chrono::NaiveDate;

use super::{desk, not_caught_up, shop_lists};
use crate::book::{Book, BookError, EntryFilter};
use crate::dates::{DateRange, show_day};
use crate::depreciation::Equipment;
use crate::export::{ExportError, counted};
use crate::happenings::ProofState;
use crate::ledger::Role;
use crate::money::Money;
use crate::reports::{self, ReportError};

/// What an accountant should know is not done yet.
pub(super) fn open_points(
    book: &Book,
    days: DateRange,
    today: NaiveDate,
) -> Result<Vec<String>, ExportError> {
    let mut open = Vec::new();
    let numbers = book.entry_numbers(&EntryFilter {
        range: Some(days),
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    })?;
    if !numbers.is_empty() {
        open.push(format!(
            "{} no receipt yet; see schedule Z.",
            counted(numbers.len(), "entry has", "entries have")
        ));
    }
    let wear = reports::wear_proposal(book, days.to)?.total().whole;
    if wear.is_positive() {
        open.push(format!(
            "Wear of equipment of {} up to {} is not posted.",
            book.currency().statement(wear),
            show_day(days.to)
        ));
    }
    let (in_ledger, in_register) = equipment_cost(book, days.to)?;
    if in_ledger != in_register {
        open.push(format!(
            "Equipment at cost stands at {} in the ledger and at {} in the register: a thing lacks its row or its entry.",
            book.currency().statement(in_ledger),
            book.currency().statement(in_register)
        ));
    }
    for one in reports::left_out(book, book.year_start().year_of(days.to))? {
        let amount = one.amount.unwrap_or_default();
        open.push(format!(
            "Proposed and not posted: {}, {}.",
            one.what.plain(),
            book.currency().statement(amount)
        ));
    }
    let behind = reports::not_agreed(book, days.to.min(today))?;
    if !behind.is_empty() {
        open.push(format!(
            "Not agreed with the statement up to the year's end: {}; see schedule F.",
            behind.join(", ")
        ));
    }
    open.extend(stock_points(book, days)?);
    open.extend(not_caught_up::points(book, days)?);
    if book.closing_entry_of(days)?.is_none() {
        open.push(
            "The year is not closed; its profit stands apart in the balance sheet.".to_owned(),
        );
    }
    let balances = book.balances_to(days.to)?;
    for account in book.chart().channels() {
        let due = balances.net(account.id);
        if !due.is_zero() {
            open.push(format!(
                "{} stands at {} at the year's end; compare with its own statement.",
                account.name,
                book.currency().statement(due)
            ));
        }
    }
    open.extend(shop_lists::report_points(book, days)?);
    if let Ok(owed) = book.chart().role(Role::OwedByOwner) {
        let owed = balances.net(owed);
        if owed.is_positive() {
            open.push(format!(
                "The owner owes the business {} for private things.",
                book.currency().statement(owed)
            ));
        }
    }
    let year = book.year_start().year_of(days.to);
    match reports::estimate_of_year(book, year, None) {
        Err(ReportError::SetAside(why)) => {
            open.push(format!(
                "There is no set-aside estimate for the year: {why}."
            ));
        }
        other => drop(other?),
    }
    open.extend(desk::open_points(book, days)?);
    if days.contains(today) {
        open.push("The year is still running; figures go as far as the entries do.".to_owned());
    }
    Ok(open)
}

/// The cost of equipment that is there on a day, by the ledger and by the register.
pub(super) fn equipment_cost(book: &Book, day: NaiveDate) -> Result<(Money, Money), ExportError> {
    let account = book
        .chart()
        .role(Role::Equipment)
        .map_err(BookError::from)?;
    let is_there = |piece: &&Equipment| {
        let went = piece.disposal.as_ref().map(|disposal| disposal.on);
        piece.bought_on <= day && went.is_none_or(|went| went > day)
    };
    let register = book.equipment()?;
    Ok((
        book.balances_to(day)?.net(account),
        register
            .iter()
            .filter(is_there)
            .map(|piece| piece.cost)
            .sum(),
    ))
}

/// What of the stock is still open at the year's end.
fn stock_points(book: &Book, days: DateRange) -> Result<Vec<String>, ExportError> {
    let list = reports::stock(book, days.to)?;
    let mut open = Vec::new();
    if list.lines.is_empty() {
        return Ok(open);
    }
    let currency = book.currency();
    for account in list
        .accounts
        .iter()
        .filter(|account| !account.not_itemised.is_zero())
    {
        open.push(format!(
            "{} of {} belongs to no item of the stock list.",
            currency.statement(account.not_itemised),
            account.name
        ));
    }
    for line in &list.lines {
        if line.quantity.value().is_sign_negative() && !line.quantity.value().is_zero() {
            open.push(format!(
                "More {} went than ever came: the book has {} {}.",
                line.item.name, line.quantity, line.item.unit
            ));
        }
    }
    let uncounted = reports::uncounted(book, days.to)?;
    if !uncounted.is_empty() {
        open.push(format!(
            "{} in stock at the year's end and not counted within a month of it.",
            counted(uncounted.len(), "item was", "items were")
        ));
    }
    if !list.part_made.is_zero() {
        open.push(format!(
            "{} is in batches that had no pieces yet at the year's end.",
            currency.statement(list.part_made)
        ));
    }
    Ok(open)
}
