//! Sales at the till and through channels, refunds, payouts, customers who pay later, with figures.

use deckle::happenings::{
    CustomerPaid, CustomerPaidDetails, CustomerRefund, CustomerRefundDetails, Fee, FeeKind,
    Happening, HappeningError, Payout, PayoutDetails, RefundedSale, Sale, SaleDetails, SaleLine,
    tax_inside,
};
use deckle::ledger::{EntryKind, JournalEntry};
use deckle::money::Money;

use crate::support::{
    account, balance, chart, check_lines, check_refused, count, day, money, share, usd,
};

fn sold(paid_into: &str, amount: &str) -> SaleDetails {
    let line = SaleLine::new(money(amount), "Notebook");
    SaleDetails::new(day("2026-05-04"), account(paid_into), vec![line])
}

/// A channel sale with everything in it.
fn order() -> SaleDetails {
    let mut told = sold("1051", "28.00");
    told.lines.push(SaleLine {
        item: Some("CARD-FERN".to_owned()),
        quantity: Some(count("2")),
        ..SaleLine::new(money("9.00"), "Fern cards")
    });
    told.discount = money("3.70");
    told.postage = money("4.50");
    told.tax_by_channel = money("2.65");
    told.fees = vec![
        Fee::new(FeeKind::Listing, money("0.40")),
        Fee::new(FeeKind::Commission, money("2.46")),
        Fee::new(FeeKind::Processing, money("1.38")),
        Fee::new(FeeKind::Other, money("1.00")),
    ];
    told.document = "S-1".to_owned();
    told.reference = "40017".to_owned();
    told
}

fn entry_of(told: &impl Happening) -> JournalEntry {
    told.entry(&chart()).expect("an entry")
}

/// By hand: 28.00 + 9.00 − 3.70 + 4.50 = 37.80 owed by the channel, less fees 5.24.
#[test]
fn a_channel_sale_stands_at_its_full_price_with_each_fee_apart() {
    let sale = Sale::new(order()).expect("a sale");
    assert_eq!(sale.full_price(), money("37.00"));
    assert_eq!(sale.customer_pays(), money("37.80"));
    assert_eq!(sale.kept(), money("32.56"));
    check_lines(
        &sale,
        &[
            ("1051", "37.80"),
            ("4030", "3.70"),
            ("4000", "-28.00"),
            ("4000", "-9.00"),
            ("4010", "-4.50"),
            ("6200", "0.40"),
            ("1051", "-0.40"),
            ("6200", "2.46"),
            ("1051", "-2.46"),
            ("6210", "1.38"),
            ("1051", "-1.38"),
            ("6200", "1.00"),
            ("1051", "-1.00"),
        ],
    );
    let entry = entry_of(&sale);
    assert_eq!(entry.named_amount(), money("37.80"));
    assert_eq!(entry.header.tax_by_channel, money("2.65"));
    assert_eq!(entry.header.party, "Larkspur Online");
    assert_eq!(entry.header.document, "S-1");
    assert_eq!(entry.lines()[3].item.as_deref(), Some("CARD-FERN"));
    assert_eq!(entry.lines()[3].quantity, Some(count("2")));
    assert_eq!(balance(&[entry], "1051"), sale.kept());
}

/// IRS Publication 583 (Rev. January 2015), Sample Record System, daily summary of cash receipts, 3 January:
/// sales 263.60 and sales tax 4.20 make 267.80.
#[test]
fn tax_that_the_owner_charges_is_owed_and_no_income() {
    let mut told = sold("1020", "263.60");
    told.tax_ours = money("4.20");
    let sale = Sale::new(told).expect("a sale");
    check_lines(
        &sale,
        &[("1020", "267.80"), ("4000", "-263.60"), ("2100", "-4.20")],
    );
    assert_eq!(entry_of(&sale).header.party, "");
}

