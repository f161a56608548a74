//! The start-up plan: lines, groups of ways, money month by month, plan against actual, and the first-year rule.
//! Figures are by hand unless a source stands beside them.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use deckle::dates::{Month, YearStart};
use deckle::happenings::{Happening, Payment, Purchase, PurchaseDetails, PurchaseLine};
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, PostedEntry, Role};
use deckle::money::{Currency, Money, Percent};
use deckle::plan::{
    CostRange, FirstYearError, How, Need, Plan, PlanKind, PlanLine, PlanMoney, PlanPurchase, Share,
    StartUpRule, actual, first_year, money_course, read_month, rule_files, show_month,
};
use deckle::statements::{StartUpGroup, StartUpMarks, cost_to_start, cost_to_start_marked};
use proptest::prelude::*;

use crate::support::{account, chart, day, money, usd};

fn costs(low: &str, likely: &str, high: &str) -> CostRange {
    CostRange {
        low: money(low),
        likely: money(likely),
        high: money(high),
    }
}

fn line(name: &str, kind: PlanKind, cost: CostRange, month: &str) -> PlanLine {
    let mut line = PlanLine::new(name, kind, cost.likely);
    line.cost = cost;
    line.month = read_month(month).ok();
    line
}

fn other_way(name: &str, of: &str, likely: &str) -> PlanLine {
    let mut line = PlanLine::new(name, PlanKind::Equipment, money(likely));
    line.alternative_of = Some(of.to_owned());
    line.is_chosen = false;
    line
}

fn put(amount: &str, month: &str) -> PlanMoney {
    PlanMoney {
        id: 0,
        month: read_month(month).ok(),
        amount: money(amount),
        note: String::new(),
    }
}

/// A press (three ways, the second-hand one chosen), paper, mailers, and a sign that can wait.
fn plan() -> Plan {
    let mut press = line(
        "Book press",
        PlanKind::Equipment,
        costs("400.00", "450.00", "500.00"),
        "2026-02",
    );
    press.is_chosen = false;
    let mut old = other_way("Book press, second-hand", "Book press", "180.00");
    old.cost = costs("120.00", "180.00", "260.00");
    old.how = Some(How::SecondHand);
    old.month = read_month("2026-02").ok();
    old.is_chosen = true;
    let outside = other_way("Pressing done outside", "Book press", "90.00");
    let paper = line(
        "Text paper",
        PlanKind::Materials,
        costs("60.00", "70.00", "90.00"),
        "2026-03",
    );
    let mut mailers = line(
        "Mailers",
        PlanKind::Packaging,
        costs("30.00", "30.00", "30.00"),
        "",
    );
    let mut sign = line(
        "Sign",
        PlanKind::Other,
        costs("10.00", "25.00", "40.00"),
        "",
    );
    mailers.need = Need::Must;
    sign.need = Need::Later;
    Plan {
        lines: vec![press, old, outside, paper, mailers, sign],
        money: vec![put("250.00", ""), put("50.00", "2026-03")],
    }
}

#[test]
fn only_the_chosen_way_counts() {
    let plan = plan();
    assert_eq!(plan.check(), Ok(()));
    // Low 120 + 60 + 30 + 10, likely 180 + 70 + 30 + 25, high 260 + 90 + 30 + 40.
    assert_eq!(plan.need(None), costs("220.00", "305.00", "420.00"));
    assert_eq!(
        plan.need(Some(Need::Must)),
        costs("210.00", "280.00", "380.00")
    );
    assert_eq!(
        plan.need(Some(Need::Later)),
        costs("10.00", "25.00", "40.00")
    );
    let sizes: Vec<usize> = plan.groups().iter().map(Vec::len).collect();
    assert_eq!(sizes, [3, 1, 1, 1]);
}

#[track_caller]
fn check_refused(change: impl FnOnce(&mut Plan), field: &str, idx: usize, words: &str) {
    let mut plan = plan();
    change(&mut plan);
    let (at, error) = plan.check().expect_err("is refused");
    assert_eq!((error.field, at), (field, idx), "{error}");
    assert!(error.message.contains(words), "{error}");
}

