//! The worksheet of the United States against published examples and figures worked by hand.
//! The grid against a tax model, the tables and the due days stand in files of their own.

use super::set_aside_places::{Case, assert_lines, line, whole};
use deckle::money::Money;

fn single(year: i32, profit: i64) -> Case {
    Case::new("us", "USD", year, whole(profit)).answer("filing_status", "single")
}

/// By hand, to the cent, from the rates of 2026: single, net profit 60,000, nothing else.
#[test]
fn a_whole_year_comes_out_to_the_cent() {
    let estimate = single(2026, 60_000).estimate();
    assert_lines(
        &estimate,
        &[
            ("profit", "60000.00"),
            ("net-earnings", "55410.00"),
            ("social-security", "6870.84"),
            ("medicare", "1606.89"),
            ("self-employment-tax", "8477.73"),
            ("half-off", "4238.87"),
            ("additional-medicare", "-"),
            ("agi", "55761.13"),
            ("before-business-deduction", "39661.13"),
            ("business-income", "55761.13"),
            ("business-deduction", "7932.23"),
            ("taxable", "31728.90"),
            ("income-tax", "3559.47"),
            ("total-tax", "12037.20"),
            ("tax-without", "0.00"),
            ("to-keep", "12037.20"),
            ("required-payment", "10833.48"),
        ],
    );
    assert_eq!(estimate.total, Money::from_minor(1_203_720));
    let equal: Vec<i64> = estimate
        .instalments
        .iter()
        .filter_map(|one| Some(one.columns.as_ref()?.equal.minor()))
        .collect();
    assert_eq!(equal[0], 270_837);
    let formula = |key: &str| estimate.line(key).expect(key).formula.clone();
    assert_eq!(formula("medicare"), "2.9 % of 55,410.00 (line 6)");
    for (key, words) in [
        (
            "self-employment-tax",
            "6,870.84 (line 8) + 1,606.89 (line 9)",
        ),
        (
            "income-tax",
            "by the bands of 31,728.90 (line 19): 10 % of 12,400.00 + 12 % of 19,328.90",
        ),
        ("to-keep", "12,037.20 (line 23)"),
        ("by-business-income", "20 % of 55,761.13 (line 15)"),
        (
            "before-business-deduction",
            "55,761.13 (line 12) \u{2212} 16,100.00 (line 13)",
        ),
    ] {
        assert_eq!(formula(key), words, "{key}");
    }
    assert_eq!(line(&estimate, "mileage"), "-");
}

#[test]
fn what_is_missing_or_cannot_be_is_named_with_its_setting() {
    let without = Case::new("us", "USD", 2026, whole(60_000));
    assert_eq!(
        without.refusal(),
        "'How you file' is not answered yet; set set_aside.filing_status=single or joint or separate or head"
    );
    for (key, text, wanted) in [
        (
            "other_wages",
            "-5",
            "set_aside.other_wages: '-5' is below nothing",
        ),
        (
            "other_wages",
            "much",
            "set_aside.other_wages: 'much' is not a number",
        ),
        (
            "state_percent",
            "101",
            "set_aside.state_percent: '101' is more than 100",
        ),
    ] {
        assert_eq!(single(2026, 60_000).answer(key, text).refusal(), wanted);
    }
    let mut pounds = single(2026, 60_000);
    pounds.currency = "GBP";
    assert!(pounds.refusal().contains("this book is in GBP"));
    let mut early = single(2026, 60_000);
    early.as_of = Some("2025-12-31");
    assert!(early.refusal().contains("has not begun"));
}

#[test]
fn a_year_without_rates_is_refused_and_another_years_rates_say_that_they_are_assumed() {
    let refused = single(2027, 60_000).refusal();
    assert!(
        refused.contains("for 2027") && refused.contains("'us-2026'"),
        "{refused}"
    );
    let refused = single(2019, 60_000).refusal();
    assert!(refused.contains("'us-2023'"), "{refused}");
    let mut assumed = single(2027, 60_000);
    assumed.method = "us-2026";
    let estimate = assumed.estimate();
    assert_eq!(line(&estimate, "to-keep"), "12037.20");
    assert!(
        estimate.notes[0].contains("rates of 2026 are taken for 2027"),
        "{:?}",
        estimate.notes
    );
    let rates = estimate.rates.expect("rates");
    assert_eq!(rates.assumed_for.as_deref(), Some("2027"));
    // The due days are the year's own: 15 Jan 2028 is a Saturday, Monday is King day.
    assert_eq!(estimate.instalments[3].due.to_string(), "2028-01-18");
    let mut own = single(2025, 60_000);
    own.method = "us-2026";
    assert!(own.estimate().notes[0].contains("'us-2025'"));
}

#[test]
fn a_loss_needs_nothing_and_is_explained() {
    let mut loss = single(2026, 0).answer("other_wages", "40000");
    loss.what_if = Some(whole(-7_300));
    let estimate = loss.estimate();
    assert_lines(
        &estimate,
        &[
            ("net-profit", "-7300.00"),
            ("self-employment-tax", "0.00"),
            ("to-keep", "0.00"),
        ],
    );
    assert_eq!(estimate.total, Money::ZERO);
    assert!(estimate.instalments.iter().all(|one| one.needed.is_zero()));
    let said = estimate.notes.join(" ");
    assert!(
        said.contains("loss so far") && said.contains("licensed professional"),
        "{said}"
    );
}
