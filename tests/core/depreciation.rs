//! Straight-line depreciation against published schedules.
//! OpenStax = OpenStax, Principles of Accounting, Vol. 1 (2019).

use std::collections::BTreeMap;

use deckle::dates::{DateRange, YearStart};
use deckle::depreciation::{Convention, Disposal, Equipment, EquipmentError, TermsChange, propose};
use deckle::ledger::{Chart, Role};
use deckle::money::{Money, Percent};

use crate::support::day;

/// Whole units of a two-decimal currency.
fn units(amount: i64) -> Money {
    Money::from_minor(amount * 100)
}

fn cents(amounts: &[i64]) -> Vec<Money> {
    amounts.iter().copied().map(Money::from_minor).collect()
}

fn calendar() -> YearStart {
    YearStart::default()
}

fn piece(cost: i64, residual: i64, life_months: u32, in_service_on: &str) -> Equipment {
    let mut piece = Equipment::new("Press", day(in_service_on), units(cost), life_months);
    piece.residual = units(residual);
    piece
}

/// OpenStax, section 11.3: cost 58,000, residual 10,000, five years.
fn printing_press(in_service_on: &str) -> Equipment {
    piece(58_000, 10_000, 60, in_service_on)
}

fn change(from: &str, life_months: u32, residual: Money, share: i64) -> TermsChange {
    TermsChange {
        from: day(from),
        life_months,
        residual,
        business_share: Percent::new(share.into()).expect("a share"),
        reason: "looked at again".to_owned(),
    }
}

#[track_caller]
fn check_years(piece: &Equipment, years: YearStart, charges: &[Money]) {
    piece.check().expect("can be in the register");
    let rows = piece.yearly_schedule(years);
    let found: Vec<Money> = rows.iter().map(|row| row.charge).collect();
    assert_eq!(found, charges);
    let mut accumulated = Money::ZERO;
    for row in rows {
        accumulated += row.charge;
        assert_eq!(row.accumulated, accumulated, "{}", row.year);
        assert_eq!(row.book_value, piece.cost - accumulated, "{}", row.year);
    }
}

#[test]
fn straight_line_charges_match_the_published_ones() {
    #[rustfmt::skip]
    let cases = [
        // cost  residual months   a year   source
        (58_000, 10_000,  60, 960_000), // OpenStax 11.3, printing press
        (10_000,  1_000,  60, 180_000), // OpenStax 11.3, silk-screen machine
        (80_000, 20_000,  60, 1_200_000), // OpenStax 11.3, truck with fixed resale
        ( 4_000,    500,  48,  87_500), // OASIS OpenDocument formula language, SLN(4000; 500; 4) = 875
        (15_000,  3_000,  96, 150_000), // OpenStax 11.3, exercise: published inputs, result by the rule
        (25_000,  6_000, 120, 190_000), // OpenStax 11.3, exercise: published inputs, result by the rule
        (900_000, 15_000, 36, 29_500_000), // OpenStax 11.3, exercise: published inputs, result by the rule
    ];
    for (cost, residual, months, a_year) in cases {
        let piece = piece(cost, residual, months, "2019-01-01");
        let years = usize::try_from(months / 12).expect("small");
        check_years(&piece, calendar(), &vec![Money::from_minor(a_year); years]);
    }
}

/// OpenStax, section 11.3: book value after years 1, 2 and 5.
#[test]
fn the_press_is_worth_what_the_book_prints() {
    let press = printing_press("2019-01-01");
    for (on, accumulated, book_value) in [
        ("2019-12-31", 9_600, 48_400),
        ("2020-12-31", 19_200, 38_800),
        ("2021-12-31", 28_800, 29_200),
        ("2022-12-31", 38_400, 19_600),
        ("2023-12-31", 48_000, 10_000),
        ("2030-12-31", 48_000, 10_000),
    ] {
        assert_eq!(
            press.accumulated(day(on), calendar()),
            units(accumulated),
            "{on}"
        );
        assert_eq!(
            press.carrying_amount(day(on), calendar()),
            units(book_value),
            "{on}"
        );
    }
    assert!(!press.is_fully_depreciated(day("2023-12-30"), calendar()));
    assert!(press.is_fully_depreciated(day("2023-12-31"), calendar()));
    assert_eq!(
        press.carrying_amount(day("2018-12-31"), calendar()),
        Money::ZERO
    );
}

