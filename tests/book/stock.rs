//! Stock through the file: arrivals, batches, sales and counts post what they are worth; what comes later puts earlier
//! costs right; the ledger and the movements agree on every day. How costs are computed is tested in core.

use deckle::book::{Book, BookError};
use deckle::happenings::{
    Happening, Payment, Purchase, PurchaseDetails, PurchaseLine, Recording, RefundedPurchase, Sale,
    SaleDetails, SaleLine, SupplierRefund, SupplierRefundDetails, SupplierRefundLine,
};
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, Line};
use deckle::money::{Money, Percent, Quantity};
use deckle::stock::{
    CostMethod, Item, ItemKind, Movement, MovementId, MovementKind, Recipe, RecipeInput, Unit,
};
use proptest::prelude::*;

use crate::support::{account, assert_clean, day, test_book};

pub fn cents(text: &str) -> Money {
    deckle::money::Currency::from_code("USD")
        .expect("a currency")
        .parse_plain(text)
        .expect("an amount")
}

pub fn many(text: &str) -> Quantity {
    text.parse().expect("a quantity")
}

pub fn keep(book: &mut Book, code: &str, kind: ItemKind, unit: &str) {
    let item = Item::new(
        code,
        code.to_lowercase(),
        kind,
        Unit::new(unit).expect("a unit"),
    );
    book.put_item(&item).expect("kept");
}

pub fn bought(
    book: &Book,
    date: &str,
    number: &str,
    code: &str,
    quantity: &str,
    amount: &str,
) -> Recording {
    let mut line = PurchaseLine::new(account(book, number), cents(amount), code);
    line.item = Some(code.to_owned());
    line.quantity = Some(many(quantity));
    let details = PurchaseDetails::new(
        day(date),
        "Paper mill",
        Payment::Account(account(book, "1000")),
        vec![line],
    );
    let purchase = Purchase::new(details).expect("a purchase");
    purchase.recording(book.chart()).expect("a recording")
}

pub fn sold(book: &Book, date: &str, code: &str, quantity: &str, amount: &str) -> Recording {
    let mut line = SaleLine::new(cents(amount), code);
    line.item = Some(code.to_owned());
    line.quantity = Some(many(quantity));
    let details = SaleDetails::new(day(date), account(book, "1050"), vec![line]);
    let sale = Sale::new(details).expect("a sale");
    sale.recording(book.chart()).expect("a recording")
}

pub fn moved(code: &str, kind: MovementKind, quantity: &str) -> Movement {
    Movement::new(MovementId(0), day("2026-01-01"), code, kind, many(quantity))
}

pub fn batch(book: &mut Book, date: &str, key: &str, paper: &str, good: &str, abnormal: &str) {
    let header = EntryHeader::new(day(date), EntryKind::Batch).memo(key);
    let mut take = moved("PAPER", MovementKind::Use, paper);
    take.batch = Some(key.to_owned());
    let mut make = moved("NOTEBOOK", MovementKind::Make, good);
    make.batch = Some(key.to_owned());
    make.abnormal = many(abnormal);
    book.move_stock(&header, &[], &[take, make]).expect("made");
}

pub fn out(
    book: &mut Book,
    date: &str,
    code: &str,
    kind: MovementKind,
    quantity: &str,
) -> Option<EntryNumber> {
    let header = EntryHeader::new(day(date), EntryKind::StockOut).memo(code);
    book.move_stock(&header, &[], &[moved(code, kind, quantity)])
        .expect("moved")
}

pub fn net(book: &Book, number: &str) -> Money {
    let balances = book.balances_to(day("2027-12-31")).expect("readable");
    balances.net(account(book, number))
}

pub fn items(book: &mut Book) {
    keep(book, "PAPER", ItemKind::Material, "sheet");
    keep(book, "NOTEBOOK", ItemKind::Made, "piece");
}

