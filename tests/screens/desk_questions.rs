//! Questions for the accountant by the window alone: asked on an entry's page, answered and applied at the desk.

use deckle::desk::QuestionState;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    Hand, bought_before, fill, fill_lines, new_book, open_form, press, says, settle, window,
    write_down,
};

#[test]
fn a_question_is_asked_on_the_page_of_its_entry_and_applied_at_the_desk() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut page = window(book);
    let mut hand = Hand::default();
    hand.combined(&mut page, egui::Modifiers::COMMAND, egui::Key::K);
    hand.types(&mut page, "Harrow Lane");
    hand.key(&mut page, egui::Key::Enter);
    press(&mut page, "Ask about this entry\u{2026}");
    write_down(&mut page);
    assert!(says(&page, "write down what you want to know"));
    fill_lines(&mut page, "Question", "Is bone glue a material?");
    write_down(&mut page);
    assert!(says(&page, "The question is kept for your accountant"));
    press(&mut page, "Today");
    assert!(says(&page, "1 question for your accountant"));
    press(&mut page, "Show: 1 question for your accountant");
    assert!(says(&page, "about 1 Sep 2026, Harrow Lane Papers"));
    page.get_by_label("Write the answer down: Is bone glue a material?")
        .click_accesskit();
    settle(&mut page);
    fill_lines(&mut page, "Answer", "A consumable: it is not counted");
    fill(&mut page, "Answered on", "30 Aug");
    write_down(&mut page);
    assert!(says(
        &page,
        "answered on 30 Aug 2026 lies before asked on 28 Sep 2026"
    ));
    fill(&mut page, "Answered on", "28 Sep");
    fill(&mut page, "Who answered", "Brindle & Co");
    write_down(&mut page);
    assert!(says(&page, "Answered, to be applied"));
    page.get_by_label("It is applied: Is bone glue a material?")
        .click_accesskit();
    settle(&mut page);
    fill_lines(&mut page, "What was done", "nothing had to change");
    fill(&mut page, "By entry", "9");
    write_down(&mut page);
    assert!(says(&page, "there is no entry 9"));
    fill(&mut page, "By entry", "");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    let kept = book.questions().expect("read");
    assert_eq!(kept[0].state(), QuestionState::Applied);
    assert_eq!(book.check().expect("checked"), vec![]);
}

#[test]
fn a_question_without_an_entry_is_asked_from_what_happened() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "question for my accountant");
    fill_lines(&mut page, "Question", "When do I register, if at all?");
    fill(&mut page, "About entry", "x");
    write_down(&mut page);
    assert!(says(&page, "the number of an entry, such as 12"));
    fill(&mut page, "About entry", "");
    write_down(&mut page);
    assert!(says(&page, "Waiting for an answer"));
    press(&mut page, "Year end");
    assert!(says(&page, "Open: 1 question waits for the accountant"));
}
