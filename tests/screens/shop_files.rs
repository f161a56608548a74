//! A shop's files brought in by the window alone: columns pointed at, a kind of row explained, words tied to a product.
//! Figures are worked by hand.

use deckle::app::App;
use deckle::book::Book;
use deckle::stock::{Item, ItemKind, Unit};
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::forms_support::{
    bought_before, choose, count, fill, money, new_book, press, says, settle, window,
};
use crate::sorting::{pictured, sized};

const STATEMENT: &str = "\
Date,Kind,Order number,Details,Moved
2026-03-14,Sale,10231,Blue notebook,28.50
2026-03-14,Commission,10231,,-2.31
2026-03-20,Adjustment,,March,-3.00
2026-03-21,Payout,,To bank,-20.00
";

const ORDERS: &str = "\
Order No,Sold on,Item,Qty,Item price,Postage
10231,2026-03-14,Blue notebook,2,12.00,4.50
";

fn with_notebooks() -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let unit = Unit::new("piece").expect("a unit");
    let item = Item::new("NOTEBOOK", "Blue notebook, A5", ItemKind::Made, unit);
    book.put_item(&item).expect("kept");
    std::fs::write(folder.path().join("march.csv"), STATEMENT).expect("written");
    std::fs::write(folder.path().join("orders.csv"), ORDERS).expect("written");
    (folder, book)
}

fn press_far(page: &mut Harness<'_, App>, label: &str) {
    page.get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
    settle(page);
}

/// Opens a list that may lie beneath the window's edge, and chooses from it.
fn select(page: &mut Harness<'_, App>, label: &str, choice: &str) {
    page.get_by_role_and_label(Widget::ComboBox, label)
        .scroll_to_me();
    settle(page);
    page.get_by_role_and_label(Widget::ComboBox, label)
        .click_accesskit();
    settle(page);
    let shown: Vec<_> = page
        .query_all_by_label(choice)
        .filter(|node| node.accesskit_node().role() != Widget::ComboBox)
        .collect();
    shown.last().expect("the choice").click_accesskit();
    drop(shown);
    settle(page);
}

fn take(page: &mut Harness<'_, App>, folder: &tempfile::TempDir, name: &str) {
    let path = folder.path().join(name);
    fill(page, "File", &path.display().to_string());
    settle(page);
}

fn balance(page: &Harness<'_, App>, account: &str) -> i64 {
    let book = page.state().book().expect("open");
    let id = book.chart().find(account).expect("an account").id;
    let balances = book.balances_to(crate::forms_support::today());
    balances.expect("readable").net(id).minor()
}

#[test]
fn a_statement_and_then_the_orders_are_brought_in() {
    let (folder, book) = with_notebooks();
    let mut page = window(book);
    press(&mut page, "Sell");
    press_far(&mut page, "Bring a shop's file");
    choose(&mut page, "Fees and payouts: a row for each movement");
    fill(&mut page, "Shop", "Fairlamp Shop");
    take(&mut page, &folder, "march.csv");
    assert!(says(&page, "This shop is not in the book yet."));
    press_far(&mut page, "Open it as a new shop");
    // The amounts' column is one that no word gives away.
    assert!(says(&page, "Answer what is asked above first."));
    select(&mut page, "Moved", "Amount");
    select(&mut page, "adjustment", "Another fee");
    pictured(&mut page, "shop-file-statement");
    assert!(says(&page, "1 sale for which buyers paid 28.50 to you."));
    assert!(says(&page, "2 entries of the shop's fees, 5.31 together."));
    assert!(says(&page, "1 payout of 20.00 together"));
    let before = count(&page);
    press_far(&mut page, "Bring it in");
    assert_eq!(count(&page), before + 4);
    // By hand: 28.50 - 2.31 - 3.00 - 20.00.
    assert_eq!(balance(&page, "Fairlamp Shop"), money(319).minor());

    press_far(&mut page, "Bring a shop's file");
    fill(&mut page, "Shop", "Fairlamp Shop");
    take(&mut page, &folder, "orders.csv");
    assert!(says(&page, "1 sale of which the book learns more."));
    select(&mut page, "Blue notebook", "Blue notebook, A5");
    for (name, size, scale, theme) in [
        ("usual", [1240.0, 900.0], 1.0, egui::Theme::Light),
        ("dark", [1240.0, 900.0], 1.0, egui::Theme::Dark),
        ("small", [900.0, 600.0], 1.0, egui::Theme::Light),
        ("double", [1800.0, 1200.0], 2.0, egui::Theme::Light),
    ] {
        sized(&mut page, size, scale, theme);
        pictured(&mut page, &format!("shop-file-{name}"));
    }
    press_far(&mut page, "Bring it in");
    assert_eq!(balance(&page, "Fairlamp Shop"), money(319).minor());
    assert_eq!(balance(&page, "4010"), money(-450).minor());
    let book = page.state().book().expect("open");
    assert_eq!(book.check().expect("checked"), vec![]);
    let sold = book.movements().expect("readable");
    assert_eq!(sold.len(), 1);
    assert_eq!(sold[0].0.item, "NOTEBOOK");

    // The same file once more: nothing follows, and it says so.
    press_far(&mut page, "Bring a shop's file");
    fill(&mut page, "Shop", "Fairlamp Shop");
    take(&mut page, &folder, "orders.csv");
    assert!(says(&page, "in the book already"));
}

#[test]
fn a_shops_page_says_what_explains_the_gross_that_it_reports() {
    let (folder, mut book) = with_notebooks();
    let channel = book.open_channel("Fairlamp Shop").expect("opened");
    // By hand: 2 x 12.00 without the postage of 4.50.
    let reported = book.set_reported_gross(channel, 2026, Some(money(2400)));
    reported.expect("kept");
    let mut page = window(book);
    press(&mut page, "Sell");
    press_far(&mut page, "Bring a shop's file");
    fill(&mut page, "Shop", "Fairlamp Shop");
    take(&mut page, &folder, "orders.csv");
    press_far(&mut page, "Bring it in");
    page.get_by_role_and_label(Widget::Link, "Open Fairlamp Shop")
        .click_accesskit();
    settle(&mut page);
    assert!(says(
        &page,
        "for the whole year the shop reports 24.00, these books say 28.50, 4.50 apart: it agrees to the cent when it is \
         without postage"
    ));
    pictured(&mut page, "shop-bridge");
}
