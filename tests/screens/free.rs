//! What is free to spend as its owner meets it: every term opens, a purchase is tried, her own split opens forms filled
//! in, and when more is promised than is there it says what would help. Figures are worked by hand.

use deckle::app::App;
use deckle::book::Book;
use deckle::happenings::{Happening, Payment, Sale, SaleDetails, SaleLine};
use deckle::ledger::Role;
use deckle::recurring::Recurring;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, choose, count, day, fill, lines, money, new_book, newest, says, settle, window,
    write_down,
};

/// 500.00 put in, 31.30 of paper and glue bought, 400.00 sold into the bank: 868.70 in hand. The glue, 9.80, is a cost,
/// the paper is not yet: a profit of 390.20, of which a quarter, 97.55, is to be set aside. 771.15 is free.
fn a_book() -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let chart = book.chart().clone();
    let bank = chart.role(Role::BusinessBank).expect("a bank");
    let line = SaleLine::new(money(40_000), "Notebooks");
    let details = SaleDetails::new(day("2026-09-10"), bank, vec![line]);
    let sale = Sale::new(details).expect("a sale");
    book.record(&sale.recording(&chart).expect("an entry"))
        .expect("kept");
    (folder, book)
}

fn high(book: Book) -> Harness<'static, App> {
    let mut page = window(book);
    page.set_size([1240.0, 2400.0].into());
    settle(&mut page);
    open(&mut page);
    page
}

/// Presses the card on Today.
fn open(page: &mut Harness<'_, App>) {
    page.get_by(|node| {
        node.role() == Widget::Button
            && node
                .label()
                .is_some_and(|label| label.starts_with("Free to spend: "))
    })
    .click_accesskit();
    settle(page);
}

fn press(page: &mut Harness<'_, App>, label: &str) {
    page.get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
    settle(page);
}

fn back(page: &mut Harness<'_, App>) {
    page.key_press(egui::Key::Escape);
    settle(page);
}

#[test]
fn a_price_shows_what_is_free_before_and_after() {
    let (_folder, book) = a_book();
    let mut page = high(book);
    assert!(says(&page, "Free to spend: 771.15"));
    let before = count(&page);
    fill(&mut page, "It costs", "60");
    assert!(says(
        &page,
        "Free to spend is 771.15 now and would be 726.15 after it. Of the 60.00, 15.00 comes back because less is to be \
         set aside, an estimate only."
    ));
    // By hand: 5 years are 60 months of 1.00, four of them this year: a quarter of 4.00 is 1.00.
    choose(&mut page, "equipment that lasts");
    assert!(says(&page, "would be 712.15 after it"));
    choose(&mut page, "stock or material");
    assert!(says(&page, "would be 711.15 after it"));
    assert!(says(&page, "is no cost until it is sold"));
    fill(&mut page, "It costs", "800");
    assert!(says(&page, "That is 28.85 more than is free"));
    fill(&mut page, "It costs", "0");
    assert!(says(&page, "the price must be more than nothing"));
    fill(&mut page, "It costs", "60");
    fill(&mut page, "When", "1 Sep 2026");
    assert!(says(&page, "that day is past"));
    fill(&mut page, "When", "1 Dec 2026");
    assert!(says(&page, "is after 28 Oct 2026, the last day looked at"));
    assert_eq!(count(&page), before);
    press(&mut page, "Write the purchase down\u{2026}");
    assert!(says(&page, "What did you buy?"));
    assert!(says(&page, "60.00"));
}

#[test]
fn the_price_goes_into_the_plan() {
    let (_folder, book) = a_book();
    let mut page = high(book);
    fill(&mut page, "It costs", "60");
    press(&mut page, "Put it in the plan\u{2026}");
    fill(&mut page, "What is wanted", "Awl set");
    write_down(&mut page);
    let book = page.state().book().expect("open");
    let plan = book.plan().expect("readable");
    assert_eq!(plan.lines[0].cost.likely, money(6_000));
}

