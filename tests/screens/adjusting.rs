//! Adjusting entries at a year's end by the window alone.

use deckle::ledger::EntryKind;
use deckle::mileage::{Distance, DistanceUnit, Trip};
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    day, fill, new_book, open_form, picture, says, settle, window, write_down,
};

#[test]
fn what_a_year_proposes_is_posted_from_its_page_and_not_proposed_again() {
    let (_folder, mut book) = new_book();
    book.keep_trip(&Trip {
        id: 0,
        date: day("2026-03-01"),
        from: String::new(),
        to: "Thornbury".to_owned(),
        purpose: "Spring fair".to_owned(),
        distance: Distance {
            hundredths: 123_400,
            unit: DistanceUnit::Miles,
        },
        fair: String::new(),
        entered_on: day("2026-03-01"),
    })
    .expect("kept");
    let mut page = window(book);
    open_form(&mut page, "adjusting entries of the year");
    assert!(says(&page, "Driving for the business: 894.65"));
    picture(&mut page, "adjusting");
    page.get_by_label("Post: Driving for the business")
        .click_accesskit();
    settle(&mut page);
    assert!(says(&page, "Nothing is left to propose."));
    let book = page.state().book().expect("a book");
    let posted = book.entry(deckle::ledger::EntryNumber(1)).expect("posted");
    assert_eq!(posted.entry.header.kind, EntryKind::Adjusting);
    assert_eq!(posted.entry.header.date, day("2026-12-31"));
    assert_eq!(posted.entry.total().minor(), 89_465);
    page.get_by_label("Owed at the year\u{2019}s end\u{2026}")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "How much, as far as you know", "45");
    fill(&mut page, "What kind of cost", "Phone and internet");
    fill(&mut page, "On the last day of the year", "31 Dec 2026");
    assert!(says(&page, "It is taken back on 1 Jan 2027."));
    picture(&mut page, "adjusting-form");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    let owed = book.entry(deckle::ledger::EntryNumber(2)).expect("posted");
    let back = owed.reversed_by.expect("is taken back");
    let back = book.entry(back).expect("posted");
    assert_eq!(back.entry.header.date, day("2027-01-01"));
    assert_eq!(book.check().expect("checked"), vec![]);
}
