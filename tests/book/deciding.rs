//! What is told beside batches and the comparisons kept with products: changed, refused, undone and taken back; what
//! products left.

use deckle::book::Book;
use deckle::dates::DateRange;
use deckle::deciding::{OwnTime, PriceTier, Run, SavedComparison, UnitCost, WaysAsk};
use deckle::ledger::{EntryHeader, EntryKind, Line};
use deckle::money::{Money, Percent, Quantity};
use deckle::stock::{
    BatchNote, Bundle, BundlePart, Item, ItemKind, Movement, MovementId, MovementKind, Unit,
};
use rust_decimal::Decimal;

use crate::stock::{bought, cents, keep, many, sold};
use crate::support::{account, assert_clean, day, test_book};

fn quantity(text: &str) -> Quantity {
    text.parse().expect("a quantity")
}

fn item(code: &str, kind: ItemKind) -> Item {
    Item::new(code, code, kind, Unit::new("piece").expect("a unit"))
}

fn comparison(name: &str) -> SavedComparison {
    let each = |cents| UnitCost::from_minor(Decimal::from(cents)).expect("a cost");
    SavedComparison {
        id: 0,
        item: "NOTEBOOK".to_owned(),
        name: name.to_owned(),
        ask: WaysAsk {
            wanted: 40,
            tiers: vec![PriceTier {
                from: 1,
                each: each(100),
            }],
            minimum: 10,
            out_design: Money::from_minor(3000),
            out_run: Money::from_minor(500),
            carriage: Money::from_minor(420),
            each: UnitCost::from_minor(Decimal::new(475, 1)).expect("a cost"),
            batch: Some(20),
            loss: Percent::new(Decimal::from(5)).expect("a share"),
            minutes: Decimal::new(45, 1),
            own_rate: Money::from_minor(2000),
            equipment: Money::from_minor(24_000),
            time: OwnTime::Counted,
            run: Run::Reorder,
        },
    }
}

fn names(book: &Book) -> Vec<String> {
    let list = book.comparisons().expect("readable");
    list.into_iter().map(|one| one.name).collect()
}

#[test]
fn a_comparison_is_kept_renamed_removed_and_had_back() {
    let mut kept = test_book();
    let book = &mut kept.book;
    book.put_item(&item("NOTEBOOK", ItemKind::Made))
        .expect("kept");
    let mut first = comparison("Crannock");
    first.id = book.keep_comparison(&first).expect("kept");
    assert_eq!(book.comparisons().expect("readable"), [first.clone()]);
    book.keep_comparison(&comparison("Alderwick"))
        .expect("kept");
    let same = book.keep_comparison(&comparison("CRANNOCK"));
    assert!(same.is_err_and(|error| error.to_string().contains("already")));
    let nameless = book.keep_comparison(&comparison("  "));
    assert!(nameless.is_err_and(|error| error.to_string().contains("name")));
    let mut without_price = comparison("Nobody");
    without_price.ask.tiers.clear();
    assert!(book.keep_comparison(&without_price).is_err());
    assert_eq!(names(book), ["Alderwick", "Crannock"]);
    first.name = "Crannock, thick paper".to_owned();
    book.keep_comparison(&first).expect("renamed");
    assert_eq!(names(book), ["Alderwick", "Crannock, thick paper"]);
    book.remove_comparison(first.id).expect("removed");
    assert_eq!(names(book), ["Alderwick"]);
    assert!(book.remove_comparison(first.id).is_err());
    book.undo().expect("undone");
    assert_eq!(names(book), ["Alderwick", "Crannock, thick paper"]);
    book.undo().expect("undone");
    assert_eq!(names(book), ["Alderwick", "Crannock"]);
    book.redo().expect("redone");
    assert_eq!(names(book), ["Alderwick", "Crannock, thick paper"]);
    assert_clean(book);
}

