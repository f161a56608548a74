//! Orders to suppliers through the file: arrivals in parts, claims, later bills, money paid ahead. What a bill comes to is
//! tested in core. Figures are worked by hand; overs, unders and print prices are common practice, no source.

use deckle::book::{Book, BookError};
use deckle::deciding::{PriceTier, UnitCost};
use deckle::happenings::{Happening, Payment, Sale, SaleDetails, SaleLine};
use deckle::ledger::{EntryNumber, Role};
use deckle::money::{Currency, Money};
use deckle::ordering::{
    Arrival, ArrivalBill, ArrivalLine, Billing, Claim, ClaimState, Credit, LateBill, OrderLine,
    OrderState, SupplierOrder, last_order_of,
};
use deckle::reports::{self, OrderReport};
use deckle::stock::{Item, ItemKind, Unit};

use crate::support::{account, assert_clean, day, test_book};

pub fn cents(text: &str) -> Money {
    Currency::from_code("USD")
        .expect("a currency")
        .parse_plain(text)
        .expect("an amount")
}

fn keep_item(book: &mut Book, code: &str) {
    let unit = Unit::new("piece").expect("a unit");
    let item = Item::new(code, code.to_lowercase(), ItemKind::Made, unit);
    book.put_item(&item).expect("kept");
}

fn order_line(code: &str, quantity: u64, each: i64) -> OrderLine {
    let each = UnitCost::from_minor(each.into()).expect("a price");
    OrderLine::new(code, quantity, vec![PriceTier { from: 1, each }])
}

/// A hundred cards at 0.50 and 10.00 for the run, from Hillside Print on the first of March.
pub fn cards(book: &mut Book) -> SupplierOrder {
    keep_item(book, "CARD");
    let mut line = order_line("CARD", 100, 50);
    line.once_per_run = cents("10.00");
    let mut order = SupplierOrder::new("cards", "Hillside Print", day("2026-03-01"), vec![line]);
    order.lead_days = Some(10);
    order.id = book.keep_supplier_order(&order).expect("kept");
    order
}

pub fn arrival(key: &str, date: &str, lines: &[(&str, u64, u64)]) -> Arrival {
    Arrival {
        id: 0,
        key: key.to_owned(),
        date: day(date),
        entry: None,
        is_void: false,
        lines: lines
            .iter()
            .map(|(item, good, spoiled)| ArrivalLine {
                item: (*item).to_owned(),
                good: *good,
                spoiled: *spoiled,
                movement: None,
            })
            .collect(),
    }
}

pub fn bank(book: &Book) -> Payment {
    Payment::Account(account(book, "1000"))
}

pub fn billed(book: &Book, amounts: &[&str]) -> ArrivalBill {
    let mut bill = ArrivalBill::nothing(amounts.len(), bank(book));
    bill.billed = amounts.iter().map(|amount| cents(amount)).collect();
    bill
}

pub fn arrive(
    book: &mut Book,
    order: &SupplierOrder,
    arrival: &Arrival,
    bill: &ArrivalBill,
) -> (i64, Option<EntryNumber>) {
    let recording = reports::arrival_recording(book, order, arrival, bill).expect("a recording");
    let kept = book
        .record_arrival(order.id, arrival, recording.as_ref())
        .expect("arrived");
    assert_clean(book);
    kept
}

pub fn sell(book: &mut Book, date: &str, code: &str, quantity: i64, amount: Money) {
    let mut line = SaleLine::new(amount, code);
    line.item = Some(code.to_owned());
    line.quantity = deckle::money::Quantity::new(quantity.into()).ok();
    let details = SaleDetails::new(day(date), account(book, "1050"), vec![line]);
    let sale = Sale::new(details).expect("a sale");
    let recording = sale.recording(book.chart()).expect("a recording");
    book.record(&recording).expect("sold");
}

/// What Hillside Print pays into the bank for a claim.
pub fn credit(book: &Book, date: &str, amount: Money) -> Credit {
    Credit {
        date: day(date),
        amount,
        into: account(book, "1000"),
        reference: String::new(),
    }
}

