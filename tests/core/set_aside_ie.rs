//! The sheet of a sole owner in Ireland: figures worked by hand, and the tax office's example of a credit.
//! That its files are whole is tested with all others.

use super::set_aside_places::{Case, assert_lines, line, whole};
use deckle::money::Money;

fn single(profit: Money) -> Case {
    Case::new("ie", "EUR", 2025, profit).answer("assessment", "single")
}

/// By hand from the figures of 2025: 20 % to 44,000 and 40 % above, credits of 2,000 and up to 2,000; the Universal
/// Social Charge by its bands once the income is above 13,000; 4.125 % of PRSI, at least 650 from 5,000.
#[test]
fn each_charge_begins_at_its_own_threshold() {
    for (profit, income_tax, usc, surcharge, prsi, to_keep) in [
        (-300_000, "0.00", "0.00", "-", "0.00", "0.00"),
        (400_000, "0.00", "0.00", "-", "0.00", "0.00"),
        (1_300_000, "0.00", "0.00", "-", "650.00", "650.00"),
        (1_300_001, "0.00", "79.82", "-", "650.00", "729.82"),
        (4_000_000, "4000.00", "746.00", "-", "1650.00", "6396.00"),
        (
            10_000_000, "27200.00", "4043.80", "-", "4125.00", "35368.80",
        ),
        (
            15_000_000, "47200.00", "8043.80", "1500.00", "6187.50", "62931.30",
        ),
    ] {
        let estimate = single(Money::from_minor(profit)).estimate();
        assert_lines(
            &estimate,
            &[
                ("income-tax", income_tax),
                ("usc", usc),
                ("usc-surcharge", surcharge),
                ("prsi", prsi),
                ("to-keep", to_keep),
            ],
        );
    }
}

/// revenue.ie, earned income tax credit: the credit is the lower of the amount of the year and 20 % of the earned income;
/// 2,500 gives 500, and 50,000 the whole of it.
#[test]
fn the_earned_income_credit_is_the_tax_offices() {
    assert_eq!(
        line(&single(whole(2_500)).estimate(), "earned-credit"),
        "500.00"
    );
    assert_eq!(
        line(&single(whole(50_000)).estimate(), "earned-credit"),
        "2000.00"
    );
}

/// By hand: with wages of 30,000 only what the business adds is kept back; the two payments make up the bill.
#[test]
fn wages_are_left_to_the_employer_and_the_bill_falls_in_two_payments() {
    let estimate = single(whole(10_000)).answer("wages", 30_000).estimate();
    // 20 % of 40,000 less credits of 4,000; alone 20 % of 30,000 less 4,000.
    assert_lines(
        &estimate,
        &[
            ("income-tax", "4000.00"),
            ("tax-without", "2446.00"),
            ("prsi", "650.00"),
            ("to-keep", "2950.00"),
            ("preliminary", "2655.00"),
            ("balance", "295.00"),
        ],
    );
    let dues: Vec<(String, String)> = estimate
        .instalments
        .iter()
        .map(|one| (one.due.to_string(), one.label.clone()))
        .collect();
    assert_eq!(
        dues,
        [
            ("2025-10-31".to_owned(), "Preliminary tax".to_owned()),
            ("2026-10-31".to_owned(), "Balance".to_owned())
        ]
    );
}
