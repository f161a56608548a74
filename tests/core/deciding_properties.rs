//! Deciding against itself: every quantity tried one by one, with sums written a second time in decimals.

use deckle::deciding::*;
use deckle::money::{Money, Percent};
use proptest::prelude::*;
use rust_decimal::{Decimal, RoundingStrategy};

/// Quantities tried one by one in each case.
const LIMIT: u64 = 160;
/// No order larger than this is ever worth it for the terms made here.
const LARGEST: u64 = 1200;

fn percent(hundredths: u32) -> Percent {
    Percent::new(Decimal::new(i64::from(hundredths), 2)).expect("a share")
}

fn hundred(share: Percent) -> Decimal {
    share.percent() / Decimal::ONE_HUNDRED
}

fn cents(exact: Decimal) -> Money {
    let rounded = exact.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
    Money::from_minor(rounded.mantissa().try_into().expect("small"))
}

prop_compose! {
    fn some_tiers()(
        steps in prop::collection::vec((1_u64..70, 0_i64..60_000), 1..6),
    ) -> Vec<PriceTier> {
        let mut from = 0;
        steps.into_iter().map(|(step, price)| {
            from += step;
            // Ten-thousandths of a cent's tenth: prices finer than a cent.
            let each = UnitCost::from_minor(Decimal::new(price, 3)).expect("a cost");
            PriceTier { from, each }
        }).collect()
    }
}

prop_compose! {
    fn some_delivery()(kind in 0..3, share in 0_u32..3000) -> Delivery {
        match kind {
            0 => Delivery::Exact,
            1 => Delivery::Short(percent(share)),
            _ => Delivery::Over(percent(share)),
        }
    }
}

prop_compose! {
    fn some_deal()(kind in 0..6, off in 0_u32..=10_000, part in 0_u32..=10_000) -> Option<Deal> {
        let scope = match kind {
            0 => DealScope::PartOfPieces(percent(part)),
            1 => DealScope::Pieces,
            2 => DealScope::PiecesAndOnce,
            3 => DealScope::WholeBill,
            _ => return None,
        };
        Some(Deal { off: percent(off), scope })
    }
}

prop_compose! {
    fn some_outside()(
        tiers in some_tiers(),
        deal in some_deal(),
        delivery in some_delivery(),
        minimum in 1_u64..60,
        step in prop_oneof![Just(1_u64), 1_u64..30],
        once in (0_i64..3000, 0_i64..2000, 0_i64..1500, 0_i64..90),
        spoiled in prop_oneof![Just(0_u32), 0_u32..3000],
    ) -> OutsideTerms {
        OutsideTerms {
            tiers, deal, delivery, minimum, step,
            once_per_design: Money::from_minor(once.0),
            once_per_run: Money::from_minor(once.1),
            carriage_per_order: Money::from_minor(once.2),
            carriage_each: UnitCost::from_minor(Decimal::new(once.3, 1)).expect("a cost"),
            spoiled: percent(spoiled),
            lead_days: 10,
        }
    }
}

prop_compose! {
    fn some_own()(
        each in 0_i64..50_000,
        batch in prop_oneof![Just(None), (1_u64..40).prop_map(Some)],
        loss in prop_oneof![Just(0_u32), 0_u32..4000],
        set_up in (0_u64..4, 0_i64..200),
        minutes in (0_i64..300, 0_i64..900),
        hourly_rate in 0_i64..3000,
        once in (0_i64..2000, 0_i64..1000, 0_i64..6000),
    ) -> OwnTerms {
        OwnTerms {
            each: UnitCost::from_minor(Decimal::new(each, 3)).expect("a cost"),
            batch,
            loss: percent(loss),
            spoiled_per_set_up: set_up.0,
            per_set_up: Money::from_minor(set_up.1),
            minutes_each: Decimal::new(minutes.0, 2),
            minutes_per_set_up: Decimal::new(minutes.1, 2),
            hourly_rate: Money::from_minor(hourly_rate),
            once_per_design: Money::from_minor(once.0),
            once_per_run: Money::from_minor(once.1),
            equipment: Money::from_minor(once.2),
        }
    }
}