/// OpenStax, section 11.3: owned nine months of the first year: 7,200, four times 9,600, 2,400.
#[test]
fn a_part_of_the_first_year_is_made_up_in_the_last() {
    let press = printing_press("2019-04-01");
    let charges = [7_200, 9_600, 9_600, 9_600, 9_600, 2_400].map(units);
    check_years(&press, calendar(), &charges);
    // The following-month convention gives the same when it is put in service in the month before.
    let mut press = printing_press("2019-03-15");
    press.convention = Convention::MonthAfter;
    check_years(&press, calendar(), &charges);
    assert_eq!(press.monthly_schedule(calendar()).len(), 60);
}

/// OpenStax, section 11.3: what goes into the cost of the drill press: 22,000 + 2,500 + 800.
#[test]
fn cost_is_price_tax_and_delivery_together() {
    let mut drill = piece(25_300, 0, 60, "2019-01-01");
    drill.tax_part = units(2_500);
    drill.delivery_part = units(800);
    assert!(drill.check().is_ok());
    assert_eq!(
        drill.cost - drill.tax_part - drill.delivery_part,
        units(22_000)
    );
}

/// OpenStax, section 11.5: sold after three years for 31,000 at a book value of 29,200: a gain of 1,800, and the entry
/// debits cash 31,000 and accumulated depreciation 28,800, credits the press 58,000 and the gain 1,800.
#[test]
fn the_press_is_sold_at_a_gain() {
    let press = printing_press("2019-01-01");
    let disposal = Disposal {
        on: day("2022-01-01"),
        proceeds: units(31_000),
    };
    let charged = press.accumulated(day("2021-12-31"), calendar());
    let plan = press
        .plan_disposal(&disposal, charged, calendar())
        .expect("can go");
    assert_eq!(plan.charge.whole, Money::ZERO);
    assert_eq!(
        (plan.accumulated, plan.book_value, plan.gain),
        (units(28_800), units(29_200), units(1_800))
    );
    let chart = Chart::craft_business(false).expect("the chart");
    let bank = chart.role(Role::BusinessBank).expect("a bank");
    let entry = plan.entry(&chart, Some(bank), "").expect("an entry");
    let net = |role| {
        let account = chart.role(role).expect("an account");
        entry
            .lines()
            .iter()
            .filter(|l| l.account == account)
            .map(|l| l.amount)
            .sum::<Money>()
    };
    assert_eq!(net(Role::BusinessBank), units(31_000));
    assert_eq!(net(Role::AccumulatedDepreciation), units(28_800));
    assert_eq!(net(Role::Equipment), units(-58_000));
    assert_eq!(net(Role::EquipmentGain), units(-1_800));
    assert!(
        plan.entry(&chart, None, "").is_err(),
        "money must go somewhere"
    );
}

/// OpenStax, section 11.3: the truck with a fixed resale value is sold at it: neither gain nor loss.
#[test]
fn sold_at_its_book_value_there_is_neither_gain_nor_loss() {
    let truck = piece(80_000, 20_000, 60, "2019-01-01");
    let disposal = Disposal {
        on: day("2024-01-01"),
        proceeds: units(20_000),
    };
    let plan = truck
        .plan_disposal(&disposal, units(60_000), calendar())
        .expect("can go");
    assert_eq!(plan.gain, Money::ZERO);
    let chart = Chart::craft_business(false).expect("the chart");
    let bank = chart.role(Role::BusinessBank).ok();
    assert_eq!(
        plan.entry(&chart, bank, "")
            .expect("an entry")
            .lines()
            .len(),
        3
    );
}