fn balance(book: &Book, role: Role) -> Money {
    let id = book.chart().role(role).expect("an account");
    book.balances_to(day("2026-12-31"))
        .expect("balances")
        .net(id)
}

pub fn report(book: &Book, today: &str) -> OrderReport {
    reports::order(book, "cards", day(today))
        .expect("readable")
        .expect("there")
}

#[test]
fn pieces_in_two_parts_with_four_spoiled_cost_what_was_billed_for_the_good_ones() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    assert_eq!(report(book, "2026-03-05").standing.state, OrderState::Open);
    let first = arrival("1", "2026-03-10", &[("CARD", 56, 4)]);
    let bill = billed(book, &["40.00"]); // 60 x 0.50 + 10.00
    arrive(book, &order, &first, &bill);
    let stands = report(book, "2026-03-12");
    assert_eq!(stands.standing.state, OrderState::PartlyHere);
    // By hand: 40.00 / 56 = 0.714285...
    let each = stands.arrivals[0].lines[0].each(book.currency());
    assert_eq!(each.map(|each| each.to_string()).as_deref(), Some("0.7143"));
    let second = arrival("2", "2026-03-17", &[("CARD", 40, 0)]);
    let bill = billed(book, &["20.00"]);
    arrive(book, &order, &second, &bill);
    let stands = report(book, "2026-03-18");
    assert_eq!(stands.standing.state, OrderState::Here);
    assert_eq!(stands.billed, cents("60.00"));
    assert_eq!(stands.billed, stands.expected.total);
    assert_eq!(stands.item_cost("CARD"), (96, cents("60.00")));
    assert_eq!(balance(book, Role::MadeGoods), cents("60.00"));
}

#[test]
fn a_claim_credited_weeks_later_lowers_what_is_left_and_what_was_sold() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let first = arrival("1", "2026-03-10", &[("CARD", 56, 4)]);
    let bill = billed(book, &["40.00"]);
    let (arrived, _entry) = arrive(book, &order, &first, &bill);
    let second = arrival("2", "2026-03-17", &[("CARD", 40, 0)]);
    let bill = billed(book, &["20.00"]);
    arrive(book, &order, &second, &bill);
    sell(book, "2026-03-20", "CARD", 24, cents("96.00"));
    // By hand: 60.00 / 96 = 0.625; 24 sold cost 15.00, 72 left are worth 45.00.
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("15.00"));
    assert_eq!(balance(book, Role::MadeGoods), cents("45.00"));
    let mut claim = Claim::new(
        "claim 1",
        arrived,
        Some("CARD".to_owned()),
        day("2026-03-11"),
        4,
        cents("3.36"),
    );
    claim.id = book.keep_claim(&claim).expect("claimed");
    let open = report(book, "2026-04-01");
    assert_eq!(open.open_claims().count(), 1);
    assert_eq!(open.claims[0].claim.age_days(day("2026-04-01")), 21);
    let credit = credit(book, "2026-04-05", cents("3.36"));
    let recording = reports::credit_recording(book, &order, &claim, &credit).expect("a credit");
    book.credit_claim(claim.id, &recording).expect("credited");
    assert_clean(book);
    // By hand: 56.64 / 96 = 0.59; 24 x 0.59 = 14.16, 72 x 0.59 = 42.48.
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("14.16"));
    assert_eq!(balance(book, Role::MadeGoods), cents("42.48"));
    let stands = report(book, "2026-04-06");
    assert_eq!(stands.credited, cents("3.36"));
    assert_eq!(stands.cost(), cents("56.64"));
    assert_eq!(stands.claims[0].claim.state, ClaimState::Credited);
    assert_eq!(stands.item_cost("CARD"), (96, cents("56.64")));
    // Taking the refund back opens the claim again.
    let refund = stands.claims[0].claim.entry.expect("an entry");
    book.reverse(refund, day("2026-04-05"), "typed twice")
        .expect("taken back");
    assert_clean(book);
    let stands = report(book, "2026-04-06");
    assert_eq!(stands.claims[0].claim.state, ClaimState::Open);
    assert_eq!(stands.cost(), cents("60.00"));
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("15.00"));
}

