//! The set-aside estimate: numbered lines, instalments, due days; and every file under `assets/rates`.
//! Figures are by hand unless a source stands beside them.

use chrono::NaiveDate;
use deckle::dates::{Month, YearStart, parse_iso};
use deckle::money::{Currency, Money, Percent};
use deckle::set_aside::{
    CAUTION, Calendar, CalendarError, Facts, Figure, Library, Method, PercentOfProfit,
    ProfitToDate, SetAsideError, WorksheetFacts, calendar_names,
};

fn day(text: &str) -> NaiveDate {
    parse_iso(text).expect("a day")
}

fn cents(minor: i64) -> Money {
    Money::from_minor(minor)
}

fn us() -> Calendar {
    Calendar::named("us").expect("the file has no hole")
}

/// January to September of a small bindery: a loss of 50.00 in the first quarter, then profits.
fn facts() -> Facts {
    let months = [
        -2_000, -1_000, -2_000, 3_000, 2_000, 30_000, 20_000, 19_600, 38_800,
    ];
    Facts {
        year: 2026,
        years: YearStart::default(),
        as_of: day("2026-09-28"),
        profit: ProfitToDate {
            net_sales: cents(341_260),
            cost_of_goods_sold: cents(112_740),
            costs: cents(120_120),
            other_income: Money::ZERO,
            net_profit: cents(108_400),
        },
        cost_accounts: 18,
        profit_by_month: (1..)
            .zip(months)
            .map(|(no, minor)| (Month::new(2026, no), cents(minor)))
            .collect(),
        put_by: cents(23_920),
        already_paid: Money::ZERO,
        percent: Percent::new(30.into()).expect("a share"),
        percent_chosen_on: Some(day("2026-02-01")),
        what_if_profit: None,
        calendar: us(),
        currency: Currency::from_code("USD").expect("ISO 4217"),
        worksheet: WorksheetFacts::default(),
    }
}

#[test]
fn the_lines_lead_from_sales_to_what_to_move() {
    let estimate = PercentOfProfit.estimate(&facts()).expect("an estimate");
    let rows: Vec<(u32, &str, Figure)> = estimate
        .lines
        .iter()
        .map(|line| (line.no, line.label.as_str(), line.amount))
        .collect();
    let share = Figure::Percent(Percent::new(30.into()).expect("a share"));
    assert_eq!(
        rows,
        [
            (
                1,
                "Sales, less refunds and discounts",
                Figure::Money(cents(341_260))
            ),
            (2, "Cost of what was sold", Figure::Money(cents(112_740))),
            (
                3,
                "Running costs, with wear of equipment",
                Figure::Money(cents(120_120))
            ),
            (4, "Profit so far", Figure::Money(cents(108_400))),
            (5, "Share to keep back", share),
            (6, "To keep back so far", Figure::Money(cents(32_520))),
            (7, "Already put by", Figure::Money(cents(23_920))),
            (8, "Already paid", Figure::Money(Money::ZERO)),
            (9, "To move now", Figure::Money(cents(8_600))),
        ]
    );
    assert_eq!(
        (estimate.total, estimate.to_move),
        (cents(32_520), cents(8_600))
    );
    assert_eq!(
        estimate.line("total").expect("a line").formula,
        "4 × 5: 1,084.00 × 30 %"
    );
    assert!(
        estimate
            .lines
            .iter()
            .all(|line| !line.formula.is_empty() && !line.source.is_empty())
    );
    assert_eq!(estimate.caution, CAUTION);
    assert_eq!(share.plain(&facts().currency), "30");
    assert_eq!(share.show(&facts().currency), "30 %");
}

#[test]
fn other_income_has_its_line_and_the_formulas_follow() {
    let mut facts = facts();
    facts.profit.other_income = cents(1_000);
    facts.profit.net_profit += cents(1_000);
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    assert_eq!(estimate.lines.len(), 10);
    let profit = estimate.line("profit").expect("a line");
    assert_eq!(profit.no, 5);
    assert_eq!(
        profit.formula,
        "1 − 2 − 3 + 4: 3,412.60 − 1,127.40 − 1,201.20 + 10.00"
    );
    assert_eq!(
        estimate.line("total").expect("a line").amount,
        Figure::Money(cents(32_820))
    );
}