/// By hand: 21.40 with 7 % in it is 20.00 and 1.40; 10.00 with 8.25 % in it holds 0.7621…
#[test]
fn tax_inside_a_price_is_taken_out() {
    assert_eq!(tax_inside(money("21.40"), share("7")), money("1.40"));
    assert_eq!(tax_inside(money("10.00"), share("8.25")), money("0.76"));
    assert_eq!(tax_inside(money("10.00"), share("0")), Money::ZERO);
}

#[test]
fn sales_that_cannot_be_are_refused_by_field() {
    let with = |change: &dyn Fn(&mut SaleDetails)| {
        let mut told = order();
        change(&mut told);
        Sale::new(told)
    };
    check_refused(with(&|s| s.lines.clear()), "amount");
    check_refused(with(&|s| s.lines[1].amount = money("-9.00")), "amount");
    check_refused(
        with(&|s| s.lines[1].quantity = Some(count("0"))),
        "quantity",
    );
    check_refused(with(&|s| s.discount = money("37.01")), "discount");
    check_refused(with(&|s| s.postage = money("-1.00")), "postage");
    check_refused(with(&|s| s.tax_ours = money("-1.00")), "tax_ours");
    check_refused(
        with(&|s| s.tax_by_channel = money("-1.00")),
        "tax_by_channel",
    );
    check_refused(
        with(&|s| s.fees[2].amount = money("-0.01")),
        "fee_processing",
    );
    assert!(with(&|s| s.discount = money("37.00")).is_ok());
}

#[test]
fn the_money_of_a_sale_goes_where_money_can_go() {
    for number in ["1000", "1020", "1050", "1100", "2200", "3100"] {
        let sale = Sale::new(sold(number, "5.00")).expect("a sale");
        assert!(sale.entry(&chart()).is_ok(), "{number}");
    }
    for number in ["1200", "1500", "2010", "3000", "4000", "6000"] {
        let sale = Sale::new(sold(number, "5.00")).expect("built");
        check_refused(sale.entry(&chart()), "paid_into");
    }
    let mut till = sold("1000", "5.00");
    till.tax_by_channel = money("0.40");
    let sale = Sale::new(till).expect("built");
    check_refused(sale.entry(&chart()), "tax_by_channel");
    let mut cost = sold("1000", "5.00");
    cost.lines[0].account = Some(account("6000"));
    let error = Sale::new(cost)
        .expect("built")
        .entry(&chart())
        .expect_err("a cost");
    assert_eq!(
        (error.field_name(), error.line()),
        (Some("account"), Some(0))
    );
}

#[test]
fn a_sale_given_away_in_full_still_shows_price_and_discount() {
    let mut told = sold("1051", "5.00");
    told.discount = money("5.00");
    told.fees = vec![Fee::new(FeeKind::Listing, money("0.20"))];
    check_lines(
        &Sale::new(told).expect("a sale"),
        &[
            ("4030", "5.00"),
            ("4000", "-5.00"),
            ("6200", "0.20"),
            ("1051", "-0.20"),
        ],
    );
}

fn state(sale: &JournalEntry, refunds: &[JournalEntry]) -> RefundedSale {
    RefundedSale::of_entries(sale, refunds, &chart()).expect("a state")
}

fn refund(
    sale: &JournalEntry,
    before: &[JournalEntry],
    amount: &str,
) -> Result<CustomerRefund, HappeningError> {
    let state = state(sale, before);
    let from = state.paid_into.expect("one place");
    CustomerRefund::new(CustomerRefundDetails::new(
        day("2026-05-20"),
        state,
        from,
        money(amount),
    ))
}

