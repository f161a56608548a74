//! Adjusting entries at a year's end by the window alone.

use deckle::app::App;
use deckle::ledger::EntryKind;
use deckle::mileage::{Distance, DistanceUnit, Trip};
use deckle::reports;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::forms_support::{
    choose, day, fill, new_book, open_form, picture, press, says, settle, window, write_down,
};
use crate::support::sample_book;

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

/// Clicks twice where the button with this label is, as a hasty hand does.
fn double_click(page: &mut Harness<'_, App>, label: &str) {
    let found = page.get_by_role_and_label(Widget::Button, label);
    found.scroll_to_me();
    settle(page);
    let pos = page
        .get_by_role_and_label(Widget::Button, label)
        .rect()
        .center();
    page.event(egui::Event::PointerMoved(pos));
    page.step();
    for pressed in [true, false, true, false] {
        page.event(egui::Event::PointerButton {
            pos,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        });
        page.step();
    }
    settle(page);
}

fn n_entries(page: &Harness<'_, App>) -> u64 {
    let book = page.state().book().expect("open");
    book.entry_count().expect("a count")
}

#[test]
fn a_double_click_posts_one_proposal_and_no_row_moves() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 1600.0].into());
    settle(&mut window.harness);
    let page = &mut window.harness;
    press(page, "Year end");
    choose(page, "2 Put right");
    press(page, "Open what is proposed\u{2026}");
    let book = page.state().book().expect("open");
    let report = reports::adjusting(book, 2026).expect("a report");
    let before = n_entries(page);
    let postable: Vec<_> = report
        .proposed
        .into_iter()
        .filter(|one| !one.recordings.is_empty())
        .collect();
    let [first, .., last] = postable.as_slice() else {
        panic!("the sample proposes too little: {postable:?}");
    };
    let label = |word: &str, what: &str| format!("{word}: {what}");
    let place = |page: &Harness<'_, App>, label: &str| {
        page.get_by_role_and_label(Widget::Button, label)
            .rect()
            .left_top()
    };
    let last_at = place(page, &label("Post", last.what.plain()));
    double_click(page, &label("Post", first.what.plain()));
    assert_eq!(n_entries(page), before + first.recordings.len() as u64);
    let name = label("Posted", first.what.plain());
    let posted = page.get_by_role_and_label(Widget::Button, &name);
    assert!(posted.accesskit_node().is_disabled());
    assert_eq!(place(page, &label("Post", last.what.plain())), last_at);
    // Undone, it is proposed again in its place.
    page.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    settle(page);
    assert_eq!(n_entries(page), before);
    assert_eq!(place(page, &label("Post", last.what.plain())), last_at);
    double_click(page, "Post all of them");
    let all: usize = postable.iter().map(|one| one.recordings.len()).sum();
    assert_eq!(n_entries(page), before + all as u64);
    assert!(says(page, "All of them are posted"));
    window.picture("adjusting-posted");
    let page = &mut window.harness;
    // Looked at anew it is no longer told.
    press(page, "Year end");
    press(page, "Open what is proposed\u{2026}");
    let shown = label("Posted", first.what.plain());
    assert!(page.query_by_label(&shown).is_none());
}
