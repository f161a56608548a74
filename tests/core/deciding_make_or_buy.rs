//! Make or have made, against a published example and figures worked out by hand.

use deckle::deciding::*;
use deckle::money::{Currency, Money, Percent};
use rust_decimal::Decimal;

fn usd() -> Currency {
    Currency::from_code("USD").expect("ISO 4217 has it")
}

fn money(text: &str) -> Money {
    usd().parse_plain(text).expect("an amount")
}

fn each(text: &str) -> UnitCost {
    UnitCost::from_major(text.parse().expect("a number"), &usd()).expect("a unit cost")
}

fn percent(text: &str) -> Percent {
    text.parse().expect("a share")
}

fn tiers(list: &[(u64, &str)]) -> Vec<PriceTier> {
    list.iter()
        .map(|&(from, price)| PriceTier {
            from,
            each: each(price),
        })
        .collect()
}

fn house(list: &[(u64, &str)]) -> OutsideTerms {
    OutsideTerms {
        tiers: tiers(list),
        ..OutsideTerms::default()
    }
}

fn outside(terms: OutsideTerms) -> Outside {
    Outside::new(terms).expect("terms hold together")
}

fn own(terms: OwnTerms) -> Own {
    Own::new(terms).expect("terms hold together")
}

fn crossings(outside: &Outside, own: &Own, run: Run, time: OwnTime, limit: u64) -> Vec<(u64, Way)> {
    Comparison {
        outside,
        own,
        run,
        time,
    }
    .crossings(limit)
    .expect("in range")
    .iter()
    .map(|crossing| (crossing.at, crossing.cheaper))
    .collect()
}

/// OpenStax, Principles of Accounting, Volume 2: Managerial Accounting, section 10.3, sample data of the mug lids:
/// 120,000 lids, bought at 1.75 each 210,000; made at 1.68 each 201,600; with 0.12 of avoidable cost 216,000.
#[test]
fn the_textbooks_lids_come_to_its_totals() {
    let bought = outside(house(&[(1, "1.75")]));
    for (cost, total, cheaper, saved) in [
        ("1.68", "201600.00", Way::Own, "8400.00"),
        ("1.80", "216000.00", Way::Outside, "6000.00"),
    ] {
        let made = own(OwnTerms {
            each: each(cost),
            ..OwnTerms::default()
        });
        let both = Comparison {
            outside: &bought,
            own: &made,
            run: Run::Reorder,
            time: OwnTime::LeftOut,
        };
        let at = both.at(120_000).expect("in range");
        assert_eq!(at.outside.best.total, money("210000.00"));
        assert_eq!(at.own.total, money(total));
        assert_eq!((at.cheaper, at.saved), (Some(cheaper), money(saved)));
        assert!(both.crossings(120_000).expect("in range").is_empty());
    }
}

/// Common practice, no source: 50 for 29.00 are 0.58 each; a deal brings pieces made outside to 0.25 to 0.60.
#[test]
fn a_pack_of_fifty_costs_fifty_eight_cents_each() {
    let shared = UnitCost::shared(money("29.00"), 50).expect("fifty");
    assert_eq!(shared, each("0.58"));
    for (off, total) in [("0", "29.00"), ("25", "21.75"), ("56.9", "12.50")] {
        let terms = OutsideTerms {
            deal: Some(Deal {
                off: percent(off),
                scope: DealScope::Pieces,
            }),
            ..house(&[(50, "0.58")])
        };
        let order = outside(terms).order(50, Run::Reorder).expect("in range");
        assert_eq!(order.best.total, money(total), "{off} % off");
    }
}

/// By hand: 100 for 95.00, 200 for 135.00, 300 for 157.00, in hundreds. 100 cost 95.00, 101 to 200 cost 135.00.
#[test]
fn price_list_of_hundreds_is_met_to_the_cent() {
    let house = outside(OutsideTerms {
        tiers: vec![
            PriceTier {
                from: 100,
                each: UnitCost::shared(money("95.00"), 100).expect("each"),
            },
            PriceTier {
                from: 200,
                each: UnitCost::shared(money("135.00"), 200).expect("each"),
            },
            PriceTier {
                from: 300,
                each: UnitCost::shared(money("157.00"), 300).expect("each"),
            },
        ],
        step: 100,
        ..OutsideTerms::default()
    });
    for (wanted, ordered, total) in [
        (1, 100, "95.00"),
        (100, 100, "95.00"),
        (101, 200, "135.00"),
        (201, 300, "157.00"),
    ] {
        let order = house.order(wanted, Run::First).expect("in range");
        assert_eq!(
            (order.best.taken, order.best.total),
            (ordered, money(total))
        );
        assert!(!order.is_ordered_up());
    }
    let views = house.tier_views(Run::First);
    let more: Vec<Money> = views.iter().map(|view| view.more_cash).collect();
    assert_eq!(more, [money("95.00"), money("40.00"), money("22.00")]);
}