#[test]
fn a_plan_that_cannot_be_is_refused() {
    check_refused(|plan| plan.lines[3].name.clear(), "name", 3, "name");
    let twice = |plan: &mut Plan| plan.lines[3].name = "book PRESS".to_owned();
    check_refused(twice, "name", 3, "already");
    let below = |plan: &mut Plan| plan.lines[3].cost.low = money("-1.00");
    check_refused(below, "low", 3, "below zero");
    let over = |plan: &mut Plan| plan.lines[3].cost.low = money("70.01");
    check_refused(over, "low", 3, "more than the likely");
    let under = |plan: &mut Plan| plan.lines[3].cost.high = money("69.99");
    check_refused(under, "high", 3, "less than the likely");
    let huge = |plan: &mut Plan| plan.lines[3].cost.high = Money::from_minor(i64::MAX);
    check_refused(huge, "high", 3, "larger");
    let of = |name: &str| {
        let name = name.to_owned();
        move |plan: &mut Plan| plan.lines[3].alternative_of = Some(name)
    };
    check_refused(of("Guillotine"), "alternative_of", 3, "no 'Guillotine'");
    check_refused(of("Text paper"), "alternative_of", 3, "itself");
    check_refused(
        of("Pressing done outside"),
        "alternative_of",
        3,
        "another way",
    );
    let two = |plan: &mut Plan| plan.lines[2].is_chosen = true;
    check_refused(
        two,
        "chosen",
        2,
        "'Book press, second-hand' is chosen already",
    );
    let none = |plan: &mut Plan| plan.lines[1].is_chosen = false;
    check_refused(none, "chosen", 0, "none of the ways");
}

#[test]
fn the_money_is_followed_month_by_month_to_its_lowest_point() {
    let course = money_course(&plan(), day("2026-01-15"));
    let left: Vec<(String, Money, Money)> = course
        .months
        .iter()
        .map(|month| (show_month(month.month), month.left.likely, month.left.high))
        .collect();
    // Now 250 less mailers 30; February less the press 180 (260); March with 50 less paper 70 (90).
    let expected = [
        ("2026-01", "220.00", "220.00"),
        ("2026-02", "40.00", "-40.00"),
        ("2026-03", "20.00", "-80.00"),
    ];
    assert_eq!(
        left,
        expected.map(|(month, likely, high)| (month.to_owned(), money(likely), money(high)))
    );
    assert_eq!(
        (course.likely.on, course.likely.amount),
        (day("2026-03-31"), money("20.00"))
    );
    assert_eq!(
        (course.high.on, course.high.amount),
        (day("2026-03-31"), money("-80.00"))
    );
    assert_eq!(course.money, money("300.00"));
    assert_eq!(course.unplaced, costs("10.00", "25.00", "40.00"));
    assert_eq!(
        course.sentence(&usd()),
        "Your money lasts at the likely cost: at its lowest, on 31 Mar 2026, 20.00 is left. \
         If everything costs the most, you are 80.00 short on 31 Mar 2026."
    );
}

#[test]
fn the_sentence_says_whether_the_money_lasts() {
    let day = day("2026-01-15");
    let mut plan = plan();
    plan.money = vec![put("1000.00", "")];
    assert_eq!(
        money_course(&plan, day).sentence(&usd()),
        "Your money lasts: at its lowest, on 31 Mar 2026, 720.00 is left, and 620.00 on 31 Mar 2026 if everything costs the most."
    );
    plan.money = vec![put("100.00", ""), put("400.00", "2026-03")];
    assert_eq!(
        money_course(&plan, day).sentence(&usd()),
        "Your money does not last: on 28 Feb 2026 you are 110.00 short. If everything costs the most, it is 190.00 on 28 Feb 2026."
    );
    plan.money.clear();
    assert!(
        money_course(&plan, day)
            .sentence(&usd())
            .contains("Say what money you have")
    );
    // A plan that names only months gone by begins with them.
    let first = money_course(&plan, crate::support::day("2027-05-01")).months;
    assert_eq!(
        first.first().map(|month| show_month(month.month)),
        Some("2026-02".to_owned())
    );
    // Nothing planned at all: one month, nothing in it.
    let empty = money_course(&Plan::default(), day);
    assert_eq!((empty.months.len(), empty.likely.amount), (1, Money::ZERO));
}

#[test]
fn months_are_read_as_months_or_as_a_day_in_them() {
    assert_eq!(
        read_month("2026-02").map(show_month),
        Ok("2026-02".to_owned())
    );
    assert_eq!(
        read_month("2026-02-14").map(show_month),
        Ok("2026-02".to_owned())
    );
    for wrong in ["2026-13", "2026-2", "02-2026", "February", "2026-02-30", ""] {
        assert!(read_month(wrong).is_err(), "{wrong}");
    }
}

