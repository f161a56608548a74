//! A bill and a credit that came later for something bought without an order, by the window alone: from "What happened?"
//! and from an item's page. Figures are worked by hand.

use deckle::app::App;
use deckle::book::Book;
use deckle::happenings::{Happening, Payment, Purchase, PurchaseDetails, PurchaseLine};
use deckle::ledger::{EntryHeader, EntryKind, EntryNumber, Role};
use deckle::money::Quantity;
use deckle::stock::{Item, ItemKind, Movement, MovementId, MovementKind, Unit, stock_role};
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, count, day, fill, lines, money, new_book, newest, open_form, pick, press, says,
    settle, shown_lines, window, write_down,
};

/// 40 cards for 24.00 and 100 sheets for 16.00 on one paper of 5 September; 20 cards are sold at 12.00 on the 10th.
fn bought_and_half_sold() -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let chart = book.chart().clone();
    let mut bought = Vec::new();
    for (code, name, kind, unit, many, cost) in [
        ("CARD", "Fern cards", ItemKind::BoughtIn, "piece", 40, 2400),
        (
            "SHEET",
            "Text sheets",
            ItemKind::Material,
            "sheet",
            100,
            1600,
        ),
    ] {
        let unit = Unit::new(unit).expect("a unit");
        book.put_item(&Item::new(code, name, kind, unit))
            .expect("kept");
        let account = chart.role(stock_role(kind)).expect("an account");
        let mut line = PurchaseLine::new(account, money(cost), name);
        line.item = Some(code.to_owned());
        line.quantity = Quantity::new(many.into()).ok();
        bought.push(line);
    }
    let bank = Payment::Account(chart.role(Role::BusinessBank).expect("a bank"));
    let mut details = PurchaseDetails::new(day("2026-09-05"), "Hillside Print", bank, bought);
    details.document = "R-9".to_owned();
    let purchase = Purchase::new(details).expect("a purchase");
    book.record(&purchase.recording(&chart).expect("an entry"))
        .expect("kept");
    let sold = Movement::new(
        MovementId(0),
        day("2026-09-10"),
        "CARD",
        MovementKind::Sell,
        Quantity::new(20.into()).expect("a number"),
    );
    let header = EntryHeader::new(day("2026-09-10"), EntryKind::StockOut);
    book.move_stock(&header, &[], &[sold]).expect("gone");
    (folder, book)
}

/// The lines of the entry with this number.
fn written(page: &Harness<'_, App>, number: u64) -> Vec<(String, i64)> {
    let book = page.state().book().expect("a book");
    shown_lines(book, EntryNumber(number))
}

fn worth(page: &Harness<'_, App>, code: &str) -> i64 {
    let book = page.state().book().expect("a book");
    assert_eq!(book.check().expect("checked"), vec![]);
    let stocks = book.stocks().expect("readable");
    stocks.on_hand[code].value.minor()
}

/// Freight of 5.00 by 24.00 and 16.00: 3.00 for the cards, of which half are sold, so 1.50 is a cost at once; 2.00 for the
/// sheets. Then 12.00 + 1.50 = 13.50 and 16.00 + 2.00 = 18.00 are there.
#[test]
fn freight_that_came_later_is_spread_over_what_the_purchase_brought() {
    let (_folder, book) = bought_and_half_sold();
    let mut page = window(book);
    open_form(&mut page, "bill came later");
    assert!(says(&page, "landed cost"));
    pick(&mut page, "Which purchase", "Hillside");
    assert!(says(&page, "Fern cards for 24.00, Text sheets for 16.00"));
    fill(&mut page, "Who billed it", "Parcel carrier");
    fill(&mut page, "Amount", "5.00");
    fill(&mut page, "When", "12 Sep");
    // The entry is beside it as it is typed.
    assert!(says(&page, "Bought-in goods on hand"));
    assert!(says(&page, "3.00"));
    let before = count(&page);
    write_down(&mut page);
    assert_eq!(count(&page), before + 2);
    assert_eq!(
        written(&page, before + 1),
        lines(&[("1220", 300), ("1200", 200), ("1000", -500)])
    );
    // What was sold has cost more, in an entry of its own.
    assert_eq!(newest(&page), lines(&[("1220", -150), ("5000", 150)]));
    assert_eq!((worth(&page, "CARD"), worth(&page, "SHEET")), (1350, 1800));

    page.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    settle(&mut page);
    assert_eq!((worth(&page, "CARD"), worth(&page, "SHEET")), (1200, 1600));
}

/// From the page of the cards: 4.00 back by 24.00 and 16.00: 2.40 and 1.60; half of the cards are sold, 1.20. Then
/// 12.00 - 1.20 = 10.80 and 16.00 - 1.60 = 14.40 are there. No more than the 36.00 that is left can come back after it.
#[test]
fn a_credit_is_written_from_an_items_page() {
    let (_folder, book) = bought_and_half_sold();
    let mut page = window(book);
    press(&mut page, "Make");
    page.get_by_role_and_label(Widget::Link, "Open Fern cards")
        .click_accesskit();
    settle(&mut page);
    press(&mut page, "A credit came later");
    // Only what brought the cards is offered, not the paper and glue of another receipt.
    assert!(says(&page, "Which purchase of Fern cards"));
    assert!(!says(&page, "Harrow Lane Papers"));
    pick(&mut page, "Which purchase of Fern cards", "Fern");
    assert!(says(&page, "Hillside Print"));
    fill(&mut page, "Amount", "4.00");
    fill(&mut page, "When", "20 Sep");
    fill(&mut page, "Why", "pale print");
    let before = count(&page);
    write_down(&mut page);
    assert_eq!(
        written(&page, before + 1),
        lines(&[("1000", 400), ("1220", -240), ("1200", -160)])
    );
    assert_eq!(newest(&page), lines(&[("1220", 120), ("5000", -120)]));
    assert_eq!((worth(&page, "CARD"), worth(&page, "SHEET")), (1080, 1440));

    open_form(&mut page, "credit came later");
    pick(&mut page, "Which purchase", "Hillside");
    fill(&mut page, "Amount", "36.01");
    let before = count(&page);
    write_down(&mut page);
    assert!(says(&page, "more than is left of the purchase"));
    assert_eq!(count(&page), before);
}

#[test]
fn what_cannot_be_is_said_and_nothing_is_written() {
    let (_folder, mut book) = bought_and_half_sold();
    book.lock_through(day("2026-09-06")).expect("locked");
    let mut page = window(book);
    let before = count(&page);
    open_form(&mut page, "bill came later");
    write_down(&mut page);
    assert!(says(&page, "find the purchase it is for"));
    pick(&mut page, "Which purchase", "Harrow");
    fill(&mut page, "Who billed it", "Parcel carrier");
    fill(&mut page, "Amount", "5.00");
    write_down(&mut page);
    assert!(says(&page, "Nothing of it is kept in stock"));
    assert!(says(
        &page,
        "nothing of that purchase is kept in stock, so it cannot become dearer"
    ));
    press(&mut page, "Choose another");
    pick(&mut page, "Which purchase", "Hillside");
    assert!(says(&page, "Fern cards for 24.00"));
    fill(&mut page, "When", "4 Sep");
    assert!(says(&page, "cannot come before what it is for"));
    fill(&mut page, "When", "6 Sep");
    assert!(says(&page, "is locked"));
    write_down(&mut page);
    assert_eq!(count(&page), before);
    fill(&mut page, "When", "7 Sep");
    write_down(&mut page);
    assert_eq!(count(&page), before + 2);
}