/// By hand: 500 sheets for 50.00; 100 into a batch of 18 good notebooks and 2 spoiled beyond what is normal: 10.00, of
/// which 1.00 is lost and 0.50 is in each; 10 sold, 2 given as samples, and a count finds 5 of the 6 that are left.
fn first_weeks(book: &mut Book) {
    items(book);
    book.record(&bought(book, "2026-01-05", "1200", "PAPER", "500", "50.00"))
        .expect("bought");
    batch(book, "2026-01-06", "B1", "100", "18", "2");
    book.record(&sold(book, "2026-01-10", "NOTEBOOK", "10", "120.00"))
        .expect("sold");
    out(book, "2026-01-12", "NOTEBOOK", MovementKind::Sample, "2");
    let header = EntryHeader::new(day("2026-01-31"), EntryKind::StockCount).memo("January");
    book.move_stock(&header, &[], &[moved("NOTEBOOK", MovementKind::Count, "5")])
        .expect("counted");
}

#[test]
fn a_first_month_of_stock_posts_what_it_is_worth() {
    let mut test = test_book();
    first_weeks(&mut test.book);
    let book = &test.book;
    assert_clean(book);
    assert_eq!(net(book, "1200"), cents("40.00"));
    assert_eq!(net(book, "1210"), cents("2.50"));
    assert_eq!(net(book, "1225"), Money::ZERO);
    assert_eq!(net(book, "5000"), cents("5.00"));
    assert_eq!(net(book, "5020"), cents("1.50"));
    assert_eq!(net(book, "6300"), cents("1.00"));
    let on_hand: Vec<(String, String, Money)> = book
        .stock_on(day("2026-01-31"))
        .expect("read")
        .into_iter()
        .map(|one| (one.item.code, one.quantity.to_string(), one.value))
        .collect();
    assert_eq!(
        on_hand,
        [
            ("NOTEBOOK".to_owned(), "5".to_owned(), cents("2.50")),
            ("PAPER".to_owned(), "400".to_owned(), cents("40.00")),
        ]
    );
}

/// By hand: the same month with 500 sheets for 100.00 more, written down afterwards but dated before the batch: a sheet
/// then cost 0.15, so each notebook 0.75.
#[test]
fn a_purchase_that_is_told_late_puts_right_what_followed() {
    let mut test = test_book();
    first_weeks(&mut test.book);
    let book = &mut test.book;
    let late = bought(book, "2026-01-05", "1200", "PAPER", "500", "100.00");
    book.record(&late).expect("bought");
    assert_clean(book);
    assert_eq!(net(book, "1200"), cents("135.00"));
    assert_eq!(net(book, "1210"), cents("3.75"));
    assert_eq!(net(book, "5000"), cents("7.50"));
    assert_eq!(net(book, "5020"), cents("2.25"));
    assert_eq!(net(book, "6300"), cents("1.50"));
    assert_eq!(
        book.undo().expect("undone").as_deref(),
        Some("Bought: Paper mill")
    );
    assert_clean(book);
    assert_eq!(net(book, "1210"), cents("2.50"));
    assert!(book.redo().expect("redone").is_some());
    assert_clean(book);
    assert_eq!(net(book, "1210"), cents("3.75"));
}

#[test]
fn what_would_change_a_locked_period_is_refused_whole() {
    let mut test = test_book();
    first_weeks(&mut test.book);
    let book = &mut test.book;
    book.lock_through(day("2026-01-20")).expect("locked");
    let before = book.entry_count().expect("counted");
    let late = bought(book, "2026-01-05", "1200", "PAPER", "500", "100.00");
    assert!(matches!(book.record(&late), Err(BookError::Locked { .. })));
    let header = EntryHeader::new(day("2026-01-15"), EntryKind::StockCount).memo("late");
    let count = book.move_stock(&header, &[], &[moved("NOTEBOOK", MovementKind::Count, "9")]);
    assert!(matches!(count, Err(BookError::Locked { .. })));
    assert_eq!(book.entry_count().expect("counted"), before);
    assert_clean(book);
}

/// A sale that is taken back puts its pieces on the shelf again, on its own day only.
#[test]
fn a_sale_is_taken_back_with_its_cost() {
    let mut test = test_book();
    first_weeks(&mut test.book);
    let book = &mut test.book;
    let refused = book.reverse(EntryNumber(3), day("2026-02-01"), "typed twice");
    assert!(matches!(refused, Err(BookError::Refused(_))), "{refused:?}");
    book.reverse(EntryNumber(3), day("2026-01-10"), "typed twice")
        .expect("taken back");
    assert_clean(book);
    assert_eq!(net(book, "4000"), Money::ZERO);
    assert_eq!(net(book, "5000"), Money::ZERO);
    // The count still says five, so ten more are missing than before.
    assert_eq!(net(book, "1210"), cents("2.50"));
    assert_eq!(net(book, "5020"), cents("6.50"));
    while book.undo().expect("undone").is_some() {}
    assert_eq!(book.entry_count().expect("counted"), 0);
    assert_clean(book);
}

