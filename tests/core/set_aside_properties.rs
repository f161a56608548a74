//! What holds of every worksheet whatever the figures, and what becomes of files with faults.
//! Random cases; the published figures are in the other files.

use super::set_aside_places::{Case, profit, whole};
use deckle::dates::YearStart;
use deckle::money::Money;
use deckle::set_aside::rates::{OwnFile, shipped_files};
use deckle::set_aside::{Figure, Library, ProfitBasis};
use proptest::prelude::*;
use rust_decimal::Decimal;

const STATUS: [&str; 4] = ["single", "joint", "separate", "head"];

fn amount(estimate: &deckle::set_aside::Estimate, key: &str) -> Money {
    estimate
        .line(key)
        .map_or(Money::ZERO, |line| match line.amount {
            Figure::Money(amount) => amount,
            Figure::Percent(_) => Money::ZERO,
        })
}

fn case(place: usize, year: i32, status: usize, minor: i64, wages: i64) -> Case {
    let profit = Money::from_minor(minor);
    match place {
        0 => Case::new("us", "USD", year, profit)
            .answer("filing_status", STATUS[status])
            .answer("other_wages", wages)
            .answer("state_percent", 4),
        1 => {
            let mut case = Case::new("uk", "GBP", year.clamp(2025, 2027), profit);
            case.years = YearStart::new(4).expect("April");
            case.answer("other_income", wages)
        }
        _ => {
            let mut case = Case::new("nz", "NZD", 2026, profit);
            case.years = YearStart::new(4).expect("April");
            case.answer("other_income", wages)
        }
    }
}

proptest! {
    /// One cliff is published: from 2026 a business income of 1,000 brings the smallest deduction of 400 at once.
    #[test]
    fn more_profit_never_means_less_tax(
        place in 0_usize..3, year in 2023_i32..=2026, status in 0_usize..4,
        low in -2_000_000_i64..80_000_000, more in 0_i64..20_000_000, wages in 0_i64..300_000,
    ) {
        let less = case(place, year, status, low, wages).estimate();
        let greater = case(place, year, status, low + more, wages).estimate();
        let cliff = place == 0
            && year == 2026
            && amount(&less, "business-income") < whole(1_000)
            && amount(&greater, "business-income") >= whole(1_000);
        let slack = if cliff { whole(400) } else { Money::from_minor(10) };
        prop_assert!(greater.year_total + slack >= less.year_total);
        prop_assert!(!less.year_total.is_negative() && !less.to_move.is_negative());
        prop_assert!(less.instalments.iter().all(|one| !one.needed.is_negative()));
    }

    #[test]
    fn a_loss_needs_nothing_and_says_why(
        place in 0_usize..3, year in 2023_i32..=2026, status in 0_usize..4,
        loss in 1_i64..50_000_000, wages in 0_i64..300_000,
    ) {
        let estimate = case(place, year, status, -loss, wages).estimate();
        prop_assert!(estimate.total.is_zero() && estimate.to_move.is_zero());
        prop_assert!(estimate.notes.iter().any(|note| note.contains("loss")));
    }

    /// Over the whole year the four instalments bring what the rule of the whole year asks, whatever the season.
    #[test]
    fn the_last_instalment_makes_up_the_whole_year(
        status in 0_usize..4, quarters in proptest::array::uniform4(-1_000_000_i64..6_000_000),
        wages in 0_i64..120_000, prior in proptest::option::of(0_i64..40_000),
    ) {
        let mut so_far = 0;
        let through: Vec<i64> = quarters.iter().map(|part| { so_far += part; so_far }).collect();
        let mut case = case(0, 2026, status, so_far, wages);
        case.through_periods = through.iter().map(|minor| profit(Money::from_minor(*minor))).collect();
        if let Some(prior) = prior {
            case = case.answer("prior_year_tax", prior);
        }
        let estimate = case.estimate();
        let asked: Money = estimate.instalments.iter().map(|one| one.needed).sum();
        let whole_year = amount(&estimate, "instalments-total");
        let most_before = estimate.instalments[..3].iter().map(|one| one.needed).sum::<Money>();
        // What a good beginning asked for is not given back by a bad end.
        prop_assert!(asked == whole_year || (asked == most_before && asked > whole_year),
            "{asked:?} against {whole_year:?}");
        let mut equal = Money::ZERO;
        for (one, part) in estimate.instalments.iter().zip(whole_year.allocate(&[1; 4])) {
            equal += part;
            let columns = one.columns.as_ref().expect("both ways");
            prop_assert!(one.needed <= columns.equal);
            let until = estimate.instalments[..one.no as usize].iter().map(|one| one.needed).sum::<Money>();
            prop_assert!(until <= equal.max(most_before));
        }
    }

    #[test]
    fn bands_rise_and_have_no_steps(minor in 0_i64..120_000_000) {
        let amount = Decimal::new(minor, 2);
        let cent = Decimal::new(1, 2);
        for (rates, _sheet) in Library::shipped().all_rates() {
            for table in &rates.tables {
                for bands in table.value.values.values() {
                    let step = bands.on(amount + cent) - bands.on(amount);
                    prop_assert!(step >= Decimal::ZERO && step <= cent);
                }
            }
        }
    }
}

