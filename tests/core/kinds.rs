//! The four questions, as a table of things that makers buy.

use deckle::kinds::{Answers, CarriedHome, EQUIPMENT_CAUTION, Kind, service_role, sort};
use deckle::ledger::Role;

use crate::support::{chart, money, usd};

fn thing(carried_home: CarriedHome, can_count: bool, lasts_a_year: bool) -> Answers {
    Answers::Thing {
        carried_home,
        can_count,
        lasts_a_year,
    }
}

/// Common practice, no source: how makers and their bookkeepers sort these things.
#[test]
fn the_four_questions_sort_what_makers_buy() {
    use CarriedHome::{AroundThePiece, AsBought, InThePiece, No};
    #[rustfmt::skip]
    let cases = [
        // thing           answers                            cost       kind
        ("card stock",     thing(InThePiece, true, false),    "40.00",   Kind::Material),
        ("linen thread",   thing(InThePiece, true, true),     "9.00",    Kind::Material),
        ("glue",           thing(InThePiece, false, false),   "15.00",   Kind::Consumable),
        ("blades",         thing(No, true, false),            "8.00",    Kind::Consumable),
        ("bought cards",   thing(AsBought, true, true),       "29.00",   Kind::BoughtIn),
        ("mailers",        thing(AroundThePiece, true, true), "50.00",   Kind::Packaging),
        ("press",          thing(No, true, true),             "200.00",  Kind::Equipment),
        ("bone folder",    thing(No, true, true),             "199.99",  Kind::SmallEquipment),
        ("design plan",    Answers::Service,                  "12.00",   Kind::Service),
        ("printer paper",  Answers::Office,                   "6.00",    Kind::Office),
        ("shampoo",        Answers::Private,                  "6.50",    Kind::Private),
    ];
    for (what, answers, cost, kind) in cases {
        let sorted = sort(answers, money(cost), money("200.00"), &usd());
        assert_eq!(sorted.kind, kind, "{what}");
        assert!(sorted.reason.ends_with('.'), "{what}: {}", sorted.reason);
        let is_lasting = matches!(kind, Kind::Equipment | Kind::SmallEquipment);
        assert_eq!(kind.caution().is_some(), is_lasting, "{what}");
        assert_eq!(
            sorted.reason.contains("threshold of 200.00"),
            is_lasting,
            "{what}"
        );
    }
}

#[test]
fn every_kind_has_its_own_account_and_is_found_by_it() {
    let chart = chart();
    for kind in Kind::ALL {
        let account = kind.account(&chart).expect("an account");
        assert_eq!(Kind::of_account(&chart, account), Some(kind));
    }
    let bank = chart.role(Role::BusinessBank).expect("a bank");
    assert_eq!(Kind::of_account(&chart, bank), None);
}

#[test]
fn the_caution_defers_to_local_rules_and_a_professional() {
    for word in ["local rules", "licensed professional", "sorting aid"] {
        assert!(EQUIPMENT_CAUTION.contains(word), "{word}");
    }
}

#[test]
fn a_service_is_proposed_the_account_that_names_it() {
    assert_eq!(
        service_role("Layout software, monthly"),
        Some(Role::Software)
    );
    assert_eq!(
        service_role("Stall at the spring fair"),
        Some(Role::FairCosts)
    );
    assert_eq!(service_role("something else"), None);
}