/// By hand: twenty covers for 12.00, half sold; duty of 4.00 comes in February: two for what is left, two for what went.
#[test]
fn a_duty_bill_that_comes_later_finds_its_arrival() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    book.record(&bought(book, "2026-01-05", "1220", "COVER", "20", "12.00"))
        .expect("bought");
    book.record(&sold(book, "2026-01-20", "COVER", "10", "30.00"))
        .expect("sold");
    let mut line = PurchaseLine::new(account(book, "1220"), cents("4.00"), "Duty");
    line.item = Some("COVER".to_owned());
    let details = PurchaseDetails::new(
        day("2026-02-08"),
        "Carrier",
        Payment::Account(account(book, "1000")),
        vec![line],
    );
    let mut bill = Purchase::new(details)
        .expect("a purchase")
        .recording(book.chart())
        .expect("a recording");
    let without = book.record(&bill);
    assert!(matches!(without, Err(BookError::Refused(_))), "{without:?}");
    let mut later = moved("COVER", MovementKind::LaterCost, "0");
    later.value = cents("4.00");
    later.of = Some(book.movements_of(EntryNumber(1)).expect("read")[0].id);
    bill.movements.push(later);
    book.record(&bill).expect("billed");
    assert_clean(book);
    assert_eq!(net(book, "1220"), cents("8.00"));
    assert_eq!(net(book, "5000"), cents("8.00"));
}

/// By hand: twenty covers for 12.00, half sold; 2.40 is credited for spoiled ones, none of which goes back: half of it
/// lowers what is left to 4.80, half what the sold ones cost to 4.80.
#[test]
fn a_credit_without_pieces_lowers_the_cost_of_its_arrival() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    let mut arrival = bought(book, "2026-01-05", "1220", "COVER", "20", "12.00");
    arrival.entry.header.document = "R-1".to_owned();
    book.record(&arrival).expect("bought");
    book.record(&sold(book, "2026-01-20", "COVER", "10", "30.00"))
        .expect("sold");
    book.record(&credited(book, "2026-02-08", "2.40"))
        .expect("credited");
    assert_clean(book);
    assert_eq!(net(book, "1220"), cents("4.80"));
    assert_eq!(net(book, "5000"), cents("4.80"));
    let too_far = book.record(&credited(book, "2026-02-09", "9.60"));
    assert!(too_far.is_ok(), "all of it may come back: {too_far:?}");
    book.undo().expect("undone");
    assert_clean(book);
    assert_eq!(net(book, "1220"), cents("4.80"));
}

/// By hand: as above, but the arrival is not known: the stock keeps its 6.00, and the 2.40 lower what was sold.
#[test]
fn a_credit_whose_arrival_is_not_known_leaves_the_stock_alone() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    book.record(&bought(book, "2026-01-05", "1220", "COVER", "20", "12.00"))
        .expect("bought");
    book.record(&sold(book, "2026-01-20", "COVER", "10", "30.00"))
        .expect("sold");
    book.record(&credited(book, "2026-02-08", "2.40"))
        .expect("credited");
    assert_clean(book);
    assert_eq!(net(book, "1220"), cents("6.00"));
    assert_eq!(net(book, "5000"), cents("3.60"));
}

pub fn credited(book: &Book, date: &str, amount: &str) -> Recording {
    let purchase = RefundedPurchase {
        document: "R-1".to_owned(),
        date: day("2026-01-05"),
        supplier: "Paper mill".to_owned(),
        paid_from: Some(account(book, "1000")),
        lines: vec![SupplierRefundLine {
            account: account(book, "1220"),
            amount: cents("12.00"),
            description: "COVER".to_owned(),
            quantity: Some(many("20")),
            item: Some("COVER".to_owned()),
        }],
        refunded: Money::ZERO,
    };
    let details = SupplierRefundDetails::in_proportion(
        day(date),
        purchase,
        account(book, "1000"),
        cents(amount),
    );
    SupplierRefund::new(details)
        .expect("a refund")
        .recording(book.chart())
        .expect("a recording")
}