/// Most sales in the last quarter, as a maker has them: by hand, the profit to the end of March and of May is too small for
/// any tax but the self-employment tax, so the early instalments shrink and the last one grows.
#[test]
fn a_season_at_the_years_end_lowers_the_early_instalments() {
    let mut seasonal =
        Case::new("us", "USD", 2026, whole(24_000)).answer("filing_status", "single");
    seasonal.through_periods = [1_000, 2_500, 5_000, 24_000]
        .map(|units| profit(whole(units)))
        .to_vec();
    let estimate = seasonal.estimate();
    let rows: Vec<(Money, Money)> = estimate
        .instalments
        .iter()
        .map(|one| (one.columns.as_ref().expect("both ways").equal, one.needed))
        .collect();
    assert!(
        rows[..3].iter().all(|(equal, needed)| needed < equal),
        "{rows:?}"
    );
    // 4,000 for a year: 12.4 % and 2.9 % of 3,694.00 are 565.19, of which 22.5 % is 127.17 (127.16775).
    assert_eq!(rows[0].1, Money::from_minor(12_717));
    let asked: Money = rows.iter().map(|row| row.1).sum();
    assert_eq!(asked, amount(&estimate, "instalments-total"));
    let said = &estimate.instalments[0]
        .columns
        .as_ref()
        .expect("both ways")
        .formula;
    assert_eq!(
        said,
        "profit so far 1,000.00 \u{d7} 4 is 4,000.00 for a year; tax on it 565.19; 22.5 % of that less 0.00 asked before"
    );
}

/// By hand: a forecast of 24,000 of which 6,000 is made asks for a quarter of the year's amount so far.
#[test]
fn a_forecast_is_kept_back_in_the_measure_of_the_profit_so_far() {
    let mut case = Case::new("us", "USD", 2026, whole(6_000)).answer("filing_status", "single");
    case.basis = ProfitBasis::Forecast(Some(whole(24_000)));
    let estimate = case.estimate();
    assert_eq!(estimate.forecast, Some(whole(24_000)));
    assert_eq!(
        estimate.total,
        estimate.year_total.times(Decimal::new(25, 2))
    );
    let mut half_year =
        Case::new("us", "USD", 2023, whole(6_000)).answer("filing_status", "single");
    half_year.as_of = Some("2023-03-14");
    half_year.basis = ProfitBasis::Forecast(None);
    // 73 of 365 days: five times as much.
    assert_eq!(half_year.estimate().forecast, Some(whole(30_000)));
}

#[test]
fn an_instalment_that_is_late_is_said_without_a_figure_of_the_addition() {
    let mut case = Case::new("us", "USD", 2026, whole(60_000)).answer("filing_status", "single");
    case.as_of = Some("2026-07-01");
    case.through_periods = vec![profit(whole(30_000)), profit(whole(60_000))];
    case.paid = whole(1_000);
    let warnings = case.estimate().warnings;
    assert!(
        warnings
            .iter()
            .any(|said| said.contains("1,000.00 is written down as paid")
                && said.contains("none is worked out here")),
        "{warnings:?}"
    );
    case.paid = whole(20_000);
    assert!(case.estimate().warnings.is_empty());
}

fn shipped(name: &str) -> String {
    let found = shipped_files().iter().find(|(file, _text)| *file == name);
    found.expect("a file of the program").1.to_owned()
}

fn with(name: &str, text: String) -> Library {
    Library::with(&[OwnFile {
        name: name.to_owned(),
        text: Ok(text),
    }])
}