#[test]
fn a_refund_finds_what_the_customer_paid_and_where_it_went() {
    let sale = entry_of(&Sale::new(order()).expect("a sale"));
    let found = state(&sale, &[]);
    assert_eq!(found.total, money("37.80"));
    assert_eq!(found.paid_into, Some(account("1051")));
    assert_eq!(found.tax_by_channel, money("2.65"));
    let mut told =
        CustomerRefundDetails::new(day("2026-05-20"), found, account("1051"), money("37.80"));
    told.fee_credits = vec![Fee::new(FeeKind::Commission, money("2.46"))];
    let refund = CustomerRefund::new(told).expect("a refund");
    check_lines(
        &refund,
        &[
            ("4020", "37.80"),
            ("1051", "-37.80"),
            ("1051", "2.46"),
            ("6200", "-2.46"),
        ],
    );
    assert_eq!(refund.costs(), money("35.34"));
    let entry = entry_of(&refund);
    assert_eq!(entry.header.kind, EntryKind::Refund);
    assert_eq!(entry.header.document, "S-1");
    assert_eq!(entry.header.tax_by_channel, money("-2.65"));
    // 37.80 − 5.24 of fees − 37.80 + 2.46: the owner has lost 2.78.
    assert_eq!(balance(&[sale, entry], "1051"), money("-2.78"));
}

/// By hand: tax of 2.00 on 20.00: a refund of 7.33 holds 7.33 × 2 ÷ 22 = 0.666, the rest of 14.67 holds what is left.
#[test]
fn our_own_tax_goes_back_in_proportion_and_in_the_end_whole() {
    let mut told = sold("1000", "20.00");
    told.tax_ours = money("2.00");
    let sale = entry_of(&Sale::new(told).expect("a sale"));
    let first = refund(&sale, &[], "7.33").expect("a refund");
    check_lines(
        &first,
        &[("4020", "6.66"), ("2100", "0.67"), ("1000", "-7.33")],
    );
    let before = [entry_of(&first)];
    assert_eq!(before[0].named_amount(), money("7.33"));
    let second = refund(&sale, &before, "14.67").expect("a refund");
    check_lines(
        &second,
        &[("4020", "13.34"), ("2100", "1.33"), ("1000", "-14.67")],
    );
    let all = [sale, before[0].clone(), entry_of(&second)];
    assert_eq!(balance(&all, "2100"), Money::ZERO);
    assert_eq!(balance(&all, "1000"), Money::ZERO);
}

#[test]
fn no_more_goes_back_than_is_left_of_the_sale() {
    let sale = entry_of(&Sale::new(order()).expect("a sale"));
    let error = refund(&sale, &[], "37.81").expect_err("too much");
    assert_eq!(
        error.describe(&usd()),
        "this is more than is left of the sale: at most 37.80"
    );
    let first = [entry_of(&refund(&sale, &[], "30.00").expect("a refund"))];
    assert!(refund(&sale, &first, "7.81").is_err());
    let both = [
        first[0].clone(),
        entry_of(&refund(&sale, &first, "7.80").expect("a refund")),
    ];
    let error = refund(&sale, &both, "0.01").expect_err("all gone");
    assert_eq!(
        error.to_string(),
        "the whole sale has been given back already"
    );
    let tax: Money = both.iter().map(|one| one.header.tax_by_channel).sum();
    assert_eq!(tax, money("-2.65"));
}

#[test]
fn refunds_that_cannot_be_are_refused_by_field() {
    let sale = entry_of(&Sale::new(order()).expect("a sale"));
    let with = |change: &dyn Fn(&mut CustomerRefundDetails)| {
        let mut told = CustomerRefundDetails::new(
            day("2026-05-20"),
            state(&sale, &[]),
            account("1051"),
            money("10.00"),
        );
        change(&mut told);
        CustomerRefund::new(told)
    };
    check_refused(with(&|r| r.amount = Money::ZERO), "amount");
    check_refused(with(&|r| r.date = day("2026-05-03")), "date");
    check_refused(with(&|r| r.tax_ours = Some(money("0.01"))), "tax_ours");
    check_refused(
        with(&|r| r.tax_by_channel = Some(money("2.66"))),
        "tax_by_channel",
    );
    check_refused(
        with(&|r| r.fee_credits = vec![Fee::new(FeeKind::Other, money("-1.00"))]),
        "fee_credit",
    );
    for wrong in ["4000", "6000", "1500", "2100"] {
        let refund = with(&|r| r.paid_from = account(wrong)).expect("built");
        check_refused(refund.entry(&chart()), "paid_from");
    }
}

