//! Payback against a textbook's tables and days counted by hand.

use chrono::NaiveDate;
use deckle::deciding::*;
use deckle::money::{Currency, Money};
use rust_decimal::Decimal;

use crate::support::day;

fn usd() -> Currency {
    Currency::from_code("USD").expect("ISO 4217 has it")
}

fn money(text: &str) -> Money {
    usd().parse_plain(text).expect("an amount")
}

fn sale(date: &str, pieces: u64, kept: &str) -> Earned {
    Earned {
        day: day(date),
        pieces,
        kept: money(kept),
    }
}

fn cutter() -> Machine {
    Machine {
        name: "Cutter".to_owned(),
        bought_on: day("2026-01-01"),
        cost: money("250.00"),
        repairs: Money::ZERO,
    }
}

fn payback(machine: &Machine, sales: &[Earned], as_of: NaiveDate) -> Payback {
    Payback::of(machine, sales, Pace::SinceBought, as_of, &usd()).expect("bought before")
}

/// OpenStax, Principles of Accounting, Volume 2, section 11.2: the printer (even 7.5; uneven 8.5), the second example
/// (5.33), and the metal press (3.33 even, 6.5 uneven).
#[test]
fn the_textbooks_payback_periods_come_out() {
    #[rustfmt::skip]
    let cases: [(&str, &[&str], &str, &str); 5] = [
        ("150000", &[],                                                          "20000", "7.5"),
        ("150000", &["10000", "20000", "20000", "15000", "15000"],               "20000", "8.5"),
        ("40000",  &["10000", "10000", "5000", "5000"],                          "7500",  "5.33"),
        ("50000",  &[],                                                          "15000", "3.33"),
        ("50000",  &["10000", "5000", "7000", "3000", "10000", "10000", "10000"], "0",    "6.5"),
    ];
    for (cost, flows, onwards, periods) in cases {
        let flows: Vec<Money> = flows.iter().map(|flow| money(flow)).collect();
        let found = payback_periods(money(cost), &flows, money(onwards));
        assert_eq!(
            found.map(|found| found.to_string()).as_deref(),
            Some(periods)
        );
    }
    assert_eq!(
        payback_periods(money("10"), &[money("4")], Money::ZERO),
        None
    );
    assert_eq!(
        payback_periods(Money::ZERO, &[], Money::ZERO),
        Some(Decimal::ZERO)
    );
}

/// By hand: by 31 January (31 days) 40 pieces left 100.00 of 250.00. 150.00 to go are 60 pieces and 46.5 days: 47.
#[test]
fn pieces_and_days_to_go_follow_the_pace() {
    let sales = [
        sale("2025-12-30", 5, "99.00"),
        sale("2026-01-10", 15, "40.00"),
        sale("2026-01-20", 25, "60.00"),
    ];
    let found = payback(&cutter(), &sales, day("2026-01-31"));
    assert_eq!((found.earned, found.pieces), (money("100.00"), 40));
    assert_eq!(found.to_go, money("150.00"));
    assert!(!found.has_paid());
    assert_eq!(found.pieces_to_go, Some(60));
    assert_eq!(found.expected_on, Some(day("2026-03-19")));
    assert_eq!(found.paid_back_on, None);
    // Judged by the last 12 days, 20 to 31 January: 60.00 in 12 days, so 30 days and 62.5 pieces: 63.
    let pace = Pace::LastDays(12);
    let found = Payback::of(&cutter(), &sales, pace, day("2026-01-31"), &usd()).expect("bought");
    assert_eq!(found.expected_on, Some(day("2026-03-02")));
    assert_eq!(found.pieces_to_go, Some(63));
}

/// Repairs count, and a refund that takes it below again puts the day off.
#[test]
fn it_has_paid_from_the_day_it_stays_paid() {
    let sales = [
        sale("2026-02-01", 50, "250.00"),
        sale("2026-02-03", 0, "-30.00"),
        sale("2026-03-05", 10, "45.00"),
    ];
    let found = payback(&cutter(), &sales, day("2026-03-31"));
    assert_eq!(found.paid_back_on, Some(day("2026-03-05")));
    assert!(found.has_paid());
    assert_eq!((found.expected_on, found.pieces_to_go), (None, Some(0)));
    let repaired = Machine {
        repairs: money("40.00"),
        ..cutter()
    };
    let found = payback(&repaired, &sales, day("2026-03-31"));
    assert_eq!((found.paid_back_on, found.to_go), (None, money("25.00")));
    assert_eq!(found.sheet.money("cost"), money("290.00"));
    assert_eq!(found.sheet.money("to-go"), money("25.00"));
}

#[test]
fn a_machine_without_earnings_has_no_day() {
    let found = payback(&cutter(), &[], day("2026-03-31"));
    assert_eq!((found.pieces_to_go, found.expected_on), (None, None));
    let lost = [sale("2026-02-01", 4, "-2.00")];
    let found = payback(&cutter(), &lost, day("2026-03-31"));
    assert_eq!((found.pieces_to_go, found.expected_on), (None, None));
    assert_eq!(found.to_go, money("252.00"));
    let slow = [sale("2026-02-01", 1, "0.01")];
    assert_eq!(
        payback(&cutter(), &slow, day("2026-03-31")).expected_on,
        None
    );
    let early = Payback::of(&cutter(), &[], Pace::SinceBought, day("2025-12-31"), &usd());
    assert!(
        early
            .expect_err("not bought yet")
            .to_string()
            .contains("cannot have paid by")
    );
}

/// By hand: 60 pieces at 20 a month last 60 × 365 ÷ 240 = 91.25 days: from 1 October to 31 December.
#[test]
fn the_last_day_to_order_leaves_lead_time_and_days_to_spare() {
    let found = order_by(60, Decimal::from(20), 21, 7, day("2026-10-01")).expect("sells");
    assert_eq!(found.runs_out_on, day("2026-12-31"));
    assert_eq!(found.order_by, day("2026-12-03"));
    assert!(!found.is_late);
    let late = order_by(10, Decimal::from(20), 21, 7, day("2026-10-01")).expect("sells");
    assert!(late.is_late);
    assert_eq!(order_by(10, Decimal::ZERO, 21, 7, day("2026-10-01")), None);
}

/// Common practice, no source: a repair over half of the price of a new one.
#[test]
fn a_repair_is_dear_above_half_of_a_new_one() {
    assert!(repair_is_dear(money("100.01"), money("200.00")));
    assert!(!repair_is_dear(money("100.00"), money("200.00")));
}