/// Depreciation is brought up to the day before the gain or loss is struck (OpenStax, section 11.5). By hand: nothing
/// was posted since June, and scrapping it in October loses all that is left.
#[test]
fn the_charge_up_to_the_day_comes_first() {
    let chart = Chart::craft_business(false).expect("the chart");
    let mut cutter = piece(1_200, 0, 12, "2026-01-10");
    cutter.business_share = Percent::new(75.into()).expect("a share");
    let disposal = Disposal {
        on: day("2026-10-20"),
        proceeds: Money::ZERO,
    };
    // Nine months, January to September; October is not charged. Six are in the books.
    let plan = cutter
        .plan_disposal(&disposal, units(600), calendar())
        .expect("can go");
    assert_eq!(plan.charge.whole, units(300));
    assert_eq!(
        (plan.charge.business, plan.charge.private),
        (units(225), units(75))
    );
    assert_eq!((plan.accumulated, plan.gain), (units(900), units(-300)));
    let entry = plan
        .entry(&chart, None, "Motor burnt out")
        .expect("an entry");
    assert_eq!(entry.lines().len(), 6);
    // From the following month on, the month of disposal is charged: February to October.
    cutter.convention = Convention::MonthAfter;
    let plan = cutter
        .plan_disposal(&disposal, units(600), calendar())
        .expect("can go");
    assert_eq!((plan.charge.whole, plan.gain), (units(300), units(-300)));
    // Charged through December by mistake: three months too much are taken back.
    let plan = cutter
        .plan_disposal(&disposal, units(1_200), calendar())
        .expect("can go");
    assert_eq!((plan.charge.whole, plan.gain), (units(-300), units(-300)));
    assert!(plan.entry(&chart, None, "").is_ok());
}

/// Straight-line percentages of the half-year convention: IRS Publication 946, Appendix A, Table A-8. The five-year row
/// as handbooks restate it; the seven-year row to within its two printed decimals (its last digits alternate).
#[test]
fn half_years_match_the_published_percentages() {
    let rows: [(u32, &[i64]); 2] = [
        (60, &[1000, 2000, 2000, 2000, 2000, 1000]),
        (84, &[714, 1429, 1429, 1428, 1429, 1428, 1429, 714]),
    ];
    for (life_months, printed) in rows {
        for in_service_on in ["2026-01-01", "2026-07-15", "2026-12-31"] {
            let mut piece = piece(100, 0, life_months, in_service_on);
            piece.convention = Convention::HalfYear;
            let charges: Vec<Money> = piece
                .yearly_schedule(calendar())
                .iter()
                .map(|row| row.charge)
                .collect();
            assert_eq!(charges.len(), printed.len());
            assert_eq!(charges.iter().copied().sum::<Money>(), units(100));
            for (charge, printed) in charges.iter().zip(printed) {
                let off = (charge.minor() - printed).abs();
                assert!(off <= 1, "{charge:?} for {printed}");
                assert!(off == 0 || life_months == 84);
            }
        }
    }
}

/// 26 U.S.C. 168(d)(4)(A) and IRS Publication 946: half of the year's amount in the year of disposal.
#[test]
fn half_a_year_is_charged_in_the_year_of_disposal() {
    for gone_on in ["2028-01-01", "2028-06-30", "2028-12-31"] {
        let mut piece = piece(1_000, 0, 60, "2026-03-01");
        piece.convention = Convention::HalfYear;
        piece.disposal = Some(Disposal {
            on: day(gone_on),
            proceeds: Money::ZERO,
        });
        check_years(&piece, calendar(), &[units(100), units(200), units(100)]);
    }
    let mut same_year = piece(1_000, 0, 60, "2026-03-01");
    same_year.convention = Convention::HalfYear;
    same_year.disposal = Some(Disposal {
        on: day("2026-09-01"),
        proceeds: Money::ZERO,
    });
    check_years(&same_year, calendar(), &[units(100)]);
}

#[test]
fn half_years_count_financial_years() {
    let mut piece = piece(1_000, 0, 60, "2026-03-01");
    piece.convention = Convention::HalfYear;
    let april = YearStart::new(4).expect("April");
    // In service in March, the last month of the year that ends in 2026.
    assert_eq!(piece.yearly_schedule(april)[0].year, 2026);
    assert_eq!(piece.accumulated(day("2026-03-31"), april), units(100));
    assert_eq!(piece.accumulated(day("2027-03-31"), april), units(300));
    // A life that is not whole years: half a year, a year, then what is left.
    piece.life_months = 30;
    check_years(&piece, april, &[units(200), units(400), units(400)]);
    piece.life_months = 6;
    check_years(&piece, april, &[units(1_000)]);
}

/// By hand: 365 days of 2026 and 2027 each, one unit a day.
#[test]
fn days_are_charged_from_the_first_and_not_on_the_day_it_goes() {
    let mut piece = piece(730, 0, 24, "2026-01-01");
    piece.convention = Convention::ByDay;
    check_years(&piece, calendar(), &[units(365), units(365)]);
    assert_eq!(piece.accumulated(day("2026-01-01"), calendar()), units(1));
    assert_eq!(piece.accumulated(day("2026-01-31"), calendar()), units(31));
    piece.disposal = Some(Disposal {
        on: day("2026-01-31"),
        proceeds: Money::ZERO,
    });
    assert_eq!(piece.accumulated(day("2027-12-31"), calendar()), units(30));
    piece.disposal = Some(Disposal {
        on: day("2026-01-01"),
        proceeds: Money::ZERO,
    });
    assert_eq!(
        piece.accumulated(day("2027-12-31"), calendar()),
        Money::ZERO
    );
    assert_eq!(
        piece.carrying_amount(day("2026-01-01"), calendar()),
        Money::ZERO
    );
}