/// By hand: 1.00 each, from 100 0.80: 100 cost 80.00, so 81 to 99 (81.00 to 99.00) are dearer; 80 cost the same.
#[test]
fn ordering_up_to_the_next_tier_is_found_exactly() {
    let house = outside(house(&[(1, "1.00"), (100, "0.80")]));
    let ranges = house.order_up_ranges(1000, Run::First).expect("in range");
    assert_eq!(
        ranges,
        [OrderUp {
            from: 81,
            to: 99,
            order: 100,
            most_saved: money("19.00"),
        }]
    );
    let tie = house.order(80, Run::First).expect("in range");
    assert_eq!(tie.best.taken, 80, "at the same price the smaller order");
    let up = house.order(95, Run::First).expect("in range");
    assert_eq!(
        (up.best.taken, up.best.left_over, up.saved()),
        (100, 5, money("15.00"))
    );
    assert!(up.is_ordered_up());
    assert_eq!(up.best.each_wanted().to_string(), "84.210526");
    assert_eq!(up.best.each_good().to_string(), "80");
}

/// By hand. Pieces 100 × 1.00, of which printing is 60 %, half off it: 100.00 − 30.00. Set-up 20.00, carriage 10.00.
#[test]
fn a_deal_takes_off_only_what_it_covers() {
    for (scope, total) in [
        (DealScope::PartOfPieces(percent("60")), "100.00"),
        (DealScope::Pieces, "80.00"),
        (DealScope::PiecesAndOnce, "70.00"),
        (DealScope::WholeBill, "65.00"),
    ] {
        let terms = OutsideTerms {
            deal: Some(Deal {
                off: percent("50"),
                scope,
            }),
            once_per_run: money("20.00"),
            carriage_per_order: money("4.00"),
            carriage_each: each("0.06"),
            ..house(&[(1, "1.00")])
        };
        let house = outside(terms);
        let best = house.order(100, Run::First).expect("in range").best;
        assert_eq!(best.total, money(total), "{scope:?}");
        let sheet = house.worksheet(&best, Run::First, &usd());
        assert_eq!(sheet.money("total"), best.total);
        let lines = ["pieces", "once-per-run", "carriage", "deal"];
        let sum: Money = lines.iter().map(|key| sheet.money(key)).sum();
        assert_eq!(sum, best.total);
    }
}

/// By hand: wanted 100, 5 % spoiled: 106 delivered give 100.7. Short by 10 %: 118 ordered deliver 106. In tens: 120,
/// of which 108 arrive, are billed at 0.50 and give 102 good ones.
#[test]
fn spoiled_and_short_pieces_are_ordered_for() {
    let terms = OutsideTerms {
        spoiled: percent("5"),
        delivery: Delivery::Short(percent("10")),
        step: 10,
        once_per_design: money("12.00"),
        ..house(&[(1, "0.50")])
    };
    let house = outside(terms);
    let best = house.order(100, Run::First).expect("in range").best;
    assert_eq!((best.taken, best.good, best.left_over), (120, 102, 2));
    assert_eq!(best.total, money("66.00"));
    let again = house.order(100, Run::Reorder).expect("in range").best;
    assert_eq!(again.total, money("54.00"));
    let sheet = house.worksheet(&best, Run::First, &usd());
    let shown: Vec<String> = sheet
        .lines()
        .iter()
        .map(|line| format!("{} {}: {}", line.no, line.formula, line.amount.show(&usd())))
        .collect();
    assert_eq!(
        shown,
        [
            "1 your choice: 100",
            "2 at least 1, in 10s: 120",
            "3 2 less 10 % short, whole pieces: 108",
            "4 3 less 5 % spoiled, whole pieces: 102",
            "5 108 × 0.50, the price of each: 54.00",
            "6 plate, die, proof or licence; not again when reordered: 12.00",
            "7 5 + 6: 66.00",
        ]
    );
}

/// By hand: over by 5 %, 40 ordered are billed as 42 at 1.00; all 42 can be sold.
#[test]
fn overs_are_billed_and_can_be_sold() {
    let terms = OutsideTerms {
        delivery: Delivery::Over(percent("5")),
        minimum: 40,
        ..house(&[(1, "1.00")])
    };
    let best = outside(terms).order(10, Run::First).expect("in range").best;
    assert_eq!((best.taken, best.good, best.left_over), (40, 42, 32));
    assert_eq!(best.total, money("42.00"));
}