#[test]
fn a_file_with_a_fault_is_refused_with_its_line_and_nothing_else_is_lost() {
    for (file, old, new, wanted) in [
        (
            "us-2026.toml",
            r#"["12400", "50400", "12"]"#,
            r#"["12500", "50400", "12"]"#,
            "nothing holds from 12400 to 12500",
        ),
        (
            "us-2026.toml",
            r#"["12400", "50400", "12"]"#,
            r#"["12000", "50400", "12"]"#,
            "two bands hold from 12000 to 12400",
        ),
        (
            "us-2026.toml",
            r#"["12400", "50400", "12"]"#,
            r#"["12400", "11000", "12"]"#,
            "falls from 12400 to 11000",
        ),
        (
            "us-2026.toml",
            r#"["640600", "", "37"]"#,
            r#"["640600", "", "370"]"#,
            "not a rate from 0 to 100",
        ),
        (
            "us-2026.toml",
            "key = \"wage_base\"",
            "key = \"wage_bass\"",
            "nothing is called 'wage_base'",
        ),
        (
            "us-2026.toml",
            r#"head = "24150""#,
            r#"heads = "24150""#,
            "no value for head",
        ),
        (
            "us-2026.toml",
            r#"value = "184500""#,
            r#"value = "184,500""#,
            "'184,500' is not a number",
        ),
        (
            "us-2026.toml",
            r#"value = "184500""#,
            r#"value = "-1""#,
            "below nothing",
        ),
        (
            "us-2026.toml",
            "source = \"26 U.S.C. 1402(b)(2)\"",
            "source = \"\"",
            "no source",
        ),
        (
            "us-2026.toml",
            "checked = \"2026-11-26\"",
            "checked = \"lately\"",
            "no day checked",
        ),
        (
            "us-2026.toml",
            "to = \"2026-12-31\"",
            "to = \"2026-11-30\"",
            "not one whole year",
        ),
        (
            "us-2026.toml",
            "year = \"2026\"",
            "year = \"2027\"",
            "the file's name is not 'us-2027.toml'",
        ),
        (
            "us-2026.toml",
            "unit = \"amount\"",
            "unit = \"money\"",
            "not amount, percent or count",
        ),
        (
            "us-2026.toml",
            "unit = \"amount\"",
            "unti = \"amount\"",
            "unti",
        ),
        (
            "us-2026.toml",
            "worksheet = \"us\"",
            "worksheet = \"atlantis\"",
            "no worksheet 'atlantis'",
        ),
        (
            "worksheet-us.toml",
            "value = \"self_employment_tax / 2\"",
            "value = \"self_employment_tax / \"",
            "the end comes too soon",
        ),
        (
            "worksheet-us.toml",
            "value = \"clip(agi - deduction)\"",
            "value = \"clip(agi - deductoin)\"",
            "nothing is called 'deductoin'",
        ),
        (
            "worksheet-us.toml",
            "value = \"clip(agi - deduction)\"",
            "value = \"agi > deduction\"",
            "a number is wanted where yes or no stands",
        ),
        (
            "worksheet-us.toml",
            "filing_status is joint",
            "filing_status is jiont",
            "'jiont' is no choice",
        ),
        (
            "worksheet-us.toml",
            "result = \"to_keep\"",
            "result = \"to_kepe\"",
            "no line 'to_kepe'",
        ),
        (
            "worksheet-us.toml",
            "factor = \"2.4\"",
            "factor = \"5\"",
            "the factors fall to 1",
        ),
        (
            "worksheet-us.toml",
            "kind = \"percent\"",
            "kind = \"share\"",
            "not amount, percent, count, choice or yes-no",
        ),
        (
            "worksheet-us.toml",
            "key = \"credits\"\nkind",
            "key = \"profit\"\nkind",
            "an answer cannot be called 'profit'",
        ),
        (
            "worksheet-us.toml",
            "key = \"credits\"\nkind",
            "key = \"percent\"\nkind",
            "an answer cannot be called 'percent'",
        ),
        (
            "us-2026.toml",
            "key = \"earnings_floor\"",
            "key = \"credits\"",
            "the figure 'credits' has the name of an answer",
        ),
        (
            "worksheet-us.toml",
            "value = \"if(answered(own_deduction), own_deduction, standard_deduction)\"",
            "value = \"max(own_deduction, standard_deduction)\"",
            "'own_deduction' may be without an answer",
        ),
        (
            "worksheet-us.toml",
            "currency = \"USD\"",
            "currency = \"Dollar\"",
            "'Dollar' is no ISO 4217 code",
        ),
        (
            "worksheet-us.toml",
            "calendar = \"us\"",
            "calendar = \"nowhere\"",
            "its calendar-nowhere.toml is missing or was refused",
        ),
        (
            "worksheet-us.toml",
            "calendar = \"us\"",
            "calendar = \"uk\"",
            "the tax year of calendar-uk.toml is another",
        ),
    ] {
        let text = shipped(file);
        let spoiled = text.replacen(old, new, 1);
        assert_ne!(text, spoiled, "{old}");
        let library = with(file, spoiled.clone());
        let said: Vec<String> = library.faults().iter().map(ToString::to_string).collect();
        assert!(
            said.iter().any(|fault| fault.contains(wanted)),
            "{wanted}: {said:?}"
        );
        let fault = library
            .faults()
            .iter()
            .find(|fault| fault.what.contains(wanted))
            .expect("it");
        if let Some(line) = fault.line {
            let text = if fault.file == file {
                spoiled.clone()
            } else {
                shipped(&fault.file)
            };
            let named = text.lines().nth(line - 1).expect("a line");
            assert!(!named.trim().is_empty(), "{fault}");
        }
        let mut case = Case::new("us-2026", "USD", 2026, whole(60_000));
        case = case.answer("filing_status", "single");
        let refused = case.estimate_in(&library).expect_err("refused").to_string();
        assert!(!refused.is_empty());
        // Another place's sheets go on.
        let mut other = Case::new("uk", "GBP", 2027, whole(30_000));
        other.years = YearStart::new(4).expect("April");
        assert!(other.estimate_in(&library).is_ok(), "{wanted}");
    }
}