/// Ninety-six good cards and four spoiled for 60.00, the four claimed at 2.40 and credited a fortnight later.
pub fn credited(book: &mut Book, order: &SupplierOrder) {
    let first = arrival("1", "2026-03-10", &[("CARD", 96, 4)]);
    let bill = billed(book, &["60.00"]);
    let (arrived, _entry) = arrive(book, order, &first, &bill);
    let item = Some("CARD".to_owned());
    let mut claim = Claim::new(
        "claim 1",
        arrived,
        item,
        day("2026-03-11"),
        4,
        cents("2.40"),
    );
    claim.id = book.keep_claim(&claim).expect("claimed");
    let credit = credit(book, "2026-03-25", cents("2.40"));
    let recording = reports::credit_recording(book, order, &claim, &credit).expect("a credit");
    book.credit_claim(claim.id, &recording).expect("credited");
}

#[test]
fn in_a_book_that_counts_only_a_credit_lowers_what_the_pieces_cost_all_the_same() {
    let mut test = test_book();
    let book = &mut test.book;
    book.set_settings(&[("stock_keeping", "periodic")])
        .expect("set");
    let order = cards(book);
    credited(book, &order);
    assert_clean(book);
    // By hand: 96 for 57.60, 0.60 each.
    let there = book.stock_on(day("2026-03-31")).expect("readable");
    assert_eq!(there[0].value, cents("57.60"));
    assert_eq!(
        report(book, "2026-03-31").item_cost("CARD"),
        (96, cents("57.60"))
    );
    assert_eq!(balance(book, Role::MadeGoods), Money::ZERO);
}

#[test]
fn a_bill_that_came_later_is_spread_by_value_over_what_is_left_and_what_was_sold() {
    let mut test = test_book();
    let book = &mut test.book;
    keep_item(book, "CARD");
    keep_item(book, "TAG");
    let lines = vec![order_line("CARD", 100, 60), order_line("TAG", 50, 80)];
    let mut order = SupplierOrder::new("cards", "Hillside Print", day("2026-03-01"), lines);
    order.id = book.keep_supplier_order(&order).expect("kept");
    let first = arrival("1", "2026-03-10", &[("CARD", 100, 0), ("TAG", 50, 0)]);
    let bill = billed(book, &["60.00", "40.00"]);
    arrive(book, &order, &first, &bill);
    sell(book, "2026-03-12", "CARD", 25, cents("75.00"));
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("15.00"));
    let duty = LateBill {
        date: day("2026-04-02"),
        supplier: "Parcel carrier".to_owned(),
        amount: cents("10.00"),
        what: "Duty".to_owned(),
        paid_from: bank(book),
        reference: String::new(),
    };
    let stands = report(book, "2026-04-02");
    let recording =
        reports::bill_later_recording(book, &[&stands.arrivals[0]], &duty).expect("a bill");
    book.record(&recording).expect("recorded");
    assert_clean(book);
    // By hand: 6.00 to the cards, 4.00 to the tags; a quarter of the cards is sold and takes 1.50 along.
    let stands = report(book, "2026-04-03");
    let [cards, tags] = stands.arrivals[0].lines.as_slice() else {
        panic!("two lines");
    };
    assert_eq!((cards.later, tags.later), (cents("6.00"), cents("4.00")));
    assert_eq!(stands.later, cents("10.00"));
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("16.50"));
    assert_eq!(balance(book, Role::MadeGoods), cents("93.50"));
}

#[test]
fn a_bill_for_the_whole_order_is_spread_over_both_arrivals_by_value() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    for (key, date, good, amount) in [
        ("1", "2026-03-10", 60, "40.00"),
        ("2", "2026-03-17", 40, "20.00"),
    ] {
        let bill = billed(book, &[amount]);
        arrive(
            book,
            &order,
            &arrival(key, date, &[("CARD", good, 0)]),
            &bill,
        );
    }
    let freight = LateBill {
        date: day("2026-04-02"),
        supplier: "Parcel carrier".to_owned(),
        amount: cents("6.00"),
        what: "Freight".to_owned(),
        paid_from: bank(book),
        reference: String::new(),
    };
    let stands = report(book, "2026-04-02");
    let both: Vec<_> = stands.arrivals.iter().collect();
    let recording = reports::bill_later_recording(book, &both, &freight).expect("a bill");
    book.record(&recording).expect("recorded");
    assert_clean(book);
    // By hand: 6.00 x 40 / 60 = 4.00 and 2.00.
    let stands = report(book, "2026-04-03");
    let later: Vec<Money> = stands
        .arrivals
        .iter()
        .map(|one| one.lines[0].later)
        .collect();
    assert_eq!(later, [cents("4.00"), cents("2.00")]);
    assert_eq!(stands.cost(), cents("66.00"));
    assert_eq!(balance(book, Role::MadeGoods), cents("66.00"));
}

