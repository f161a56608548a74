//! The owner's line: money in and out, things brought in, what is owed either way; opening balances and plain entries.

use deckle::depreciation::Condition;
use deckle::happenings::{
    BroughtIn, BroughtInDetails, BroughtInto, ChannelPaid, ChannelPaidDetails, EquipmentDetails,
    Happening, HappeningError, ManualEntry, ManualEntryDetails, OpeningBalance, OpeningBalances,
    OpeningBalancesDetails, OwnerMoneyIn, OwnerMoneyInDetails, OwnerMoneyOut, OwnerMoneyOutDetails,
    PaidBack, PrivatePayment, PrivatePaymentDetails, ProofState, Repayment, RepaymentDetails,
    Reversal, ReversalDetails, TakenValue, TaxInstalment, TaxInstalmentDetails, Transfer,
    TransferDetails, Treat, Worth,
};
use deckle::ledger::{AccountClass, EntryKind, Line};
use deckle::money::{Money, Percent};

use crate::support::{account, balance, chart, check_lines, check_refused, day, money, share, usd};

const WHEN: &str = "2026-03-02";

fn money_in(number: &str, amount: &str) -> Result<OwnerMoneyIn, HappeningError> {
    OwnerMoneyIn::new(OwnerMoneyInDetails {
        date: day(WHEN),
        account: account(number),
        amount: money(amount),
        memo: "To start with".to_owned(),
    })
}

fn money_out(number: &str, amount: &str) -> Result<OwnerMoneyOut, HappeningError> {
    OwnerMoneyOut::new(OwnerMoneyOutDetails {
        date: day(WHEN),
        account: account(number),
        amount: money(amount),
        memo: String::new(),
    })
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), section 3.5: 20,000 put in on 3 January, 100 taken out on the 14th.
#[test]
fn the_owners_money_is_neither_income_nor_cost() {
    let put_in = money_in("1000", "20000.00").expect("money in");
    check_lines(&put_in, &[("1000", "20000.00"), ("3000", "-20000.00")]);
    let taken = money_out("1000", "100.00").expect("money out");
    check_lines(&taken, &[("3100", "100.00"), ("1000", "-100.00")]);
    let chart = chart();
    for entry in [put_in.entry(&chart), taken.entry(&chart)] {
        for line in entry.expect("an entry").lines() {
            let class = chart.account(line.account).expect("in the chart").class;
            assert!(!class.is_profit_and_loss());
        }
    }
}

#[test]
fn the_owners_money_goes_to_bank_or_cash_only() {
    check_refused(money_in("1000", "0.00"), "amount");
    check_refused(money_out("1000", "-1.00"), "amount");
    for number in ["1051", "2010", "4000", "6000", "3000", "1500"] {
        let put_in = money_in(number, "1.00").expect("built");
        check_refused(put_in.entry(&chart()), "account");
        let taken = money_out(number, "1.00").expect("built");
        check_refused(taken.entry(&chart()), "account");
    }
}

#[test]
fn an_instalment_of_the_owners_tax_is_a_drawing() {
    let paid = TaxInstalment::new(TaxInstalmentDetails {
        date: day("2026-04-15"),
        account: account("1010"),
        amount: money("310.00"),
        office: String::new(),
        memo: "First quarter".to_owned(),
        reference: "A-17".to_owned(),
    })
    .expect("an instalment");
    check_lines(&paid, &[("3100", "310.00"), ("1010", "-310.00")]);
    let entry = paid.entry(&chart()).expect("an entry");
    assert_eq!(entry.header.kind, EntryKind::TaxInstalment);
    assert_eq!(entry.header.reference, "A-17");
}

fn brought(into: BroughtInto, worth: Worth) -> Result<BroughtIn, HappeningError> {
    BroughtIn::new(BroughtInDetails {
        date: day(WHEN),
        description: "Guillotine".to_owned(),
        into,
        worth,
        how_known: "three alike, 240 to 260".to_owned(),
        quantity: None,
        item: None,
    })
}

