//! Selling: the whole sale with each fee, the payout that is no sale, the refund that never gives back too much.

use super::forms_support::{
    choose, count, fill, lines, new_book, newest, open_form, press, says, window, write_down,
};

fn shop(book: &mut deckle::book::Book) {
    book.open_channel("Larkmarket").expect("a shop");
}

#[test]
fn a_sale_through_a_shop_is_booked_whole_with_each_fee_apart() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "sold");
    fill(&mut window, "What", "A5 notebook");
    fill(&mut window, "Full price", "24.00");
    fill(&mut window, "Order number", "A-1007");
    fill(&mut window, "Selling fee", "1.56");
    fill(&mut window, "Processing fee", "1.25");
    // By hand: 24.00 − 1.56 − 1.25 = 21.19.
    assert!(says(
        &window,
        "Of 24.00 the shop keeps 2.81; 21.19 is on its way."
    ));
    write_down(&mut window);
    assert_eq!(count(&window), 1);
    let booked = newest(&window);
    assert!(booked.contains(&("4000".to_owned(), -2400)), "{booked:?}");
    assert!(booked.contains(&("6200".to_owned(), 156)), "{booked:?}");
    assert!(booked.contains(&("6210".to_owned(), 125)), "{booked:?}");
}

#[test]
fn a_deposit_typed_as_a_sale_is_caught_and_becomes_a_payout() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "sold");
    fill(&mut window, "What", "Larkmarket deposit");
    fill(&mut window, "Full price", "21.19");
    press_place(&mut window, "Business bank account");
    assert!(says(&window, "This looks like a payout"));
    press(&mut window, "Make it a payout instead");
    assert!(says(&window, "What did the shop pay out?"));
    write_down(&mut window);
    let channel = window
        .state()
        .book()
        .expect("a book")
        .chart()
        .find("Larkmarket")
        .expect("the shop")
        .number
        .clone();
    assert_eq!(newest(&window), lines(&[("1000", 2119), (&channel, -2119)]));
}

#[test]
fn tax_that_the_shop_pays_over_is_never_posted() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "sold");
    fill(&mut window, "What", "Cards");
    fill(&mut window, "Full price", "10.00");
    choose(&mut window, "the shop collects and pays it");
    fill(&mut window, "Sales tax", "0.80");
    write_down(&mut window);
    let booked = newest(&window);
    assert_eq!(
        booked.iter().map(|(_, amount)| amount.abs()).sum::<i64>(),
        2000,
        "{booked:?}"
    );
}

#[test]
fn a_refund_finds_its_sale_by_the_order_number_and_refuses_more_than_is_left() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "sold");
    fill(&mut window, "What", "A5 notebook");
    fill(&mut window, "Full price", "24.00");
    fill(&mut window, "Order number", "A-1007");
    write_down(&mut window);
    press(&mut window, "Keep for later");
    open_form(&mut window, "customer money back");
    super::forms_support::pick(&mut window, "Which sale", "A-1007");
    assert!(says(&window, "24.00 can still be given back"));
    fill(&mut window, "How much", "30.00");
    assert!(says(&window, "more than is left of the sale"));
    fill(&mut window, "How much", "4.00");
    write_down(&mut window);
    assert_eq!(count(&window), 2);
    let booked = newest(&window);
    assert!(booked.contains(&("4020".to_owned(), 400)), "{booked:?}");
}

#[test]
fn a_sale_without_a_number_is_not_given_back_twice() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "sold");
    fill(&mut window, "What", "A5 notebook");
    fill(&mut window, "Full price", "24.00");
    write_down(&mut window);
    press(&mut window, "Keep for later");
    for _round in 0..2 {
        open_form(&mut window, "customer money back");
        super::forms_support::pick(&mut window, "Which sale", "A5");
        write_down(&mut window);
    }
    assert_eq!(count(&window), 2, "the second refund is refused");
    assert!(says(&window, "given back already"));
}

fn press_place(window: &mut egui_kittest::Harness<'_, deckle::app::App>, place: &str) {
    super::forms_support::select(window, "Through which shop, or paid into", place);
}

#[test]
fn a_fee_that_a_shop_charges_by_itself_is_a_cost_and_lowers_what_it_owes() {
    let (_folder, mut book) = new_book();
    shop(&mut book);
    let mut window = window(book);
    open_form(&mut window, "channel charged me a fee");
    assert!(says(&window, "What did the shop charge?"));
    fill(&mut window, "How much", "3.20");
    assert!(says(&window, "You owe the shop 3.20 then."));
    write_down(&mut window);
    let book = window.state().book().expect("a book");
    let channel = book.chart().find("Larkmarket").expect("the shop");
    let channel = channel.number.clone();
    assert_eq!(newest(&window), lines(&[("6200", 320), (&channel, -320)]));
}
