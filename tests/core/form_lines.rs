//! Forms' lines held against the published lists, and a year sorted by them: totals by hand.

use deckle::dates::{DateRange, parse_iso};
use deckle::form_lines::{FormFile, FormLines, form_lines, forms, nearest};
use deckle::ledger::{Account, AccountClass, AccountId, Balances, Chart, Role};
use deckle::money::Money;
use deckle::statements::{Basis, GoodsSold, profit_statement};

fn cents(minor: i64) -> Money {
    Money::from_minor(minor)
}

fn year() -> DateRange {
    let day = |text| parse_iso(text).expect("a day");
    DateRange::new(day("2025-01-01"), day("2025-12-31")).expect("in order")
}

fn form(name: &str, year: i32) -> FormFile {
    let known = forms().expect("the files are as they should be");
    let found = nearest(&known, name, year).expect("known");
    assert_eq!(found.1, None, "the form of that year");
    found.0
}

fn goods(numbers: [i64; 7]) -> GoodsSold {
    let [
        opening,
        purchases,
        own_use,
        labour,
        materials,
        other,
        closing,
    ] = numbers.map(cents);
    GoodsSold {
        range: year(),
        opening,
        purchases,
        own_use,
        labour,
        materials,
        other,
        closing,
    }
}

fn sorted(chart: &Chart, form: &FormFile, moved: &[(Role, i64)], goods: &GoodsSold) -> FormLines {
    let mut balances = Balances::new();
    for (role, minor) in moved {
        balances.add(chart.role(*role).expect("an account"), cents(*minor));
    }
    let statement = profit_statement(chart, &balances, year());
    let lines = form_lines(form, chart, &statement, Basis::Accrual, goods, true);
    assert!(lines.ties(), "{lines:?}");
    lines
}

fn amount(lines: &FormLines, number: &str) -> i64 {
    let line = lines.lines.iter().find(|line| line.number == number);
    line.expect("a line").amount.expect("an amount").minor()
}

/// Schedule C (Form 1040), tax years 2024 and 2025: lines 1 to 31 of parts I and II, 33 to 42 of part III, 48 of part V.
/// Other expenses from line 48 stand on 27a in 2024 and on 27b in 2025 (descriptions of both years' forms).
#[test]
fn the_lines_are_those_of_the_published_form() {
    let published = "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16a 16b 17 18 19 20a 20b 21 22 23 24a 24b 25 26 27a 27b 28 29 30 31 \
                     33 34 35 36 37 38 39 40 41 42 48";
    for (year, other) in [(2024, "27a"), (2025, "27b")] {
        let form = form("us-schedule-c", year);
        let numbers: Vec<&str> = form.lines.iter().map(|line| line.number.as_str()).collect();
        assert_eq!(numbers.join(" "), published);
        let from_48 = form.lines.iter().find(|line| line.plus == ["48"]);
        assert_eq!(from_48.map(|line| line.number.as_str()), Some(other));
    }
}

/// SA103S of 2023-24: turnover 9, other income 10, expenses 11 to 19, their total 20 (the form's own boxes).
#[test]
fn the_boxes_are_those_of_the_published_pages() {
    let pages = form("uk-sa103s", 2024);
    let numbers: Vec<&str> = pages
        .lines
        .iter()
        .map(|line| line.number.as_str())
        .collect();
    assert_eq!(numbers.join(" "), "9 10 11 12 13 14 15 16 17 18 19 20 21");
    let unverified = |form: &FormFile| form.lines.iter().filter(|line| line.unverified).count();
    assert_eq!(unverified(&pages), 1, "box 21 was not read");
    assert_eq!(
        unverified(&form("uk-sa103s", 2025)),
        13,
        "nor were those of 2024-25"
    );
}

/// The form of 2026 is not published: the lines of 2025 stand in, and that is said.
#[test]
fn a_year_that_is_not_known_says_which_lines_stand_in() {
    let known = forms().expect("read");
    let (form, assumed) = nearest(&known, "us-schedule-c", 2026).expect("one");
    assert_eq!(form.year, 2025);
    let assumed = assumed.expect("said");
    assert!(assumed.contains("2026 are not known here"), "{assumed}");
    assert!(nearest(&known, "no-such-form", 2026).is_none());
}