#[test]
fn each_instalment_brings_the_sum_up_to_the_share_of_profit_so_far() {
    let estimate = PercentOfProfit.estimate(&facts()).expect("an estimate");
    let rows: Vec<(u32, i64, i64)> = estimate
        .instalments
        .iter()
        .map(|row| (row.no, row.profit_to_date.minor(), row.needed.minor()))
        .collect();
    // 30 % of nothing, of 0.00, of 696.00, of 1,084.00, less what was asked before.
    assert_eq!(
        rows,
        [
            (1, -5_000, 0),
            (2, 0, 0),
            (3, 69_600, 20_880),
            (4, 108_400, 11_640)
        ]
    );
    assert_eq!(estimate.instalments[0].note, "none: a loss");
    assert_eq!(
        estimate.next_due(day("2026-09-28")).expect("January").due,
        day("2027-01-15")
    );
    let sum: Money = estimate.instalments.iter().map(|row| row.needed).sum();
    assert_eq!(sum, estimate.total);
}

#[test]
fn an_instalment_is_never_below_nothing() {
    let mut facts = facts();
    facts.profit_by_month = vec![
        (Month::new(2026, 2), cents(10_000)),
        (Month::new(2026, 4), cents(-6_000)),
        (Month::new(2026, 7), cents(9_000)),
    ];
    facts.profit.net_profit = cents(13_000);
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    let needed: Vec<i64> = estimate
        .instalments
        .iter()
        .map(|row| row.needed.minor())
        .collect();
    assert_eq!(needed, [3_000, 0, 900, 0]);
    facts.as_of = day("2026-05-10");
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    assert_eq!(estimate.instalments[2].note, "not yet begun");
    assert_eq!(estimate.instalments[2].needed, Money::ZERO);
}

#[test]
fn a_loss_needs_nothing_and_says_so() {
    let mut facts = facts();
    facts.profit.net_profit = cents(-4_200);
    facts.profit_by_month = vec![(Month::new(2026, 3), cents(-4_200))];
    facts.put_by = Money::ZERO;
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    assert_eq!(
        (estimate.total, estimate.to_move),
        (Money::ZERO, Money::ZERO)
    );
    assert!(estimate.notes.iter().any(|note| note.contains("a loss")));
    assert!(estimate.instalments.iter().all(|row| row.needed.is_zero()));
}

#[test]
fn more_put_by_than_needed_moves_nothing_back() {
    let mut facts = facts();
    facts.put_by = cents(30_000);
    facts.already_paid = cents(5_000);
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    assert_eq!(estimate.to_move, Money::ZERO);
    assert!(
        estimate
            .notes
            .iter()
            .any(|note| note.starts_with("24.80 more")),
        "{:?}",
        estimate.notes
    );
}

#[test]
fn a_profit_can_be_tried_out() {
    let mut facts = facts();
    facts.what_if_profit = Some(cents(1_000_001));
    let estimate = PercentOfProfit.estimate(&facts).expect("an estimate");
    assert_eq!(estimate.profit, cents(1_000_001));
    assert_eq!(estimate.total, cents(300_000));
    let needed: Vec<i64> = estimate
        .instalments
        .iter()
        .map(|row| row.needed.minor())
        .collect();
    assert_eq!(needed, [75_000; 4]);
    assert_eq!(
        estimate.line("profit").expect("a line").source,
        "your choice"
    );
}

