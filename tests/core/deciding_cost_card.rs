//! Cost cards against a textbook's contribution margins and break-even points, and cards worked out by hand.

use deckle::deciding::*;
use deckle::money::{Currency, Money, Percent, Quantity};
use rust_decimal::Decimal;

pub(super) fn usd() -> Currency {
    Currency::from_code("USD").expect("ISO 4217 has it")
}

pub(super) fn money(text: &str) -> Money {
    usd().parse_plain(text).expect("an amount")
}

fn each(text: &str) -> UnitCost {
    UnitCost::from_major(text.parse().expect("a number"), &usd()).expect("a unit cost")
}

pub(super) fn percent(text: &str) -> Percent {
    text.parse().expect("a share")
}

pub(super) fn of(label: &str, quantity: &str, cost: &str) -> Ingredient {
    Ingredient {
        label: label.to_owned(),
        quantity: quantity.parse::<Quantity>().expect("a quantity"),
        average: each(cost),
        latest: None,
        next_order: None,
    }
}

pub(super) fn fee(label: &str, share: &str, base: FeeBase, fixed: &str) -> Fee {
    Fee {
        label: label.to_owned(),
        percent: percent(share),
        base,
        fixed: money(fixed),
        per: FixedPer::Order,
    }
}

/// Everything waived but one cost.
pub(super) fn plain(cost: &str) -> CardTerms {
    CardTerms {
        materials: vec![of("All of it", "1", cost)],
        waste: Answer::Waived,
        packaging: Answer::Waived,
        postage: Answer::Waived,
        channel: Answer::Waived,
        wear: Answer::Waived,
        own_time: Answer::Waived,
        ..CardTerms::new("A piece")
    }
}

pub(super) fn card(terms: CardTerms) -> CostCard {
    CostCard::new(terms, usd()).expect("terms hold together")
}

/// A notebook as a maker would describe it; every figure below is worked out by hand from these.
fn notebook() -> CardTerms {
    CardTerms {
        materials: vec![of("Paper", "12", "0.05"), of("Thread", "1.5", "0.04")],
        outside_work: vec![of("Printed cover", "1", "0.58")],
        waste: Answer::Given(percent("4")),
        packaging: Answer::Given(vec![of("Mailer", "1", "0.42"), of("Card", "1", "0.11")]),
        postage: Answer::Given(Postage {
            charged: money("3.00"),
            label: money("4.20"),
        }),
        channel: Answer::Given(Channel {
            name: "Online shop".to_owned(),
            fees: vec![
                fee("Selling fee", "6.5", FeeBase::PriceAndPostage, "0.00"),
                fee("Card fee", "3", FeeBase::PriceAndPostageWithTax, "0.25"),
                fee("Listing", "0", FeeBase::Price, "0.20"),
            ],
            tax: SalesTax::OnTop(percent("8")),
        }),
        wear: Answer::Given(each("0.15")),
        own_time: Answer::Given(OwnMinutes {
            minutes: Decimal::from(20),
            hourly_rate: money("18.00"),
        }),
        once: vec![
            OnceCost {
                label: "Plate".to_owned(),
                amount: money("12.00"),
                per: OncePer::Design,
            },
            OnceCost {
                label: "Set-up".to_owned(),
                amount: money("8.00"),
                per: OncePer::Run,
            },
        ],
        run_pieces: 20,
        planned_pieces: Some(50),
        ..CardTerms::new("Notebook")
    }
}