/// By hand: ten for 1.00 and ten for 2.00, ten sold: 1.50 at average, 1.00 first in first out. The half between is posted
/// on the day of the sale when the way is changed, and not at all when that day is locked.
#[test]
fn another_way_of_costing_works_out_anew_what_moved() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    for (date, amount) in [("2026-01-05", "1.00"), ("2026-01-06", "2.00")] {
        book.record(&bought(book, date, "1220", "COVER", "10", amount))
            .expect("bought");
    }
    book.record(&sold(book, "2026-01-20", "COVER", "10", "30.00"))
        .expect("sold");
    assert_eq!(net(book, "5000"), cents("1.50"));
    book.set_settings(&[("costing", "fifo")]).expect("changed");
    assert_clean(book);
    assert_eq!(net(book, "5000"), cents("1.00"));
    let last = book.entry_count().expect("counted");
    let posted = book.entry(EntryNumber(last)).expect("read");
    assert_eq!(posted.entry.header.kind, EntryKind::StockCost);
    assert_eq!(posted.entry.header.date, day("2026-01-20"));
    book.lock_through(day("2026-01-31")).expect("locked");
    let refused = book.set_settings(&[("costing", "average")]);
    assert!(refused.is_err(), "{refused:?}");
    assert_eq!(book.settings().costing(), CostMethod::Fifo);
    assert_clean(book);
}

/// A line that named a code before it was kept has no movement, so the item is given another code.
#[test]
fn a_code_that_stands_on_its_stock_account_already_is_refused() {
    let mut test = test_book();
    let book = &mut test.book;
    book.record(&bought(book, "2026-01-05", "1220", "COVER", "10", "1.00"))
        .expect("bought");
    let item = Item::new(
        "cover",
        "Cover",
        ItemKind::BoughtIn,
        Unit::new("piece").expect("a unit"),
    );
    let refused = book.put_item(&item).expect_err("refused").to_string();
    assert_eq!(
        refused,
        "entry 1 names cover on 1220 Bought-in goods on hand without a movement; give the item another code, and bring \
         what lies there in as received with paid_from none; nothing was changed"
    );
    let other = Item {
        code: "COVER-A5".to_owned(),
        ..item
    };
    book.put_item(&other).expect("kept");
    assert_clean(book);
}

#[test]
fn items_and_recipes_that_cannot_be_are_refused() {
    let mut test = test_book();
    first_weeks(&mut test.book);
    let book = &mut test.book;
    let metres = Item::new(
        "PAPER",
        "paper",
        ItemKind::Material,
        Unit::new("m").expect("a unit"),
    );
    assert!(matches!(book.put_item(&metres), Err(BookError::Refused(_))));
    let recipe = |yields: &str, input: &str| Recipe {
        item: "NOTEBOOK".to_owned(),
        batch_quantity: many(yields),
        inputs: vec![RecipeInput {
            item: input.to_owned(),
            quantity: many("5"),
        }],
        own_minutes: many("30"),
        normal_waste: Percent::ZERO,
        outside: Money::ZERO,
    };
    for (wrong, says) in [
        (recipe("0", "PAPER"), "a batch must yield more than nothing"),
        (recipe("20", "NOTEBOOK"), "NOTEBOOK would need itself"),
    ] {
        let error = book.put_recipe(&wrong).expect_err("refused").to_string();
        assert!(error.contains(says), "{error}");
    }
    assert!(matches!(
        book.put_recipe(&recipe("20", "INK")),
        Err(BookError::NoSuch { .. })
    ));
    book.put_recipe(&recipe("20", "PAPER")).expect("kept");
    assert_eq!(book.recipes().expect("read"), [recipe("20", "PAPER")]);
    let unknown = book.move_stock(
        &EntryHeader::new(day("2026-02-01"), EntryKind::StockOut),
        &[],
        &[moved("INK", MovementKind::Use, "1")],
    );
    assert!(matches!(unknown, Err(BookError::NoSuch { .. })));
}