#[test]
fn what_a_batch_took_comes_and_goes_with_the_batch() {
    let mut kept = test_book();
    let book = &mut kept.book;
    book.put_item(&item("PAPER", ItemKind::Material))
        .expect("kept");
    book.put_item(&item("NOTEBOOK", ItemKind::Made))
        .expect("kept");
    let movement = |code: &str, kind, many: &str| {
        let date = day("2026-02-01");
        Movement::new(MovementId(0), date, code, kind, quantity(many))
    };
    let mut came = movement("PAPER", MovementKind::Receive, "100");
    came.value = Money::from_minor(1000);
    let header = EntryHeader::new(day("2026-02-01"), EntryKind::Purchase);
    let paid = Line::credit(account(book, "1000"), Money::from_minor(1000));
    book.move_stock(&header, &[paid], &[came]).expect("came in");
    let mut used = movement("PAPER", MovementKind::Use, "40");
    used.batch = Some("B1".to_owned());
    let mut made = movement("NOTEBOOK", MovementKind::Make, "8");
    made.batch = Some("B1".to_owned());
    let note = BatchNote {
        own_minutes: Some(quantity("95.5")),
        spoiled: Some(quantity("2")),
        spoiled_why: "glue too wet".to_owned(),
    };
    let header = EntryHeader::new(day("2026-02-01"), EntryKind::Batch).memo("notebooks");
    let movements = [used, made];
    let number = book
        .make_batch(&header, &[], &movements, &note)
        .expect("made");
    let told = book.batch_notes().expect("readable");
    assert_eq!(
        told.into_values().collect::<Vec<_>>(),
        std::slice::from_ref(&note)
    );
    // Forty of a hundred sheets for 10.00 go into the batch and come out as pieces: 4.00 twice, and nothing of the minutes.
    let posted = book.entry(number.expect("an entry")).expect("readable");
    let total = posted.entry.total();
    assert_eq!(total, Money::from_minor(800));
    book.undo().expect("undone in one step");
    assert!(book.batch_notes().expect("readable").is_empty());
    assert_eq!(book.entry_count().expect("readable"), 1);
    book.redo().expect("redone");
    assert_eq!(book.batch_notes().expect("readable").len(), 1);
    let id = book
        .movements()
        .expect("readable")
        .last()
        .expect("made")
        .0
        .id;
    let too_long = BatchNote {
        own_minutes: Some(quantity("100001")),
        ..BatchNote::default()
    };
    assert!(book.keep_batch_note(id, &too_long).is_err());
    assert!(book.keep_batch_note(MovementId(1), &note).is_err());
    book.keep_batch_note(id, &BatchNote::default())
        .expect("nothing told");
    assert!(book.batch_notes().expect("readable").is_empty());
    assert_clean(book);
}

/// By hand: 20 covers for 12.00, ten sold: 6.00, although a book that counts only has posted all 12.00 already.
#[test]
fn in_a_book_that_counts_only_what_was_sold_cost_something_all_the_same() {
    let mut test = test_book();
    let book = &mut test.book;
    book.set_settings(&[("stock_keeping", "periodic")])
        .expect("chosen");
    keep(book, "COVER", ItemKind::BoughtIn, "piece");
    book.record(&bought(book, "2026-01-05", "1220", "COVER", "20", "12.00"))
        .expect("bought");
    book.record(&sold(book, "2026-01-20", "COVER", "10", "30.00"))
        .expect("sold");
    let range = DateRange {
        from: day("2026-01-01"),
        to: day("2026-12-31"),
    };
    let days = book.stock_sold(range).expect("readable");
    assert_eq!(days.len(), 1);
    assert_eq!((days[0].pieces, days[0].cost), (10.into(), cents("6.00")));
    let left = deckle::reports::margins(book, range).expect("readable");
    assert_eq!(left[0].kept(), cents("24.00"));
}

/// By hand: a set of five cards and one band for 12.00, neither with a price of its own: by number, 10.00 and 2.00.
#[test]
fn a_set_without_single_prices_is_shared_by_number() {
    let mut test = test_book();
    let book = &mut test.book;
    keep(book, "CARD", ItemKind::Made, "piece");
    keep(book, "BAND", ItemKind::BoughtIn, "piece");
    let part = |item: &str, quantity: &str| BundlePart {
        item: item.to_owned(),
        quantity: many(quantity),
    };
    book.put_bundle(&Bundle {
        code: "SET".to_owned(),
        name: "Five cards in a band".to_owned(),
        price: Some(cents("12.00")),
        parts: vec![part("CARD", "5"), part("BAND", "1")],
        is_active: true,
    })
    .expect("kept");
    book.record(&sold(book, "2026-01-20", "SET", "1", "12.00"))
        .expect("sold");
    let range = DateRange {
        from: day("2026-01-01"),
        to: day("2026-12-31"),
    };
    let left = deckle::reports::margins(book, range).expect("readable");
    let income: Vec<_> = left
        .iter()
        .map(|one| (one.item.as_str(), one.income))
        .collect();
    assert_eq!(income, [("CARD", cents("10.00")), ("BAND", cents("2.00"))]);
}