/// A leap day lengthens the life of a piece by a day: 366 days from March 2027 to February 2028.
#[test]
fn the_days_of_a_life_are_actual_days() {
    let mut piece = piece(366, 0, 12, "2027-03-01");
    piece.convention = Convention::ByDay;
    assert_eq!(piece.accumulated(day("2028-02-28"), calendar()), units(365));
    assert_eq!(piece.accumulated(day("2028-02-29"), calendar()), units(366));
}

#[test]
fn a_piece_gone_in_its_first_month_was_never_charged() {
    for convention in [Convention::MonthInService, Convention::MonthAfter] {
        let mut piece = piece(600, 0, 12, "2026-05-10");
        piece.convention = convention;
        piece.disposal = Some(Disposal {
            on: day("2026-05-31"),
            proceeds: units(600),
        });
        let outcome = piece.disposal_outcome(calendar()).expect("it has gone");
        assert_eq!(
            (outcome.accumulated, outcome.gain),
            (Money::ZERO, Money::ZERO)
        );
        check_years(&piece, calendar(), &[Money::ZERO]);
    }
}

/// The revised-estimate rule: carrying amount less the new residual value, over the remaining life. OpenStax, section
/// 11.5, problem sets A and B on the delivery truck: published inputs, results by that rule.
#[test]
fn a_revised_estimate_works_over_the_remaining_life() {
    // 15,000 − 3,000 over 8 years = 1,500; after 3 years 10,500 − 4,000 over 3 = 2,166.67.
    let mut truck = piece(15_000, 3_000, 96, "2019-01-01");
    truck
        .changes
        .push(change("2022-01-01", 72, units(4_000), 100));
    check_years(
        &truck,
        calendar(),
        &cents(&[150_000, 150_000, 150_000, 216_667, 216_666, 216_667]),
    );
    // 20,000 − 8,000 over 10 years = 1,200; after 5 years 14,000 − 10,000 over 5 = 800.
    let mut truck = piece(20_000, 8_000, 120, "2019-01-01");
    truck
        .changes
        .push(change("2024-01-01", 120, units(10_000), 100));
    let charges = [[units(1_200); 5], [units(800); 5]].concat();
    check_years(&truck, calendar(), &charges);
}

#[test]
fn a_life_made_shorter_than_what_has_run_leaves_the_rest_at_once() {
    for convention in Convention::ALL {
        let mut piece = piece(1_200, 0, 120, "2026-01-01");
        piece.convention = convention;
        piece
            .changes
            .push(change("2029-05-10", 24, Money::ZERO, 100));
        piece.check().expect("can be");
        let eve = piece.accumulated(day("2029-05-09"), calendar());
        assert!(eve < units(420), "{convention}");
        assert_eq!(
            piece.accumulated(day("2029-05-10"), calendar()),
            units(1_200),
            "{convention}"
        );
        let last = *piece.yearly_schedule(calendar()).last().expect("rows");
        assert_eq!(
            (last.year, last.book_value),
            (2029, Money::ZERO),
            "{convention}"
        );
    }
}

#[test]
fn a_residual_above_the_carrying_amount_stops_the_charge() {
    let mut press = printing_press("2019-01-01");
    press
        .changes
        .push(change("2021-01-01", 60, units(50_000), 100));
    assert_eq!(
        press.accumulated(day("2030-01-01"), calendar()),
        units(19_200)
    );
    assert!(press.is_fully_depreciated(day("2021-01-01"), calendar()));
    assert!(!press.is_fully_depreciated(day("2020-12-31"), calendar()));
}

#[test]
fn terms_changed_before_it_is_in_service_are_simply_its_terms() {
    let mut press = printing_press("2019-01-01");
    press.bought_on = day("2018-10-01");
    press
        .changes
        .push(change("2018-12-01", 120, units(10_000), 50));
    check_years(&press, calendar(), &[units(4_800); 10]);
    assert_eq!(
        press.yearly_schedule(calendar())[0].business_charge,
        units(2_400)
    );
}