/// One order worked out the long way: what arrives, what of it is good, what it costs.
fn long_way(terms: &OutsideTerms, run: Run, ordered: u64) -> Option<(u64, Money)> {
    let tier = terms.tiers.iter().rfind(|tier| tier.from <= ordered)?;
    if ordered < terms.minimum || !ordered.is_multiple_of(terms.step) {
        return None;
    }
    let factor = match terms.delivery {
        Delivery::Exact => Decimal::ONE,
        Delivery::Short(share) => Decimal::ONE - hundred(share),
        Delivery::Over(share) => Decimal::ONE + hundred(share),
    };
    let delivered = (Decimal::from(ordered) * factor).floor();
    let good = (delivered * (Decimal::ONE - hundred(terms.spoiled))).floor();
    let pieces = delivered * tier.each.minor();
    let mut once = Decimal::from(terms.once_per_run.minor());
    if run == Run::First {
        once += Decimal::from(terms.once_per_design.minor());
    }
    let carriage =
        Decimal::from(terms.carriage_per_order.minor()) + delivered * terms.carriage_each.minor();
    let off = terms.deal.map_or(Decimal::ZERO, |deal| {
        let from = match deal.scope {
            DealScope::PartOfPieces(part) => pieces * hundred(part),
            DealScope::Pieces => pieces,
            DealScope::PiecesAndOnce => pieces + once,
            DealScope::WholeBill => pieces + once + carriage,
        };
        from * hundred(deal.off)
    });
    let good = good.mantissa().try_into().expect("whole and small");
    Some((good, cents(pieces + once + carriage - off)))
}

/// Making worked out the long way.
fn own_long_way(terms: &OwnTerms, run: Run, time: OwnTime, wanted: u64) -> Money {
    let needed = (Decimal::from(wanted) / (Decimal::ONE - hundred(terms.loss))).ceil();
    // A quotient that is whole may come out a hair above it.
    let fits =
        ((needed - Decimal::ONE) * (Decimal::ONE - hundred(terms.loss))) >= Decimal::from(wanted);
    let needed = if fits { needed - Decimal::ONE } else { needed };
    let (put_in, set_ups) = terms.batch.map_or((needed, Decimal::ONE), |batch| {
        let batches = (needed / Decimal::from(batch)).ceil();
        (batches * Decimal::from(batch), batches)
    });
    let spoiled = Decimal::from(terms.spoiled_per_set_up) * set_ups;
    let mut sixtieths = (put_in + spoiled) * terms.each.minor() * Decimal::from(60);
    sixtieths += set_ups * Decimal::from(terms.per_set_up.minor() * 60);
    sixtieths += Decimal::from(terms.once_per_run.minor() * 60);
    if run == Run::First {
        let once = terms.once_per_design.minor() + terms.equipment.minor();
        sixtieths += Decimal::from(once * 60);
    }
    if time == OwnTime::Counted {
        let minutes = put_in * terms.minutes_each + set_ups * terms.minutes_per_set_up;
        sixtieths += minutes * Decimal::from(terms.hourly_rate.minor());
    }
    cents(sixtieths / Decimal::from(60))
}

/// The cheapest and the smallest order for each wanted quantity, every order tried.
fn every_order(terms: &OutsideTerms, run: Run) -> Vec<((u64, Money), (u64, Money))> {
    let orders: Vec<(u64, u64, Money)> = (1..=LARGEST)
        .filter_map(|ordered| {
            long_way(terms, run, ordered).map(|(good, cost)| (ordered, good, cost))
        })
        .collect();
    (1..=LIMIT)
        .map(|wanted| {
            let mut would_do = orders.iter().filter(|order| order.1 >= wanted);
            let smallest = would_do.clone().next().expect("large enough orders");
            let mut best = *smallest;
            for order in would_do.by_ref() {
                if order.2 < best.2 {
                    best = *order;
                }
            }
            ((best.0, best.2), (smallest.0, smallest.2))
        })
        .collect()
}