/// By hand: 100 wanted at 10 % lost, put in 112, in batches of 25: 125 in 5 batches, 112 good. Materials 125 × 0.20
/// = 25.00; set-ups 5 × (1.00 + 2 × 0.20) = 7.00; design 5.00; equipment 150.00; time (125 × 2 + 5 × 10) min = 5 h.
#[test]
fn making_counts_batches_loss_and_time() {
    let terms = OwnTerms {
        each: each("0.20"),
        batch: Some(25),
        loss: percent("10"),
        spoiled_per_set_up: 2,
        per_set_up: money("1.00"),
        minutes_each: Decimal::from(2),
        minutes_per_set_up: Decimal::from(10),
        hourly_rate: money("18.00"),
        once_per_design: money("5.00"),
        equipment: money("150.00"),
        ..OwnTerms::default()
    };
    let own = own(terms);
    let first = own
        .make(100, Run::First, OwnTime::Counted)
        .expect("in range");
    assert_eq!((first.taken, first.good, first.left_over), (125, 112, 12));
    assert_eq!(first.total, money("277.00"));
    assert_eq!(first.own_time, money("90.00"));
    assert_eq!(first.cash_up_front, money("187.00"));
    assert_eq!(own.minutes(100), Decimal::from(300));
    let again = own
        .make(100, Run::Reorder, OwnTime::LeftOut)
        .expect("in range");
    assert_eq!((again.total, again.own_time), (money("32.00"), Money::ZERO));
    let sheet = own.worksheet(&first, Run::First, OwnTime::Counted, &usd());
    assert_eq!(sheet.money("cash"), first.cash_up_front);
    assert_eq!(sheet.money("total"), first.total);
    assert_eq!(sheet.money("own-time"), first.own_time);
}

/// By hand: outside 1.00 each, from 100 0.60; made 60.00 once and 0.40 each.
/// 1 to 59: 1.00 × n against 60.00 + 0.40 × n is even at 100; ordering up, 100 cost 60.00, from n = 61 on.
/// From 100 on: 0.60 × n against 60.00 + 0.40 × n is even at 300, so making is cheaper from 301.
#[test]
fn crossing_points_come_after_tiers_and_ordering_up() {
    let bought = outside(house(&[(1, "1.00"), (100, "0.60")]));
    let made = own(OwnTerms {
        each: each("0.40"),
        equipment: money("60.00"),
        ..OwnTerms::default()
    });
    let found = crossings(&bought, &made, Run::First, OwnTime::LeftOut, 1_000_000);
    assert_eq!(found, [(301, Way::Own)]);
    let again = crossings(&bought, &made, Run::Reorder, OwnTime::LeftOut, 1_000_000);
    assert_eq!(again, [], "without equipment making is always cheaper");
}

/// By hand: outside 0.60 each, from 200 0.30; made 15.00 once and 0.35 each. Even at 60 (36.00), so making is cheaper
/// from 61. Ordering up to 200 costs 60.00: below making from 129 (60.15) on, and 0.30 each stays cheaper beyond.
#[test]
fn tiers_bring_several_crossing_points() {
    let bought = outside(house(&[(1, "0.60"), (200, "0.30")]));
    let made = own(OwnTerms {
        each: each("0.35"),
        once_per_run: money("15.00"),
        ..OwnTerms::default()
    });
    let found = crossings(&bought, &made, Run::First, OwnTime::LeftOut, 1000);
    assert_eq!(found, [(61, Way::Own), (129, Way::Outside)]);
    // Her own time turns it: two minutes at 18.00 an hour are 0.60 a piece.
    let made = own(OwnTerms {
        minutes_each: Decimal::from(2),
        hourly_rate: money("18.00"),
        ..made.terms().clone()
    });
    let both = Comparison {
        outside: &bought,
        own: &made,
        run: Run::First,
        time: OwnTime::Counted,
    };
    let ranges = both.cheaper_ranges(1000).expect("in range");
    let all = CheaperRange {
        from: 1,
        to: 1000,
        cheaper: Some(Way::Outside),
    };
    assert_eq!(ranges, [all]);
}

#[test]
fn the_same_cost_everywhere_has_no_cheaper_way() {
    let bought = outside(house(&[(1, "0.50")]));
    let made = own(OwnTerms {
        each: each("0.50"),
        ..OwnTerms::default()
    });
    let both = Comparison {
        outside: &bought,
        own: &made,
        run: Run::First,
        time: OwnTime::Counted,
    };
    let same = CheaperRange {
        from: 1,
        to: 5000,
        cheaper: None,
    };
    assert_eq!(both.cheaper_ranges(5000), Ok(vec![same]));
    assert_eq!(both.at(7).expect("in range").cheaper, None);
}