fn payout(channel: &str, into: &str, amount: &str) -> Result<Payout, HappeningError> {
    Payout::new(PayoutDetails {
        date: day("2026-05-31"),
        channel: account(channel),
        into: account(into),
        amount: money(amount),
        memo: String::new(),
        reference: "P-1".to_owned(),
    })
}

#[test]
fn a_payout_settles_the_channel_and_is_no_sale() {
    let sale = entry_of(&Sale::new(order()).expect("a sale"));
    let paid = payout("1051", "1000", "30.00").expect("a payout");
    check_lines(&paid, &[("1000", "30.00"), ("1051", "-30.00")]);
    let entry = entry_of(&paid);
    assert_eq!(entry.header.party, "Larkspur Online");
    assert_eq!(balance(&[sale, entry], "1051"), money("2.56"));
    check_refused(payout("1051", "1000", "0.00"), "amount");
    check_refused(payout("1051", "1051", "1.00"), "paid_into");
    for (channel, into, field) in [
        ("1100", "1000", "channel"),
        ("4000", "1000", "channel"),
        ("1051", "1050", "paid_into"),
        ("1051", "2010", "paid_into"),
        ("1051", "4000", "paid_into"),
    ] {
        let wrong = payout(channel, into, "1.00").expect("built");
        check_refused(wrong.entry(&chart()), field);
    }
}

fn customer_paid(
    amount: &str,
    discount: &str,
    owed: Money,
) -> Result<CustomerPaid, HappeningError> {
    CustomerPaid::new(CustomerPaidDetails {
        date: day("2026-05-30"),
        paid_into: account("1000"),
        amount: money(amount),
        discount: money(discount),
        still_owed: Some(owed),
        party: "Harbour Gifts".to_owned(),
        memo: String::new(),
        reference: String::new(),
        document: String::new(),
    })
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), sections 6.4 and 6.7: 56 at 300 sold on account is 16,800; paid in
/// time with a discount of 336, cash 16,464.
#[test]
fn a_customer_who_pays_in_time_keeps_her_discount() {
    let sale = entry_of(&Sale::new(sold("1100", "16800.00")).expect("a sale"));
    let owed = balance(std::slice::from_ref(&sale), "1100");
    let paid = customer_paid("16464.00", "336.00", owed).expect("paid");
    check_lines(
        &paid,
        &[
            ("1000", "16464.00"),
            ("4030", "336.00"),
            ("1100", "-16800.00"),
        ],
    );
    assert_eq!(balance(&[sale, entry_of(&paid)], "1100"), Money::ZERO);
    check_refused(customer_paid("16464.01", "336.00", owed), "amount");
    check_refused(customer_paid("0.00", "336.00", owed), "amount");
    check_refused(customer_paid("1.00", "-1.00", owed), "discount");
}

/// OpenStax, Principles of Accounting, Vol. 1 (2019), sections 6.4 and 6.7: 55 at 350 sold on account is 19,250; 10
/// returned (3,500), an allowance of 300, so 15,450 is owed; discount 1,545, cash 13,905.
#[test]
fn returns_and_allowances_come_off_what_the_customer_owes() {
    let sale = entry_of(&Sale::new(sold("1100", "19250.00")).expect("a sale"));
    let returned = entry_of(&refund(&sale, &[], "3500.00").expect("a refund"));
    let before = [returned.clone()];
    let allowance = entry_of(&refund(&sale, &before, "300.00").expect("a refund"));
    let mut entries = vec![sale, returned, allowance];
    let owed = balance(&entries, "1100");
    assert_eq!(owed, money("15450.00"));
    let paid = customer_paid("13905.00", "1545.00", owed).expect("paid");
    entries.push(entry_of(&paid));
    assert_eq!(balance(&entries, "1100"), Money::ZERO);
    assert_eq!(balance(&entries, "1000"), money("13905.00"));
    // Net sales: 19,250 − 3,800 − 1,545.
    let net = balance(&entries, "4000") + balance(&entries, "4020") + balance(&entries, "4030");
    assert_eq!(net, money("-13905.00"));
}