/// Ranges read off a list of who is cheaper, ties staying with what is below, ties at the start with what follows.
fn read_off(signs: &[std::cmp::Ordering]) -> Vec<CheaperRange> {
    let way = |sign: &std::cmp::Ordering| match sign {
        std::cmp::Ordering::Less => Some(Way::Outside),
        std::cmp::Ordering::Greater => Some(Way::Own),
        std::cmp::Ordering::Equal => None,
    };
    let mut now = signs.iter().find_map(way);
    let mut ranges: Vec<CheaperRange> = Vec::new();
    for (wanted, sign) in (1..).zip(signs) {
        let cheaper = way(sign).or(now);
        if ranges.is_empty() || cheaper != now {
            ranges.push(CheaperRange {
                from: wanted,
                to: wanted,
                cheaper,
            });
        }
        now = cheaper;
        if let Some(last) = ranges.last_mut() {
            last.to = wanted;
        }
    }
    ranges
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn make_or_buy_agrees_with_trying_every_quantity(
        terms in some_outside(),
        own_terms in some_own(),
        is_first in any::<bool>(),
        is_counted in any::<bool>(),
    ) {
        let run = if is_first { Run::First } else { Run::Reorder };
        let time = if is_counted { OwnTime::Counted } else { OwnTime::LeftOut };
        let outside = Outside::new(terms.clone()).expect("sound");
        let own = Own::new(own_terms.clone()).expect("sound");
        let both = Comparison { outside: &outside, own: &own, run, time };
        let tried = every_order(&terms, run);
        let ups = outside.order_up_ranges(LIMIT, run).expect("in range");
        let mut signs = Vec::new();
        let mut before = (Money::ZERO, Money::ZERO);
        for (wanted, (best, smallest)) in (1..=LIMIT).zip(&tried) {
            let at = both.at(wanted).expect("in range");
            prop_assert_eq!((at.outside.best.taken, at.outside.best.total), *best);
            prop_assert_eq!((at.outside.just_enough.taken, at.outside.just_enough.total), *smallest);
            prop_assert!(at.outside.best.good >= wanted);
            let made = own_long_way(&own_terms, run, time, wanted);
            prop_assert_eq!(at.own.total, made, "own at {}", wanted);
            prop_assert!(at.own.good >= wanted);
            let up = ups.iter().find(|range| (range.from..=range.to).contains(&wanted));
            prop_assert_eq!(up.map(|range| range.order), (best.0 > smallest.0).then_some(best.0));
            // More pieces never cost less, whichever way.
            prop_assert!(best.1 >= before.0 && made >= before.1);
            before = (best.1, made);
            signs.push(best.1.cmp(&made));
        }
        for range in &ups {
            let most = (range.from..=range.to).map(|wanted| {
                let (best, smallest) = tried[usize::try_from(wanted).expect("small") - 1];
                smallest.1 - best.1
            }).max();
            prop_assert_eq!(most, Some(range.most_saved));
        }
        prop_assert_eq!(both.cheaper_ranges(LIMIT).expect("in range"), read_off(&signs));
    }

    #[test]
    fn worksheets_add_up_to_the_total(
        terms in some_outside(),
        own_terms in some_own(),
        wanted in 1_u64..5000,
    ) {
        let usd = deckle::money::Currency::from_code("USD").expect("ISO 4217 has it");
        let outside = Outside::new(terms).expect("sound");
        let best = outside.order(wanted, Run::First).expect("in range").best;
        let sheet = outside.worksheet(&best, Run::First, &usd);
        let parts: Money = ["pieces", "once-per-design", "once-per-run", "carriage", "deal"]
            .iter().map(|key| sheet.money(key)).sum();
        prop_assert_eq!(parts, best.total);
        prop_assert_eq!(sheet.money("total"), best.total);
        let own = Own::new(own_terms).expect("sound");
        let made = own.make(wanted, Run::First, OwnTime::Counted).expect("in range");
        let sheet = own.worksheet(&made, Run::First, OwnTime::Counted, &usd);
        prop_assert_eq!(sheet.money("total"), made.total);
        prop_assert_eq!(sheet.money("own-time"), made.own_time);
        prop_assert_eq!(sheet.money("cash"), made.cash_up_front);
    }
}