/// By hand: 100.00 a month; the share falls from 100 to 50 per cent in July.
#[test]
fn a_changed_business_share_splits_only_later_charges() {
    let mut piece = piece(1_200, 0, 12, "2026-01-01");
    piece
        .changes
        .push(change("2026-07-01", 12, Money::ZERO, 50));
    let half = |from: &str, to: &str| {
        let range = DateRange {
            from: day(from),
            to: day(to),
        };
        piece.charge_in(range, calendar())
    };
    let first = half("2026-01-01", "2026-06-30");
    assert_eq!(
        (first.whole, first.business, first.private),
        (units(600), units(600), Money::ZERO)
    );
    let second = half("2026-07-01", "2026-12-31");
    assert_eq!(
        (second.whole, second.business, second.private),
        (units(600), units(300), units(300))
    );
    let both = half("2026-01-01", "2026-12-31");
    assert_eq!((both.business, both.private), (units(900), units(300)));
}

#[test]
fn a_period_is_never_charged_twice() {
    let chart = Chart::craft_business(false).expect("the chart");
    let mut register = vec![printing_press("2019-01-01")];
    register[0].business_share = Percent::new(80.into()).expect("a share");
    let mut already = BTreeMap::new();
    let january = propose(&register, &already, day("2019-01-31"), calendar());
    assert_eq!(january.total().whole, units(800));
    assert_eq!(
        (january.total().business, january.total().private),
        (units(640), units(160))
    );
    let entry = january.entry(&chart, "").expect("an entry");
    assert_eq!(entry.total(), units(800));
    assert!(
        entry
            .lines()
            .iter()
            .all(|line| line.equipment.as_deref() == Some("Press"))
    );
    already.insert("Press".to_owned(), units(800));
    let again = propose(&register, &already, day("2019-01-31"), calendar());
    assert!(again.is_empty());
    assert!(matches!(
        again.entry(&chart, ""),
        Err(EquipmentError::NothingToCharge(_))
    ));
    // Skipped months are caught up in one.
    let later = propose(&register, &already, day("2019-06-30"), calendar());
    assert_eq!(later.total().whole, units(4_000));
    // Charged before this book began: nothing is left of 2019.
    register[0].charged_before = register[0].scheduled_before(day("2020-01-01"), calendar());
    assert_eq!(register[0].charged_before, units(9_600));
    let first_of_book = propose(&register, &BTreeMap::new(), day("2020-01-31"), calendar());
    assert_eq!(first_of_book.total().whole, units(800));
}

#[test]
fn what_cannot_be_in_the_register_is_refused_by_field() {
    let good = printing_press("2019-01-01");
    type Spoil = fn(&mut Equipment);
    let cases: [(&str, Spoil); 10] = [
        ("name", |p| p.name.clear()),
        ("cost", |p| p.cost = Money::ZERO),
        ("cost", |p| p.tax_part = p.cost + Money::from_minor(1)),
        ("life_months", |p| p.life_months = 0),
        ("life_months", |p| p.life_months = 5_000),
        ("residual", |p| p.residual = p.cost + Money::from_minor(1)),
        ("residual", |p| p.residual = Money::from_minor(-1)),
        ("in_service_on", |p| {
            p.in_service_on = p.bought_on.pred_opt().expect("a day")
        }),
        ("disposed_on", |p| {
            p.disposal = Some(Disposal {
                on: p.bought_on.pred_opt().expect("a day"),
                proceeds: Money::ZERO,
            });
        }),
        ("from", |p| {
            p.changes = vec![
                change("2020-01-01", 60, Money::ZERO, 100),
                change("2020-01-01", 48, Money::ZERO, 100),
            ];
        }),
    ];
    for (wanted, spoil) in cases {
        let mut piece = good.clone();
        spoil(&mut piece);
        match piece.check() {
            Err(EquipmentError::Field { field, .. }) => assert_eq!(field, wanted),
            other => panic!("{wanted}: {other:?}"),
        }
    }
    let mut gone = good;
    let disposal = Disposal {
        on: day("2020-01-01"),
        proceeds: Money::ZERO,
    };
    gone.disposal = Some(disposal.clone());
    assert!(
        gone.plan_disposal(&disposal, Money::ZERO, calendar())
            .is_err(),
        "it goes only once"
    );
}
