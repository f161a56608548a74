//! Recurring purchases: their days, their yearly sums, and that they only propose.

use chrono::NaiveDate;
use deckle::happenings::{Payment, Purchase};
use deckle::recurring::{Recurring, RecurringError, due, yearly_total};

use crate::support::{account, check_lines, day, money, share, usd};

fn plan(amount: &str, every_months: u32, first_due: &str) -> Recurring {
    Recurring::new(
        "Ink plan",
        "Quarry Inks",
        account("6000"),
        Payment::Account(account("2010")),
        money(amount),
        every_months,
        day(first_due),
    )
}

fn days(texts: &[&str]) -> Vec<NaiveDate> {
    texts.iter().map(|text| day(text)).collect()
}

#[test]
fn the_day_of_the_month_is_kept_and_short_months_end_early() {
    #[rustfmt::skip]
    let cases: &[(u32, &str, &[&str])] = &[
        (1,  "2026-01-31", &["2026-02-28", "2026-03-31", "2026-04-30", "2026-05-31"]),
        (1,  "2026-11-15", &["2026-12-15", "2027-01-15"]),
        (3,  "2025-11-30", &["2026-02-28", "2026-05-30"]),
        (12, "2024-02-29", &["2025-02-28", "2026-02-28", "2027-02-28", "2028-02-29"]),
    ];
    for (every, first, expected) in cases {
        let mut one = plan("5.00", *every, first);
        for next in *expected {
            one = one.moved_on();
            assert_eq!(one.next_due, day(next), "{every} months from {first}");
        }
    }
}

#[test]
fn what_was_missed_is_due_the_oldest_first() {
    let one = plan("5.99", 1, "2026-01-31");
    assert_eq!(one.due(day("2026-01-30")), days(&[]));
    assert_eq!(one.due(day("2026-01-31")), days(&["2026-01-31"]));
    assert_eq!(
        one.due(day("2026-03-31")),
        days(&["2026-01-31", "2026-02-28", "2026-03-31"])
    );
    assert_eq!(
        one.coming(day("2026-02-01"), day("2026-03-02")),
        days(&["2026-02-28"])
    );
    let mut ended = one.clone();
    ended.is_active = false;
    assert_eq!(ended.due(day("2026-03-31")), days(&[]));
    let found = due(
        &[plan("1.00", 1, "2026-02-01"), one, ended],
        day("2026-02-10"),
    );
    let on: Vec<NaiveDate> = found.iter().map(|due| due.on).collect();
    assert_eq!(on, days(&["2026-01-31", "2026-02-01"]));
}

/// By hand: 5.99 a month is 71.88 a year, 30.00 a quarter 120.00, 48.00 every two years 24.00.
#[test]
fn a_years_total_counts_every_cycle() {
    assert_eq!(plan("5.99", 1, "2026-01-01").yearly_total(), money("71.88"));
    assert_eq!(
        plan("30.00", 3, "2026-01-01").yearly_total(),
        money("120.00")
    );
    assert_eq!(
        plan("48.00", 24, "2026-01-01").yearly_total(),
        money("24.00")
    );
    let mut ended = plan("10.00", 1, "2026-01-01");
    ended.is_active = false;
    assert_eq!(
        yearly_total(&[plan("5.99", 1, "2026-01-01"), ended]),
        money("71.88")
    );
}

#[test]
fn yearly_ones_are_announced_thirty_days_before() {
    let yearly = plan("96.00", 12, "2026-07-31");
    assert_eq!(yearly.renewal_notice(day("2026-06-30")), None);
    let notice = yearly.renewal_notice(day("2026-07-01")).expect("a notice");
    assert_eq!(
        notice.sentence(&usd()),
        "Ink plan renews in 30 days, on 31 Jul 2026 for 96.00. Keep it?"
    );
    assert!(yearly.renewal_notice(day("2026-07-31")).is_some());
    assert_eq!(yearly.renewal_notice(day("2026-08-01")), None);
    assert_eq!(
        plan("8.00", 1, "2026-07-31").renewal_notice(day("2026-07-15")),
        None
    );
}

#[test]
fn a_due_day_proposes_an_ordinary_purchase() {
    let mut one = plan("5.00", 1, "2026-01-31");
    one.business_share = share("80");
    let proposed = one.purchase(day("2026-02-28"));
    assert_eq!(proposed.date, day("2026-02-28"));
    let purchase = Purchase::new(proposed).expect("a purchase");
    check_lines(
        &purchase,
        &[("6000", "4.00"), ("3100", "1.00"), ("2010", "-5.00")],
    );
}

#[test]
fn recurring_purchases_that_cannot_be_are_refused() {
    let check = |change: &dyn Fn(&mut Recurring)| {
        let mut one = plan("5.00", 1, "2026-01-31");
        change(&mut one);
        one.check()
    };
    assert_eq!(check(&|_| {}), Ok(()));
    assert_eq!(
        check(&|r| r.name = " ".to_owned()),
        Err(RecurringError::Nameless)
    );
    assert_eq!(check(&|r| r.party.clear()), Err(RecurringError::NoParty));
    assert_eq!(
        check(&|r| r.amount = money("0.00")),
        Err(RecurringError::Amount)
    );
    assert_eq!(check(&|r| r.every_months = 0), Err(RecurringError::Cycle));
    assert_eq!(check(&|r| r.day = 32), Err(RecurringError::Day));
}