#[test]
fn one_bill_paid_with_the_order_waits_until_the_pieces_come() {
    let mut test = test_book();
    let book = &mut test.book;
    let mut order = cards(book);
    order.billing = Billing::OneBill;
    book.keep_supplier_order(&order).expect("changed");
    let mut bill = ArrivalBill::nothing(0, bank(book));
    bill.ahead = cents("60.00");
    arrive(book, &order, &arrival("bill", "2026-03-01", &[]), &bill);
    assert_eq!(balance(book, Role::PaidInAdvance), cents("60.00"));
    let stands = report(book, "2026-03-05");
    assert_eq!(
        (stands.billed, stands.ahead),
        (cents("60.00"), cents("60.00"))
    );
    assert_eq!(stands.standing.state, OrderState::Open);
    let advance = Payment::Account(book.chart().role(Role::PaidInAdvance).expect("an account"));
    let mut bill = billed(book, &["40.00"]);
    bill.paid_from = advance;
    arrive(
        book,
        &order,
        &arrival("1", "2026-03-10", &[("CARD", 60, 0)]),
        &bill,
    );
    let mut bill = billed(book, &["20.00"]);
    bill.paid_from = advance;
    arrive(
        book,
        &order,
        &arrival("2", "2026-03-17", &[("CARD", 40, 0)]),
        &bill,
    );
    let stands = report(book, "2026-03-18");
    assert_eq!((stands.billed, stands.ahead), (cents("60.00"), Money::ZERO));
    assert_eq!(balance(book, Role::PaidInAdvance), Money::ZERO);
    assert_eq!(balance(book, Role::MadeGoods), cents("60.00"));
}

#[test]
fn pieces_sent_once_more_for_nothing_lower_the_cost_of_each() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let bill = billed(book, &["60.00"]);
    arrive(
        book,
        &order,
        &arrival("1", "2026-03-10", &[("CARD", 96, 4)]),
        &bill,
    );
    let bill = billed(book, &["0"]);
    let (_id, entry) = arrive(
        book,
        &order,
        &arrival("2", "2026-03-20", &[("CARD", 4, 0)]),
        &bill,
    );
    assert_eq!(entry, None);
    let stands = report(book, "2026-03-21");
    assert_eq!(stands.item_cost("CARD"), (100, cents("60.00")));
    // By hand: 100 for 60.00, so ten cost 6.00.
    sell(book, "2026-03-22", "CARD", 10, cents("40.00"));
    assert_eq!(balance(book, Role::CostOfGoodsSold), cents("6.00"));
    assert_clean(book);
}

#[test]
fn pieces_of_which_none_is_good_are_waste_until_they_are_credited() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let bill = billed(book, &["60.00"]);
    let (arrived, _entry) = arrive(
        book,
        &order,
        &arrival("1", "2026-03-10", &[("CARD", 0, 100)]),
        &bill,
    );
    assert_eq!(balance(book, Role::Waste), cents("60.00"));
    let item = Some("CARD".to_owned());
    let mut claim = Claim::new(
        "claim 1",
        arrived,
        item,
        day("2026-03-11"),
        100,
        cents("60.00"),
    );
    claim.id = book.keep_claim(&claim).expect("claimed");
    let credit = credit(book, "2026-03-25", cents("60.00"));
    let recording = reports::credit_recording(book, &order, &claim, &credit).expect("a credit");
    book.credit_claim(claim.id, &recording).expect("credited");
    assert_eq!(balance(book, Role::Waste), Money::ZERO);
    assert_eq!(report(book, "2026-03-26").cost(), Money::ZERO);
    assert_clean(book);
}