fn posted(number: u64, entry: JournalEntry) -> PostedEntry {
    PostedEntry {
        number: EntryNumber(number),
        version: 1,
        entry,
        reverses: None,
        reversed_by: None,
    }
}

/// One receipt over paper (50.00), half-private tape (8.00) and mailers (24.00), with 4.10 carriage.
fn receipt() -> JournalEntry {
    let mut tape = PurchaseLine::new(account("6000"), money("8.00"), "Tape");
    tape.business_share = "50".parse::<Percent>().expect("a share");
    let lines = vec![
        PurchaseLine::new(account("1200"), money("50.00"), "Text paper"),
        tape,
        PurchaseLine::new(account("6100"), money("24.00"), "Mailers"),
    ];
    let bank = Payment::Account(account("1000"));
    let mut details = PurchaseDetails::new(day("2026-03-04"), "Alderwick Paper", bank, lines);
    details.carriage = money("4.10");
    let purchase = Purchase::new(details).expect("a purchase");
    purchase.entry(&chart()).expect("an entry")
}

fn link(line: &str, entry: u64, what: &str) -> PlanPurchase {
    PlanPurchase {
        id: 0,
        line: line.to_owned(),
        entry: EntryNumber(entry),
        what: what.to_owned(),
    }
}

#[test]
fn what_was_bought_stands_against_its_line() {
    let plan = plan();
    let entries = [posted(5, receipt())];
    // 4.10 over 50, 8 and 24: 2.50, 0.40, 1.20. Tape's business half is 4.20.
    let shares: Vec<(String, Money)> = Share::of(&chart(), &entries[0].entry)
        .into_iter()
        .map(|share| (share.what, share.amount))
        .collect();
    let expected = [
        ("Text paper", "52.50"),
        ("Tape", "4.20"),
        ("Mailers", "25.20"),
    ];
    assert_eq!(
        shares,
        expected.map(|(what, amount)| (what.to_owned(), money(amount)))
    );
    let links = [
        link("text paper", 5, "Text paper"),
        link("Mailers", 5, "mailers"),
        link("Sign", 5, "A sign"),
    ];
    let none = BTreeMap::new();
    let result = actual(&plan, &links, &entries, &none, &chart());
    let spent: Vec<Money> = result.lines.iter().map(|line| line.actual).collect();
    let expected = ["0.00", "0.00", "0.00", "52.50", "25.20", "0.00"];
    assert_eq!(spent, expected.map(money));
    assert_eq!(result.actual, money("77.70"));
    assert_eq!(result.planned, costs("220.00", "305.00", "420.00"));
    // The press and the sign are still to be bought.
    assert_eq!(result.to_buy, costs("130.00", "205.00", "300.00"));
    assert_eq!(result.expected(), money("282.70"));
    assert!(result.lines[5].bought[0].is_lost && !result.lines[3].bought[0].is_lost);
    // February: press, mailers and sign (no month); March: paper too.
    let months: Vec<(String, Money, Money)> = result
        .months
        .iter()
        .map(|(month, plan, paid)| (show_month(*month), *plan, *paid))
        .collect();
    assert_eq!(
        months,
        [
            ("2026-02".to_owned(), money("235.00"), Money::ZERO),
            ("2026-03".to_owned(), money("305.00"), money("77.70")),
        ]
    );

    // The whole receipt: everything but the private half of the tape.
    let whole = actual(
        &plan,
        &[link("Text paper", 5, "")],
        &entries,
        &none,
        &chart(),
    );
    assert_eq!(whole.actual, money("81.90"));
}

#[test]
fn what_was_taken_back_or_refunded_counts_less() {
    let plan = plan();
    let links = [link("Text paper", 5, "Text paper")];
    let header = EntryHeader::new(day("2026-03-20"), EntryKind::SupplierRefund);
    let lines = vec![
        Line::debit(account("1000"), money("20.00")),
        Line::credit(account("1200"), money("15.00")).memo("Text paper"),
        Line::credit(account("6100"), money("5.00")).memo("Mailers"),
    ];
    let refund = posted(6, JournalEntry::new(header, lines).expect("balances"));
    let mut refunds = BTreeMap::from([(EntryNumber(5), vec![refund])]);
    let bought = [posted(5, receipt())];
    let less = actual(&plan, &links, &bought, &refunds, &chart());
    assert_eq!(less.actual, money("37.50"));
    refunds.clear();
    let mut back = bought.clone();
    back[0].reversed_by = Some(EntryNumber(7));
    let nothing = actual(&plan, &links, &back, &refunds, &chart());
    assert_eq!(nothing.actual, Money::ZERO);
    assert!(!nothing.lines[3].is_bought());
}

