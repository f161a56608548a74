//! Purchases, their payment and what comes back, with figures.

use deckle::depreciation::Condition;
use deckle::happenings::{
    EquipmentDetails, Happening, HappeningError, LineCost, PaidAhead, Payment, ProofState,
    Purchase, PurchaseDetails, PurchaseLine, RefundedPurchase, Settlement, SettlementDetails,
    SupplierRefund, SupplierRefundDetails, SupplierRefundLine, Transfer, TransferDetails,
};
use deckle::ledger::{EntryKind, JournalEntry, Role};
use deckle::money::{Money, unit_cost};
use rust_decimal::Decimal;

use crate::support::{
    account, balance, chart, check_lines, check_refused, count, day, lines, money, share, usd,
};

fn bought(paid_from: Payment, lines: Vec<PurchaseLine>) -> PurchaseDetails {
    PurchaseDetails::new(day("2026-03-02"), "Hollow Lane Papers", paid_from, lines)
}

fn line(number: &str, amount: &str, what: &str) -> PurchaseLine {
    PurchaseLine::new(account(number), money(amount), what)
}

fn bank() -> Payment {
    Payment::Account(account("1000"))
}

fn press() -> EquipmentDetails {
    EquipmentDetails::new("Nipping press", 60, day("2026-03-02"))
}

#[track_caller]
fn made(details: PurchaseDetails) -> Purchase {
    Purchase::new(details).expect("a purchase")
}

/// Common practice, no source: 50 pieces bought for 29.00 cost 0.58 each; 300 for 100.00 cost 0.3333 each,
/// shown to four places and valued exactly.
#[test]
fn what_one_piece_cost_is_shown_to_four_places_and_valued_exactly() {
    for (pieces, paid, each) in [("50", "29.00", "0.58"), ("300", "100.00", "0.3333")] {
        let purchase = made(bought(
            bank(),
            vec![line("1220", paid, "Printed cards").quantity(count(pieces))],
        ));
        let entry = purchase.entry(&chart()).expect("an entry");
        let stock = &entry.lines()[0];
        assert_eq!(stock.amount, money(paid));
        let quantity = stock.quantity.expect("the quantity is kept");
        let cost = unit_cost(stock.amount, quantity, &usd()).expect("a unit cost");
        assert_eq!(cost.normalize(), each.parse::<Decimal>().expect("a figure"));
    }
}

/// Common practice, no source: a starter outlay of 100 + 40 + 100 + 15 + 50 + 25 is 330, of which 140 is equipment.
#[test]
fn a_starter_outlay_of_330_holds_140_of_equipment() {
    let cutter = EquipmentDetails::new("Cutter", 36, day("2026-03-02"));
    let purchase = made(bought(
        bank(),
        vec![
            line("1500", "100.00", "").equipment(press()),
            line("1500", "40.00", "").equipment(cutter),
            line("1200", "100.00", "Card stock"),
            line("6000", "15.00", "Glue"),
            line("6100", "50.00", "Mailers"),
            line("6220", "25.00", "Permit"),
        ],
    ));
    assert_eq!(purchase.total(), money("330.00"));
    let recording = purchase.recording(&chart()).expect("a recording");
    let register: Money = recording.equipment.iter().map(|one| one.cost).sum();
    assert_eq!(register, money("140.00"));
    assert_eq!(balance(&[recording.entry], "1500"), money("140.00"));
}

/// By hand: 10.00 of carriage over 30, 30 and 40 is 3.00, 3.00, 4.00; 7.01 of tax is 2.10, 2.10, 2.81 (2.103, 2.103,
/// 2.804: the last has the largest remainder); 5.00 of discount is 1.50, 1.50, 2.00.
#[test]
fn carriage_tax_and_discount_are_spread_by_value_and_kept_apart() {
    let mut details = bought(
        bank(),
        vec![
            line("1200", "30.00", "Linen thread"),
            line("6000", "30.00", "Glue"),
            line("1500", "40.00", "").equipment(press()),
        ],
    );
    details.carriage = money("10.00");
    details.tax = money("7.01");
    details.discount = money("5.00");
    let purchase = made(details);
    check_lines(
        &purchase,
        &[
            ("1200", "33.60"),
            ("6000", "33.60"),
            ("1500", "44.81"),
            ("1000", "-112.01"),
        ],
    );
    assert_eq!(
        purchase.costs()[2],
        LineCost {
            goods: money("40.00"),
            carriage: money("4.00"),
            tax: money("2.81"),
            discount: money("2.00"),
        }
    );
    let press = &purchase.equipment()[0];
    assert_eq!(press.cost, money("44.81"));
    assert_eq!(press.tax_part, money("2.81"));
    assert_eq!(press.delivery_part, money("4.00"));
    assert_eq!(press.key, "Nipping press");
    assert_eq!(press.supplier, "Hollow Lane Papers");
    assert_eq!(press.bought_on, day("2026-03-02"));
    assert_eq!(press.purchase_entry, None);
}