/// By hand: sales 1,000.00 less discounts 20.00, postage charged 30.00 = line 1 1,010.00; refunds 50.00 on line 2, so
/// line 3 960.00. Goods: 100 + 150 + 80 - 60 = 270.00 on lines 42 and 4; line 5 690.00; other income 5.00, line 7 695.00.
/// Costs: packaging 12 + consumables 8 = 20.00 on 22; software 36 and bank charges 4 = 40.00 on 48 and 27b; line 28 60.00;
/// home 15.00 on 30: line 31 = 695 - 60 - 15 = 620.00. Interest received 3.00 and a gain of 7.00 are not taken, donations of
/// 10.00 neither: profit 620 + 3 + 7 - 10 = 620.00.
#[test]
fn a_year_stands_on_its_lines() {
    use Role::{
        BankCharges, Consumables, CostOfGoodsSold, Discounts, Donations, EquipmentGain,
        HomeWorkspace, InterestReceived, OtherIncome, Packaging, PostageCharged, Refunds, Sales,
        Software,
    };
    let chart = Chart::craft_business(true).expect("the chart");
    #[rustfmt::skip]
    let moved = [
        (Sales, -100_000), (Discounts, 2_000), (PostageCharged, -3_000), (Refunds, 5_000), (CostOfGoodsSold, 27_000),
        (OtherIncome, -500), (Packaging, 1_200), (Consumables, 800), (Software, 3_600), (BankCharges, 400),
        (HomeWorkspace, 1_500), (InterestReceived, -300), (EquipmentGain, -700), (Donations, 1_000),
    ];
    let working = goods([10_000, 16_000, 1_000, 0, 8_000, 0, 6_000]);
    let lines = sorted(&chart, &form("us-schedule-c", 2025), &moved, &working);
    #[rustfmt::skip]
    let expected = [
        ("1", 101_000), ("2", 5_000), ("3", 96_000), ("4", 27_000), ("5", 69_000), ("6", 500), ("7", 69_500), ("22", 2_000),
        ("27a", 0), ("27b", 4_000), ("28", 6_000), ("29", 63_500), ("30", 1_500), ("31", 62_000), ("35", 10_000),
        ("36", 15_000), ("37", 0), ("38", 8_000), ("39", 0), ("40", 33_000), ("41", 6_000), ("42", 27_000), ("48", 4_000),
    ];
    for (number, minor) in expected {
        assert_eq!(amount(&lines, number), minor, "line {number}");
    }
    assert_eq!(lines.net, cents(62_000));
    assert_eq!(lines.profit, cents(62_000));
    assert_eq!(lines.left_out.len(), 3);
    assert!(lines.left_out.iter().all(|one| !one.why.is_empty()));
    assert!(lines.without_line.is_empty());
    let other = lines
        .lines
        .iter()
        .find(|line| line.number == "48")
        .expect("a line");
    assert_eq!(other.accounts.len(), 2);
    // In 2024 the same costs stand on 27a.
    let before = sorted(&chart, &form("us-schedule-c", 2024), &moved, &working);
    assert_eq!((amount(&before, "27a"), amount(&before, "27b")), (4_000, 0));
}

/// An account's own line goes before its role's; one with neither is listed and everything still ties.
#[test]
fn an_account_may_name_its_own_line_and_one_without_any_is_listed() {
    let shipped = Chart::craft_business(true).expect("the chart");
    let mut accounts: Vec<Account> = shipped.accounts().into_iter().cloned().collect();
    for account in &mut accounts {
        if account.role == Some(Role::Postage) {
            account.form_line = Some("18".to_owned());
        }
    }
    for (id, number, line) in [(901, "6950a", None), (902, "6951", Some("19"))] {
        accounts.push(Account {
            id: AccountId(id),
            number: number.to_owned(),
            name: format!("Of my own {number}"),
            class: AccountClass::Expense,
            group: "Other costs".to_owned(),
            is_contra: false,
            role: None,
            form_line: line.map(str::to_owned),
            is_active: true,
        });
    }
    let chart = Chart::new(accounts).expect("holds together");
    let mut balances = Balances::new();
    for (id, minor) in [(901, 1_100), (902, 2_200)] {
        balances.add(AccountId(id), cents(minor));
    }
    balances.add(chart.role(Role::Postage).expect("an account"), cents(700));
    let statement = profit_statement(&chart, &balances, year());
    let schedule = form("us-schedule-c", 2025);
    let none = goods([0; 7]);
    let lines = form_lines(&schedule, &chart, &statement, Basis::Accrual, &none, true);
    assert_eq!((amount(&lines, "18"), amount(&lines, "19")), (700, 2_200));
    assert_eq!(lines.without_line.len(), 1);
    assert_eq!(lines.without_line[0].title, "6950a Of my own 6950a");
    assert_eq!(lines.net, cents(-2_900));
    assert!(lines.ties());
    // On another form the lines that accounts name mean nothing.
    let lines = form_lines(
        &form("uk-sa103s", 2024),
        &chart,
        &statement,
        Basis::Accrual,
        &none,
        false,
    );
    assert_eq!((amount(&lines, "18"), lines.without_line.len()), (700, 2));
}
