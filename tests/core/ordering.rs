//! Orders to suppliers: bills worked out by hand, deals, ordering up, days, states. Prices of 0.25 to 0.60 a piece and
//! deliveries of 5 to 10 % over or under are common practice, no source.

use deckle::deciding::{Outside, OutsideTerms, PriceTier, Run, UnitCost};
use deckle::money::{Currency, Money, Percent};
use deckle::ordering::*;
use proptest::prelude::*;
use rust_decimal::Decimal;

use crate::support::day;

fn usd() -> Currency {
    Currency::from_code("USD").expect("ISO 4217 has it")
}

fn money(text: &str) -> Money {
    usd().parse_plain(text).expect("an amount")
}

fn price(text: &str) -> Result<UnitCost, String> {
    let major: Decimal = text.parse().map_err(|_error| "no number".to_owned())?;
    UnitCost::from_major(major, &usd()).map_err(|error| error.to_string())
}

fn tiers(text: &str) -> Vec<PriceTier> {
    read_tiers(text, price).expect("tiers")
}

fn deals(text: &str) -> Vec<Deal> {
    read_deals(text, |amount| usd().parse_plain(amount)).expect("deals")
}

const TIERS: &str = "50:0.58;250:0.42;500:0.25";

fn order(quantity: u64) -> SupplierOrder {
    let line = OrderLine::new("CARD", quantity, tiers(TIERS));
    SupplierOrder::new("cards 1", "Hillside Print", day("2026-09-01"), vec![line])
}

fn bill(order: &SupplierOrder) -> ExpectedBill {
    order.check().expect("an order");
    expected_bill(order, str::to_lowercase, &usd())
}

#[test]
fn fifty_for_29_00_are_0_58_each() {
    // Common practice, no source: 50 for 29.00; by hand 29.00 / 50 = 0.58.
    let bill = bill(&order(50));
    assert_eq!(bill.total, money("29.00"));
    assert_eq!(bill.lines[0].reorder_each(), Decimal::from(58));
    assert_eq!(bill.lines[0].first_each(), Decimal::from(58));
}

#[test]
fn the_price_of_a_piece_runs_from_0_25_to_0_60() {
    // By hand: 500 x 0.25 = 125.00; 50 x 0.58 + 1.00 for the proof = 30.00, 0.60 each in the first run, 0.58 again.
    assert_eq!(bill(&order(500)).lines[0].reorder_each(), Decimal::from(25));
    let mut first = order(50);
    first.lines[0].once_per_design = money("1.00");
    let bill = bill(&first);
    assert_eq!(bill.lines[0].first_each(), Decimal::from(60));
    assert_eq!(bill.lines[0].reorder_each(), Decimal::from(58));
}

#[test]
fn deals_are_taken_off_what_they_are_about() {
    // By hand, for 100 at 0.58 = 58.00, plate 12.00, set-up 8.00, carriage 6.00: 84.00 before anything is taken off.
    #[rustfmt::skip]
    let cases = [
        ("",                          "84.00"),
        ("10% pieces",                "78.20"), // 58.00 / 10 = 5.80
        ("50% set-up",                "74.00"), // (12.00 + 8.00) / 2 = 10.00
        ("25% whole-bill",            "63.00"), // 84.00 / 4 = 21.00
        ("5.00 pieces",               "79.00"),
        ("30.00 set-up",              "64.00"), // not more than the 20.00 there are
        ("10% pieces;10% whole-bill", "70.38"), // 78.20 - 7.82
    ];
    for (text, expected) in cases {
        let mut order = order(100);
        order.lines[0].once_per_design = money("12.00");
        order.lines[0].once_per_run = money("8.00");
        order.carriage = money("6.00");
        order.deals = deals(text);
        let bill = bill(&order);
        assert_eq!(bill.total, money(expected), "{text}");
        let lines: Money = bill.lines.iter().map(|line| line.total).sum();
        assert_eq!(lines, bill.total, "{text}");
    }
}

#[test]
fn the_plate_is_in_the_first_run_only_and_every_line_is_numbered() {
    let mut order = order(100);
    order.lines[0].once_per_design = money("12.00");
    order.lines[0].once_per_run = money("8.00");
    order.carriage = money("6.00");
    order.lines[0].is_first_run = false;
    let bill = bill(&order);
    // By hand: 58.00 + 8.00 + 6.00 = 72.00 again, 84.00 the first time.
    assert_eq!(bill.total, money("72.00"));
    assert_eq!(bill.lines[0].first_each(), Decimal::from(84));
    assert_eq!(bill.lines[0].reorder_each(), Decimal::from(72));
    let numbers: Vec<u32> = bill.sheet.lines().iter().map(|line| line.no).collect();
    assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>());
    assert_eq!(bill.sheet.money("pieces"), money("58.00"));
    assert!(bill.sheet.line("once-per-design").is_none());
    assert_eq!(
        bill.sheet.line("pieces").expect("a line").formula,
        "100 × 0.58, the price of each from 50 pieces"
    );
}

