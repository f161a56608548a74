//! The cost card and both ways to have a product, in the window as on the command line: the same figures from one book.
//! The figures are worked by hand beside the tests of the command line, `tests/cli/deciding.rs`.

use deckle::app::App;
use deckle::book::Book;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use super::desk::Desk;
use super::forms_support::{choose, fill, press, says, settle, window};
use super::product::{DAY, workshop};

fn open_page(desk: &Desk) -> Harness<'static, App> {
    let book = Book::open(desk.path("book.deckle")).expect("a book");
    let mut page = window(book);
    page.get_by_role_and_label(Widget::Button, "Make").click();
    settle(&mut page);
    open_item(&mut page);
    page
}

fn open_item(page: &mut Harness<'_, App>) {
    let found: Vec<_> = page
        .query_all_by_label_contains("Open A5 notebook")
        .collect();
    found[0].click();
    drop(found);
    settle(page);
}

fn typed(page: &Harness<'_, App>, label: &str) -> String {
    page.get_by_role_and_label(Widget::TextInput, label)
        .accesskit_node()
        .value()
        .unwrap_or_default()
}

/// What the command line says in its sentences, each of which must stand in the window too.
fn sentences(desk: &Desk, asked: &[&str]) -> Vec<String> {
    let told = desk.json(asked);
    let list = told["sentences"].as_array().or(told["notes"].as_array());
    let mut words: Vec<String> = list
        .expect("sentences")
        .iter()
        .map(|one| one.as_str().expect("text").to_owned())
        .collect();
    words.push(told["sentence"].as_str().expect("text").to_owned());
    words
}

#[track_caller]
fn says_all(page: &Harness<'_, App>, words: &[String]) {
    for sentence in words {
        assert!(says(page, sentence), "the window does not say: {sentence}");
    }
}

const TRIED: &[&str] = &[
    "cost-card",
    "--item",
    "NOTEBOOK",
    "--to",
    DAY,
    "--packaging",
    "0.40",
    "--postage",
    "3.00",
    "--label",
    "4.00",
    "--own-rate",
    "20.00",
    "--margin",
    "50",
    "--once-design",
    "30.00",
    "--once-run",
    "10.00",
    "--planned",
    "50",
    "--fixed",
    "100.00",
    "--offer",
    "10",
    "--wholesale",
    "7.00",
    "--next-order",
    "PAPER=0.05",
];

#[test]
fn the_card_in_the_window_is_the_card_of_the_command_line() {
    let desk = workshop();
    // A book is open in one place at a time, so the command line comes first.
    let plain = sentences(&desk, &["cost-card", "--item", "NOTEBOOK", "--to", DAY]);
    let tried = sentences(&desk, TRIED);
    let mut page = open_page(&desk);
    press(&mut page, "What does it leave?");
    // The shop's share and the wear are the book's own.
    assert_eq!(typed(&page, "The shop's fee, per cent"), "10");
    assert_eq!(typed(&page, "Wear of equipment a piece"), "0.50");
    says_all(&page, &plain);
    assert!(says(&page, "Lanternpost Shop kept 4.20 of 42.00"));
    for (label, text) in [
        ("Packaging of an order", "0.40"),
        ("Postage you charge", "3.00"),
        ("What the label costs", "4.00"),
        ("Your hour is worth", "20.00"),
        ("Share to keep, per cent", "50"),
        ("Once for the design", "30.00"),
        ("At every run", "10.00"),
        ("Planned in all", "50"),
        ("Paid every month", "100.00"),
        ("An offer, per cent off", "10"),
        ("A shop would pay, each", "7.00"),
        ("Text paper, for one sheet", "0.05"),
    ] {
        fill(&mut page, label, text);
    }
    says_all(&page, &tried);
    assert!(says(
        &page,
        "Of each 14.00 you keep 10.17 before paying yourself."
    ));
    assert!(says(&page, "10 pieces a month, 140.00 of sales"));
    // A first run, made again, and all that is planned.
    for kept in ["8.17", "9.67", "8.97"] {
        assert!(says(&page, kept), "{kept}");
    }
    crate::make::picture(&mut page, "card-of-the-book");
    choose(&mut page, "When next ordered");
    assert!(says(
        &page,
        "Of each 14.00 you keep 10.07 before paying yourself."
    ));
}

#[test]
fn both_ways_in_the_window_are_those_of_the_command_line() {
    let desk = workshop();
    let asked = [
        "make-or-buy",
        "--item",
        "NOTEBOOK",
        "--to",
        DAY,
        "--quantity",
        "40",
        "--tiers",
        "1:1.00,50:0.60",
    ];
    let told = sentences(&desk, &asked);
    let mut page = open_page(&desk);
    press(&mut page, "Make it or have it made?");
    fill(&mut page, "From how many", "1");
    fill(&mut page, "Price of each", "1.00");
    press(&mut page, "Another price from more pieces");
    fill(&mut page, "From how many 2", "50");
    fill(&mut page, "Price of each 2", "0.60");
    fill(&mut page, "How many you want", "40");
    says_all(&page, &told);
    assert!(says(&page, "For 40, making it is 1.50 cheaper."));
}
