//! Unusual happenings in the window: each form opens by its own words, says what is missing and loses nothing, and is
//! filled and written down by keys alone. What they write is held against figures worked by hand in `tests/book`.

use deckle::matters::MatterKind;
use deckle::money::Money;
use deckle::occasions;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    Hand, bought_before, count, lines, new_book, newest, open_form, says, window, write_down,
};
use crate::support::sample_book;

#[test]
fn every_unusual_form_opens_by_its_words_and_says_what_is_missing() {
    let mut window = sample_book();
    let before = |window: &crate::support::Window| {
        let app = window.harness.state();
        let book = app.book().expect("an open book");
        (
            book.entry_count().expect("a count"),
            book.matter_steps().expect("readable").len(),
        )
    };
    let first = before(&window);
    for occasion in occasions::all() {
        let known = deckle::app::forms::HAPPENINGS
            .iter()
            .find(|one| one.form.key() == occasion.key)
            .expect("offered");
        window.ctrl(Key::N);
        window.type_text(known.label);
        window.key(Key::Enter);
        assert!(
            window.harness.query_by_label(occasion.title).is_some(),
            "{} opens",
            occasion.key
        );
        window.picture(&format!("occasion_{}", occasion.key));
        window.ctrl(Key::Enter);
        assert!(
            window.harness.query_by_label(occasion.title).is_some(),
            "{} is still open",
            occasion.key
        );
        assert_eq!(before(&window), first, "{}", occasion.key);
        window.key(Key::Escape);
    }
}

/// Tab to the next field, as many times as it takes.
fn tabs(hand: &mut Hand, window: &mut egui_kittest::Harness<'_, deckle::app::App>, many: usize) {
    for _ in 0..many {
        hand.key(window, Key::Tab);
    }
}

/// By hand: a voucher of 40.00 sold, 25.00 of it redeemed for cards; it holds 15.00, and more than that is refused.
#[test]
fn a_voucher_is_sold_and_redeemed_by_keys_alone() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    let mut hand = Hand::default();
    open_form(&mut window, "I sold a voucher");
    hand.types(&mut window, "V-12");
    tabs(&mut hand, &mut window, 1);
    hand.types(&mut window, "40");
    write_down(&mut window);
    let sold = lines(&[("1000", 4_000), ("2200", -4_000)]);
    assert_eq!(newest(&window), sold);
    open_form(&mut window, "A voucher was redeemed");
    assert!(says(&window, "40.00 still to be redeemed"));
    tabs(&mut hand, &mut window, 1);
    hand.types(&mut window, "50");
    assert!(says(&window, "more than voucher V-12 holds: at most 40.00"));
    let n_entries = count(&window);
    write_down(&mut window);
    assert_eq!(count(&window), n_entries);
    hand.combined(&mut window, Modifiers::COMMAND, Key::A);
    hand.types(&mut window, "25");
    assert!(says(&window, "Voucher V-12 still holds 15.00."));
    write_down(&mut window);
    let used = lines(&[("2200", 2_500), ("4000", -2_500)]);
    assert_eq!(newest(&window), used);
    let book = window.state().book().expect("an open book");
    let matters = book.matters().expect("readable");
    let voucher = matters.find(MatterKind::Voucher, "V-12").expect("there");
    assert_eq!(voucher.balance(), Money::from_minor(1_500));
}

/// By hand: 312.50 counted less 80.00 float and with 7.50 of lunch from the box: 240.00 of sales.
#[test]
fn a_fair_day_is_written_down_by_keys_alone() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    let mut hand = Hand::default();
    open_form(&mut window, "I was at a fair");
    hand.types(&mut window, "Harvest fair");
    tabs(&mut hand, &mut window, 2);
    hand.types(&mut window, "80");
    tabs(&mut hand, &mut window, 1);
    hand.types(&mut window, "312.50");
    tabs(&mut hand, &mut window, 1);
    hand.types(&mut window, "Owner\u{2019}s draw");
    hand.combined(&mut window, Modifiers::COMMAND, Key::A);
    hand.types(&mut window, "Owner's drawings");
    tabs(&mut hand, &mut window, 1);
    hand.types(&mut window, "7.50");
    assert!(
        says(&window, "The box took 240.00"),
        "what it means is said while it is typed"
    );
    write_down(&mut window);
    let day = lines(&[("1020", 23_250), ("3100", 750), ("4000", -24_000)]);
    assert_eq!(newest(&window), day);
}

/// The sample's claim posted nothing, so no entry leads to it.
#[test]
fn what_posted_nothing_is_found_all_the_same() {
    let mut window = sample_book();
    window.ctrl(Key::K);
    window.type_text("WP-118");
    window.key(Key::Enter);
    assert!(
        window.harness.query_by_label("What goes on").is_some(),
        "the search leads to where it goes on"
    );
    window.picture("going_on_claims");
    let mut found = window.harness.query_all_by_label_contains("WP-118");
    assert!(found.next().is_some(), "the claim is listed there");
}
