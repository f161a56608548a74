//! The list on Today that reaches nothing, the card of the month that is over, and the question before something is
//! written in a finished month. Figures are worked by hand.

use deckle::app::App;
use deckle::book::Book;
use deckle::dates::Month;
use deckle::happenings::Proof;
use deckle::ledger::EntryNumber;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, count, day, fill, new_book, open_form, says, settle, window, write_down,
};

fn high(book: Book) -> Harness<'static, App> {
    let mut page = window(book);
    page.set_size([1240.0, 2000.0].into());
    settle(&mut page);
    page
}

fn press(page: &mut Harness<'_, App>, label: &str) {
    page.get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
    settle(page);
}

fn a_book() -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    book.set_proof(EntryNumber(2), &Proof::default())
        .expect("no receipt is needed");
    (folder, book)
}

/// The bank moved on 2 January and never agreed: one thing once a month, and a form kept for later: one this week.
#[test]
fn the_list_counts_down_to_nothing_and_says_so() {
    let (_folder, book) = a_book();
    let mut page = high(book);
    assert!(says(&page, "1 thing wants doing."));
    assert!(says(&page, "Once a month"));
    assert!(says(
        &page,
        "Hold Business bank account against its statement for the first time"
    ));
    open_form(&mut page, "money in");
    fill(&mut page, "How much", "5.00");
    page.key_press(egui::Key::Escape);
    settle(&mut page);
    press(&mut page, "Today");
    assert!(says(&page, "2 things want doing."));
    assert!(says(&page, "This week, in one sitting"));
    let kept = page.get_by(|node| {
        node.role() == Widget::Button
            && node
                .label()
                .is_some_and(|label| label.starts_with("Throw away: "))
    });
    kept.click_accesskit();
    settle(&mut page);
    assert!(says(&page, "1 thing wants doing."));
    assert!(says(&page, "1 of 2 done since the book was opened."));
    // 500.00 put in less 31.30 spent.
    press(
        &mut page,
        "Begin: Hold Business bank account against its statement for the first time",
    );
    assert!(says(&page, "Business bank account"));
    fill(&mut page, "Up to which day", "28 Sep 2026");
    fill(&mut page, "Closing balance", "468.70");
    press(&mut page, "Begin to tick");
    press(&mut page, "Tick all");
    assert!(says(&page, "Nothing is missing"));
    press(&mut page, "Finish");
    press(&mut page, "Today");
    assert!(says(
        &page,
        "Nothing wants doing. Everything is written down, filed and put by, and the week is yours."
    ));
    assert!(says(&page, "2 of 2 done since the book was opened."));
}

#[test]
fn a_month_that_is_finished_asks_once_and_is_undone() {
    let (_folder, book) = a_book();
    let mut page = high(book);
    // The window's day is 28 September, so August is the last month that is over.
    assert!(says(&page, "August 2026"));
    assert!(says(&page, "No statements are brought into this book"));
    assert!(says(
        &page,
        "Business bank account was never held against its statement"
    ));
    assert!(says(&page, "Statement lines: done"));
    assert!(says(&page, "Accounts and their statements: open"));
    press(&mut page, "Earlier: July 2026");
    assert!(says(&page, "July 2026"));
    press(&mut page, "Later: August 2026");
    press(&mut page, "August is finished");
    assert!(says(&page, "You called August finished"));
    let book = page.state().book().expect("open");
    assert_eq!(book.settings().finished_through(), Some(day("2026-08-31")));
    assert_eq!(book.lock_date(), None);

    let before = count(&page);
    open_form(&mut page, "money in");
    fill(&mut page, "How much", "10.00");
    fill(&mut page, "When", "31 Aug 2026");
    write_down(&mut page);
    assert!(says(
        &page,
        "August 2026 is finished. Write it down all the same?"
    ));
    assert_eq!(count(&page), before);
    press(&mut page, "Look again");
    assert_eq!(count(&page), before);
    assert!(says(&page, "Nothing was written down"));
    // What was typed is still there.
    assert!(says(&page, "10.00"));
    write_down(&mut page);
    press(&mut page, "Write it all the same");
    assert_eq!(count(&page), before + 1);
    let history = page.state().book().expect("open").recent_history(3);
    assert!(
        history
            .expect("readable")
            .iter()
            .any(|row| row.what == "written on 2026-08-31 although August 2026 was finished")
    );
    // A day after it asks nothing.
    open_form(&mut page, "money in");
    fill(&mut page, "How much", "11.00");
    fill(&mut page, "When", "1 Sep 2026");
    write_down(&mut page);
    assert_eq!(count(&page), before + 2);

    press(&mut page, "Today");
    press(&mut page, "Open August again");
    let book = page.state().book().expect("open");
    assert_eq!(book.settings().finished_through(), Some(day("2026-07-31")));
    page.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    settle(&mut page);
    let book = page.state().book().expect("open");
    assert!(book.is_finished(Month::new(2026, 8).last_day()));
}
