//! The worksheets of the United Kingdom and New Zealand against published examples and figures worked by hand.
//! They are data alone: nothing in the program names either place.

use super::set_aside_places::{Case, assert_lines, line, whole};
use deckle::dates::YearStart;
use deckle::money::Money;
use deckle::set_aside::BookSums;

fn uk(year: i32, profit: i64) -> Case {
    let mut case = Case::new("uk", "GBP", year, whole(profit));
    case.years = YearStart::new(4).expect("April");
    case
}

/// By hand from the limits and rates of gov.uk: 6 % of 17,430; 6 % of 37,700 and 2 % of 9,730.
#[test]
fn class_4_is_worked_between_its_limits() {
    for (year, profit, class_4) in [
        (2025, 30_000, "1045.80"),
        (2026, 60_000, "2456.60"),
        (2027, 60_000, "2456.60"),
        (2027, 12_570, "0.00"),
    ] {
        let estimate = uk(year, profit).estimate();
        assert_eq!(line(&estimate, "class-4"), class_4, "{year} {profit}");
    }
}

/// By hand: with 110,000 the allowance is 12,570 less half of 10,000; with 125,140 it is gone.
#[test]
fn the_personal_allowance_shrinks_above_its_limit() {
    assert_lines(
        &uk(2027, 30_000).estimate(),
        &[
            ("allowance", "12570.00"),
            ("taxable", "17430.00"),
            ("income-tax", "3486.00"),
            ("total-tax", "4531.80"),
            ("to-keep", "4531.80"),
        ],
    );
    assert_lines(
        &uk(2027, 110_000).estimate(),
        &[
            ("allowance", "7570.00"),
            ("taxable", "102430.00"),
            // 20 % of 37,700 and 40 % of 64,730.
            ("income-tax", "33432.00"),
        ],
    );
    assert_lines(
        &uk(2027, 150_000).estimate(),
        &[
            ("allowance", "0.00"),
            // 7,540 + 40 % of 87,440 + 45 % of 24,860.
            ("income-tax", "53703.00"),
        ],
    );
}

/// gov.uk, Understand your Self Assessment tax bill, payments on account: a bill of 3,000 of which 1,800 was paid in two
/// payments of 900 leaves 1,200, and with the first payment of 1,500 for the next year 2,700 is due in January, 1,500 in July.
/// The profit that makes such a bill is by hand: 26 % of what is above 12,570 up to the basic rate limit.
#[test]
fn payments_on_account_come_out_as_published() {
    let mut first = uk(2025, 0);
    first.sums.profit = Money::from_minor(2_410_846);
    let estimate = first.answer("prior_year_tax", "1800").estimate();
    assert_lines(
        &estimate,
        &[
            ("bill", "3000.00"),
            ("payment-on-account", "900.00"),
            ("balancing", "1200.00"),
            ("next-on-account", "1500.00"),
        ],
    );
    let rows: Vec<(&str, i64, String)> = estimate
        .instalments
        .iter()
        .map(|one| (one.label.as_str(), one.needed.minor(), one.due.to_string()))
        .collect();
    assert_eq!(
        rows,
        [
            ("First payment on account", 90_000, "2025-01-31".to_owned()),
            ("Second payment on account", 90_000, "2025-07-31".to_owned()),
            // 31 January 2026 is a Saturday.
            ("Balancing payment", 120_000, "2026-01-30".to_owned()),
        ]
    );
    let next = uk(2026, 40_000).answer("prior_year_tax", "3000").estimate();
    let january = estimate.instalments[2].needed + next.instalments[0].needed;
    assert_eq!(january, whole(2_700));
    assert_eq!(next.instalments[1].needed, whole(1_500));
}