/// 26 U.S.C. 6654(c)(2) with 7503: the day moves off Saturdays, Sundays and legal holidays of the District of Columbia.
/// 2026 as tax calendars print it; the other years computed from the rule.
#[test]
fn due_days_move_off_weekends_and_holidays() {
    #[rustfmt::skip]
    let cases = [
        (2024, ["2024-04-15", "2024-06-17", "2024-09-16", "2025-01-15"]),
        (2025, ["2025-04-15", "2025-06-16", "2025-09-15", "2026-01-15"]),
        (2026, ["2026-04-15", "2026-06-15", "2026-09-15", "2027-01-15"]),
        (2027, ["2027-04-15", "2027-06-15", "2027-09-15", "2028-01-18"]),
        (2028, ["2028-04-18", "2028-06-15", "2028-09-15", "2029-01-16"]),
    ];
    for (year, printed) in cases {
        let dues = us().dues(year, YearStart::default()).expect("dates");
        let days: Vec<NaiveDate> = dues.iter().map(|due| due.due).collect();
        assert_eq!(days, printed.map(day), "{year}");
    }
    let dues = us().dues(2027, YearStart::default()).expect("dates");
    let why = &dues[3].moved_because;
    assert!(
        why.contains("a Saturday") && why.contains("Martin Luther King"),
        "{why}"
    );
    assert_eq!(dues[0].moved_because, "");
    // The unequal stretches: January to March, April and May, June to August, September to December.
    let ends: Vec<NaiveDate> = dues.iter().map(|due| due.period.to).collect();
    assert_eq!(
        ends,
        ["2027-03-31", "2027-05-31", "2027-08-31", "2027-12-31"].map(day)
    );
    assert_eq!(dues[1].period.from, day("2027-04-01"));
}

/// 26 U.S.C. 6654(c)(2): the fourth instalment of a year is due in January of the next.
#[test]
fn a_january_payment_counts_for_the_year_it_was_due_for() {
    let calendar_years = YearStart::default();
    let days = us().payment_days(2026, calendar_years).expect("dates");
    assert_eq!((days.from, days.to), (day("2026-01-16"), day("2027-01-15")));
    let next = us().payment_days(2027, calendar_years).expect("dates");
    assert_eq!((next.from, next.to), (day("2027-01-16"), day("2028-01-18")));
    // The first year of the file begins with itself; own quarters are paid within the year.
    let first = us().payment_days(2022, calendar_years).expect("dates");
    assert_eq!(first.from, day("2022-01-01"));
    let own = Calendar::quarters()
        .payment_days(2026, calendar_years)
        .expect("dates");
    assert_eq!((own.from, own.to), (day("2026-01-01"), day("2026-12-31")));
}

#[test]
fn other_books_have_their_own_quarters() {
    let april = YearStart::new(4).expect("April");
    let calendar = Calendar::for_book("GBP", april);
    assert_eq!(calendar.name, "quarters");
    let dues = calendar.dues(2027, april).expect("dates");
    let days: Vec<NaiveDate> = dues.iter().map(|due| due.due).collect();
    assert_eq!(
        days,
        ["2026-06-30", "2026-09-30", "2026-12-31", "2027-03-31"].map(day)
    );
    assert_eq!(Calendar::for_book("USD", YearStart::default()).name, "us");
    assert_eq!(Calendar::for_book("USD", april).name, "quarters");
    assert_eq!(
        Calendar::for_book("EUR", YearStart::default()).name,
        "quarters"
    );
    assert!(matches!(
        us().dues(2027, april),
        Err(CalendarError::NotCalendarYears(_))
    ));
}

#[test]
fn what_there_is_no_file_for_is_refused_with_the_nearest() {
    match us().dues(2019, YearStart::default()) {
        Err(CalendarError::TooEarly { year, nearest, .. }) => {
            assert_eq!((year, nearest), (2019, 2022))
        }
        other => panic!("{other:?}"),
    }
    let year = YearStart::default().year_ending_in(2031);
    let library = Library::shipped();
    for (wanted, nearest) in [
        ("us-2031", "us-2026"),
        ("us-1999", "us-2023"),
        ("moon", "percent"),
    ] {
        assert_eq!(
            library.place(wanted, year).expect_err("no such file"),
            SetAsideError::NoRatesFile {
                wanted: wanted.to_owned(),
                nearest: nearest.to_owned()
            }
        );
    }
    assert!(matches!(library.place("percent", year), Ok(None)));
    assert!(Calendar::named("atlantis").is_err());
    let mut facts = facts();
    facts.as_of = day("2025-12-31");
    assert!(matches!(
        PercentOfProfit.estimate(&facts),
        Err(SetAsideError::NotBegun { year: 2026, .. })
    ));
    facts.what_if_profit = Some(cents(100_000));
    let tried = PercentOfProfit
        .estimate(&facts)
        .expect("a profit can be tried out before the year");
    assert_eq!(tried.total, cents(30_000));
}