#[test]
fn ordering_up_is_said_where_it_costs_less() {
    // By hand: 200 x 0.58 = 116.00, but 250 x 0.42 = 105.00.
    let hints = order_up(&order(200));
    assert_eq!(hints.len(), 1);
    assert_eq!((hints[0].order, hints[0].saved), (250, money("11.00")));
    assert_eq!(
        hints[0].sentence("cards", &usd()),
        "Ordering 250 of cards instead of 200 costs 11.00 less: 105.00 together, and you have 50 more."
    );
    // 180 x 0.58 = 104.40 is less than 105.00; 298 x 0.42 = 125.16 is more than 500 x 0.25 = 125.00.
    assert!(order_up(&order(180)).is_empty());
    assert_eq!(order_up(&order(298))[0].order, 500);
}

#[test]
fn days_follow_from_the_lead_time() {
    let mut order = order(50);
    order.lead_days = Some(14);
    order.wanted_on = Some(day("2026-10-01"));
    assert_eq!(order.expected_on(), Some(day("2026-09-15")));
    assert_eq!(order.latest_order_day(), Some(day("2026-09-17")));
    order.ordered_on = day("2026-09-20");
    assert!(
        order
            .when_words()
            .contains("it should have been ordered by")
    );
}

#[test]
fn what_cannot_be_is_refused_by_field() {
    let check = |change: fn(&mut SupplierOrder)| {
        let mut order = order(50);
        change(&mut order);
        let error = order.check().expect_err("refused");
        (error.field, error.message)
    };
    assert_eq!(check(|order| order.key.clear()).0, "order");
    assert_eq!(check(|order| order.supplier.clear()).0, "supplier");
    assert_eq!(check(|order| order.lines.clear()).0, "item");
    assert_eq!(
        check(|order| order.lines[0].tiers.reverse()),
        (
            "tiers",
            "the price from 250 pieces must stand before the one from 500".to_owned()
        )
    );
    assert_eq!(
        check(|order| order.lines[0].quantity = 49).1,
        "the supplier makes no fewer than 50 of CARD"
    );
    assert_eq!(
        check(|order| order.lines[0].minimum = 100).1,
        "the supplier makes no fewer than 100 of CARD"
    );
    assert_eq!(
        check(|order| order.wanted_on = order.ordered_on.pred_opt()).0,
        "wanted_on"
    );
    assert!(read_tiers("50-0.58", price).is_err());
    assert!(read_deals("10% paper", |amount| usd().parse_plain(amount)).is_err());
}

fn came(key: &str, date: &str, good: u64, spoiled: u64) -> Arrival {
    Arrival {
        id: 0,
        key: key.to_owned(),
        date: day(date),
        entry: None,
        is_void: false,
        lines: vec![ArrivalLine {
            item: "CARD".to_owned(),
            good,
            spoiled,
            movement: None,
        }],
    }
}

#[test]
fn states_follow_what_came_and_what_was_agreed() {
    let mut order = order(100);
    order.lead_days = Some(10);
    let state = |order: &SupplierOrder, arrivals: &[Arrival]| {
        standing(order, arrivals, day("2026-09-20")).state
    };
    assert_eq!(state(&order, &[]), OrderState::Open);
    assert!(standing(&order, &[], day("2026-09-12")).is_overdue);
    assert!(!standing(&order, &[], day("2026-09-11")).is_overdue);
    let first = [came("1", "2026-09-10", 90, 4)];
    assert_eq!(state(&order, &first), OrderState::PartlyHere);
    // Common practice, no source: 10 % under counts as all of it; not where no unders were agreed.
    order.under = "10".parse().expect("a share");
    assert_eq!(state(&order, &first), OrderState::Here);
    let notes = standing(&order, &first, day("2026-09-20")).notes;
    assert_eq!(
        notes,
        ["6 under of CARD, billed as made, as is the custom."]
    );
    order.no_unders = true;
    assert_eq!(state(&order, &first), OrderState::PartlyHere);
    order.closed_on = Some(day("2026-09-15"));
    assert_eq!(state(&order, &first), OrderState::ClosedShort);
    let notes = standing(&order, &first, day("2026-09-20")).notes;
    assert_eq!(
        notes,
        ["6 of CARD are missing, and no unders were agreed: ask for the rest or claim it."]
    );
    // 5 % over of 100 are 5 pieces; the sixth need not be paid for.
    order.over = Percent::new(Decimal::from(5)).expect("a share");
    let over = [came("1", "2026-09-10", 106, 0)];
    let notes = standing(&order, &over, day("2026-09-20")).notes;
    assert_eq!(
        notes,
        ["1 more of CARD came than agreed: you need not pay for those."]
    );
}

