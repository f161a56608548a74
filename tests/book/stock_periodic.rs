//! A book that counts only: what is bought is a cost at once, and each count values what lies there.
//! Books that follow every movement are tested in `stock`.

use deckle::book::{Book, BookError};
use deckle::ledger::{EntryHeader, EntryKind, Line};
use deckle::money::Money;
use deckle::stock::{ItemKind, MovementKind};

use super::stock::{bought, cents, items, keep, moved, net, out, sold};
use crate::support::{account, assert_clean, day, test_book};

/// OpenStax, Principles of Accounting, Volume 1, section 10.2: first in first out counted at the period's end. 150 at 21,
/// 225 at 27 and 210 at 33 make 16,155; 285 are counted: 8,955 in stock, 7,200 sold.
#[test]
fn a_book_that_counts_only_gives_the_published_period_end_figures() {
    let mut test = test_book();
    let book = &mut test.book;
    book.set_settings(&[("costing", "fifo"), ("stock_keeping", "periodic")])
        .expect("chosen");
    keep(book, "SUIT", ItemKind::BoughtIn, "piece");
    for (date, many, amount) in [
        ("2026-07-01", "150", "3150.00"),
        ("2026-07-10", "225", "6075.00"),
        ("2026-07-25", "210", "6930.00"),
    ] {
        book.record(&bought(book, date, "1220", "SUIT", many, amount))
            .expect("bought");
    }
    for (date, many, amount) in [
        ("2026-07-05", "120", "4320.00"),
        ("2026-07-15", "180", "7020.00"),
    ] {
        book.record(&sold(book, date, "SUIT", many, amount))
            .expect("sold");
    }
    // What is bought is a cost at once, and a sale adds none.
    assert_eq!(net(book, "1220"), Money::ZERO);
    assert_eq!(net(book, "5000"), cents("16155.00"));
    assert_clean(book);
    let count = |book: &mut Book, many: &str| {
        let header = EntryHeader::new(day("2026-07-31"), EntryKind::StockCount).memo("July");
        book.move_stock(&header, &[], &[moved("SUIT", MovementKind::Count, many)])
            .expect("counted")
    };
    count(book, "285");
    assert_eq!(net(book, "1220"), cents("8955.00"));
    assert_eq!(net(book, "5000"), cents("7200.00"));
    assert_clean(book);
    // Sales less that is the published gross margin.
    assert_eq!(net(book, "4000") + net(book, "5000"), cents("-4140.00"));
    let working = deckle::reports::cost_of_goods_sold(
        book,
        deckle::dates::DateRange {
            from: day("2026-01-01"),
            to: day("2026-12-31"),
        },
    )
    .expect("worked");
    assert_eq!(working.purchases, cents("16155.00"));
    assert_eq!(working.closing, cents("8955.00"));
    assert_eq!(working.sold(), cents("7200.00"));
    // A purchase found later is a cost, and the count it came before now values by it: 285 are the last 210 and 75 of 40
    // at 30 and 225 at 27, of which 35 are left in the lot of 10 July.
    book.record(&bought(book, "2026-07-20", "1220", "SUIT", "40", "1200.00"))
        .expect("bought");
    assert_clean(book);
    assert_eq!(net(book, "1220"), cents("9075.00"));
    assert_eq!(net(book, "5000"), cents("8280.00"));
    while book.undo().expect("undone").is_some() {}
    assert_clean(book);
}

/// By hand: 500 sheets for 50.00 and outside cutting of 8.00 are costs at once. 100 sheets become 20 notebooks at 0.90
/// each; one goes as a sample and one home, 0.90 each out of the costs. The count finds 390 sheets (39.00) and 15
/// notebooks (13.50).
#[test]
fn a_book_that_counts_only_still_knows_what_a_piece_costs() {
    let mut test = test_book();
    let book = &mut test.book;
    book.set_settings(&[("stock_keeping", "periodic")])
        .expect("chosen");
    items(book);
    book.record(&bought(book, "2026-01-05", "1200", "PAPER", "500", "50.00"))
        .expect("bought");
    let changed = book.set_settings(&[("stock_keeping", "perpetual")]);
    assert!(matches!(changed, Err(BookError::Refused(_))), "{changed:?}");
    let header = EntryHeader::new(day("2026-01-06"), EntryKind::Batch).memo("B1");
    let mut take = moved("PAPER", MovementKind::Use, "100");
    take.batch = Some("B1".to_owned());
    let mut make = moved("NOTEBOOK", MovementKind::Make, "20");
    make.batch = Some("B1".to_owned());
    make.value = cents("8.00");
    let part_made = account(book, "1225");
    let bank = account(book, "1000");
    let mut outside = Line::debit(part_made, cents("8.00")).memo("Cutting");
    outside.item = Some("NOTEBOOK".to_owned());
    let lines = [outside, Line::credit(bank, cents("8.00"))];
    book.move_stock(&header, &lines, &[take, make])
        .expect("made");
    out(book, "2026-01-12", "NOTEBOOK", MovementKind::Sample, "1");
    out(book, "2026-01-13", "NOTEBOOK", MovementKind::OwnUse, "1");
    assert_eq!(net(book, "6300"), cents("0.90"));
    assert_eq!(net(book, "3100"), cents("0.90"));
    assert_eq!(net(book, "5000"), cents("56.20"));
    let header = EntryHeader::new(day("2026-01-31"), EntryKind::StockCount).memo("January");
    let counts = [
        moved("NOTEBOOK", MovementKind::Count, "15"),
        moved("PAPER", MovementKind::Count, "390"),
    ];
    book.move_stock(&header, &[], &counts).expect("counted");
    assert_clean(book);
    assert_eq!(net(book, "1200"), cents("39.00"));
    assert_eq!(net(book, "1210"), cents("13.50"));
    assert_eq!(net(book, "1225"), Money::ZERO);
    assert_eq!(net(book, "5000"), cents("3.70"));
    assert_eq!(net(book, "5020"), Money::ZERO);
}