#[test]
fn every_calendar_file_is_whole() {
    for name in calendar_names() {
        let calendar = Calendar::named(name).expect("no hole");
        assert!(!calendar.title.is_empty() && !calendar.source.is_empty());
        assert!(calendar.checked.is_some() || name == "quarters");
        for year in 2022..2040 {
            let Ok(dues) = calendar.dues(year, YearStart::default()) else {
                // A calendar of another tax year.
                let april = YearStart::new(4).expect("April");
                let dues = calendar.dues(year, april).expect("dates");
                assert!(dues.windows(2).all(|pair| pair[0].due < pair[1].due));
                continue;
            };
            assert_eq!(dues[0].period.from, Month::new(year, 1).first_day());
            let last = dues.last().expect("a payment");
            assert_eq!(last.period.to, Month::new(year, 12).last_day());
            assert!(dues.windows(2).all(|pair| pair[0].due < pair[1].due));
        }
    }
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/rates");
    for file in std::fs::read_dir(folder).expect("the folder").flatten() {
        let name = file.file_name().into_string().expect("plain");
        let Some(calendar) = name
            .strip_prefix("calendar-")
            .and_then(|rest| rest.strip_suffix(".toml"))
        else {
            // The rules for the costs of starting are read by the tests of the plan.
            let is_start = |(start, _text): &(&str, &str)| name == format!("start-up-{start}.toml");
            let is_mileage =
                |(place, _text): &(&str, &str)| name == format!("mileage-{place}.toml");
            let is_space =
                |(place, _text): &(&str, &str)| name == format!("workspace-{place}.toml");
            let library = Library::shipped();
            let is_sheet = name
                .strip_prefix("worksheet-")
                .and_then(|rest| library.sheet(rest.strip_suffix(".toml")?));
            let mut rates = library.all_rates();
            let is_read = deckle::plan::rule_files().iter().any(is_start)
                || deckle::mileage::mileage_files().iter().any(is_mileage)
                || deckle::workspace::workspace_files().iter().any(is_space)
                || is_sheet.is_some()
                || rates.any(|(rates, _sheet)| name == format!("{}.toml", rates.name));
            assert!(
                is_read || name == "README.md",
                "{name}: a file nobody reads"
            );
            continue;
        };
        assert!(
            calendar_names().contains(&calendar),
            "{name} is not listed in the program"
        );
    }
    assert_eq!(Library::shipped().faults(), []);
}

#[test]
fn a_calendar_file_with_a_hole_is_refused() {
    let whole = include_str!("../../assets/rates/calendar-us.toml");
    assert!(Calendar::read("us", whole).is_ok());
    for (old, new, wanted) in [
        (
            "checked = \"2026-11-25\"\nfrom_year",
            "from_year",
            "missing field `checked`",
        ),
        (
            "source = \"D.C. Code 28-2701 (with",
            "source = \"\" # (",
            "has no source",
        ),
        (
            "through_month = 12",
            "through_month = 11",
            "do not reach the end",
        ),
        ("through_month = 5", "through_month = 2", "does not follow"),
        ("due_day = 15", "due_day = 31", "does not exist"),
        ("nth = \"3\"", "nth = \"6\"", "use 1 to 4 or last"),
        (
            "weekday = \"monday\"",
            "weekday = \"moonday\"",
            "not a weekday",
        ),
        (
            "due_next_year = true",
            "due_next_year = false",
            "due before it ends",
        ),
        ("name = \"us\"", "name = \"uk\"", "its name is"),
        ("currency = ", "currncy = ", "currncy"),
        (
            "checked = \"2026-11-25\"",
            "checked = \"soon\"",
            "no day checked",
        ),
    ] {
        let spoiled = whole.replacen(old, new, 1);
        assert_ne!(spoiled, whole, "{old}");
        let error = Calendar::read("us", &spoiled)
            .expect_err(wanted)
            .to_string();
        assert!(error.contains(wanted), "{error} should say {wanted}");
    }
}