fn calendar() -> YearStart {
    YearStart::default()
}

/// Treas. Reg. 1.195-1(c) (T.D. 9542): a business begins on 1 July 2011 in a calendar year; 3,000 counts at once,
/// 41,000 counts 5,000 at once and 36,000 / 180 = 200 a month, 6,200 in the year (figures computed from the rule of
/// 26 U.S.C. 195(b)(1)). The boundary rows follow from the same rule.
#[test]
fn the_first_year_follows_the_section() {
    let rule = StartUpRule::named("us").expect("the rule");
    #[rustfmt::skip]
    let rows = [
        // cost        at once     rest         in the year (6 months)
        ("3000.00",  "3000.00", "0.00",      "3000.00"),
        ("41000.00", "5000.00", "36000.00",  "6200.00"),
        ("0.00",     "0.00",    "0.00",      "0.00"),
        ("5000.00",  "5000.00", "0.00",      "5000.00"),
        ("5001.00",  "5000.00", "1.00",      "5000.03"),  // 6/180 = 0.0333
        ("50000.00", "5000.00", "45000.00",  "6500.00"),  // 250.00 a month
        ("51000.00", "4000.00", "47000.00",  "5566.67"),  // 261.111… a month, 1,566.666… in six
        ("54999.00", "1.00",    "54998.00",  "1834.27"),  // 1,833.266… in six
        ("55000.00", "0.00",    "55000.00",  "1833.33"),  // 305.555… a month
        ("60000.00", "0.00",    "60000.00",  "2000.00"),  // 333.333… a month
    ];
    for (cost, at_once, rest, in_year) in rows {
        let found = first_year(&rule, money(cost), day("2011-07-01"), calendar(), &usd())
            .expect("an estimate");
        assert_eq!(found.at_once, money(at_once), "{cost}");
        assert_eq!(found.rest, money(rest), "{cost}");
        assert_eq!(found.in_first_year(), money(in_year), "{cost}");
        assert_eq!((found.months, found.months_in_year), (180, 6));
        let months: Money = (1..=180).map(|no| found.in_month(no)).sum();
        assert_eq!(found.at_once + months, money(cost), "{cost}");
        assert_eq!(found.in_month(181), Money::ZERO);
    }
    // 26 U.S.C. 195(b)(3): years beginning in 2010 take 10,000 and 60,000.
    let then = first_year(
        &rule,
        money("41000.00"),
        day("2010-07-01"),
        calendar(),
        &usd(),
    );
    assert_eq!(then.expect("an estimate").at_once, money("10000.00"));
    let then = first_year(
        &rule,
        money("65000.00"),
        day("2010-07-01"),
        calendar(),
        &usd(),
    );
    assert_eq!(then.expect("an estimate").at_once, money("5000.00"));
    // A year from April 2010 to March 2011 begins in 2010; ten months of it count from June on.
    let years = YearStart::new(4).expect("April");
    let then = first_year(&rule, money("28000.00"), day("2010-06-15"), years, &usd());
    let then = then.expect("an estimate");
    assert_eq!((then.at_once, then.months_in_year), (money("10000.00"), 10));
    assert_eq!(then.spread_in_year, money("1000.00"));
    assert_eq!(then.begins, Month::new(2010, 6));
}

#[test]
fn a_place_or_a_year_without_a_rule_is_refused() {
    let refused = |result: Result<_, FirstYearError>| result.map(|_rule: ()| ()).expect_err("no");
    let words = refused(StartUpRule::named("atlantis").map(|_rule| ())).to_string();
    assert!(
        words.contains("atlantis") && words.contains("no rule"),
        "{words}"
    );
    let euro = Currency::from_code("EUR").expect("a currency");
    let words = refused(StartUpRule::for_currency(&euro).map(|_rule| ())).to_string();
    assert!(words.contains("EUR"), "{words}");
    let rule = StartUpRule::for_currency(&usd()).expect("the rule");
    for (begins, nearest) in [("2004-06-01", "2005"), ("2031-01-01", "2026")] {
        let result = first_year(&rule, money("100.00"), day(begins), calendar(), &usd());
        let words = refused(result.map(|_estimate| ())).to_string();
        assert!(
            words.contains(&begins[..4]) && words.contains(nearest),
            "{words}"
        );
    }
    let result = first_year(&rule, money("-1.00"), day("2026-01-01"), calendar(), &usd());
    assert_eq!(result, Err(FirstYearError::BelowNothing));
    let result = first_year(&rule, money("1.00"), day("2026-01-01"), calendar(), &euro);
    assert!(result.is_err());
}