#[test]
fn payments_and_tax_years_that_do_not_go_together_are_refused() {
    let part = "[[instalments.part]]\nlabel = \"Balance\"\nline = \"balance\"\n";
    let text = shipped("worksheet-ie.toml");
    let spoiled = text.replace(part, "");
    assert_ne!(text, spoiled);
    let said: Vec<String> = with("worksheet-ie.toml", spoiled)
        .faults()
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        said,
        [
            "worksheet-ie.toml: its payments are 1, those of calendar-ie.toml 2",
            "ie-2025.toml: it is not used, because worksheet-ie.toml was refused",
        ]
    );
    let moved = shipped("ie-2025.toml")
        .replace("year = \"2025\"", "year = \"2025-26\"")
        .replace("from = \"2025-01-01\"", "from = \"2025-07-01\"")
        .replace("to = \"2025-12-31\"", "to = \"2026-06-30\"");
    let library = with("ie-2025-26.toml", moved);
    assert_eq!(
        library.faults()[0].to_string(),
        "ie-2025-26.toml: its tax year begins on 1 Jul 2025, that of worksheet-ie.toml on day 1 of month 1"
    );
}

#[test]
fn bands_with_a_fault_are_named_by_their_own_line() {
    let text = shipped("us-2026.toml").replacen(
        r#"["50400", "105700", "22"]"#,
        r#"["50300", "105700", "22"]"#,
        1,
    );
    let line = text
        .lines()
        .position(|line| line.contains("50300"))
        .expect("it")
        + 1;
    let library = with("us-2026.toml", text);
    assert_eq!(
        library.faults()[0].to_string(),
        format!("us-2026.toml, line {line}: band 3: two bands hold from 50300 to 50400")
    );
}

#[test]
fn the_owners_file_stands_in_for_the_programs_and_may_extend_it() {
    let text = shipped("us-2026.toml").replacen(r#"value = "184500""#, r#"value = "30000""#, 1);
    let library = with("us-2026.toml", text);
    assert_eq!(library.faults(), []);
    assert!(library.is_own("us-2026"));
    let case = Case::new("us", "USD", 2026, whole(60_000)).answer("filing_status", "single");
    // By hand: 12.4 % of 30,000.
    let estimate = case.estimate_in(&library).expect("an estimate");
    assert_eq!(amount(&estimate, "social-security"), whole(3_720));

    let mine = r#"
worksheet = "us"
year = "2026"
title = "United States, federal and my state, 2026"
from = "2026-01-01"
to = "2026-12-31"
extends = "us-2026"

[[table]]
key = "state_tax_bands"
label = "my state's bands"
source = "the state's own leaflet"
checked = "2026-11-01"
bands = { all = [["0", "10000", "0"], ["10000", "", "5"]] }
"#;
    let library = with("us-2026-mine.toml", mine.to_owned());
    assert_eq!(library.faults(), []);
    let mut case = Case::new("us-2026-mine", "USD", 2026, whole(60_000));
    case = case.answer("filing_status", "single");
    let estimate = case.estimate_in(&library).expect("an estimate");
    // By hand: 5 % of what 55,761.13 is above 10,000; all of it is the business's.
    assert_eq!(
        amount(&estimate, "state-income-tax"),
        Money::from_minor(228_806)
    );
    assert_eq!(
        amount(&estimate, "to-keep"),
        Money::from_minor(1_203_720 + 228_806)
    );
    assert_eq!(estimate.title, "United States, federal and my state, 2026");
}
