//! Trips and the workspace at home by the window alone.

use deckle::mileage::DistanceUnit;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    day, fill, new_book, open_form, press, says, settle, today, window, write_down,
};

#[test]
fn a_trip_is_told_in_one_form_and_offered_again() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "drove somewhere");
    fill(&mut page, "Where to", "Copse End");
    fill(&mut page, "How far, in miles", "27.4");
    write_down(&mut page);
    assert!(says(&page, "say what the trip was for"));
    fill(&mut page, "What for", "Pieces brought to the shop");
    write_down(&mut page);
    let trips = page
        .state()
        .book()
        .expect("a book")
        .trips(None)
        .expect("read");
    assert_eq!(trips.len(), 1);
    assert_eq!(trips[0].distance.hundredths, 2740);
    assert_eq!(trips[0].distance.unit, DistanceUnit::Miles);
    assert_eq!((trips[0].date, trips[0].entered_on), (today(), today()));
    // 27.4 miles at 0.725: 19.865, rounded half away from nothing.
    assert!(says(&page, "19.87"));
    press(&mut page, "to Copse End, 27.4 mi");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    assert_eq!(book.trips(None).expect("read").len(), 2);
    assert_eq!(book.entry_count().expect("read"), 0);
    assert_eq!(book.check().expect("checked"), vec![]);
}

#[test]
fn a_space_at_home_is_told_and_both_methods_stand_side_by_side() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "A part of my home");
    press(&mut page, "Another space\u{2026}");
    fill(&mut page, "Its name", "Back room");
    fill(&mut page, "Its area", "120");
    fill(&mut page, "Area of the whole home", "100");
    write_down(&mut page);
    assert!(says(&page, "the whole home cannot be smaller"));
    fill(&mut page, "Area of the whole home", "1200");
    write_down(&mut page);
    // 120 square feet at 5, and nothing of it while there is no profit.
    assert!(says(&page, "600.00"));
    page.get_by_label("A bill of the home\u{2026}")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "What for", "Heating");
    fill(&mut page, "How much", "200");
    write_down(&mut page);
    // A tenth of the home.
    assert!(says(&page, "20.00 of that the business"));
    page.get_by_label("By the home\u{2019}s bills (real costs)")
        .click_accesskit();
    settle(&mut page);
    let book = page.state().book().expect("a book");
    assert_eq!(book.settings().get("workspace.method"), Some("actual"));
    page.get_by_label_contains("Take out: Back room")
        .click_accesskit();
    settle(&mut page);
    let book = page.state().book().expect("a book");
    assert!(book.spaces().expect("read").is_empty());
}

#[test]
fn a_share_of_a_bill_says_what_it_rests_on_and_a_later_one_leaves_it() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "partly private");
    press(&mut page, "Another bill\u{2026}");
    fill(&mut page, "What the bill is for", "Mobile phone");
    fill(&mut page, "Who bills it", "Dovetone Mobile");
    fill(&mut page, "For the business, per cent", "140");
    write_down(&mut page);
    assert!(says(&page, "write a number from 0 to 100"));
    fill(&mut page, "For the business, per cent", "40");
    write_down(&mut page);
    assert!(says(&page, "say what the share rests on"));
    fill(&mut page, "What the share rests on", "41 of 102 calls");
    fill(&mut page, "Looked at from", "2026-03-01");
    fill(&mut page, "It holds from", "2026-03-15");
    write_down(&mut page);
    assert!(says(&page, "the first and the last day of the sample"));
    fill(&mut page, "Looked at to", "2026-03-14");
    write_down(&mut page);
    assert!(says(&page, "40 % for the business from 15 Mar 2026"));
    page.get_by_label_contains("A new share: Mobile phone")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "For the business, per cent", "55");
    fill(&mut page, "What the share rests on", "61 of 110 calls");
    write_down(&mut page);
    // It holds from today, 28 September; the earlier one stays.
    assert!(says(&page, "until 27 Sep 2026"));
    let book = page.state().book().expect("a book");
    let kept = book.shared_bills().expect("read");
    let shares: Vec<String> = kept.iter().map(|bill| bill.share.to_string()).collect();
    assert_eq!(shares, ["40", "55"]);
    assert_eq!(kept[0].sampled.map(|days| days.to), Some(day("2026-03-14")));
    assert_eq!(book.entry_count().expect("read"), 0);
    page.get_by_label_contains("Take out: Mobile phone, Dovetone Mobile: 55 %")
        .click_accesskit();
    settle(&mut page);
    let book = page.state().book().expect("a book");
    assert_eq!(book.shared_bills().expect("read").len(), 1);
}