#[test]
fn the_private_part_of_a_line_goes_to_drawings() {
    let purchase = made(bought(
        bank(),
        vec![
            line("6410", "35.01", "Phone").business_share(share("40")),
            line("6000", "8.00", "Bone folder"),
            line("6000", "6.50", "Shampoo").business_share(share("0")),
        ],
    ));
    // By hand: 40 % of 35.01 is 14.004, so 14.00; the rest is 21.01.
    check_lines(
        &purchase,
        &[
            ("6410", "14.00"),
            ("3100", "21.01"),
            ("6000", "8.00"),
            ("3100", "6.50"),
            ("1000", "-49.51"),
        ],
    );
    let entry = purchase.entry(&chart()).expect("an entry");
    assert_eq!(entry.lines()[1].memo, "Phone (private part)");
}

#[test]
fn equipment_used_partly_privately_stays_whole_on_the_register_with_its_share() {
    let purchase = made(bought(
        bank(),
        vec![
            line("1500", "600.00", "Printer")
                .equipment(EquipmentDetails::new("Printer", 60, day("2026-03-10")))
                .business_share(share("70")),
        ],
    ));
    check_lines(&purchase, &[("1500", "600.00"), ("1000", "-600.00")]);
    let printer = &purchase.equipment()[0];
    assert_eq!(printer.cost, money("600.00"));
    assert_eq!(printer.business_share, share("70"));
    assert_eq!(printer.condition, Condition::New);
    let entry = purchase.entry(&chart()).expect("an entry");
    assert_eq!(entry.lines()[0].equipment.as_deref(), Some("Printer"));
}

#[test]
fn a_purchase_is_paid_in_one_of_four_ways() {
    let ways = [
        (bank(), "1000"),
        (Payment::Account(account("2010")), "2010"),
        (Payment::Account(account("1051")), "1051"),
        (Payment::OwnPocketPutIn, "3000"),
        (Payment::OwnPocketOwedBack, "2050"),
        (Payment::OnBill, "2000"),
    ];
    for (way, number) in ways {
        let purchase = made(bought(way, vec![line("6000", "12.30", "Glue")]));
        check_lines(&purchase, &[("6000", "12.30"), (number, "-12.30")]);
    }
}

#[test]
fn what_each_thing_was_is_remembered_with_its_supplier() {
    let purchase = made(bought(
        bank(),
        vec![
            line("6000", "8.00", " Glue "),
            line("1500", "40.00", "").equipment(press()),
            line("6900", "1.00", ""),
        ],
    ));
    let recording = purchase.recording(&chart()).expect("a recording");
    let remembered: Vec<(&str, &str)> = recording
        .remembered
        .iter()
        .map(|one| (one.supplier.as_str(), one.thing.as_str()))
        .collect();
    assert_eq!(
        remembered,
        [
            ("Hollow Lane Papers", "Glue"),
            ("Hollow Lane Papers", "Nipping press")
        ]
    );
    assert_eq!(recording.proof.state, ProofState::Missing);
}

#[test]
fn a_purpose_is_asked_from_the_owners_amount_on() {
    let mut details = bought(bank(), vec![line("6600", "75.00", "Train")]);
    assert!(made(details.clone()).needs_purpose(money("75.00")));
    assert!(!made(details.clone()).needs_purpose(money("75.01")));
    details.proof.purpose = "Trade fair".to_owned();
    assert!(!made(details).needs_purpose(money("75.00")));
}

