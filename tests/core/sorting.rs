//! What a statement's line may mean: payees, rules, matching and the order in which suggestions are asked.
//! Everything is invented; the order of asking is this program's own.

use deckle::ledger::{EntryKind, EntryNumber};
use deckle::money::Money;
use deckle::sorting::{
    BankLine, Choice, ComesRound, Direction, Known, LedgerMovement, LineId, Meaning, Payee, Reason,
    Rule, Suggested, Suggester, Treatment, candidates, match_lines,
};
use proptest::prelude::*;

use crate::support::{account, chart, check_refused, day, lines, money, usd};

fn line(date: &str, amount: &str, text: &str) -> BankLine {
    BankLine {
        id: LineId(1),
        account: account("1000"),
        date: day(date),
        amount: money(amount),
        text: text.to_owned(),
        bank_id: None,
        balance: None,
        file: "january.csv".to_owned(),
        row: 7,
    }
}

fn movement(entry: u64, date: &str, amount: &str, kind: EntryKind, party: &str) -> LedgerMovement {
    LedgerMovement {
        entry: EntryNumber(entry),
        date: day(date),
        amount: money(amount),
        kind,
        party: party.to_owned(),
        memo: String::new(),
        reference: String::new(),
    }
}

fn bought(number: &str) -> Treatment {
    Treatment::new(Meaning::Purchase).account(account(number))
}

/// A line, what it means, and the lines of the entry that it becomes.
type Case<'c> = (&'c BankLine, Treatment, Vec<(&'c str, &'c str)>);

