//! Trips and the workspace at home by the window alone.

use deckle::mileage::DistanceUnit;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    fill, new_book, open_form, press, says, settle, today, window, write_down,
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
