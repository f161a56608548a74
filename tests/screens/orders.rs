//! Orders to a print house by the window alone: what it should come to, arrivals in parts with spoiled pieces, a claim and
//! its credit, a bill that came later. Figures are worked by hand; prices and spoiled pieces are common practice, no source.

use deckle::app::App;
use deckle::book::Book;
use deckle::ordering::{ClaimState, OrderState};
use deckle::reports::{self, OrderReport};
use deckle::stock::{Item, ItemKind, Unit};
use egui::Key;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, choose, count, fill, lines, money, new_book, newest, open_form, press, says,
    settle, today, window, write_down,
};

fn with_cards() -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let unit = Unit::new("piece").expect("a unit");
    let item = Item::new("CARD", "Fern cards", ItemKind::Made, unit);
    book.put_item(&item).expect("kept");
    (folder, book)
}

/// Presses a button that may lie beneath the window's edge.
fn press_far(page: &mut Harness<'_, App>, label: &str) {
    page.get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
    settle(page);
}

fn open_first_order(page: &mut Harness<'_, App>) {
    press(page, "Buy");
    page.get_by_role_and_label(Widget::Link, "Open Hillside Print, order 1")
        .click_accesskit();
    settle(page);
}

fn report(page: &Harness<'_, App>) -> OrderReport {
    let book = page.state().book().expect("a book");
    assert_eq!(book.check().expect("checked"), vec![]);
    reports::order(book, "1", today())
        .expect("readable")
        .expect("there")
}

/// A hundred cards at 0.58, 0.20 from 250 on, 12.00 for the plate, in 14 days.
fn order_cards(page: &mut Harness<'_, App>) {
    press(page, "Buy");
    press_far(page, "Order something");
    fill(page, "From whom", "Hillside Print");
    fill(page, "Ordered on", "1 Sep");
    fill(page, "What", "Fern cards");
    fill(page, "How many", "100");
    fill(page, "From pieces", "50");
    fill(page, "Price of each", "0.58");
    press(page, "Another price from more pieces");
    fill(page, "From pieces, price 2", "250");
    fill(page, "Price of each, price 2", "0.20");
    fill(page, "Once for the design", "12");
    fill(page, "Days until it is here", "14");
}

#[test]
fn an_order_from_its_terms_to_its_last_bill() {
    let (_folder, book) = with_cards();
    let mut page = window(book);
    order_cards(&mut page);
    // By hand: 100 x 0.58 + 12.00 = 70.00, 0.70 each; again 0.58. 250 x 0.20 + 12.00 = 62.00.
    assert!(says(&page, "Expected on 15 Sep 2026."));
    assert!(says(
        &page,
        "Ordering 250 of Fern cards instead of 100 costs 8.00 less: 62.00 together"
    ));
    assert!(says(&page, "70.00"));
    let before = count(&page);
    write_down(&mut page);
    assert_eq!(count(&page), before);
    assert!(says(&page, "13 days late"));
    press(&mut page, "Today");
    assert!(says(
        &page,
        "Ordered, not here yet: order 1 from Hillside Print"
    ));

    // Sixty came, four of them spoiled: 60 x 0.58 + 12.00 = 46.80 for 56, 0.8357 each.
    open_first_order(&mut page);
    press(&mut page, "It arrived");
    fill(&mut page, "When", "20 Sep");
    fill(&mut page, "Good pieces", "56");
    fill(&mut page, "Spoiled pieces", "4");
    assert!(says(&page, "46.80 for 56 good ones, 0.8357 each."));
    write_down(&mut page);
    assert_eq!(newest(&page), lines(&[("1210", 4680), ("1000", -4680)]));
    assert_eq!(report(&page).standing.state, OrderState::PartlyHere);
    assert!(says(&page, "partly here"));

    press_far(&mut page, "Claim 4 spoiled Fern cards");
    fill(&mut page, "Note", "photo sent");
    write_down(&mut page);
    assert!(says(
        &page,
        "4 spoiled Fern cards: 2.32 claimed on 28 Sep 2026"
    ));
    press(&mut page, "Today");
    assert!(says(&page, "2.32 claimed from Hillside Print"));

    // The rest comes: 40 x 0.58 = 23.20.
    open_first_order(&mut page);
    press(&mut page, "It arrived");
    write_down(&mut page);
    assert_eq!(newest(&page), lines(&[("1210", 2320), ("1000", -2320)]));
    assert_eq!(report(&page).standing.state, OrderState::Here);

    press_far(&mut page, "They credited it");
    assert!(says(&page, "2.32 was claimed on 28 Sep 2026"));
    write_down(&mut page);
    assert_eq!(newest(&page), lines(&[("1000", 232), ("1210", -232)]));
    assert_eq!(report(&page).claims[0].claim.state, ClaimState::Credited);

    press_far(&mut page, "A bill that came later");
    fill(&mut page, "Who billed it", "Parcel carrier");
    fill(&mut page, "Amount", "4.00");
    write_down(&mut page);
    // 4.00 x 46.80 / 70.00 = 2.67, and 1.33.
    assert_eq!(
        newest(&page),
        lines(&[("1210", 267), ("1210", 133), ("1000", -400)])
    );
    // 46.80 + 23.20 + 4.00 - 2.32.
    assert_eq!(report(&page).cost(), money(7168));
    assert!(says(&page, "71.68"));

    let cost = page.query_all_by_label_contains("It cost so far: 71.68");
    cost.last().expect("the figure").click_accesskit();
    settle(&mut page);
    assert!(says(&page, "What order 1 has cost"));
    assert!(says(&page, "Came back from the supplier"));

    // Undoing takes the last bill and the credit back, and the claim is open again.
    for _step in 0..2 {
        page.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
        settle(&mut page);
    }
    let undone = report(&page);
    assert_eq!(undone.cost(), money(7000));
    assert_eq!(undone.claims[0].claim.state, ClaimState::Open);
    open_first_order(&mut page);
    press_far(&mut page, "They refused it");
    assert_eq!(report(&page).claims[0].claim.state, ClaimState::Refused);
}