#[test]
fn a_cost_paid_ahead_waits_in_its_own_account() {
    let ahead = PaidAhead {
        from: day("2026-04-01"),
        months: 12,
    };
    let purchase = made(bought(
        bank(),
        vec![line("6400", "120.00", "Layout software").paid_ahead(ahead)],
    ));
    check_lines(&purchase, &[("1300", "120.00"), ("1000", "-120.00")]);
    let entry = purchase.entry(&chart()).expect("an entry");
    assert_eq!(entry.header.tags.len(), 1);
    let stock = made(bought(
        bank(),
        vec![line("1200", "120.00", "Paper").paid_ahead(ahead)],
    ));
    check_refused(stock.entry(&chart()), "paid_ahead");
}

#[test]
fn purchases_that_cannot_be_are_refused_by_field() {
    let glue = || vec![line("6000", "8.00", "Glue")];
    let with = |change: &dyn Fn(&mut PurchaseDetails)| {
        let mut details = bought(bank(), glue());
        change(&mut details);
        Purchase::new(details)
    };
    check_refused(with(&|d| d.supplier = "  ".to_owned()), "supplier");
    check_refused(with(&|d| d.lines.clear()), "amount");
    check_refused(with(&|d| d.lines[0].amount = Money::ZERO), "amount");
    check_refused(with(&|d| d.lines[0].amount = money("-1.00")), "amount");
    check_refused(with(&|d| d.carriage = money("-1.00")), "carriage");
    check_refused(with(&|d| d.tax = money("-0.01")), "tax");
    check_refused(with(&|d| d.discount = money("-0.01")), "discount");
    check_refused(with(&|d| d.discount = money("8.01")), "discount");
    check_refused(with(&|d| d.discount = money("8.00")), "amount");
    check_refused(
        with(&|d| d.lines[0].quantity = Some(count("0"))),
        "quantity",
    );
    check_refused(
        with(&|d| d.lines[0].amount = Money::from_minor(Money::LIMIT + 1)),
        "amount",
    );
    let ahead = PaidAhead {
        from: day("2026-01-01"),
        months: 0,
    };
    check_refused(with(&|d| d.lines[0].paid_ahead = Some(ahead)), "paid_ahead");
    assert!(
        with(&|d| {
            d.discount = money("8.00");
            d.carriage = money("2.00");
        })
        .is_ok()
    );
}

#[test]
fn equipment_that_cannot_be_is_refused_by_field() {
    let with = |change: &dyn Fn(&mut EquipmentDetails)| {
        let mut details = press();
        change(&mut details);
        let line = line("1500", "40.00", "").equipment(details);
        Purchase::new(bought(bank(), vec![line]))
    };
    check_refused(with(&|e| e.name = " ".to_owned()), "equipment_name");
    check_refused(with(&|e| e.life_months = 0), "life_months");
    check_refused(with(&|e| e.residual = money("40.01")), "residual");
    check_refused(with(&|e| e.residual = money("-1.00")), "residual");
    check_refused(
        with(&|e| e.in_service_on = day("2026-03-01")),
        "in_service_on",
    );
    let twice = vec![
        line("1500", "40.00", "").equipment(press()),
        line("1500", "41.00", "").equipment(press()),
    ];
    let error = Purchase::new(bought(bank(), twice)).expect_err("the name is there twice");
    assert_eq!(error.line(), Some(1));
    let private = line("1500", "40.00", "")
        .equipment(press())
        .business_share(share("0"));
    check_refused(
        Purchase::new(bought(bank(), vec![private])),
        "business_share",
    );
}

#[test]
fn lines_on_accounts_that_take_no_cost_are_refused() {
    for (number, field) in [
        ("1000", "account"),
        ("1051", "account"),
        ("1590", "account"),
        ("2010", "account"),
        ("3000", "account"),
        ("4000", "account"),
        ("6500", "account"),
        ("1500", "equipment_name"),
    ] {
        let purchase = made(bought(
            Payment::OwnPocketPutIn,
            vec![line("6000", "1.00", "Glue"), line(number, "8.00", "Thing")],
        ));
        let error = purchase.entry(&chart()).expect_err("refused");
        assert_eq!(error.line(), Some(1), "{number}: {error}");
        assert_eq!(error.field_name(), Some(field), "{number}: {error}");
    }
    let elsewhere = made(bought(
        bank(),
        vec![line("6000", "40.00", "").equipment(press())],
    ));
    check_refused(elsewhere.entry(&chart()), "account");
    let income = made(bought(
        Payment::Account(account("4000")),
        vec![line("6000", "1.00", "Glue")],
    ));
    check_refused(income.entry(&chart()), "paid_from");
}