#[test]
fn orders_late_and_claims_open_want_doing() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let words = |book: &Book, today: &str| -> Vec<String> {
        reports::open_needs(book, day(today))
            .expect("needs")
            .into_iter()
            .map(|need| need.what)
            .filter(|what| what.contains("Hillside"))
            .collect()
    };
    assert!(words(book, "2026-03-11").is_empty());
    assert_eq!(
        words(book, "2026-03-12"),
        ["Ordered, not here yet: order cards from Hillside Print"]
    );
    let bill = billed(book, &["60.00"]);
    let (arrived, _entry) = arrive(
        book,
        &order,
        &arrival("1", "2026-03-12", &[("CARD", 96, 4)]),
        &bill,
    );
    let item = Some("CARD".to_owned());
    let claim = Claim::new(
        "claim 1",
        arrived,
        item,
        day("2026-03-13"),
        4,
        cents("2.40"),
    );
    book.keep_claim(&claim).expect("claimed");
    assert_eq!(
        words(book, "2026-04-02"),
        ["2.40 claimed from Hillside Print, open for 20 days"]
    );
}

#[test]
fn terms_are_offered_again_and_the_design_is_no_longer_new() {
    let mut test = test_book();
    let book = &mut test.book;
    cards(book);
    let orders = book.supplier_orders().expect("readable");
    let last = last_order_of(&orders, "hillside print", "card", 0).expect("there");
    let offered = last.offered("CARD").expect("a line");
    assert!(!offered.is_first_run);
    assert_eq!(offered.once_per_run, cents("10.00"));
    assert_eq!(last_order_of(&orders, "Another house", "CARD", 0), None);
}

#[test]
fn what_cannot_be_is_refused_and_nothing_is_kept() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let again = SupplierOrder {
        id: 0,
        ..order.clone()
    };
    refused(
        book.keep_supplier_order(&again),
        "another order has this key already",
    );
    let bill = billed(book, &["60.00"]);
    let first = arrival("1", "2026-03-10", &[("CARD", 96, 4)]);
    let (arrived, entry) = arrive(book, &order, &first, &bill);
    let recording = reports::arrival_recording(book, &order, &first, &bill).expect("a recording");
    refused(
        book.record_arrival(order.id, &first, recording.as_ref()),
        "an arrival of this order has this key already",
    );
    assert_eq!(
        book.entry_count().expect("a count"),
        entry.expect("an entry").0
    );
    let early = arrival("0", "2026-02-27", &[("CARD", 1, 0)]);
    refused(
        book.record_arrival(order.id, &early, None),
        "it cannot come before it was ordered",
    );
    let item = Some("CARD".to_owned());
    let claim = Claim::new(
        "claim 1",
        arrived,
        item,
        day("2026-03-11"),
        5,
        cents("3.00"),
    );
    refused(
        book.keep_claim(&claim),
        "4 spoiled pieces of CARD are left to claim, not 5",
    );
    refused(
        book.remove_supplier_order(order.id),
        "something came of order cards; close it instead, or take its arrivals back",
    );
    let mut other = order.clone();
    other.lines = vec![order_line("CARD", 100, 50)];
    other.key = "other".to_owned();
    assert!(book.keep_supplier_order(&other).is_err());
    assert_clean(book);
}

#[track_caller]
fn refused<T: std::fmt::Debug>(result: Result<T, BookError>, words: &str) {
    let error = result.expect_err("refused").to_string();
    assert!(error.contains(words), "{error}");
}

#[test]
fn an_arrival_taken_back_counts_no_more() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let bill = billed(book, &["60.00"]);
    let (_id, entry) = arrive(
        book,
        &order,
        &arrival("1", "2026-03-10", &[("CARD", 96, 4)]),
        &bill,
    );
    book.reverse(
        entry.expect("an entry"),
        day("2026-03-10"),
        "another order's",
    )
    .expect("taken back");
    assert_clean(book);
    let stands = report(book, "2026-03-11");
    assert_eq!(stands.standing.state, OrderState::Open);
    assert_eq!(stands.billed, Money::ZERO);
    assert!(stands.arrivals[0].arrival.is_void);
}