/// Nearly parallel ways over a million quantities. At every crossing the dearer way changes, and below it it has not.
#[test]
fn a_million_quantities_are_compared_at_once() {
    let terms = OutsideTerms {
        spoiled: percent("3.5"),
        delivery: Delivery::Short(percent("4.25")),
        step: 7,
        once_per_run: money("45.00"),
        ..house(&[
            (1, "0.61"),
            (2000, "0.5"),
            (50_000, "0.48"),
            (300_000, "0.47"),
        ])
    };
    let bought = outside(terms);
    let made = own(OwnTerms {
        each: each("0.46"),
        batch: Some(24),
        loss: percent("5"),
        equipment: money("900.00"),
        ..OwnTerms::default()
    });
    let both = Comparison {
        outside: &bought,
        own: &made,
        run: Run::First,
        time: OwnTime::LeftOut,
    };
    let found = both.crossings(MOST_PIECES).expect("in range");
    assert!(found.len() >= 3, "{found:?}");
    for crossing in &found {
        let below = both.at(crossing.at - 1).expect("in range").cheaper;
        assert_ne!(below, Some(crossing.cheaper));
        let at = both.at(crossing.at).expect("in range").cheaper;
        assert_eq!(at, Some(crossing.cheaper));
    }
    // In whole batches and sevens it goes back and forth for a while; in the main it changes three times.
    let bands = both.bands(MOST_PIECES).expect("in range");
    let main: Vec<Leaning> = bands.iter().map(|band| band.cheaper).collect();
    assert_eq!(main.first(), Some(&Leaning::Outside));
    assert_eq!(main.last(), Some(&Leaning::Own));
    assert!(
        main.contains(&Leaning::BackAndForth) && main.len() < 12,
        "{bands:?}"
    );
    for (before, after) in bands.iter().zip(bands.iter().skip(1)) {
        assert_eq!(before.to + 1, after.from);
        assert_ne!(before.cheaper, after.cheaper);
    }
}

/// "Of 500 you would have 260 unsold in a year" at 20 a month; 500 last 25 months.
#[test]
fn cover_and_what_stays_unsold_follow_the_rate_of_sale() {
    let rate = Decimal::from(20);
    assert_eq!(unsold_after(500, 12, rate), 260);
    assert_eq!(months_of_cover(500, rate), Some(Decimal::from(25)));
    assert_eq!(months_of_cover(500, Decimal::ZERO), None);
    assert_eq!(unsold_after(10, 12, rate), 0);
    // Whole pieces sell: 0.9 a month for a year are ten.
    assert_eq!(unsold_after(12, 12, Decimal::new(9, 1)), 2);
}

#[test]
fn terms_that_cannot_be_are_refused_with_what_and_where() {
    let refused = |terms| Outside::new(terms).expect_err("refused").to_string();
    let cases = [
        (
            house(&[]),
            "at least one price is needed: from how many pieces, and the price of each",
        ),
        (
            house(&[(1, "1.00"), (100, "0.80"), (50, "0.90")]),
            "tiers out of order: tier 3 is from 50 pieces, the one before it from 100",
        ),
        (
            house(&[(50, "1.00"), (50, "0.80")]),
            "tiers out of order: tier 2 is from 50 pieces, the one before it from 50",
        ),
        (
            house(&[(0, "1.00")]),
            "a price's first quantity must be between 1 and 10000000, not 0",
        ),
        (
            OutsideTerms {
                step: 0,
                ..house(&[(1, "1.00")])
            },
            "the step of an order must be between 1 and 10000000, not 0",
        ),
        (
            OutsideTerms {
                spoiled: percent("95"),
                ..house(&[(1, "1.00")])
            },
            "the spoiled share may be at most 90 per cent",
        ),
        (
            OutsideTerms {
                spoiled: percent("3.333"),
                ..house(&[(1, "1.00")])
            },
            "the spoiled share may have at most two decimals",
        ),
        (
            OutsideTerms {
                once_per_run: money("-1.00"),
                ..house(&[(1, "1.00")])
            },
            "the cost once per run must not be below nothing or beyond what a book takes",
        ),
    ];
    for (terms, said) in cases {
        assert_eq!(refused(terms), said);
    }
    let house = outside(OutsideTerms {
        minimum: 20,
        step: 10,
        ..house(&[(1, "1.00")])
    });
    let said = house
        .order(0, Run::First)
        .expect_err("none wanted")
        .to_string();
    assert_eq!(
        said,
        "the number of pieces wanted must be between 1 and 1000000, not 0"
    );
    assert_eq!(
        house.for_order(20, 45, Run::First),
        Err(DecidingError::NotAStep {
            ordered: 45,
            step: 10
        })
    );
    assert!(house.for_order(5, 10, Run::First).is_err());
    assert_eq!(
        house
            .for_order(20, 50, Run::First)
            .expect("a step")
            .left_over,
        30
    );
    let too_fine = OwnTerms {
        minutes_each: Decimal::new(1001, 3),
        ..OwnTerms::default()
    };
    assert_eq!(
        Own::new(too_fine).expect_err("too fine").to_string(),
        "minutes for each piece must be between 0 and 100,000 with at most two decimals"
    );
}