fn both(adjusted_cost: &str, market_value: &str) -> Worth {
    Worth::Both {
        adjusted_cost: money(adjusted_cost),
        market_value: money(market_value),
    }
}

/// IRS Publication 946, "Basis of depreciable property", property changed from personal use: the lesser of its adjusted
/// basis and its fair market value on the day of the change.
#[test]
fn what_is_brought_in_stands_at_the_lower_value() {
    let into = || BroughtInto::Account(account("1200"));
    for (cost, market, taken, which) in [
        ("400.00", "250.00", "250.00", TakenValue::MarketValue),
        ("250.00", "400.00", "250.00", TakenValue::AdjustedCost),
        ("250.00", "250.00", "250.00", TakenValue::AdjustedCost),
    ] {
        let thing = brought(into(), both(cost, market)).expect("brought in");
        assert_eq!(thing.taken(), which);
        let credit = format!("-{taken}");
        check_lines(&thing, &[("1200", taken), ("3000", &credit)]);
        let entry = thing.entry(&chart()).expect("an entry");
        assert!(entry.lines()[0].memo.contains(which.reason()));
    }
    let given = brought(into(), Worth::Given(money("80.00"))).expect("brought in");
    assert_eq!(given.value(), money("80.00"));
}

#[test]
fn equipment_brought_in_joins_the_register_as_such() {
    let details = EquipmentDetails::new("Guillotine", 84, day(WHEN));
    let thing = brought(
        BroughtInto::Equipment(details.clone(), share("80")),
        both("400.00", "250.00"),
    )
    .expect("brought in");
    let recording = thing.recording(&chart()).expect("a recording");
    let [row] = recording.equipment.as_slice() else {
        panic!("one row");
    };
    assert_eq!(row.cost, money("250.00"));
    assert_eq!(row.condition, Condition::BroughtIn);
    assert_eq!(row.business_share, share("80"));
    assert_eq!(recording.proof.state, ProofState::Substitute);
    assert_eq!(
        recording.entry.lines()[0].equipment.as_deref(),
        Some("Guillotine")
    );

    let mut worthless = details;
    worthless.residual = money("251.00");
    check_refused(
        brought(
            BroughtInto::Equipment(worthless, Percent::WHOLE),
            both("400.00", "250.00"),
        ),
        "residual",
    );
}

#[test]
fn things_that_cannot_be_brought_in_are_refused() {
    let into = |number: &str| BroughtInto::Account(account(number));
    check_refused(brought(into("1200"), both("0.00", "1.00")), "adjusted_cost");
    check_refused(brought(into("1200"), both("1.00", "0.00")), "market_value");
    check_refused(brought(into("1200"), Worth::Given(Money::ZERO)), "amount");
    for (number, field) in [
        ("1000", "account"),
        ("3100", "account"),
        ("1500", "equipment_name"),
        ("4000", "account"),
    ] {
        let thing = brought(into(number), Worth::Given(money("1.00"))).expect("built");
        check_refused(thing.entry(&chart()), field);
    }
}

#[test]
fn what_is_owed_to_and_by_the_owner_is_paid_back_and_no_more() {
    let repaid = |amount: &str, still_owed: Option<&str>| {
        Repayment::new(RepaymentDetails {
            date: day(WHEN),
            paid_back: PaidBack::Owner,
            account: account("1000"),
            amount: money(amount),
            still_owed: still_owed.map(money),
            memo: String::new(),
        })
    };
    check_lines(
        &repaid("30.00", Some("30.00")).expect("repaid"),
        &[("2050", "30.00"), ("1000", "-30.00")],
    );
    check_refused(repaid("30.01", Some("30.00")), "amount");
    let pays = |amount: &str, still_owed: Option<&str>| {
        Repayment::new(RepaymentDetails {
            date: day(WHEN),
            paid_back: PaidBack::Business,
            account: account("1000"),
            amount: money(amount),
            still_owed: still_owed.map(money),
            memo: String::new(),
        })
    };
    check_lines(
        &pays("12.00", None).expect("paid back"),
        &[("1000", "12.00"), ("1105", "-12.00")],
    );
    check_refused(pays("12.00", Some("0.00")), "amount");
}