#[test]
fn an_arrival_is_expected_at_the_price_of_the_order_and_once_costs_come_first() {
    let mut order = order(100);
    order.lines[0].once_per_design = money("12.00");
    order.lines[0].once_per_run = money("8.00");
    order.carriage = money("6.00");
    order.deals = deals("10% pieces");
    let first = came("1", "2026-09-10", 56, 4);
    // By hand: 60 x 0.58 = 34.80 less 3.48, and 20.00 once: 51.32; the second 40 x 0.58 = 23.20 less 2.32.
    let (goods, carriage) = expected_arrival(&order, &[], &first.lines);
    assert_eq!((goods[0], carriage), (money("51.32"), money("6.00")));
    let second = came("2", "2026-09-12", 40, 0);
    let (goods, carriage) = expected_arrival(&order, &[first], &second.lines);
    assert_eq!((goods[0], carriage), (money("20.88"), Money::ZERO));
    // Together what the order said: 84.00 less 5.80.
    assert_eq!(
        money("51.32") + money("6.00") + money("20.88"),
        bill(&order).total
    );
}

proptest! {
    /// The cheapest order found here is the one that make-or-buy finds for the same terms.
    #[test]
    fn ordering_up_agrees_with_make_or_buy(
        quantity in 50_u64..700,
        prices in (30_i64..80, 20_i64..60, 10_i64..40),
        once in 0_i64..3000,
        minimum in 1_u64..120,
    ) {
        let cents = |minor: i64| UnitCost::from_minor(Decimal::from(minor)).expect("a price");
        let tiers: Vec<PriceTier> = [(50, prices.0), (250, prices.1), (500, prices.2)]
            .map(|(from, each)| PriceTier { from, each: cents(each) })
            .to_vec();
        let quantity = quantity.max(minimum);
        let mut line = OrderLine::new("CARD", quantity, tiers.clone());
        line.minimum = minimum;
        line.once_per_run = Money::from_minor(once);
        let order = SupplierOrder::new("1", "Hillside Print", day("2026-09-01"), vec![line]);
        prop_assert!(order.check().is_ok());
        let house = Outside::new(OutsideTerms {
            tiers,
            minimum,
            once_per_run: Money::from_minor(once),
            ..OutsideTerms::default()
        }).expect("terms");
        let theirs = house.order(quantity, Run::First).expect("an order");
        match order_up(&order).first() {
            Some(hint) => {
                prop_assert!(theirs.is_ordered_up());
                prop_assert_eq!((hint.order, hint.saved), (theirs.best.taken, theirs.saved()));
            }
            None => prop_assert!(!theirs.is_ordered_up()),
        }
    }

    /// Whatever is taken off, the items' shares add up to the bill, and tiers and deals read back as they were written.
    #[test]
    fn shares_add_up_and_words_read_back(
        quantities in proptest::collection::vec(1_u64..500, 1..4),
        each in 1_i64..500,
        amounts in (0_i64..5000, 0_i64..5000, 0_i64..5000),
        off in proptest::collection::vec((0_usize..3, 1_i64..4000, any::<bool>()), 0..3),
    ) {
        let lines = quantities.iter().enumerate().map(|(idx, quantity)| {
            let tier = PriceTier { from: 1, each: UnitCost::from_minor(Decimal::new(each, 1)).expect("a price") };
            let mut line = OrderLine::new(format!("ITEM-{idx}"), *quantity, vec![tier]);
            line.once_per_design = Money::from_minor(amounts.0);
            line.once_per_run = Money::from_minor(amounts.1);
            line
        });
        let mut order = SupplierOrder::new("1", "Hillside Print", day("2026-09-01"), lines.collect());
        order.carriage = Money::from_minor(amounts.2);
        order.deals = off.iter().map(|(on, much, is_share)| Deal {
            on: DealOn::ALL[*on],
            off: if *is_share {
                Off::Share(Percent::new(Decimal::from(much % 101)).expect("a share"))
            } else {
                Off::Amount(Money::from_minor(*much))
            },
        }).collect();
        let bill = expected_bill(&order, str::to_owned, &usd());
        let shares: Money = bill.lines.iter().map(|line| line.total).sum();
        prop_assert_eq!(shares, bill.total);
        prop_assert!(!bill.total.is_negative());
        let told: Money = ["pieces", "once-per-design", "once-per-run", "carriage", "deal"]
            .iter().map(|key| bill.sheet.money(key)).sum();
        prop_assert_eq!(told, bill.total);
        let text = deals_text(&order.deals, |amount| usd().plain(amount));
        prop_assert_eq!(deals(&text), order.deals.clone());
        let text = tiers_text(&order.lines[0].tiers, |each| each.major(&usd()).to_string());
        prop_assert_eq!(tiers(&text), order.lines[0].tiers.clone());
    }
}
