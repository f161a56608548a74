//! The working behind the figures of stock: what everything is worth, what one item is worth, what names no item.
//! Each leads to the entries that moved it, and through them to the receipts.

use chrono::NaiveDate;

use super::model::{EntryRow, Explanation, what_was_it};
use super::source::Source;
use crate::app::forms::stock::in_units;
use crate::book::Book;
use crate::dates::show_day;
use crate::ledger::Role;
use crate::money::{Money, unit_cost};
use crate::reports::{self, ReportError};
use crate::stock::MovementKind;

pub(super) fn all(book: &Book, on: NaiveDate) -> Result<Explanation, ReportError> {
    let mut answer = Explanation::new("In stock", format!("at the end of {}", show_day(on)));
    for one in book.stock_on(on)? {
        if one.quantity.value().is_zero() && one.value.is_zero() {
            continue;
        }
        answer.term(
            &one.item.name,
            format!(
                "{}, {}",
                one.item.kind.plain(),
                in_units(one.quantity.value(), &one.item)
            ),
            one.value,
            Some(Source::ItemValue(one.item.code.clone(), on)),
        );
    }
    let total = answer.terms.iter().map(|term| term.amount).sum();
    Ok(answer.result("In stock", "the lines above together", total))
}

pub(super) fn item(book: &Book, code: &str, on: NaiveDate) -> Result<Explanation, ReportError> {
    let Some(item) = book.item(code)? else {
        return Ok(Explanation::new(code, "This item is no longer kept"));
    };
    let mut answer = Explanation::new(&item.name, String::new());
    for posting in book.stock_postings(code)? {
        if posting.date > on {
            continue;
        }
        let movement = &posting.movement;
        let what = what_was_it(&posting.party, &posting.memo, posting.kind.plain());
        let row = EntryRow {
            number: posting.entry,
            date: posting.date,
            what: format!(
                "{} {}: {what}",
                movement.kind.plain(),
                in_units(movement.quantity.value(), &item)
            ),
            amount: posting.amount,
        };
        answer.entries.push(row);
    }
    answer.amount = answer.entries.iter().map(|row| row.amount).sum();
    let quantity = book
        .stocks_on(on)?
        .on_hand
        .get(&item.code)
        .map(|on_hand| on_hand.quantity)
        .unwrap_or_default();
    let each = unit_cost(answer.amount, quantity, book.currency())
        .map_or_else(String::new, |each| format!(", {each:.4} each"));
    answer.sentence = format!(
        "{} at the end of {}{each}: what came in at its landed cost less what went out at cost",
        in_units(quantity.value(), &item),
        show_day(on)
    );
    Ok(answer)
}

/// What an order has cost: its bills, the bills that came later, what came back.
pub(super) fn order(book: &Book, id: i64, on: NaiveDate) -> Result<Explanation, ReportError> {
    let Some(report) = reports::order_of_number(book, id, on)? else {
        return Ok(Explanation::new("Order", "This order is no longer kept"));
    };
    let mut answer = Explanation::new(
        format!("What order {} has cost", report.order.key),
        "What was billed and the bills that came later, less what came back",
    );
    answer.term("Billed", "the supplier's bills", report.billed, None);
    let words = "freight, duty";
    answer.term("Bills that came later", words, report.later, None);
    let words = "claims and other refunds";
    answer.term("Credited", words, -report.credited, None);
    for one in report.standing_arrivals() {
        let mut row = |number, date, what: &str, amount: Money| {
            answer.entries.push(EntryRow {
                number,
                date,
                what: what.to_owned(),
                amount,
            });
        };
        if let Some(number) = one.arrival.entry {
            let amount = one.billed + one.ahead.min(Money::ZERO);
            row(number, one.arrival.date, "Arrived and billed", amount);
        }
        for later in &one.later {
            if let (Some(number), MovementKind::LaterCost) = (later.entry, later.kind) {
                row(number, later.date, "A bill that came later", later.amount);
            }
        }
        for (number, date, amount) in &one.refunds {
            row(*number, *date, "Came back from the supplier", -*amount);
        }
    }
    Ok(answer.result("Cost so far", "the lines above together", report.cost()))
}

pub(super) fn not_itemised(
    book: &Book,
    role: Role,
    on: NaiveDate,
) -> Result<Explanation, ReportError> {
    let account = book.chart().role(role)?;
    let mut answer = Explanation::new(
        format!("Not itemised on {}", book.chart().title(account)),
        "Entries on this account that name no kept item; they are stock all the same",
    );
    let found = book.not_itemised(role, on)?;
    let numbers: Vec<_> = found.iter().map(|(number, _amount)| *number).collect();
    for (posted, (number, amount)) in book.entries(&numbers)?.into_iter().zip(found) {
        let header = &posted.entry.header;
        answer.entries.push(EntryRow {
            number,
            date: header.date,
            what: what_was_it(&header.party, &header.memo, header.kind.plain()),
            amount,
        });
    }
    answer.amount = answer.entries.iter().map(|row| row.amount).sum::<Money>();
    Ok(answer)
}
