//! Prices found from a cost card: for a margin, for an hour, for an order of several; and cards that cannot be.
//! The card itself is tested in `deciding_cost_card`.

use deckle::deciding::*;
use deckle::money::{Money, Percent};
use proptest::prelude::*;
use rust_decimal::Decimal;

pub(super) use super::deciding_cost_card::{card, fee, money, of, percent, plain, usd};

/// By hand: two pieces at 6.00, each 1.00 of material; one mailer 0.50; fee 10 % + 0.30 an order: 1.50. Kept 8.00.
#[test]
fn an_order_of_two_shares_what_comes_by_the_order() {
    let terms = CardTerms {
        packaging: Answer::Given(vec![of("Mailer", "1", "0.50")]),
        channel: Answer::Given(Channel {
            name: "Online shop".to_owned(),
            fees: vec![fee("Selling fee", "10", FeeBase::Price, "0.30")],
            tax: SalesTax::None,
        }),
        pieces_in_order: 2,
        ..plain("1.00")
    };
    let card = card(terms);
    let figures = card.at(money("6.00"), CostBasis::Latest).expect("a price");
    assert_eq!(figures.kept, money("8.00"));
    assert_eq!(figures.kept_each(), Decimal::from(400));
    assert_eq!(
        figures.sentence(&usd()),
        "Of each order of 12.00 (2 pieces) you keep 8.00 before paying yourself"
    );
    // 4.00 a piece: 101.00 need 25.25, so 26.
    let found = card
        .pieces_to_cover(
            money("101.00"),
            Money::ZERO,
            money("6.00"),
            CostBasis::Latest,
            OwnTime::LeftOut,
        )
        .expect("amounts")
        .expect("kept");
    assert_eq!((found.pieces, found.earned), (26, money("3.00")));
}

/// By hand: 12.00 with 20 % tax in it are 10.00 hers; a fee of 5 % of what the customer pays is 0.60; cost 4.00.
#[test]
fn tax_in_the_price_is_never_hers() {
    let terms = CardTerms {
        channel: Answer::Given(Channel {
            name: "Fair".to_owned(),
            fees: vec![fee(
                "Card fee",
                "5",
                FeeBase::PriceAndPostageWithTax,
                "0.00",
            )],
            tax: SalesTax::Included(percent("20")),
        }),
        ..plain("4.00")
    };
    let figures = card(terms)
        .at(money("12.00"), CostBasis::Latest)
        .expect("a price");
    assert_eq!(
        (figures.income, figures.kept),
        (money("10.00"), money("5.40"))
    );
    assert_eq!(figures.sheet.money("tax"), money("2.00"));
    assert_eq!(figures.margin_percent, Some(Decimal::from(54)));
}

/// By hand: cost 5.00 and half of the price wanted: 10.00. With a fee of 10 % + 0.20: 5.20 ÷ 0.40 = 13.00. An hour at
/// 18.00 for 20 minutes is 6.00: 11.20 ÷ 0.90 = 12.444…; at 12.44 the fee of 1.244 is 1.24 and 6.00 are kept.
#[test]
fn the_price_for_a_margin_or_an_hour_is_found_to_the_cent() {
    let price = |terms: CardTerms, wanted| card(terms).price_for(wanted, CostBasis::Latest);
    let half = Wanted::Margin {
        percent: percent("50"),
        time: OwnTime::LeftOut,
    };
    assert_eq!(price(plain("5.00"), half), Ok(money("10.00")));
    let with_fee = CardTerms {
        channel: Answer::Given(Channel {
            name: "Online shop".to_owned(),
            fees: vec![fee("Selling fee", "10", FeeBase::Price, "0.20")],
            tax: SalesTax::None,
        }),
        own_time: Answer::Given(OwnMinutes {
            minutes: Decimal::from(20),
            hourly_rate: money("15.00"),
        }),
        ..plain("5.00")
    };
    assert_eq!(price(with_fee.clone(), half), Ok(money("13.00")));
    let hour = Wanted::AnHour(money("18.00"));
    assert_eq!(price(with_fee.clone(), hour), Ok(money("12.44")));
    // Own time of 5.00 paid first: 10.20 ÷ 0.40 = 25.50.
    let after = Wanted::Margin {
        percent: percent("50"),
        time: OwnTime::Counted,
    };
    assert_eq!(price(with_fee.clone(), after), Ok(money("25.50")));
    let most = Wanted::Margin {
        percent: percent("90"),
        time: OwnTime::LeftOut,
    };
    assert_eq!(price(with_fee, most), Err(DecidingError::NoPriceReaches));
    assert_eq!(price(plain("5.00"), hour), Err(DecidingError::NoMinutes));
}

#[test]
fn cards_that_cannot_be_are_refused() {
    let refused = |terms| {
        CostCard::new(terms, usd())
            .expect_err("refused")
            .to_string()
    };
    let waste = CardTerms {
        waste: Answer::Given(percent("91")),
        ..plain("1.00")
    };
    assert_eq!(
        refused(waste),
        "the normal waste may be at most 90 per cent"
    );
    let none = CardTerms {
        pieces_in_order: 0,
        ..plain("1.00")
    };
    assert_eq!(
        refused(none),
        "pieces in an order must be between 1 and 1000, not 0"
    );
    let mut less = plain("1.00");
    less.materials[0].quantity = "-1".parse().expect("a quantity");
    assert_eq!(
        refused(less),
        "the quantity of 'All of it' must be between 0 and 1,000,000"
    );
}

