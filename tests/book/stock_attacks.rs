//! Ways in which stock and ledger, or an order and its entries, could part, and what the check finds when a file was
//! tampered with. What happens in the ordinary course is `stock`'s and `orders`'.

use deckle::book::{Book, BookError};
use deckle::happenings::Recording;
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, JournalEntry, Line, Role};
use deckle::ordering::Claim;
use deckle::stock::{Bundle, BundlePart, ItemKind};

use crate::orders::{arrival, arrive, billed, cards};
use crate::stock::{batch, bought, cents, credited, items, keep, many, sold};
use crate::support::{account, assert_clean, day, raw, test_book};

/// The refusal's words; the book is as sound as before.
#[track_caller]
fn refused<T: std::fmt::Debug>(book: &Book, result: Result<T, BookError>, words: &str) {
    let said = result.expect_err("refused").to_string();
    assert!(said.contains(words), "{said}");
    assert_clean(book);
}

/// The entry with another code on every line that has one.
fn of_item(book: &Book, number: EntryNumber, code: &str) -> JournalEntry {
    let posted = book.entry(number).expect("there").entry;
    let lines = posted.lines().iter().cloned().map(|mut line| {
        line.item = line.item.map(|_other| code.to_owned());
        line
    });
    JournalEntry::new(posted.header.clone(), lines.collect()).expect("balances")
}

#[test]
fn amending_cannot_move_an_amount_to_another_item() {
    let mut test = test_book();
    let book = &mut test.book;
    items(book);
    keep(book, "BOARD", ItemKind::Material, "sheet");
    let paper = bought(book, "2026-01-05", "1200", "PAPER", "500", "50.00");
    let number = book.record(&paper).expect("bought");
    let other = of_item(book, number, "BOARD");
    let result = book.amend(number, &other, "it was board");
    refused(book, result, "pieces stay");
    // What named no kept item moved nothing, and naming one now would move nothing either.
    let string = bought(book, "2026-01-06", "1200", "STRING", "5", "5.00");
    let number = book.record(&string).expect("bought");
    let other = of_item(book, number, "PAPER");
    let result = book.amend(number, &other, "it was paper");
    refused(book, result, "moved no stock");
    let mut words = book.entry(number).expect("there").entry;
    words.header.memo = "Waxed string".to_owned();
    book.amend(number, &words, "a better word")
        .expect("words may change");
    assert_clean(book);
}

#[test]
fn an_entry_that_moves_nothing_cannot_name_an_item_on_its_stock_account() {
    let mut test = test_book();
    let book = &mut test.book;
    items(book);
    book.record(&bought(book, "2026-01-05", "1200", "PAPER", "500", "50.00"))
        .expect("bought");
    let cases = [
        (EntryKind::Manual, "5.00"),
        (EntryKind::Manual, "-5.00"),
        // A purchase with something taken off the paper as a line of its own.
        (EntryKind::Purchase, "-5.00"),
    ];
    for (kind, amount) in cases {
        let mut line = Line::debit(account(book, "1200"), cents(amount));
        line.item = Some("paper".to_owned());
        line.quantity = Some(many("3"));
        let other = Line::credit(account(book, "1000"), cents(amount));
        let header = EntryHeader::new(day("2026-01-06"), kind);
        let entry = JournalEntry::new(header, vec![line, other]).expect("balances");
        let result = book.record(&Recording::new(entry));
        refused(book, result, "paper is kept in stock");
    }
}

#[test]
fn what_a_later_credit_leans_on_is_named_when_it_is_taken_back() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    let mut told = bought(book, "2026-01-05", "1220", "COVER", "20", "12.00");
    told.entry.header.document = "R-1".to_owned();
    let purchase = book.record(&told).expect("bought");
    let credit = book
        .record(&credited(book, "2026-02-08", "2.40"))
        .expect("credited");
    let result = book.reverse(purchase, day("2026-01-05"), "typed twice");
    refused(book, result, "take entry 2 back first");
    book.reverse(credit, day("2026-02-08"), "typed twice")
        .expect("taken back");
    book.reverse(purchase, day("2026-01-05"), "typed twice")
        .expect("taken back");
    assert_clean(book);
}

#[test]
fn an_arrival_put_beside_its_order_names_as_many_pieces_as_came_in() {
    let mut test = test_book();
    let book = &mut test.book;
    let order = cards(book);
    let told = bought(book, "2026-03-10", "1210", "CARD", "96", "60.00");
    let number = book.record(&told).expect("bought");
    let mut came = arrival("1", "2026-03-10", &[("CARD", 90, 4)]);
    came.entry = Some(number);
    let result = book.restore_arrival(order.id, &came);
    refused(book, result, "no arrival of 90 good CARD");
    came.lines[0].good = 96;
    book.restore_arrival(order.id, &came).expect("kept");
    assert_clean(book);
}

