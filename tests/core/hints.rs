//! What the hints notice, and what they leave alone.

use deckle::happenings::hints::{
    ChannelOwes, Incoming, PayoutReason, Written, likely_duplicate, looks_like_payout,
    unusual_amount,
};
use deckle::ledger::EntryNumber;
use deckle::money::Money;

use crate::support::{account, chart, day, money, usd};

#[track_caller]
fn check_payout(into: &str, amount: &str, party: &str, memo: &str, expected: Option<PayoutReason>) {
    let owed = [ChannelOwes {
        channel: account("1051"),
        amount: money("61.25"),
    }];
    let incoming = Incoming {
        account: account(into),
        amount: money(amount),
        party,
        memo,
    };
    let hint = looks_like_payout(incoming, &chart(), &owed);
    assert_eq!(hint.as_ref().map(|hint| hint.reason), expected);
    if let Some(hint) = hint {
        assert_eq!(hint.channel, account("1051"));
        let sentence = hint.sentence(&usd());
        assert!(
            sentence.contains("Larkspur Online") && sentence.contains("payout"),
            "{sentence}"
        );
    }
}

#[test]
fn a_deposit_from_a_channel_typed_as_a_sale_is_caught() {
    let named = Some(PayoutReason::NamesTheChannel);
    let exact = Some(PayoutReason::IsWhatTheChannelOwes);
    check_payout("1000", "10.00", "Larkspur Online", "", named);
    check_payout("1000", "10.00", "", "LARKSPUR*PAYOUT 4411", named);
    check_payout("1000", "61.25", "", "deposit", exact);
    check_payout("1000", "61.24", "", "deposit", None);
    check_payout("1000", "10.00", "Online customer", "", None);
    check_payout("1051", "61.25", "Larkspur Online", "", None);
    check_payout("1100", "61.25", "Larkspur Online", "", None);
}

#[test]
fn an_amount_ten_times_the_usual_is_asked_about() {
    let known: Vec<Money> = ["12.50", "14.00", "15.20"].into_iter().map(money).collect();
    #[rustfmt::skip]
    let cases = [
        ("1450.00", Some("Usually about 14.00, you wrote 1,450.00. Did you mean 14.50?")),
        ("140.00",  Some("Usually about 14.00, you wrote 140.00. Did you mean 14.00?")),
        ("1.40",    Some("Usually about 14.00, you wrote 1.40. Did you mean 14.00?")),
        ("112.00",  Some("Usually about 14.00, you wrote 112.00. Did you mean 11.20?")),
        ("9000.01", Some("Usually about 14.00, you wrote 9,000.01.")),
        ("111.99",  None),
        ("14.50",   None),
        ("1.76",    None),
    ];
    for (written, expected) in cases {
        let hint = unusual_amount(money(written), &known);
        let sentence = hint.map(|hint| hint.sentence(&usd()));
        assert_eq!(sentence.as_deref(), expected, "{written}");
    }
    assert_eq!(unusual_amount(money("1450.00"), &known[..2]), None);
    assert_eq!(unusual_amount(Money::ZERO, &known), None);
}

fn written(number: Option<u64>, date: &str, amount: &str, party: &str, reference: &str) -> Written {
    Written {
        number: number.map(EntryNumber),
        date: day(date),
        amount: money(amount),
        party: party.to_owned(),
        reference: reference.to_owned(),
    }
}

#[test]
fn the_same_thing_within_five_days_is_asked_about() {
    let earlier = [
        written(Some(1), "2026-03-01", "14.00", "Hollow Lane Papers", "R-1"),
        written(Some(2), "2026-03-04", "14.00", "Hollow Lane Papers", ""),
        written(Some(3), "2026-03-05", "14.00", "Quarry Inks", ""),
    ];
    let found = |date: &str, amount: &str, party: &str, reference: &str| {
        likely_duplicate(&written(None, date, amount, party, reference), &earlier)
            .and_then(|hint| hint.earlier.number)
            .map(|number| number.0)
    };
    assert_eq!(found("2026-03-06", "14.00", "HOLLOW LANE", ""), Some(2));
    assert_eq!(
        found("2026-02-24", "14.00", "Hollow Lane Papers", ""),
        Some(1)
    );
    assert_eq!(found("2026-02-23", "14.00", "Hollow Lane Papers", ""), None);
    assert_eq!(
        found("2026-03-01", "14.00", "Hollow Lane Papers", "R-2"),
        Some(2)
    );
    assert_eq!(found("2026-03-05", "14.00", "", ""), Some(3));
    assert_eq!(found("2026-03-05", "14.00", "Elm Post", ""), None);
    assert_eq!(found("2026-03-05", "14.01", "Hollow Lane Papers", ""), None);
    let hint = likely_duplicate(
        &written(None, "2026-03-06", "14.00", "Quarry Inks", ""),
        &earlier,
    );
    assert_eq!(
        hint.expect("a hint").sentence(&usd()),
        "Is this in the book already? There is 14.00 with Quarry Inks on 5 Mar 2026 (entry 3)."
    );
}