fn refunded(purchase: &JournalEntry, amount: &str) -> SupplierRefund {
    let purchase = RefundedPurchase::of_entries(purchase, []);
    SupplierRefund::new(SupplierRefundDetails::in_proportion(
        day("2026-03-20"),
        purchase,
        account("2000"),
        money(amount),
    ))
    .expect("a refund")
}

fn settled(amount: &str, still_owed: Money) -> JournalEntry {
    Settlement::new(SettlementDetails {
        date: day("2026-03-31"),
        owed: account("2000"),
        paid_from: bank(),
        amount: money(amount),
        still_owed: Some(still_owed),
        party: "Hollow Lane Papers".to_owned(),
        memo: String::new(),
        reference: String::new(),
        document: String::new(),
    })
    .and_then(|settlement| settlement.entry(&chart()))
    .expect("a settlement")
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), sections 6.3 and 6.7: 67 at 60 bought on account is 4,020; paid in
/// time with a discount of 201, cash 3,819. Under continuous stock records the discount reduces the stock.
#[test]
fn a_bill_paid_in_time_leaves_its_discount_in_the_stock() {
    let purchase = made(bought(
        Payment::OnBill,
        vec![line("1220", "4020.00", "Tablets").quantity(count("67"))],
    ))
    .entry(&chart())
    .expect("an entry");
    let discount = refunded(&purchase, "201.00")
        .entry(&chart())
        .expect("an entry");
    assert_eq!(discount.header.kind, EntryKind::SupplierRefund);
    let owed = -balance(&[purchase.clone(), discount.clone()], "2000");
    assert_eq!(owed, money("3819.00"));
    let entries = [purchase, discount, settled("3819.00", owed)];
    assert_eq!(balance(&entries, "2000"), Money::ZERO);
    assert_eq!(balance(&entries, "1000"), money("-3819.00"));
    assert_eq!(balance(&entries, "1220"), money("3819.00"));
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), sections 6.3 and 6.7: 80 at 100 bought on account is 8,000; 15
/// returned (1,500), an allowance of 120, so 6,380 is owed; discount 319, cash 6,061.
#[test]
fn returns_and_allowances_come_off_what_is_owed() {
    let purchase = made(bought(
        Payment::OnBill,
        vec![line("1220", "8000.00", "Phones").quantity(count("80"))],
    ))
    .entry(&chart())
    .expect("an entry");
    let mut entries = vec![purchase.clone()];
    for (amount, owed) in [
        ("1500.00", "6500.00"),
        ("120.00", "6380.00"),
        ("319.00", "6061.00"),
    ] {
        let before: Vec<&JournalEntry> = entries[1..].iter().collect();
        let state = RefundedPurchase::of_entries(&purchase, before);
        let refund = SupplierRefund::new(SupplierRefundDetails::in_proportion(
            day("2026-03-20"),
            state,
            account("2000"),
            money(amount),
        ))
        .expect("a refund");
        entries.push(refund.entry(&chart()).expect("an entry"));
        assert_eq!(balance(&entries, "2000"), -money(owed));
    }
    entries.push(settled("6061.00", money("6061.00")));
    assert_eq!(balance(&entries, "2000"), Money::ZERO);
    assert_eq!(balance(&entries, "1220"), money("6061.00"));
}

#[test]
fn a_refund_in_proportion_adds_up_and_never_passes_the_purchase() {
    let purchase = made(bought(
        bank(),
        vec![
            line("1200", "10.00", "Paper"),
            line("6000", "20.00", "Glue"),
        ],
    ))
    .entry(&chart())
    .expect("an entry");
    let refund = refunded(&purchase, "10.00");
    // By hand: 10.00 over 10 and 20 is 3.33 and 6.67.
    check_lines(
        &refund,
        &[("2000", "10.00"), ("1200", "-3.33"), ("6000", "-6.67")],
    );
    let first = refund.entry(&chart()).expect("an entry");
    let state = RefundedPurchase::of_entries(&purchase, [&first]);
    assert_eq!(state.left(), money("20.00"));
    let details = |amount: &str| {
        SupplierRefundDetails::in_proportion(
            day("2026-04-01"),
            state.clone(),
            account("1000"),
            money(amount),
        )
    };
    assert!(SupplierRefund::new(details("20.00")).is_ok());
    let error = SupplierRefund::new(details("20.01")).expect_err("too much");
    assert_eq!(
        error.describe(&usd()),
        "this is more than is left of the purchase: at most 20.00"
    );
    let mut early = details("1.00");
    early.date = day("2026-03-01");
    check_refused(SupplierRefund::new(early), "date");
}