/// OpenStax, Principles of Accounting, Volume 2, section 3.1: Blue Jay 100 − 20 = 80 (80 %), Cardinal 75 − 15 = 60,
/// shirts at the kiosk 25 − 15.50 = 9.50; the introduction's shirt 15 − 10 = 5.
#[test]
fn contribution_margins_are_the_textbooks() {
    for (price, cost, kept, margin) in [
        ("100.00", "20.00", "80.00", "80 %"),
        ("75.00", "15.00", "60.00", "80 %"),
        ("25.00", "15.50", "9.50", "38 %"),
        ("15.00", "10.00", "5.00", "33.3 %"),
    ] {
        let figures = card(plain(cost))
            .at(money(price), CostBasis::Latest)
            .expect("a price");
        assert_eq!(figures.kept, money(kept));
        let shown = figures.sheet.line("margin").expect("a line").amount;
        assert_eq!(shown.show(&usd()), margin);
        assert!(figures.can_say_profit());
    }
}

/// OpenStax, Principles of Accounting, Volume 2, section 3.2 (birdbath: break-even, 16,000 and 40,000 wanted; haircut;
/// tax returns) and section 3.3 (espresso: price, cost and rent changed, and all of them).
#[test]
fn break_even_points_are_the_textbooks() {
    #[rustfmt::skip]
    let cases = [
        // price   cost     fixed       wanted      pieces sales
        ("100.00", "20.00", "18000.00", "0.00",     225,  "22500.00"),
        ("100.00", "20.00", "18000.00", "16000.00", 425,  "42500.00"),
        ("100.00", "20.00", "18000.00", "40000.00", 725,  "72500.00"),
        ("35.00",  "20.00", "3000.00",  "0.00",     200,  "7000.00"),
        ("400.00", "150.00", "14000.00", "0.00",    56,   "22400.00"),
        ("3.75",   "1.50",  "2475.00",  "0.00",     1100, "4125.00"),
        ("4.25",   "1.50",  "2475.00",  "0.00",     900,  "3825.00"),
        ("3.75",   "1.55",  "2475.00",  "0.00",     1125, "4218.75"),
        ("3.75",   "1.50",  "2700.00",  "0.00",     1200, "4500.00"),
        ("3.75",   "1.45",  "2875.00",  "0.00",     1250, "4687.50"),
        ("3.95",   "1.45",  "2875.00",  "0.00",     1150, "4542.50"),
    ];
    for (price, cost, fixed, wanted, pieces, sales) in cases {
        let found = card(plain(cost))
            .pieces_to_cover(
                money(fixed),
                money(wanted),
                money(price),
                CostBasis::Average,
                OwnTime::LeftOut,
            )
            .expect("amounts")
            .expect("something is kept");
        assert_eq!((found.pieces, found.sales), (pieces, money(sales)));
        assert_eq!(found.earned, money(wanted), "whole pieces cover it exactly");
    }
}

