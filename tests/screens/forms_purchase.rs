//! Buying: with the keyboard alone in a few keys, with several kinds on one receipt, with what goes wrong said beside it.

use deckle::shared_bills::SharedBill;
use egui::{Key, Modifiers};

use super::forms_support::{
    Hand, bought_before, choose, count, day, fill, lines, new_book, newest, open_form, picture,
    press, says, settle, window, write_down,
};

#[test]
fn a_plain_purchase_takes_at_most_25_keys_and_no_mouse() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    let mut hand = Hand::default();
    hand.combined(&mut window, Modifiers::COMMAND, Key::N);
    hand.key(&mut window, Key::Enter);
    hand.types(&mut window, "har");
    hand.key(&mut window, Key::Tab);
    hand.types(&mut window, "gl");
    hand.key(&mut window, Key::Tab);
    hand.types(&mut window, "12.50");
    hand.combined(&mut window, Modifiers::COMMAND, Key::Enter);
    assert_eq!(count(&window), 3);
    assert_eq!(newest(&window), lines(&[("6000", 1250), ("1000", -1250)]));
    assert!(hand.pressed <= 25, "{} keys", hand.pressed);
    assert!(
        says(&window, "Harrow Lane Papers"),
        "the notice says what was written"
    );
    // The form is empty again and the keyboard is back on its first field.
    hand.types(&mut window, "Mill");
    assert!(says(&window, "Mill"));
}

#[test]
fn one_receipt_takes_three_kinds_and_shares_the_carriage() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Harrow Lane Papers");
    fill(&mut window, "What", "Text paper");
    fill(&mut window, "Amount", "21.50");
    press(&mut window, "Add a line");
    fill(&mut window, "What 2", "Bone glue");
    fill(&mut window, "Amount 2", "9.80");
    press(&mut window, "Add a line");
    fill(&mut window, "What 3", "Board mailers");
    fill(&mut window, "Amount 3", "12.25");
    fill(&mut window, "Kind 3", "6100");
    press(&mut window, "More on this receipt");
    fill(&mut window, "Carriage", "6.90");
    assert!(says(&window, "50.45"), "the total is shown");
    write_down(&mut window);
    // By hand: 6.90 over 21.50, 9.80, 12.25 of 43.55 is 3.41, 1.55, 1.94 by largest remainder.
    let expected = [
        ("1200", 2491),
        ("6000", 1135),
        ("6100", 1419),
        ("1000", -5045),
    ];
    assert_eq!(newest(&window), lines(&expected));
}

#[test]
fn what_is_missing_is_said_beside_its_field_and_nothing_is_written() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    open_form(&mut window, "bought");
    assert!(!says(&window, "say from whom you bought it") || says(&window, "Nothing yet"));
    write_down(&mut window);
    assert!(says(&window, "say what it cost"));
    assert!(says(&window, "say which kind it is"));
    assert_eq!(count(&window), 0);
}

#[test]
fn the_four_questions_find_equipment_and_put_it_on_the_list() {
    let (_folder, mut book) = new_book();
    book.set_settings(&[("equipment_threshold".to_owned(), "60.00".to_owned())])
        .expect("a threshold");
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Old Press Hall");
    fill(&mut window, "What", "Corner cutter");
    fill(&mut window, "Amount", "74.00");
    press(&mut window, "Which kind is it?");
    choose(&mut window, "no, it stays with me");
    choose(&mut window, "yes");
    assert!(says(&window, "at least your threshold of 60.00"));
    // By hand: 74.00 over 60 months is 1.23 a month.
    assert!(says(&window, "5 years, about 1.23 a month"));
    write_down(&mut window);
    assert_eq!(newest(&window), lines(&[("1500", 7400), ("1000", -7400)]));
    let book = window.state().book().expect("a book");
    let register = book.equipment().expect("the register");
    assert_eq!(register.len(), 1);
    assert_eq!(register[0].name, "Corner cutter");
    assert_eq!(register[0].life_months, 60);
}

#[test]
fn leaving_a_form_keeps_what_was_typed() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Ash and Reed");
    press(&mut window, "Keep for later");
    settle(&mut window);
    assert!(
        says(&window, "What did you buy?"),
        "it is offered among what was kept"
    );
    assert_eq!(count(&window), 0);
}

/// By hand: 40 % of 32.00 is 12.80.
#[test]
fn a_share_that_is_written_down_is_offered_and_taken_only_when_pressed() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    book.keep_shared_bill(&SharedBill {
        id: 0,
        what: "Mobile phone".to_owned(),
        party: "Dovetone Mobile".to_owned(),
        share: "40".parse().expect("a share"),
        basis: "Two weeks of calls, 41 of 102.".to_owned(),
        sampled: None,
        since: day("2026-09-01"),
        note: String::new(),
    })
    .expect("kept");
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Harrow Lane Papers");
    fill(&mut window, "What", "Phone, one month");
    fill(&mut window, "Amount", "32.00");
    fill(&mut window, "Kind", "6410");
    assert!(!says(&window, "Take 40 % for the business"));
    fill(&mut window, "From whom", "dovetone mobile");
    assert!(says(
        &window,
        "from 1 Sep 2026 on: Two weeks of calls, 41 of 102."
    ));
    picture(&mut window, "share_offered");
    write_down(&mut window);
    // Left alone it changes nothing.
    assert_eq!(newest(&window), lines(&[("6410", 3200), ("1000", -3200)]));
    fill(&mut window, "From whom", "Dovetone Mobile");
    fill(&mut window, "What", "Phone, one month");
    fill(&mut window, "Amount", "32.00");
    fill(&mut window, "Kind", "6410");
    press(&mut window, "Take 40 % for the business");
    assert!(!says(&window, "Take 40 % for the business"));
    write_down(&mut window);
    let expected = [("6410", 1280), ("3100", 1920), ("1000", -3200)];
    assert_eq!(newest(&window), lines(&expected));
    fill(&mut window, "From whom", "Dovetone Mobile");
    fill(&mut window, "When", "2026-08-31");
    assert!(!says(&window, "Take 40 % for the business"), "not yet");
}
