//! The cost card and both ways to have a product, in the window as on the command line: the same figures from one book.
//! The figures are worked by hand beside the tests of the command line, `tests/cli/deciding.rs`.

use deckle::app::App;
use deckle::book::Book;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use super::desk::Desk;
use super::forms_support::{choose, fill, press, says, settle, window, write_down};
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

/// Presses a button that may lie beneath what is in view.
fn press_below(page: &mut Harness<'_, App>, label: &str) {
    page.get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
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

#[test]
fn a_comparison_is_kept_opened_again_and_removed() {
    let desk = workshop();
    let mut page = open_page(&desk);
    press(&mut page, "Make it or have it made?");
    fill(&mut page, "From how many", "1");
    fill(&mut page, "Price of each", "1.00");
    fill(&mut page, "How many you want", "40");
    fill(&mut page, "Name of the comparison", "Crannock Print House");
    press_below(&mut page, "Keep this comparison");
    assert!(says(&page, "Keep the changes"));
    let kept = |page: &Harness<'_, App>| page.state().book().expect("a book").comparisons();
    assert_eq!(kept(&page).expect("readable").len(), 1);
    // Sixty begun at 0.475 are 28.50 against forty at 1.00.
    page.get_by_role_and_label(Widget::Button, "Make").click();
    settle(&mut page);
    open_item(&mut page);
    assert!(says(&page, "For 40, making it is 11.50 cheaper."));
    let found: Vec<_> = page
        .query_all_by_label_contains("Crannock Print House")
        .filter(|node| matches!(node.accesskit_node().role(), Widget::Button | Widget::Link))
        .collect();
    found[0].click_accesskit();
    drop(found);
    settle(&mut page);
    assert_eq!(typed(&page, "Price of each"), "1.00");
    fill(&mut page, "Name of the comparison", "Crannock, thick paper");
    press_below(&mut page, "Keep the changes");
    let names: Vec<String> = kept(&page)
        .expect("readable")
        .into_iter()
        .map(|one| one.name)
        .collect();
    assert_eq!(names, ["Crannock, thick paper"]);
    crate::make::picture(&mut page, "ways-kept");
    press_below(&mut page, "Remove this comparison");
    assert!(kept(&page).expect("readable").is_empty());
    assert!(says(&page, "Keep this comparison"));
}

#[test]
fn a_batch_tells_minutes_and_why_pieces_were_spoiled() {
    let desk = workshop();
    // Boards for another batch, at 0.50.
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,item,quantity\n\
         R3,2026-09-11,Alderwick Paper Merchants,owner,10.00,BOARD,20\n",
    );
    let mut page = open_page(&desk);
    press(&mut page, "I made some");
    assert!(!says(&page, "Why they were spoiled"));
    fill(&mut page, "Good pieces", "18");
    fill(&mut page, "Why they were spoiled", "blade slipped");
    assert!(says(&page, "These minutes are the recipe's plan"));
    fill(&mut page, "Your own minutes", "117");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    let notes: Vec<_> = book
        .batch_notes()
        .expect("readable")
        .into_values()
        .collect();
    assert_eq!(notes.len(), 1);
    assert_eq!(notes[0].spoiled_why, "blade slipped");
    assert_eq!(notes[0].own_minutes.expect("told").to_string(), "117");
    assert_eq!(notes[0].spoiled.expect("told").to_string(), "2");
    // Twenty begun of the recipe's twenty are 90 minutes; two of sixty begun in both batches are 3.3 per cent.
    assert!(says(&page, "58 good pieces, 2 lost: 3.3 % of those begun."));
    assert!(says(&page, "90 were planned and it took 117."));
    assert!(says(&page, "spoiled: blade slipped"));
    crate::make::picture(&mut page, "item-batches");
    press(&mut page, "What does it leave?");
    // 117 ÷ 18.
    assert_eq!(typed(&page, "Your minutes a piece"), "6.5");
}

#[test]
fn the_press_says_whether_it_paid_and_the_shop_what_each_product_left() {
    let desk = workshop();
    let told = sentences_of(
        &desk,
        &["payback", "--equipment", "Book press", "--to", DAY],
    );
    let book = Book::open(desk.path("book.deckle")).expect("a book");
    let mut page = window(book);
    page.get_by_role_and_label(Widget::Button, "Sell").click();
    settle(&mut page);
    // A slow machine reads a month a frame. 42.00 less 4.20 of fees and 1.43 of cost.
    for _again in 0..4 {
        settle(&mut page);
    }
    assert!(says(&page, "A5 notebook, 3 sold, 36.37, 86.6 % of 42.00"));
    crate::make::picture(&mut page, "sell-products");
    page.get_by_role_and_label(Widget::Button, "Equipment")
        .click();
    settle(&mut page);
    let found: Vec<_> = page
        .query_all_by_label_contains("Book press")
        .filter(|node| {
            matches!(
                node.accesskit_node().role(),
                Widget::Button | Widget::Link | Widget::RadioButton
            )
        })
        .collect();
    found[0].click_accesskit();
    drop(found);
    settle(&mut page);
    press(&mut page, "Did it pay for itself?");
    assert!(says(&page, &told));
    assert!(says(&page, "203.63"));
    assert!(says(&page, "no tax figure"));
    crate::make::picture(&mut page, "payback");
    page.get_by_role_and_label(Widget::CheckBox, "A5 notebook")
        .click_accesskit();
    settle(&mut page);
    assert!(says(&page, "nothing sold so far brings it nearer"));
}

fn sentences_of(desk: &Desk, asked: &[&str]) -> String {
    let told = desk.json(asked);
    told["sentence"].as_str().expect("text").to_owned()
}