/// By hand, in cents: paper 60, thread 6, cover 58 = 124; 4 lost of 100: 124 × 4/96 = 5.1667; packing 53; wear 15:
/// 197.1667, so 1.97. Price 12.00: selling fee 6.5 % of 15.00 = 0.975 → 0.98; tax 8 % of 15.00 = 1.20, card fee 3 % of
/// 16.20 = 0.486 → 0.49 + 0.25; listing 0.20; postage 4.20 − 3.00. Kept 12.00 − 1.97 − 1.20 − 1.92 = 6.91.
#[test]
fn a_notebook_is_worked_out_to_the_cent() {
    let figures = card(notebook())
        .at(money("12.00"), CostBasis::Average)
        .expect("a price");
    assert_eq!(figures.cost, money("1.97"));
    assert_eq!(figures.postage_subsidised, money("1.20"));
    assert_eq!(figures.fees, money("1.92"));
    assert_eq!(figures.kept, money("6.91"));
    assert_eq!(figures.kept_before_wear, money("7.06"));
    assert_eq!(figures.own_time, money("6.00"));
    assert_eq!(figures.left_after_own_time, money("0.91"));
    assert_eq!(figures.earned_an_hour, Some(money("20.73")));
    assert_eq!(
        figures.sentence(&usd()),
        "Of each 12.00 you keep 6.91 before paying yourself"
    );
    let shown: Vec<String> = figures
        .sheet
        .lines()
        .iter()
        .map(|line| {
            let amount = line.amount.show(&usd());
            format!("{} {} = {}: {amount}", line.no, line.label, line.formula)
        })
        .collect();
    assert_eq!(
        shown,
        [
            "1 Price = your choice: 12.00",
            "2 Paper = 12 × 0.05: 0.60",
            "3 Thread = 1.5 × 0.04: 0.06",
            "4 Printed cover = 1 × 0.58: 0.58",
            "5 Pieces normally lost = of 100 put in 4 are lost, which the 96 good ones carry: 0.05",
            "6 Mailer = 1 × 0.42: 0.42",
            "7 Card = 1 × 0.11: 0.11",
            "8 Wear of equipment = 1 × 0.15: 0.15",
            "9 Cost to make and pack = 2 + 3 + 4 + 5 + 6 + 7 + 8: 1.97",
            "10 Postage you add = label 4.20 − charged 3.00: 1.20",
            "11 Selling fee = 6.5 % of 15.00: 0.98",
            "12 Card fee = 3 % of 16.20 + 0.25: 0.74",
            "13 Listing = 0 % of 12.00 + 0.20: 0.20",
            "14 Kept before paying yourself = 1 − 9 − 10 − 11 − 12 − 13: 6.91",
            "15 Margin, the share of the price = 14 in per cent of 12.00: 57.6 %",
            "16 Your own time = 20 minutes at 18.00 an hour; shown, never posted: 6.00",
            "17 Left after paying yourself = 14 − 16: 0.91",
            "18 Earned in an hour of your work = 14 × 60 ÷ 20, whole cents: 20.73",
        ]
    );
}