#[test]
fn the_next_order_is_offered_the_same_terms_and_the_design_is_not_new() {
    let (_folder, book) = with_cards();
    let mut page = window(book);
    order_cards(&mut page);
    write_down(&mut page);
    press_far(&mut page, "Order something");
    fill(&mut page, "From whom", "Hillside Print");
    fill(&mut page, "What", "Fern cards");
    fill(&mut page, "How many", "100");
    assert!(says(&page, "The terms of order 1 are taken over."));
    // By hand: 58.00 without the plate.
    assert!(says(&page, "58.00"));
    choose(&mut page, "the first run");
    assert!(says(&page, "70.00"));
    choose(&mut page, "made before");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    let orders = book.supplier_orders().expect("readable");
    assert_eq!(orders.len(), 2);
    assert!(!orders[1].lines[0].is_first_run);
    assert_eq!(orders[1].lines[0].tiers, orders[0].lines[0].tiers);
}

#[test]
fn one_bill_that_came_first_waits_and_what_never_came_is_closed() {
    let (_folder, book) = with_cards();
    let mut page = window(book);
    order_cards(&mut page);
    press(&mut page, "More of what was agreed");
    page.get_by_role_and_label(Widget::RadioButton, "one bill for all of it")
        .click_accesskit();
    settle(&mut page);
    write_down(&mut page);
    open_first_order(&mut page);
    press(&mut page, "The bill came first");
    write_down(&mut page);
    assert_eq!(newest(&page), lines(&[("1300", 7000), ("1000", -7000)]));
    assert_eq!(report(&page).ahead, money(7000));
    // It is paid from there: all hundred for 70.00.
    press(&mut page, "It arrived");
    write_down(&mut page);
    assert_eq!(newest(&page), lines(&[("1210", 7000), ("1300", -7000)]));
    assert_eq!(report(&page).ahead, money(0));

    open_form(&mut page, "I ordered something");
    fill(&mut page, "From whom", "Loom Lane Print");
    fill(&mut page, "What", "Fern cards");
    fill(&mut page, "How many", "10");
    fill(&mut page, "Price of each", "0.50");
    write_down(&mut page);
    press(&mut page, "Buy");
    page.get_by_role_and_label(Widget::Link, "Open Loom Lane Print, order 2")
        .click_accesskit();
    settle(&mut page);
    press(&mut page, "Nothing more will come");
    assert!(says(&page, "closed short"));
    press(&mut page, "Open it again");
    press(&mut page, "Take it out");
    let book = page.state().book().expect("a book");
    assert_eq!(book.supplier_orders().expect("readable").len(), 1);
}
