//! Unusual happenings told into a book, their figures worked out by hand beforehand; what cannot be is refused beside its
//! question and leaves the book as it was. Here is the book they are told into; the cases are by subject.

mod adjusting;
mod driving;
mod fairs;
mod held;
mod rest;
mod shops;
mod trouble;

use std::collections::BTreeMap;

use deckle::book::Book;
use deckle::happenings::{Happening, Payment, Purchase, PurchaseDetails, PurchaseLine};
use deckle::ledger::{EntryNumber, Role};
use deckle::matters::{LoanTerms, MatterKind};
use deckle::money::Money;
use deckle::occasions::{self, Reading, Told, Wrong, fair_day};
use deckle::reports::{OccasionFacts, refunded_sales};
use deckle::stock::{Item, ItemKind, Unit};
use rust_decimal::Decimal;

use crate::support::{TestBook, account, assert_clean, day, recording, test_book};

/// A book with 1,000.00 in the bank, 20 notebooks at 4.00 (price 18.00) and 50 cards at 1.00 (price 4.50).
pub(super) fn shop() -> TestBook {
    let mut made = test_book();
    let book = &mut made.book;
    let capital = recording(book, "2026-01-01", "1000", "3000", 113_000);
    book.record(&capital).expect("recorded");
    for (code, name, price, many, cost) in [
        ("NB", "Notebook", 1_800, 20, 8_000),
        ("CARD", "Card", 450, 50, 5_000),
    ] {
        let unit = Unit::new("piece").expect("a unit");
        let mut item = Item::new(code, name, ItemKind::Made, unit);
        item.price = Some(Money::from_minor(price));
        book.put_item(&item).expect("kept");
        let mut line = PurchaseLine::new(account(book, "1210"), Money::from_minor(cost), name);
        line.item = Some(code.to_owned());
        line.quantity = many.to_string().parse().ok();
        let bank = Payment::Account(account(book, "1000"));
        let details = PurchaseDetails::new(day("2026-01-02"), "Own bench", bank, vec![line]);
        let bought = Purchase::new(details).expect("can be");
        let bought = bought.recording(book.chart()).expect("balances");
        book.record(&bought).expect("recorded");
    }
    made
}

pub(super) fn read(book: &Book, key: &str, answers: &[(&str, &str)]) -> Result<Told, Vec<Wrong>> {
    let occasion = occasions::of_key(key).expect("an occasion");
    let answers: BTreeMap<String, String> = answers
        .iter()
        .map(|(ask, text)| {
            assert!(
                occasion.asks.iter().any(|one| one.key == *ask),
                "{key} asks {ask}"
            );
            ((*ask).to_owned(), (*text).to_owned())
        })
        .collect();
    let facts = OccasionFacts::read(book).expect("readable");
    let order = answers.get("order").map_or("", String::as_str);
    let sales = refunded_sales(book, order).expect("readable");
    Reading::new(occasion, &answers, facts.known(book, &sales)).tell()
}

#[track_caller]
pub(super) fn tell(
    book: &mut Book,
    key: &str,
    answers: &[(&str, &str)],
) -> (Option<EntryNumber>, String) {
    let told = read(book, key, answers).unwrap_or_else(|wrong| panic!("{key}: {wrong:#?}"));
    let number = book.tell(&told).expect("written");
    (number, told.explains)
}

/// What is refused: the question and the message.
#[track_caller]
pub(super) fn refused(book: &Book, key: &str, answers: &[(&str, &str)]) -> (&'static str, String) {
    let revision = book.revision();
    let wrong = read(book, key, answers).expect_err("is refused");
    assert_eq!(book.revision(), revision);
    let first = wrong.first().expect("something is wrong");
    (first.field, first.message.clone())
}

#[track_caller]
pub(super) fn balance(book: &Book, number: &str, on: &str) -> i64 {
    let balances = book.balances_to(day(on)).expect("readable");
    balances.net(account(book, number)).minor()
}

/// The lines of an entry as account number and minor units.
pub(super) fn lines(book: &Book, number: Option<EntryNumber>) -> Vec<(String, i64)> {
    let posted = book.entry(number.expect("an entry")).expect("there");
    posted
        .entry
        .lines()
        .iter()
        .map(|line| {
            let account = book.chart().account(line.account).expect("known");
            (account.number.clone(), line.amount.minor())
        })
        .collect()
}

pub(super) fn of(pairs: &[(&str, i64)]) -> Vec<(String, i64)> {
    pairs
        .iter()
        .map(|(number, minor)| ((*number).to_owned(), *minor))
        .collect()
}
