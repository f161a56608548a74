//! The rooms Buy and Sell: what they say of the sample book and of an empty one, and that each row opens.

use egui::Key;
use egui_kittest::kittest::Queryable as _;

use crate::support::{empty_book, sample_book};

#[test]
fn empty_rooms_say_what_they_are_for_and_offer_the_first_step() {
    let mut window = empty_book();
    window.ctrl(Key::Num3);
    window.picture("buy_empty");
    window.harness.get_by_label("Write down a purchase").click();
    window.harness.run();
    assert!(window.harness.query_by_label("What did you buy?").is_some());
    window.picture("purchase_empty");
    window.key(Key::Escape);
    window.ctrl(Key::Num5);
    window.picture("sell_empty");
    window.harness.get_by_label("Write down a sale").click();
    window.harness.run();
    assert!(
        window
            .harness
            .query_by_label("What did you sell?")
            .is_some()
    );
}

#[test]
fn the_rooms_of_the_sample_book_are_alive() {
    let mut window = sample_book();
    window.ctrl(Key::Num3);
    window.picture("buy");
    assert!(window.harness.query_by_label("Bought lately").is_some());
    assert!(window.harness.query_by_label("Again and again").is_some());
    window.ctrl(Key::Num5);
    window.picture("sell");
    assert!(window.harness.query_by_label("Shops").is_some());
    assert!(window.harness.query_by_label("Postage").is_some());
}

#[test]
fn every_form_opens_and_draws() {
    let mut window = sample_book();
    let words = [
        "I bought something",
        "I sold something",
        "A sales channel paid out",
        "I gave a customer money back",
        "I put money in",
        "I brought in something",
        "private",
        "I paid off a card",
        "A supplier gave me",
        "I moved money",
        "instalment",
        "again and again",
        "My business was running",
        "debits and credits",
    ];
    for (idx, words) in words.into_iter().enumerate() {
        window.ctrl(Key::N);
        window.type_text(words);
        window.key(Key::Enter);
        assert!(
            window.harness.query_by_label("Keep for later").is_some(),
            "{words}"
        );
        window.picture(&format!("form_{idx:02}"));
        window.key(Key::Escape);
    }
}