#[test]
fn every_term_opens_down_to_what_it_is_made_of() {
    let (_folder, mut book) = a_book();
    let chart = book.chart().clone();
    let bank = chart.role(Role::BusinessBank).expect("a bank");
    let cost = chart.role(Role::Consumables).expect("consumables");
    let plan = Recurring::new(
        "Ink plan",
        "Quill Supply",
        cost,
        Payment::Account(bank),
        money(1_140),
        1,
        day("2026-10-12"),
    );
    book.add_recurring(&plan).expect("kept");
    book.set_settings(&[("reserve", "200")]).expect("kept");
    let mut page = high(book);
    // By hand: 771.15 - 11.40 - 200.00.
    assert!(says(&page, "Free to spend: 559.75"));
    for (term, inside) in [
        ("In the bank and the cash box", "1010 Set-aside"),
        ("Owed on cards", "The entries"),
        ("Sales tax to pay over", "The entries"),
        ("Customers' deposits and vouchers", "The entries"),
        ("Bills to pay", "The entries"),
        ("Recurring purchases due soon", "12 Oct 2026"),
        ("Still to set aside", "25 %"),
        ("Your own reserve", "what you always want to keep"),
    ] {
        page.get_by(|node| {
            node.role() == Widget::Link && node.label().is_some_and(|label| label.contains(term))
        })
        .click_accesskit();
        settle(&mut page);
        if term == "In the bank and the cash box" {
            // The savings for tax are not in it.
            assert!(says(&page, "Business bank account"));
            assert!(!says(&page, inside));
        } else {
            assert!(says(&page, inside), "{term}");
        }
        back(&mut page);
    }
    fill(&mut page, "Look so many days ahead", "60");
    press(&mut page, "Keep these");
    // By hand: due on 12 October and 12 November, 22.80.
    assert!(says(&page, "Free to spend: 548.35"));
    fill(&mut page, "Look so many days ahead", "soon");
    assert!(says(&page, "a number of days from 0 to 366"));
}

#[test]
fn her_own_split_opens_forms_filled_in_and_moves_nothing_by_itself() {
    let (_folder, book) = a_book();
    let mut page = high(book);
    let before = count(&page);
    fill(&mut page, "Pay for you, per cent", "50");
    assert!(says(&page, "give all three shares"));
    fill(&mut page, "Reserve, per cent", "30");
    fill(&mut page, "To buy things, per cent", "10");
    assert!(says(&page, "they add up to 90"));
    fill(&mut page, "To buy things, per cent", "20");
    press(&mut page, "Keep the shares");
    // By hand: 771.15 by 50, 30 and 20, the cent left to the first of the halves.
    assert!(says(&page, "Pay yourself 385.58"));
    assert!(says(&page, "Keep in reserve 231.34"));
    assert!(says(&page, "To buy things 154.23"));
    press(&mut page, "Try a purchase of that: 154.23");
    assert!(says(&page, "Free to spend is 771.15 now"));
    assert_eq!(count(&page), before);
    press(&mut page, "Move it\u{2026}: 231.34");
    assert!(says(&page, "231.34"));
    back(&mut page);
    press(&mut page, "Take it out\u{2026}: 385.58");
    write_down(&mut page);
    assert_eq!(count(&page), before + 1);
    assert_eq!(newest(&page), lines(&[("3100", 38_558), ("1000", -38_558)]));
}

#[test]
fn more_promised_than_is_there_is_said_kindly_with_what_would_help() {
    let (_folder, mut book) = a_book();
    book.set_settings(&[
        ("reserve", "1000"),
        ("split.pay", "50"),
        ("split.reserve", "50"),
        ("split.buy", "0"),
    ])
    .expect("kept");
    let mut page = high(book);
    // By hand: 771.15 - 1,000.00.
    assert!(says(&page, "More is promised than is there. That happens"));
    assert!(says(&page, "What would help"));
    assert!(says(
        &page,
        "The largest promise is your own reserve: 1,000.00."
    ));
    assert!(says(&page, "without it 771.15 would be free"));
    assert!(says(
        &page,
        "Nothing is free just now, so nothing is proposed."
    ));
    fill(&mut page, "Your own reserve", "0");
    press(&mut page, "Keep these");
    assert!(!says(&page, "What would help"));
}
