//! Short words for the tests of happenings: days, amounts, accounts, and an entry's lines as text.

use chrono::NaiveDate;
use deckle::dates::parse_iso;
use deckle::happenings::{Happening, HappeningError};
use deckle::ledger::{Account, AccountClass, AccountId, Balances, Chart, JournalEntry};
use deckle::money::{Currency, Money, Percent, Quantity};

/// The shipped chart with one channel beside the first: account 1051, Larkspur Fair Online.
pub fn chart() -> Chart {
    let shipped = Chart::craft_business(false).expect("the chart is readable");
    let mut accounts: Vec<Account> = shipped.accounts().into_iter().cloned().collect();
    accounts.push(Account {
        id: AccountId(900),
        number: "1051".to_owned(),
        name: "Larkspur Online".to_owned(),
        class: AccountClass::Asset,
        group: Account::PAYOUTS_DUE_GROUP.to_owned(),
        is_contra: false,
        role: None,
        form_line: None,
        is_active: true,
    });
    Chart::new(accounts).expect("the chart holds together")
}

pub fn usd() -> Currency {
    Currency::from_code("USD").expect("a currency")
}

pub fn money(text: &str) -> Money {
    usd().parse_plain(text).expect("an amount")
}

pub fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

pub fn share(text: &str) -> Percent {
    text.parse().expect("a share")
}

pub fn count(text: &str) -> Quantity {
    text.parse().expect("a quantity")
}

/// The account with this number in the test chart.
pub fn account(number: &str) -> AccountId {
    chart().find(number).expect("an account").id
}

/// The entry's lines as `(account number, signed amount)`.
pub fn lines(entry: &JournalEntry) -> Vec<(String, String)> {
    let chart = chart();
    entry
        .lines()
        .iter()
        .map(|line| {
            let number = chart
                .account(line.account)
                .expect("in the chart")
                .number
                .clone();
            (number, usd().plain(line.amount))
        })
        .collect()
}

/// Holds an entry's lines against what is expected, in order.
#[track_caller]
pub fn check_lines(happening: &impl Happening, expected: &[(&str, &str)]) {
    let entry = happening.entry(&chart()).expect("an entry");
    let expected: Vec<(String, String)> = expected
        .iter()
        .map(|(number, amount)| ((*number).to_owned(), (*amount).to_owned()))
        .collect();
    assert_eq!(lines(&entry), expected);
}

/// Holds a refusal against the field it must name.
#[track_caller]
pub fn check_refused<T: std::fmt::Debug>(result: Result<T, HappeningError>, field: &str) {
    match result {
        Ok(made) => panic!("not refused: {made:?}"),
        Err(error) => {
            assert_eq!(error.field_name(), Some(field), "{error}");
            let message = error.to_string();
            assert!(
                !message.ends_with('.') && !message.contains('\n'),
                "{message}"
            );
        }
    }
}

/// The balance of an account after these entries, debit positive.
pub fn balance(entries: &[JournalEntry], number: &str) -> Money {
    Balances::of_entries(entries).net(account(number))
}