#[test]
fn a_private_thing_is_a_drawing_or_owed_by_the_owner() {
    for (treat, number) in [(Treat::Drawing, "3100"), (Treat::OwedByOwner, "1105")] {
        let paid = PrivatePayment::new(PrivatePaymentDetails {
            date: day(WHEN),
            account: account("2010"),
            amount: money("23.10"),
            treat,
            party: "Corner grocer".to_owned(),
            memo: "Wrong card".to_owned(),
            reference: String::new(),
        })
        .expect("a payment");
        check_lines(&paid, &[(number, "23.10"), ("2010", "-23.10")]);
    }
}

fn moved(from: &str, to: &str) -> Result<Transfer, HappeningError> {
    Transfer::new(TransferDetails {
        date: day(WHEN),
        from: account(from),
        to: account(to),
        amount: money("100.00"),
        memo: String::new(),
        reference: String::new(),
    })
}

#[test]
fn a_transfer_stays_between_own_accounts() {
    check_lines(
        &moved("1000", "1010").expect("a transfer"),
        &[("1010", "100.00"), ("1000", "-100.00")],
    );
    check_refused(moved("1000", "1000"), "to");
    for (from, to, field) in [
        ("1051", "1000", "from"),
        ("1000", "2010", "to"),
        ("1000", "1051", "to"),
        ("4000", "1000", "from"),
        ("1000", "6000", "to"),
    ] {
        let transfer = moved(from, to).expect("built");
        check_refused(transfer.entry(&chart()), field);
    }
    let payout = moved("1051", "1000").expect("built");
    let error = payout.entry(&chart()).expect_err("refused").to_string();
    assert!(error.contains("payout"), "{error}");
}

#[test]
fn a_channel_that_bills_its_fees_is_paid() {
    let paid = |channel: &str, from: &str| {
        ChannelPaid::new(ChannelPaidDetails {
            date: day(WHEN),
            channel: account(channel),
            paid_from: account(from),
            amount: money("4.20"),
            memo: String::new(),
            reference: String::new(),
        })
    };
    let bill = paid("1051", "2010").expect("paid");
    check_lines(&bill, &[("1051", "4.20"), ("2010", "-4.20")]);
    let entry = bill.entry(&chart()).expect("an entry");
    assert_eq!(entry.header.party, "Larkspur Online");
    check_refused(paid("1051", "1051"), "paid_from");
    check_refused(
        paid("1000", "2010").expect("built").entry(&chart()),
        "channel",
    );
    check_refused(
        paid("1051", "1050").expect("built").entry(&chart()),
        "paid_from",
    );
}

/// By hand: 500 in the bank, 300 of materials and a machine of 900 worn by 400, less 120 on the card: 1,180 is capital.
#[test]
fn what_opening_balances_do_not_explain_is_the_owners_capital() {
    let chart = chart();
    let one = |number: &str, amount: &str| {
        OpeningBalance::natural(chart.find(number).expect("an account"), money(amount))
    };
    let opening = OpeningBalances::new(OpeningBalancesDetails {
        date: day(WHEN),
        balances: vec![
            one("1000", "500.00"),
            one("1200", "300.00"),
            one("1500", "900.00"),
            one("1590", "400.00"),
            one("2010", "120.00"),
        ],
        has_year_to_date: false,
        memo: String::new(),
    })
    .expect("opening balances");
    assert_eq!(opening.difference(), money("1180.00"));
    check_lines(
        &opening,
        &[
            ("1000", "500.00"),
            ("1200", "300.00"),
            ("1500", "900.00"),
            ("1590", "-400.00"),
            ("2010", "-120.00"),
            ("3000", "-1180.00"),
        ],
    );
}

