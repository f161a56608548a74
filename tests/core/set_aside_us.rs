//! The worksheet of the United States against published examples and figures worked by hand.
//! The grid against a tax model, the tables and the due days stand in files of their own.

use super::set_aside_places::{Case, assert_lines, line, whole};
use deckle::dates::YearStart;
use deckle::money::Money;
use deckle::set_aside::{BookSums, Library};
use rust_decimal::{Decimal, RoundingStrategy};

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
    assert!(
        early
            .refusal()
            .contains("begins on 1 Jan 2026, after 31 Dec 2025")
    );
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

/// IRS Pub. 505 (2000 edition), filled-in worksheet 2.2 for 2001, each line in whole dollars: net profit 38,500; 35,555; 1,031;
/// 4,409; 5,440; half 2,720. Its profit lies below every year's wage base and the rates have not changed since.
#[test]
fn the_published_worksheet_comes_out_in_whole_dollars() {
    let library = Library::shipped();
    for year in 2023..=2026 {
        let days = YearStart::default().year_ending_in(year);
        let method = library
            .place("us", days)
            .expect("rates")
            .expect("a worksheet");
        let facts = single(year, 38_500).facts();
        let sums = BookSums {
            profit: whole(38_500),
            ..BookSums::default()
        };
        let amounts = method.amounts(&facts, sums, true).expect("amounts");
        for (key, wanted) in [
            ("net_earnings", 35_555),
            ("medicare", 1_031),
            ("social_security", 4_409),
            ("self_employment_tax", 5_440),
            ("half_off", 2_720),
        ] {
            assert_eq!(amounts[key], Decimal::from(wanted), "{key}");
        }
    }
}

/// IRS Pub. 505 (2008), figure 2-E: adjusted gross income and itemised deductions of each period taken for the year, the
/// larger deduction and what is left, in whole dollars.
#[test]
fn the_published_periods_are_taken_for_the_year_by_the_same_factors() {
    let library = Library::shipped();
    let sheet = library.sheet("us").expect("the worksheet");
    let periods = sheet.annual_periods();
    let shares: Vec<String> = periods
        .iter()
        .map(|(_factor, share)| (share * Decimal::ONE_HUNDRED).normalize().to_string())
        .collect();
    // Form 2210, Schedule AI.
    assert_eq!(shares, ["22.5", "45", "67.5", "90"]);
    #[rustfmt::skip]
    let columns = [
        (13_203, 52_812, 1_300, 5_200, 10_900, 41_912),
        (23_155, 55_572, 2_970, 7_128, 10_900, 44_672),
        (45_037, 67_556, 7_025, 10_538, 10_900, 56_656),
        (81_756, 81_756, 11_525, 11_525, 11_525, 70_231),
    ];
    for ((factor, _share), column) in periods.iter().zip(columns) {
        let (income, for_year, listed, listed_for_year, larger, left) = column;
        let annual = |amount: i64| {
            (Decimal::from(amount) * factor)
                .round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero)
        };
        assert_eq!(annual(income), Decimal::from(for_year));
        assert_eq!(annual(listed), Decimal::from(listed_for_year));
        let deduction = annual(listed).max(Decimal::from(10_900));
        assert_eq!(deduction, Decimal::from(larger));
        assert_eq!(annual(income) - deduction, Decimal::from(left));
    }
}

/// Top social security part of each year: 12.4 % of the wage base, by hand.
#[test]
fn the_social_security_part_stops_at_the_ceiling_less_own_wages() {
    for (year, top) in [
        (2023, "19864.80"),
        (2024, "20906.40"),
        (2025, "21836.40"),
        (2026, "22878.00"),
    ] {
        let estimate = single(year, 900_000).estimate();
        assert_eq!(line(&estimate, "social-security"), top, "{year}");
    }
    // Own wages use the ceiling up: 184,500 less 180,000, of which 12.4 % is 558.00.
    let own = single(2026, 60_000)
        .answer("other_wages", "180000")
        .estimate();
    assert_lines(
        &own,
        &[("wage-base-left", "4500.00"), ("social-security", "558.00")],
    );
    let above = single(2026, 60_000)
        .answer("other_wages", "200000")
        .estimate();
    assert_lines(
        &above,
        &[
            ("social-security", "0.00"),
            ("medicare", "1606.89"),
            // 0.9 % of all the earnings, as the wages alone reach 200,000.
            ("additional-medicare", "498.69"),
        ],
    );
    assert!(
        above
            .notes
            .iter()
            .any(|note| note.contains("whole social security ceiling"))
    );
    // A spouse's wages leave the ceiling alone and are income.
    let spouse = Case::new("us", "USD", 2026, whole(60_000))
        .answer("filing_status", "joint")
        .answer("spouse_wages", "180000")
        .estimate();
    assert_lines(
        &spouse,
        &[("social-security", "6870.84"), ("other-total", "180000.00")],
    );
    let apart = single(2026, 60_000)
        .answer("spouse_wages", "180000")
        .estimate();
    assert_eq!(line(&apart, "other-total"), "0.00");
    assert!(
        apart
            .notes
            .iter()
            .any(|note| note.contains("do not file together"))
    );
}