/// The same page: none when last year's bill was less than 1,000 or more than 80 % was taken before.
#[test]
fn small_and_collected_bills_ask_for_nothing_in_advance() {
    for (bill, mostly, each) in [
        ("999.99", "no", "0.00"),
        ("1000", "no", "500.00"),
        ("3000", "yes", "0.00"),
    ] {
        let estimate = uk(2027, 30_000)
            .answer("prior_year_tax", bill)
            .answer("mostly_collected", mostly)
            .estimate();
        assert_eq!(line(&estimate, "payment-on-account"), each, "{bill}");
    }
    // By hand: wages of 60,000 cost 11,432; 500 of profit adds 40 % of it, which is little beside what the code takes.
    let estimate = uk(2027, 500).answer("other_income", "60000").estimate();
    assert_lines(
        &estimate,
        &[
            ("tax-without", "11432.00"),
            ("business-tax", "200.00"),
            ("bill", "200.00"),
            ("next-on-account", "0.00"),
        ],
    );
}

#[test]
fn the_trading_allowance_is_compared_and_taken_only_when_asked() {
    let mut case = uk(2027, 19_500);
    case.sums = BookSums {
        profit: whole(19_500),
        sales: whole(20_000),
        costs: whole(500),
        depreciation: Money::ZERO,
    };
    let estimate = case.estimate();
    assert_lines(
        &estimate,
        &[
            ("with-trading-allowance", "19000.00"),
            ("taxable-profit", "19500.00"),
        ],
    );
    assert!(
        estimate
            .notes
            .iter()
            .any(|note| note.contains("worth comparing"))
    );
    let taken = case.answer("take_trading_allowance", "yes").estimate();
    assert_eq!(line(&taken, "taxable-profit"), "19000.00");
}

/// Wear in the books is added back and capital allowances take its place (SA103F); 52 weeks of 3.65.
#[test]
fn what_the_books_count_otherwise_is_put_right() {
    let mut case = uk(2027, 5_000);
    case.sums.depreciation = whole(300);
    let estimate = case
        .answer("capital_allowances", "1200")
        .answer("own_goods", "80")
        .answer("private_share", "120")
        .answer("voluntary_class_2", "yes")
        .estimate();
    assert_lines(
        &estimate,
        &[
            ("net-profit", "4300.00"),
            ("class-2", "189.80"),
            ("to-keep", "189.80"),
        ],
    );
}

#[test]
fn a_books_year_that_differs_is_said() {
    let april = uk(2027, 30_000).estimate();
    assert_eq!(april.tax_year.from.to_string(), "2026-04-06");
    assert!(
        april.notes[0].contains("is taken for the tax year"),
        "{:?}",
        april.notes
    );
    let mut calendar_year = uk(2026, 30_000);
    calendar_year.years = YearStart::default();
    let estimate = calendar_year.estimate();
    // Most of the calendar year 2026 lies in the tax year that begins in it.
    assert_eq!(estimate.tax_year.from.to_string(), "2026-04-06");
    assert!(
        estimate.notes[0].contains("is not the book's year"),
        "{:?}",
        estimate.notes
    );
    assert_eq!(estimate.rates.expect("rates").name, "uk-2026-27");
}

/// ird.govt.nz, tax rates for individuals from 1 April 2025; by hand: 10.5 % of 15,600, 17.5 % of 37,900, 30 % of 6,500.
/// Standard option of provisional tax: last year's residual tax and 5 %, in three, when it was above 5,000.
#[test]
fn another_place_needs_nothing_but_its_files() {
    let mut case = Case::new("nz", "NZD", 2026, whole(60_000));
    case.years = YearStart::new(4).expect("April");
    let estimate = case.clone().answer("prior_year_tax", "6000").estimate();
    assert_lines(
        &estimate,
        &[
            ("income-tax", "10220.50"),
            ("to-keep", "10220.50"),
            ("provisional", "6300.00"),
        ],
    );
    let rows: Vec<(i64, String)> = estimate
        .instalments
        .iter()
        .map(|one| (one.needed.minor(), one.due.to_string()))
        .collect();
    assert_eq!(
        rows,
        [
            (210_000, "2025-08-28".to_owned()),
            (210_000, "2026-01-15".to_owned()),
            (210_000, "2026-05-07".to_owned()),
        ]
    );
    let small = case.answer("prior_year_tax", "5000").estimate();
    assert_eq!(line(&small, "provisional"), "0.00");
}