#[test]
fn opening_balances_hold_no_income_unless_a_year_has_begun() {
    let chart = chart();
    let of = |number: &str| {
        OpeningBalance::natural(chart.find(number).expect("an account"), money("10.00"))
    };
    let told = |balances, has_year_to_date| OpeningBalancesDetails {
        date: day(WHEN),
        balances,
        has_year_to_date,
        memo: String::new(),
    };
    let income = vec![of("1000"), of("4000")];
    let plain = OpeningBalances::new(told(income.clone(), false)).expect("built");
    let error = plain.entry(&chart).expect_err("income");
    assert_eq!(
        (error.field_name(), error.line()),
        (Some("account"), Some(1))
    );
    let begun = OpeningBalances::new(told(income, true)).expect("built");
    check_lines(&begun, &[("1000", "10.00"), ("4000", "-10.00")]);
    check_refused(
        OpeningBalances::new(told(vec![of("1000"), of("1000")], false)),
        "account",
    );
    check_refused(OpeningBalances::new(told(vec![], false)), "amount");
}

#[test]
fn an_entry_in_debits_and_credits_must_balance() {
    let told = |lines: Vec<Line>| ManualEntryDetails {
        date: day(WHEN),
        kind: EntryKind::Manual,
        party: String::new(),
        memo: "Correction".to_owned(),
        reference: String::new(),
        document: String::new(),
        lines,
    };
    let debit = |number: &str, amount: &str| Line::debit(account(number), money(amount));
    let entry = ManualEntry::new(told(vec![debit("6000", "5.00"), debit("1000", "-5.00")]));
    check_lines(
        &entry.expect("an entry"),
        &[("6000", "5.00"), ("1000", "-5.00")],
    );
    let error = ManualEntry::new(told(vec![debit("6000", "5.00"), debit("1000", "-4.00")]))
        .expect_err("unbalanced");
    assert_eq!(
        error.describe(&usd()),
        "the entry does not balance: debits 5.00, credits 4.00, 1.00 apart"
    );
    assert!(ManualEntry::new(told(vec![])).is_err());
    check_refused(
        ManualEntry::new(told(vec![debit("6000", "0.00"), debit("1000", "0.00")])),
        "amount",
    );
    let mut strange = told(vec![debit("6000", "5.00"), debit("1000", "-5.00")]);
    strange.lines[1].account = deckle::ledger::AccountId(4242);
    let error = ManualEntry::new(strange)
        .expect("built")
        .entry(&chart())
        .expect_err("unknown account");
    assert_eq!(error.line(), Some(1));
}

#[test]
fn a_reversal_mirrors_its_entry_on_a_later_day_with_a_reason() {
    let of = money_in("1000", "20.00")
        .and_then(|told| told.entry(&chart()))
        .expect("an entry");
    let told = |date: &str, reason: &str| ReversalDetails {
        of: of.clone(),
        date: day(date),
        reason: reason.to_owned(),
    };
    let back = Reversal::new(told("2026-03-05", "typed twice"))
        .and_then(|told| told.entry(&chart()))
        .expect("a reversal");
    assert_eq!(back.header.kind, EntryKind::Reversal);
    let entries = [of.clone(), back.clone()];
    assert_eq!(balance(&entries, "1000"), Money::ZERO);
    assert_eq!(balance(&entries, "3000"), Money::ZERO);
    check_refused(Reversal::new(told("2026-03-05", " ")), "reason");
    check_refused(Reversal::new(told("2026-03-01", "why")), "date");
    let again = ReversalDetails {
        of: back,
        date: day("2026-03-06"),
        reason: "again".to_owned(),
    };
    check_refused(Reversal::new(again), "entry");
    assert_eq!(
        chart().find("3000").map(|one| one.class),
        Ok(AccountClass::Equity)
    );
}