#[test]
fn equipment_is_given_back_by_its_disposal() {
    let refund = SupplierRefund::new(SupplierRefundDetails {
        date: day("2026-03-20"),
        supplier: "Hollow Lane Papers".to_owned(),
        purchase: None,
        into: account("1000"),
        lines: vec![SupplierRefundLine {
            account: account("1500"),
            amount: money("40.00"),
            description: String::new(),
            quantity: None,
            item: None,
        }],
        memo: String::new(),
        reference: String::new(),
    })
    .expect("refused only by the chart");
    check_refused(refund.entry(&chart()), "account");
}

#[test]
fn paying_off_is_never_a_cost_and_never_more_than_is_owed() {
    let told = |owed: &str, paid_from: Payment| SettlementDetails {
        date: day("2026-03-31"),
        owed: account(owed),
        paid_from,
        amount: money("50.00"),
        still_owed: Some(money("50.00")),
        party: String::new(),
        memo: String::new(),
        reference: String::new(),
        document: String::new(),
    };
    for (owed, paid_from, other) in [
        ("2010", bank(), "1000"),
        ("2000", Payment::Account(account("2010")), "2010"),
        ("2000", Payment::OwnPocketPutIn, "3000"),
        ("2100", bank(), "1000"),
    ] {
        let settlement = Settlement::new(told(owed, paid_from)).expect("a settlement");
        check_lines(&settlement, &[(owed, "50.00"), (other, "-50.00")]);
    }
    check_refused(Settlement::new(told("2010", Payment::OnBill)), "paid_from");
    check_refused(
        Settlement::new(told("2010", Payment::Account(account("2010")))),
        "paid_from",
    );
    let mut above = told("2010", bank());
    above.still_owed = Some(money("49.99"));
    check_refused(Settlement::new(above), "amount");
    for wrong in ["2050", "2300", "6000", "1000"] {
        let settlement = Settlement::new(told(wrong, Payment::OwnPocketPutIn)).expect("built");
        check_refused(settlement.entry(&chart()), "account");
    }
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), section 8.4: a fund of 75, slips of 30, 10 and 5, refilled by 45.
#[test]
fn a_cash_box_with_a_fixed_fund_is_refilled_by_what_was_spent() {
    let moved = |amount: &str| {
        Transfer::new(TransferDetails {
            date: day("2026-03-01"),
            from: account("1000"),
            to: account("1020"),
            amount: money(amount),
            memo: String::new(),
            reference: String::new(),
        })
        .and_then(|transfer| transfer.entry(&chart()))
        .expect("a transfer")
    };
    let slips = made(bought(
        Payment::Account(account("1020")),
        vec![
            line("6110", "30.00", "Postage"),
            line("1200", "10.00", "Thread"),
            line("6900", "5.00", "Window cleaner"),
        ],
    ));
    let spent = slips.entry(&chart()).expect("an entry");
    assert_eq!(spent.total(), money("45.00"));
    let entries = [moved("75.00"), spent, moved("45.00")];
    assert_eq!(balance(&entries, "1020"), money("75.00"));
    assert_eq!(balance(&entries, "1000"), money("-120.00"));
}

#[test]
fn a_role_that_the_chart_lacks_is_named() {
    let accounts = chart()
        .accounts()
        .into_iter()
        .filter(|one| one.role != Some(Role::OwedToOwner))
        .cloned()
        .collect::<Vec<_>>();
    let bare = deckle::ledger::Chart::new(accounts).expect("a chart");
    let purchase = made(bought(
        Payment::OwnPocketOwedBack,
        vec![line("6000", "1.00", "Glue")],
    ));
    let error = purchase.entry(&bare).expect_err("no such role");
    assert!(matches!(error, HappeningError::Chart(_)), "{error}");
    assert!(
        lines(
            &made(bought(bank(), vec![line("6000", "1.00", "Glue")]))
                .entry(&bare)
                .expect("an entry")
        )
        .len()
            == 2
    );
}