prop_compose! {
    fn some_terms()(
        cost in 0_i64..3000,
        waste in 0_i64..3000,
        fees in prop::collection::vec((0_i64..900, 0..3, 0_i64..60), 0..4),
        tax in (0..3, 0_i64..2500),
        postage in (0_i64..800, 0_i64..800),
        minutes in 1_i64..9000,
        rate in 0_i64..4000,
        pieces_in_order in 1_u32..4,
    ) -> CardTerms {
        let share = |hundredths| Percent::new(Decimal::new(hundredths, 2)).expect("a share");
        let fees = fees.into_iter().map(|(percent, base, fixed)| Fee {
            label: "Fee".to_owned(),
            percent: share(percent),
            base: match base {
                0 => FeeBase::Price,
                1 => FeeBase::PriceAndPostage,
                _ => FeeBase::PriceAndPostageWithTax,
            },
            fixed: Money::from_minor(fixed),
            per: if fixed % 2 == 0 { FixedPer::Order } else { FixedPer::Piece },
        }).collect();
        let tax = match tax {
            (0, _) => SalesTax::None,
            (1, rate) => SalesTax::OnTop(share(rate)),
            (_, rate) => SalesTax::Included(share(rate)),
        };
        let mut terms = plain("0.00");
        terms.materials[0].average = UnitCost::from_minor(Decimal::new(cost, 1)).expect("a cost");
        CardTerms {
            waste: Answer::Given(share(waste)),
            channel: Answer::Given(Channel { name: "Shop".to_owned(), fees, tax }),
            postage: Answer::Given(Postage {
                charged: Money::from_minor(postage.0),
                label: Money::from_minor(postage.1),
            }),
            own_time: Answer::Given(OwnMinutes {
                minutes: Decimal::new(minutes, 2),
                hourly_rate: Money::from_minor(rate),
            }),
            pieces_in_order,
            ..terms
        }
    }
}

/// Whether the figures at a price reach what is wanted, said from the figures alone.
fn reaches(figures: &CardFigures, wanted: Wanted, minutes: Decimal) -> bool {
    match wanted {
        Wanted::Kept(amount) => figures.kept >= amount,
        Wanted::AnHour(amount) => {
            Decimal::from(figures.kept.minor()) * Decimal::from(60)
                >= Decimal::from(amount.minor()) * minutes
        }
        Wanted::Margin { percent, time } => {
            let left = match time {
                OwnTime::Counted => figures.left_after_own_time,
                OwnTime::LeftOut => figures.kept,
            };
            Decimal::from(left.minor()) * Decimal::ONE_HUNDRED
                >= percent.percent() * Decimal::from(figures.income.minor())
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_price_found_is_the_smallest_that_reaches_what_is_wanted(
        terms in some_terms(),
        kind in 0..4,
        share in 0_i64..6000,
        amount in 0_i64..2000,
    ) {
        let percent = Percent::new(Decimal::new(share, 2)).expect("a share");
        let wanted = match kind {
            0 => Wanted::Margin { percent, time: OwnTime::LeftOut },
            1 => Wanted::Margin { percent, time: OwnTime::Counted },
            2 => Wanted::AnHour(Money::from_minor(amount)),
            _ => Wanted::Kept(Money::from_minor(amount)),
        };
        let own = terms.own_time.given().expect("given").minutes;
        let minutes = own * Decimal::from(terms.pieces_in_order);
        let card = card(terms);
        let at = |price| card.at(price, CostBasis::Average).expect("a price");
        let Ok(found) = card.price_for(wanted, CostBasis::Average) else {
            // Fees, tax and what is wanted take the whole price: dear or cheap, it is not reached.
            for price in [1, 100, 1200, 100_000, 10_000_000] {
                prop_assert!(!reaches(&at(Money::from_minor(price)), wanted, minutes));
            }
            return Ok(());
        };
        prop_assert!(reaches(&at(found), wanted, minutes));
        // Every cent below it, down to 8.00 below: none reaches it.
        for cents in (found.minor() - 800).max(1)..found.minor() {
            prop_assert!(!reaches(&at(Money::from_minor(cents)), wanted, minutes), "at {}", cents);
        }
    }

    #[test]
    fn lines_add_up_and_more_cost_never_leaves_more(
        terms in some_terms(),
        price in 1_i64..20_000,
        more in 0_i64..500,
    ) {
        let price = Money::from_minor(price);
        let mut dearer = terms.clone();
        let cost = dearer.materials[0].average.minor() + Decimal::from(more);
        dearer.materials[0].average = UnitCost::from_minor(cost).expect("a cost");
        let figures = card(terms).at(price, CostBasis::Average).expect("a price");
        let sheet = &figures.sheet;
        let parts = ["materials", "waste"].iter().map(|key| sheet.money(key)).sum::<Money>();
        prop_assert_eq!(parts, figures.cost);
        prop_assert_eq!(sheet.money("fee"), figures.fees);
        let kept = sheet.money("price") - sheet.money("tax") - sheet.money("cost")
            - sheet.money("postage") - sheet.money("fee");
        // Tax contained in the postage charged is taken out of it on its own line.
        prop_assert_eq!(kept, figures.kept);
        let less = card(dearer).at(price, CostBasis::Average).expect("a price");
        prop_assert!(less.kept <= figures.kept);
    }
}