/// 12.00 over 20 are 0.60, over 50 only 0.24 (a small printer's page; common practice). With a set-up of 8.00 a run of
/// 20: first run 1.00, reorder 0.40, 50 planned in 3 runs (12.00 + 24.00) ÷ 50 = 0.72.
#[test]
fn costs_that_come_once_are_spread_three_ways() {
    let card = card(notebook());
    let views = card
        .once_views(money("12.00"), CostBasis::Average)
        .expect("a price");
    let found: Vec<(Spread, String, Money)> = views
        .iter()
        .map(|view| {
            (
                view.spread,
                view.each.normalize().to_string(),
                view.figures.kept,
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            (Spread::FirstRun, "100".to_owned(), money("5.91")),
            (Spread::Reorder, "40".to_owned(), money("6.51")),
            (Spread::Planned, "72".to_owned(), money("6.19")),
        ]
    );
}

/// By hand from the notebook. 25 % off: 9.00; fees 0.78 + (0.3888 → 0.39) + 0.25 + 0.20 = 1.62; kept 4.21.
/// Free postage: fees 0.78 + 0.39 + 0.45 = 1.62, label 4.20; kept 12.00 − 1.97 − 4.20 − 1.62 = 4.21.
/// A gift of 0.50: 6.41. To a shop at 6.00 without fees and postage: 6.00 − 1.97 = 4.03.
#[test]
fn offers_and_a_shops_price_leave_what_they_leave() {
    let card = card(notebook());
    let shop = Channel {
        name: "Shop in town".to_owned(),
        fees: Vec::new(),
        tax: SalesTax::None,
    };
    let elsewhere = Offer::Elsewhere {
        price: money("6.00"),
        channel: shop,
        postage: Postage {
            charged: Money::ZERO,
            label: Money::ZERO,
        },
    };
    let gift = Offer::GiftAlong {
        label: "Bookmark".to_owned(),
        cost: each("0.50"),
    };
    for (offer, kept, times) in [
        (Offer::PercentOff(percent("25")), "4.21", "1.65"),
        (Offer::AmountOff(money("3.00")), "4.21", "1.65"),
        (Offer::FreePostage, "4.21", "1.65"),
        (gift, "6.41", "1.08"),
        (elsewhere, "4.03", "1.72"),
    ] {
        let view = card
            .offer(money("12.00"), &offer, CostBasis::Average)
            .expect("an offer");
        assert_eq!(view.figures.kept, money(kept), "{offer:?}");
        assert_eq!(view.kept_less, money("6.91") - money(kept));
        assert_eq!(
            view.times_as_many.map(|times| times.to_string()).as_deref(),
            Some(times)
        );
    }
    let all = Offer::PercentOff(percent("100"));
    let view = card
        .offer(money("12.00"), &all, CostBasis::Average)
        .expect("given away");
    assert_eq!(view.times_as_many, None);
    let refused = card.offer(
        money("12.00"),
        &Offer::AmountOff(money("12.01")),
        CostBasis::Average,
    );
    assert!(refused.is_err());
}

/// By hand: paper goes from 0.05 to 0.15 latest and 0.30 next: 12 × 0.10 = 1.20 more, with 4 lost 1.25.
#[test]
fn a_dearer_material_is_noticed_before_it_eats_the_margin() {
    let mut terms = notebook();
    terms.materials[0].latest = Some(each("0.15"));
    terms.materials[0].next_order = Some(each("0.30"));
    let card = card(terms);
    let floor = percent("40");
    let views = card.side_by_side(money("12.00"), floor).expect("a price");
    let found: Vec<(CostBasis, Money, bool)> = views
        .iter()
        .map(|view| (view.basis, view.figures.kept, view.is_below_floor))
        .collect();
    assert_eq!(
        found,
        [
            (CostBasis::Latest, money("5.66"), false),
            (CostBasis::Average, money("6.91"), false),
            // 12 × 0.25 = 3.00 more, with waste 3.125: 1.971667 + 3.125 = 5.0967, so 5.10.
            (CostBasis::NextOrder, money("3.78"), true),
        ]
    );
    let alert = card
        .alert(money("12.00"), floor)
        .expect("a price")
        .expect("below");
    assert_eq!(alert.basis, CostBasis::NextOrder);
    let needed = alert.price_needed.expect("a price reaches it");
    assert_eq!(card.alert(needed, floor), Ok(None));
    assert!(
        card.alert(needed - money("0.01"), floor)
            .expect("a price")
            .is_some()
    );
    assert_eq!(card.alert(money("12.00"), percent("30")), Ok(None));
}

#[test]
fn open_questions_are_named_and_nothing_is_called_profit() {
    let terms = CardTerms {
        materials: vec![of("Paper", "1", "2.00")],
        waste: Answer::Waived,
        postage: Answer::Waived,
        wear: Answer::Waived,
        ..CardTerms::new("Notebook")
    };
    let figures = card(terms)
        .at(money("12.00"), CostBasis::Latest)
        .expect("a price");
    assert!(!figures.can_say_profit());
    assert_eq!(figures.open, [Part::Packaging, Part::Fees, Part::OwnTime]);
    assert_eq!(
        figures.sentence(&usd()),
        "Of each 12.00 you keep 10.00 before paying yourself, not yet counting packing, fees, your hours"
    );
}

#[test]
fn a_loss_is_said_as_a_loss() {
    let say = |price: &str| {
        let figures = card(plain("5.00")).at(money(price), CostBasis::Latest);
        figures.expect("a price").sentence(&usd())
    };
    assert_eq!(
        say("4.60"),
        "On each 4.60 you lose 0.40 before paying yourself"
    );
    assert_eq!(
        say("5.00"),
        "Of each 5.00 nothing is left before paying yourself"
    );
    let none = card(plain("5.00"))
        .at(Money::ZERO, CostBasis::Latest)
        .expect("given away");
    assert_eq!(none.margin_percent, None);
    let fixed = money("100.00");
    let covers = card(plain("5.00")).pieces_to_cover(
        fixed,
        Money::ZERO,
        money("5.00"),
        CostBasis::Latest,
        OwnTime::LeftOut,
    );
    assert_eq!(covers, Ok(None));
}