#[test]
fn every_file_of_a_rule_is_whole() {
    for (name, text) in rule_files() {
        let rule = StartUpRule::read(name, text).expect("is whole");
        assert!(rule.checked >= NaiveDate::from_ymd_opt(2026, 1, 1).expect("a day"));
        for (hole, put) in [
            ("checked = \"2026-11-25\"", "checked = \"\""),
            ("source = \"26 U.S.C. 195(b)(1)\"", "source = \" \""),
            ("from_year = 2010", "from_year = 2011"),
            ("months = 180", "months = 0"),
            ("limit = \"5000\"", "limit = \"5,000\""),
        ] {
            assert!(text.contains(hole), "{hole}");
            let broken = text.replacen(hole, put, 1);
            assert!(StartUpRule::read(name, &broken).is_err(), "{put}");
        }
        assert!(StartUpRule::read("elsewhere", text).is_err());
    }
}

#[test]
fn the_owner_says_what_counts_as_a_cost_of_starting() {
    let chart = chart();
    let lines = vec![
        PurchaseLine::new(account("6220"), money("50.00"), "Name registered"),
        PurchaseLine::new(account("6300"), money("35.00"), "Photographs"),
        PurchaseLine::new(account("1300"), money("132.00"), "Insurance, one year"),
        PurchaseLine::new(account("6710"), money("4.00"), "Interest"),
        PurchaseLine::new(account("6000"), money("20.00"), "Glue"),
    ];
    let details =
        PurchaseDetails::new(day("2026-01-05"), "Various", Payment::OwnPocketPutIn, lines);
    let purchase = Purchase::new(details).expect("a purchase");
    let header = EntryHeader::new(day("2026-01-02"), EntryKind::OwnerIn);
    let put_in = vec![
        Line::debit(account("1000"), money("800.00")),
        Line::credit(account("3000"), money("800.00")),
    ];
    let entries = [
        posted(1, JournalEntry::new(header, put_in).expect("balances")),
        posted(2, purchase.entry(&chart).expect("an entry")),
    ];
    let plain = cost_to_start(&chart, &entries, day("2026-02-01"));
    assert_eq!(plain.capital.money, money("800.00"));
    assert_eq!(plain.capital.own_pocket, money("241.00"));
    assert_eq!(plain.capital.total(), money("1041.00"));
    assert_eq!(plain.total(), money("241.00"));
    // Neither the insurance paid ahead nor the interest, nor what is used up.
    assert_eq!(plain.to_rule(), money("85.00"));
    assert!(chart.has_role(account("6710"), Role::InterestPaid));

    let marks = StartUpMarks::from([
        (account("6220"), StartUpGroup::CompanyForming),
        (account("6000"), StartUpGroup::StartUpCosts),
        (account("1300"), StartUpGroup::StartUpCosts),
    ]);
    let marked = cost_to_start_marked(&chart, &entries, day("2026-02-01"), &marks);
    assert_eq!(marked.total(), plain.total());
    assert_eq!(marked.to_rule(), money("187.00"));
    let forming = marked.group(StartUpGroup::CompanyForming);
    assert_eq!(forming, (money("50.00"), Money::ZERO));
    for group in StartUpGroup::ALL {
        assert_eq!(group.as_str().parse(), Ok(group));
    }
}

proptest! {
    /// Whatever the cost, what counts at once and the 180 months add up to it, and no month is below nothing.
    #[test]
    fn the_months_add_up_to_the_cost(minor in 0_i64..10_000_000, month in 1_u32..=12) {
        let rule = StartUpRule::named("us").expect("the rule");
        let begins = Month::new(2026, month).first_day();
        let cost = Money::from_minor(minor);
        let found = first_year(&rule, cost, begins, calendar(), &usd()).expect("an estimate");
        let months: Vec<Money> = (1..=180).map(|no| found.in_month(no)).collect();
        prop_assert!(months.iter().all(|amount| !amount.is_negative()));
        prop_assert_eq!(found.at_once + months.iter().copied().sum::<Money>(), cost);
        let first: Money = months.iter().take(13 - month as usize).copied().sum();
        prop_assert_eq!(found.spread_in_year, first);
    }
}