/// 26 U.S.C. 1402(b)(2): no tax under 400 of net earnings, which 433.13 of net profit reach (by hand: 433.13 x .9235 =
/// 399.995555, in cents 400.00).
#[test]
fn small_earnings_have_no_self_employment_tax() {
    let cents = |minor: i64| {
        let mut case = single(2026, 0);
        case.sums.profit = Money::from_minor(minor);
        line(&case.estimate(), "self-employment-tax")
    };
    assert_eq!(cents(43_312), "0.00");
    assert_eq!(cents(43_313), "61.20");
}

/// 26 U.S.C. 6654(d)(1): the lesser of 90 % of this year's tax and 100 or 110 % of last year's; (e)(1): under 1,000 nothing.
#[test]
fn the_required_payment_is_the_lower_of_the_safe_ways() {
    // This year's way is 90 % of 12,037.20.
    for (tax, agi, required) in [
        ("9000", "60000", "9000.00"),
        ("9000", "150000", "9000.00"),
        ("9000", "150000.01", "9900.00"),
        ("9000", "", "9900.00"),
        ("20000", "60000", "10833.48"),
        ("0", "60000", "0.00"),
    ] {
        let mut case = single(2026, 60_000).answer("prior_year_tax", tax);
        if !agi.is_empty() {
            case = case.answer("prior_year_agi", agi);
        }
        let estimate = case.estimate();
        assert_eq!(line(&estimate, "required-payment"), required, "{tax} {agi}");
    }
    let separate = Case::new("us", "USD", 2026, whole(60_000))
        .answer("filing_status", "separate")
        .answer("prior_year_tax", "9000")
        .answer("prior_year_agi", "75000.01")
        .estimate();
    assert_eq!(line(&separate, "prior-year-way"), "9900.00");
    let covered = single(2026, 60_000)
        .answer("withholding", "11100")
        .estimate();
    assert_eq!(line(&covered, "instalments-total"), "0.00");
    let almost = single(2026, 60_000)
        .answer("withholding", "10000")
        .estimate();
    assert_eq!(line(&almost, "instalments-total"), "833.48");
    assert_eq!(line(&almost, "to-keep"), "2037.20");
}

/// Mileage: 1,234 miles of 2026 at 72.5 cents are 894.65 (by hand). Rev. Proc. 2013-13: 5 a square foot, at most 300.
#[test]
fn adjustments_change_the_profit_that_is_taxed() {
    let mut case = single(2026, 20_000);
    case.sums.depreciation = whole(600);
    let estimate = case
        .answer("private_share", "240")
        .answer("tax_depreciation", "1500")
        .answer("business_miles", "1234")
        .answer("workspace_area", "330")
        .estimate();
    assert_lines(
        &estimate,
        &[
            ("mileage", "894.65"),
            ("workspace", "1500.00"),
            // 20,000 + 240 + 600 - 1,500 - 894.65 - 1,500.
            ("net-profit", "16945.35"),
        ],
    );
    // The workspace takes no more than the profit before it.
    let small = single(2026, 400).answer("workspace_area", "200").estimate();
    assert_lines(&small, &[("workspace", "400.00"), ("net-profit", "0.00")]);
    // Pub. 587: an average of 150 square feet is 750.
    let part = single(2026, 9_000)
        .answer("workspace_area", "150")
        .estimate();
    assert_eq!(line(&part, "workspace"), "750.00");
}

/// By hand from the limits of 2026 for a single owner: the range runs from 201,750 through 75,000.
#[test]
fn the_business_income_deduction_shrinks_above_its_limit_and_ends() {
    let below = single(2026, 180_000).estimate();
    assert_eq!(line(&below, "phase"), "-");
    let above = single(2026, 400_000).estimate();
    assert_eq!(line(&above, "phase"), "100 %");
    // Nothing but the smallest deduction of 26 U.S.C. 199A(i) is left.
    assert_eq!(line(&above, "business-deduction"), "400.00");
    let year_before = single(2025, 400_000).estimate();
    assert_eq!(line(&year_before, "business-deduction"), "0.00");
    assert!(above.notes.iter().any(|note| note.contains("shrinks")));
}