/// Outside work is paid in the batch's own entry and stands in what the pieces cost.
#[test]
fn outside_work_is_part_of_the_pieces() {
    let mut test = test_book();
    let book = &mut test.book;
    items(book);
    book.record(&bought(book, "2026-01-05", "1200", "PAPER", "100", "10.00"))
        .expect("bought");
    let mut take = moved("PAPER", MovementKind::Use, "100");
    take.batch = Some("B1".to_owned());
    let mut make = moved("NOTEBOOK", MovementKind::Make, "20");
    make.batch = Some("B1".to_owned());
    make.value = cents("6.00");
    let lines = [
        Line::debit(account(book, "1225"), cents("6.00")).memo("cutting"),
        Line::credit(account(book, "1000"), cents("6.00")),
    ];
    let header = EntryHeader::new(day("2026-01-06"), EntryKind::Batch).memo("B1");
    book.move_stock(&header, &lines, &[take, make])
        .expect("made");
    assert_clean(book);
    assert_eq!(net(book, "1210"), cents("16.00"));
    assert_eq!(net(book, "1225"), Money::ZERO);
}

/// What can happen, for the property below.
#[derive(Clone, Debug)]
enum Deed {
    Buy(u8, u16, u32),
    Make(u8, u16, u16),
    Sell(u8, u16),
    Waste(u8, u16),
    Count(u8, u16),
    TakeBack(u8),
    Undo,
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    let deed = prop_oneof![
        3 => (0..40_u8, 1..400_u16, 1..9000_u32).prop_map(|(d, q, v)| Deed::Buy(d, q, v)),
        3 => (0..40_u8, 1..300_u16, 1..40_u16).prop_map(|(d, p, g)| Deed::Make(d, p, g)),
        3 => (0..40_u8, 1..30_u16).prop_map(|(d, q)| Deed::Sell(d, q)),
        1 => (0..40_u8, 1..50_u16).prop_map(|(d, q)| Deed::Waste(d, q)),
        1 => (0..40_u8, 0..40_u16).prop_map(|(d, q)| Deed::Count(d, q)),
        1 => (0..30_u8).prop_map(Deed::TakeBack),
        1 => Just(Deed::Undo),
    ];
    prop::collection::vec(deed, 1..16)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever is done in whatever order, the stock agrees with the ledger on every day, and undoing leads back.
    #[test]
    fn stock_and_ledger_agree_whatever_happens(
        deeds in deeds(),
        keeping in prop_oneof![Just("perpetual"), Just("periodic")],
        costing in prop_oneof![Just("average"), Just("fifo")],
    ) {
        let mut test = test_book();
        let book = &mut test.book;
        book.set_settings(&[("stock_keeping", keeping), ("costing", costing)]).expect("chosen");
        items(book);
        let date = |after: u8| (day("2026-01-01") + chrono::Days::new(after.into())).to_string();
        for (nth, deed) in deeds.into_iter().enumerate() {
            match deed {
                Deed::Buy(after, quantity, minor) => {
                    let amount = format!("{}.{:02}", minor / 100, minor % 100);
                    let told = bought(book, &date(after), "1200", "PAPER", &quantity.to_string(), &amount);
                    book.record(&told).expect("bought");
                }
                Deed::Make(after, paper, good) => {
                    batch(book, &date(after), &format!("B{nth}"), &paper.to_string(), &good.to_string(), "1");
                }
                Deed::Sell(after, quantity) => {
                    let told = sold(book, &date(after), "NOTEBOOK", &quantity.to_string(), "10.00");
                    book.record(&told).expect("sold");
                }
                Deed::Waste(after, quantity) => {
                    out(book, &date(after), "PAPER", MovementKind::Waste, &quantity.to_string());
                }
                Deed::Count(after, quantity) => {
                    let header = EntryHeader::new(day(&date(after)), EntryKind::StockCount);
                    let count = moved("NOTEBOOK", MovementKind::Count, &quantity.to_string());
                    book.move_stock(&header, &[], &[count]).expect("counted");
                }
                Deed::TakeBack(which) => {
                    let number = EntryNumber(u64::from(which) + 1);
                    if let Ok(posted) = book.entry(number) {
                        let _refused_or_done = book.reverse(number, posted.entry.header.date, "wrong");
                    }
                }
                Deed::Undo => {
                    let is_kept = |label: &str| label.starts_with("Item") || label.starts_with("Settings");
                    if !book.undo_label().is_some_and(is_kept) {
                        book.undo().expect("undone");
                    }
                }
            }
            assert_clean(book);
        }
        while book.undo().expect("undone").is_some() {}
        assert_clean(book);
        prop_assert_eq!(book.entry_count().expect("counted"), 0);
    }
}