#[test]
fn each_meaning_writes_the_entry_of_its_happening() {
    let chart = chart();
    let out = line("2026-01-10", "-12.50", "CARD 3301 HARROW LANE PAPERS 0042");
    let into = line("2026-01-10", "12.50", "CREDIT LARKSPUR ONLINE PAYOUT 7");
    let with = |meaning, number: &str| Treatment::new(meaning).account(account(number));
    let alone = Treatment::new;
    let cases: Vec<Case<'_>> = vec![
        (
            &out,
            bought("6000"),
            vec![("6000", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            alone(Meaning::Private),
            vec![("3100", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            alone(Meaning::OwnerOut),
            vec![("3100", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            with(Meaning::Transfer, "1010"),
            vec![("1010", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            with(Meaning::Settlement, "2010"),
            vec![("2010", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            with(Meaning::ChannelPaid, "1051"),
            vec![("1051", "12.50"), ("1000", "-12.50")],
        ),
        (
            &out,
            alone(Meaning::TaxInstalment),
            vec![("3100", "12.50"), ("1000", "-12.50")],
        ),
        (
            &into,
            alone(Meaning::OwnerIn),
            vec![("1000", "12.50"), ("3000", "-12.50")],
        ),
        (
            &into,
            with(Meaning::Transfer, "1020"),
            vec![("1000", "12.50"), ("1020", "-12.50")],
        ),
        (
            &into,
            with(Meaning::Payout, "1051"),
            vec![("1000", "12.50"), ("1051", "-12.50")],
        ),
        (
            &into,
            with(Meaning::SupplierRefund, "6000"),
            vec![("1000", "12.50"), ("6000", "-12.50")],
        ),
        (
            &into,
            alone(Meaning::Sale),
            vec![("1000", "12.50"), ("4000", "-12.50")],
        ),
        (
            &into,
            alone(Meaning::CustomerPaid),
            vec![("1000", "12.50"), ("1100", "-12.50")],
        ),
        (
            &into,
            with(Meaning::OtherIncome, "4080"),
            vec![("1000", "12.50"), ("4080", "-12.50")],
        ),
    ];
    for (line, treatment, expected) in cases {
        let recording = treatment.recording(line, &chart).expect("a recording");
        let mut found = lines(&recording.entry);
        let mut expected: Vec<(String, String)> = expected
            .iter()
            .map(|(number, amount)| ((*number).to_owned(), (*amount).to_owned()))
            .collect();
        found.sort();
        expected.sort();
        assert_eq!(found, expected, "{treatment:?}");
        assert_eq!(
            recording.entry.header.origin.to_string(),
            "file january.csv row 7"
        );
        // What an entry shows is what it was made of.
        let shown = Treatment::of_entry(&recording.entry, line.account, &chart);
        if let Some(shown) = shown {
            assert_eq!(
                (shown.meaning, shown.account),
                (treatment.meaning, treatment.account)
            );
        }
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let chart = chart();
    let out = line("2026-01-10", "-12.50", "HARROW LANE PAPERS");
    check_refused(
        Treatment::new(Meaning::OwnerIn).recording(&out, &chart),
        "meaning",
    );
    check_refused(
        Treatment::new(Meaning::Purchase).recording(&out, &chart),
        "account",
    );
    check_refused(bought("1500").recording(&out, &chart), "account");
    let share = Treatment {
        share: "40".parse().expect("a share"),
        ..bought("6410")
    };
    let recording = share.recording(&out, &chart).expect("a recording");
    assert_eq!(
        lines(&recording.entry),
        [("6410", "5.00"), ("3100", "7.50"), ("1000", "-12.50")]
            .map(|(number, amount)| (number.to_owned(), amount.to_owned()))
    );
}

#[test]
fn rules_look_at_words_direction_and_amount() {
    let phone = line("2026-01-12", "-32.00", "DIRECT DEBIT DOVETONE MOBILE REF 1");
    let mut rule = Rule::new("dovetone mobile", Direction::Out, bought("6410"));
    assert!(rule.fits(&phone));
    assert!(!rule.fits(&line("2026-01-12", "32.00", "DOVETONE MOBILE")));
    rule.words = "mobile dovetone | harrow".to_owned();
    assert!(rule.fits(&phone));
    rule.at_most = Some(money("31.99"));
    assert!(!rule.fits(&phone));
    rule.at_most = Some(money("32.00"));
    rule.at_least = Some(money("32.00"));
    assert!(rule.fits(&phone));
    assert_eq!(
        rule.sentence(&usd()),
        "lines with 'mobile dovetone' or 'harrow', money out, from 32.00 to 32.00"
    );
    rule.account = Some(account("2010"));
    assert!(!rule.fits(&phone));
    rule.at_least = Some(money("33.00"));
    assert!(rule.check().is_err());
    assert!(
        Rule::new(" | ", Direction::Out, bought("6410"))
            .check()
            .is_err()
    );
    assert!(
        Rule::new("x", Direction::In, bought("6410"))
            .check()
            .is_err()
    );
    assert!(
        Rule::new("x", Direction::Either, bought("6410"))
            .check()
            .is_err()
    );
}

#[test]
fn suggestions_are_asked_in_one_order() {
    let chart = chart();
    let text = line("2026-01-12", "-32.00", "CARD 3301 DOVETONE MOBILE 0012");
    let choice = |number: &str, times| Choice {
        payee: Payee::of("Dovetone Mobile"),
        direction: Direction::Out,
        treatment: bought(number),
        times,
        last_day: day("2026-01-01"),
    };
    let mut known = Known {
        suppliers: vec![("Dovetone Mobile".to_owned(), account("6020"), 3)],
        ..Known::default()
    };
    let suggest = |known: &Known, line: &BankLine| {
        let suggester = Suggester::new(&chart, known.clone());
        suggester.suggest(line, None)
    };
    let what = |known: &Known| match suggest(known, &text).expect("a suggestion").what {
        Suggested::Treatment(treatment) => treatment.account,
        Suggested::Entry(_) => None,
    };
    assert_eq!(what(&known), Some(account("6020")));
    known.recurring.push(ComesRound {
        name: "Phone".to_owned(),
        party: "Dovetone Mobile".to_owned(),
        account: account("6410"),
        amount: money("32.00"),
    });
    assert_eq!(what(&known), Some(account("6410")));
    known.choices = vec![choice("6000", 2), choice("6900", 5)];
    assert_eq!(what(&known), Some(account("6900")));
    let why = suggest(&known, &text)
        .expect("a suggestion")
        .why(&[], &usd());
    assert_eq!(why, "You sorted 5 of 7 lines of this payee this way.");
    let rule = Rule {
        id: 4,
        ..Rule::new("dovetone", Direction::Out, bought("6400"))
    };
    known.rules.push(rule.clone());
    assert_eq!(what(&known), Some(account("6400")));
    let suggestion = suggest(&known, &text).expect("a suggestion");
    assert!(suggestion.is_covered());
    assert_eq!(
        suggestion.why(&[rule], &usd()),
        "Your rule: lines with 'dovetone', money out."
    );
    // A shop's name, and nothing to go by.
    let payout = suggest(
        &Known::default(),
        &line("2026-01-12", "80.00", "CREDIT LARKSPUR ONLINE 7"),
    );
    assert_eq!(payout.expect("a suggestion").why, Reason::NamesChannel);
    assert_eq!(
        suggest(&Known::default(), &line("2026-01-12", "-80.00", "XQ 77 ZZ")),
        None
    );
}

#[test]
fn an_entry_is_found_by_amount_day_and_name() {
    let bought = EntryKind::Purchase;
    let line = line("2026-01-10", "-12.50", "CARD 3301 HARROW LANE PAPERS");
    let own = movement(3, "2026-01-06", "-12.50", bought, "Harrow Lane Papers");
    let stranger = movement(2, "2026-01-10", "-12.50", bought, "Quillfeather Inks");
    let far = movement(1, "2026-01-04", "-12.50", bought, "Harrow Lane Papers");
    let other = movement(4, "2026-01-10", "-12.51", bought, "Harrow Lane Papers");
    let movements = [far, stranger.clone(), own, other];
    // The name counts before the day; six days apart is too far, a cent is another amount.
    let best: Vec<u64> = candidates(&line, &movements)
        .iter()
        .map(|one| one.entry.0)
        .collect();
    assert_eq!(best, [3, 2]);
    let matched = match_lines(std::slice::from_ref(&line), &movements);
    let matched = matched[0].as_ref().expect("matched");
    assert_eq!((matched.entry, matched.is_sure), (EntryNumber(3), true));
    // A stranger of the same amount is offered, not sure.
    let matched = match_lines(&[line], &[stranger]);
    assert!(!matched[0].as_ref().expect("matched").is_sure);
}

#[test]
fn the_owners_own_money_is_not_taken_for_a_payee_she_knows() {
    let chart = chart();
    let taken = movement(8, "2026-01-11", "-40.00", EntryKind::OwnerOut, "");
    let unknown = line("2026-01-10", "-40.00", "STANDING TRANSFER 7");
    let paper = line("2026-01-10", "-40.00", "CARD 3301 HARROW LANE PAPERS");
    let known = Known {
        choices: vec![Choice {
            payee: paper.payee(),
            direction: Direction::Out,
            treatment: bought("1200"),
            times: 2,
            last_day: day("2026-01-02"),
        }],
        ..Known::default()
    };
    let suggester = Suggester::new(&chart, known);
    let suggested = |line: &BankLine| {
        let matched = match_lines(std::slice::from_ref(line), std::slice::from_ref(&taken));
        let suggestion = suggester.suggest(line, matched[0].as_ref());
        suggestion.expect("a suggestion").what
    };
    assert_eq!(suggested(&unknown), Suggested::Entry(EntryNumber(8)));
    assert_eq!(suggested(&paper), Suggested::Treatment(bought("1200")));
}

#[test]
fn a_plain_word_may_tell_on_one_account_only() {
    let chart = chart();
    let suggester = Suggester::new(&chart, Known::default());
    let mut paid = line("2026-01-15", "-100.00", "PAYMENT REVENUE OFFICE");
    assert_eq!(suggester.suggest(&paid, None), None);
    paid.account = account("1010");
    let found = suggester.suggest(&paid, None).expect("a suggestion");
    assert_eq!(
        found.what,
        Suggested::Treatment(Treatment::new(Meaning::TaxInstalment))
    );
}

proptest! {
    /// However lines and entries lie, an entry goes to one line only, and to one of its amount within the days.
    #[test]
    fn no_entry_is_given_twice(
        amounts in prop::collection::vec((1_i64..4, 1_u32..28), 0..30),
        entries in prop::collection::vec((1_i64..4, 1_u32..28), 0..30),
    ) {
        let on = |of: u32| format!("2026-01-{of:02}");
        let lines: Vec<BankLine> = amounts
            .iter()
            .map(|(minor, of)| BankLine { amount: Money::from_minor(-minor), ..line(&on(*of), "-1.00", "STAMPS") })
            .collect();
        let movements: Vec<LedgerMovement> = (1..)
            .zip(&entries)
            .map(|(number, (minor, of))| LedgerMovement {
                amount: Money::from_minor(-minor),
                ..movement(number, &on(*of), "-1.00", EntryKind::Purchase, "Stamps")
            })
            .collect();
        let mut given = std::collections::HashSet::new();
        for (line, matched) in lines.iter().zip(match_lines(&lines, &movements)) {
            let Some(matched) = matched else { continue };
            prop_assert!(given.insert(matched.entry));
            let movement = movements.iter().find(|one| one.entry == matched.entry).expect("is one of them");
            prop_assert_eq!(movement.amount, line.amount);
            prop_assert!((movement.date - line.date).num_days().abs() <= deckle::sorting::MATCH_DAYS);
        }
    }
}