/// By hand: 20 boxes for 10.00, a cost of packaging at once; ten sent back for 5.00 leave 5.00 of it.
#[test]
fn in_a_book_that_counts_only_packaging_sent_back_is_taken_off_packaging() {
    let mut test = test_book();
    let book = &mut test.book;
    book.set_settings(&[("stock_keeping", "periodic")])
        .expect("chosen");
    keep(book, "BOX", ItemKind::Packaging, "piece");
    book.record(&bought(book, "2026-01-05", "1230", "BOX", "20", "10.00"))
        .expect("bought");
    let mut line = Line::credit(account(book, "1230"), cents("5.00"));
    line.item = Some("BOX".to_owned());
    line.quantity = Some(many("10"));
    let bank = Line::debit(account(book, "1000"), cents("5.00"));
    let header = EntryHeader::new(day("2026-01-20"), EntryKind::SupplierRefund);
    let entry = JournalEntry::new(header, vec![line, bank]).expect("balances");
    book.record(&Recording::new(entry)).expect("sent back");
    assert_clean(book);
    let of = |role| book.chart().role(role).expect("an account");
    let balances = book.balances_to(day("2026-12-31")).expect("readable");
    assert_eq!(balances.net(of(Role::Packaging)), cents("5.00"));
    assert_eq!(balances.net(of(Role::CostOfGoodsSold)), cents("0.00"));
}

/// A book with an order that came in part, an open claim, a batch, a set and a sale.
fn with_everything(book: &mut Book) {
    let order = cards(book);
    let bill = billed(book, &["60.00"]);
    let came = arrival("1", "2026-03-10", &[("CARD", 96, 4)]);
    let (arrived, _entry) = arrive(book, &order, &came, &bill);
    let item = Some("CARD".to_owned());
    let claim = Claim::new("1", arrived, item, day("2026-03-11"), 4, cents("2.40"));
    book.keep_claim(&claim).expect("claimed");
    items(book);
    batch(book, "2026-03-11", "B1", "10", "5", "0");
    let part = BundlePart {
        item: "CARD".to_owned(),
        quantity: many("5"),
    };
    book.put_bundle(&Bundle {
        code: "SET".to_owned(),
        name: "Five cards".to_owned(),
        price: None,
        parts: vec![part],
        is_active: true,
    })
    .expect("kept");
    book.record(&sold(book, "2026-03-12", "CARD", "3", "9.00"))
        .expect("sold");
}

/// What was done to the file behind the program's back, and words of what the check says of it.
const DAMAGE: &[(&str, &str)] = &[
    (
        "UPDATE supplier_order_line SET item = 99",
        "a row of item that is not there",
    ),
    (
        "UPDATE supplier_arrival SET of_order = 99",
        "a row of supplier_order that is not there",
    ),
    (
        "UPDATE supplier_claim SET arrival = 99",
        "a row of supplier_arrival that is not there",
    ),
    ("DELETE FROM supplier_order_line", "say what was ordered"),
    (
        "DELETE FROM supplier_arrival_line",
        "did not come with that arrival",
    ),
    (
        "UPDATE supplier_order_line SET tiers = '50:x'",
        "'x' is not an amount",
    ),
    (
        "UPDATE supplier_claim SET state = 'credited'",
        "credited and has no refund",
    ),
    (
        "UPDATE supplier_claim SET state = 'credited', entry = 2",
        "entry 2 is no refund",
    ),
    (
        "UPDATE supplier_claim SET state = 'refused', entry = 2",
        "refused and has a refund",
    ),
    (
        "UPDATE supplier_arrival SET entry = 2",
        "entry 2 is not a purchase",
    ),
    (
        "UPDATE supplier_arrival SET date = '2026-03-09'",
        "no movement of as many",
    ),
    (
        "UPDATE supplier_arrival_line SET movement = 4, good = 3",
        "no movement of as many",
    ),
    (
        "UPDATE bundle_part SET quantity = 'much'",
        "'much' is not an amount",
    ),
    (
        "UPDATE bundle_part SET quantity = '-1'",
        "quantity above nothing",
    ),
    ("DELETE FROM bundle_part", "say what is in the set"),
    (
        "UPDATE bundle SET code = 'CARD'",
        "an item has the same code",
    ),
    (
        "INSERT INTO batch_note VALUES (1, 4, '5', NULL, '')",
        "movement 4 made nothing",
    ),
    (
        "UPDATE item SET packs = 'many'",
        "the packs of an item are unreadable",
    ),
    (
        "UPDATE movement SET entry = 2 WHERE id = 1",
        "of another day than its entry",
    ),
    (
        "UPDATE movement SET value = 4 WHERE id = 1",
        "than is posted",
    ),
    (
        "UPDATE movement SET is_void = 1 WHERE kind = 'sell'",
        "than is posted",
    ),
    (
        "UPDATE stock_posting SET date = '2025-01-01' WHERE entry = 1",
        "on another day or item",
    ),
    (
        "UPDATE stock_posting SET item = 2 WHERE entry = 1",
        "on another day or item",
    ),
];

#[test]
fn the_check_finds_what_was_done_to_orders_sets_and_stock() {
    for (damage, words) in DAMAGE {
        let mut test = test_book();
        with_everything(&mut test.book);
        assert_clean(&test.book);
        let (_folder, path) = test.let_go();
        let conn = raw(&path);
        conn.execute_batch(&format!("PRAGMA foreign_keys = OFF; {damage}"))
            .expect("damaged");
        drop(conn);
        let book = Book::open(&path).expect("opens");
        let faults: Vec<String> = book
            .check()
            .expect("readable")
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(
            faults.iter().any(|fault| fault.contains(words)),
            "{damage}: {faults:#?}"
        );
    }
}
