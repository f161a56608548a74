//! Company papers and decisions by the window alone.

use deckle::desk::PaperKind;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    choose, fill, fill_lines, new_book, open_form, press, says, settle, window, write_down,
};

#[test]
fn papers_begin_with_the_usual_ones_and_no_tax_number_is_kept() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "company's papers");
    press(&mut page, "Begin with the usual ones");
    assert!(says(
        &page,
        "only whether there is one: the number itself is never kept here"
    ));
    page.get_by_label("Change: Tax number on file")
        .click_accesskit();
    settle(&mut page);
    choose(&mut page, "Yes");
    fill(&mut page, "Note", "12-3456789");
    write_down(&mut page);
    assert!(says(&page, "the tax number itself is not kept here"));
    fill(&mut page, "Note", "letter in the blue folder");
    write_down(&mut page);
    let book = page.state().book().expect("a book");
    let papers = book.company_papers().expect("read");
    assert_eq!(papers.len(), 5);
    let there: Vec<PaperKind> = papers
        .iter()
        .filter(|paper| paper.is_there)
        .map(|paper| paper.kind)
        .collect();
    assert_eq!(there, [PaperKind::TaxNumber]);
    assert!(says(&page, "1 of 5 company papers are there"));
    assert_eq!(book.check().expect("checked"), vec![]);
}

#[test]
fn a_decision_is_corrected_by_a_new_line() {
    let (_folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "decided something");
    fill_lines(&mut page, "What was decided", "Cards cost 4.50");
    write_down(&mut page);
    assert!(says(&page, "write down why, in a line"));
    fill_lines(&mut page, "Why", "paper went up");
    write_down(&mut page);
    page.get_by_label("Correct it: Cards cost 4.50")
        .click_accesskit();
    settle(&mut page);
    fill_lines(&mut page, "What was decided", "Cards cost 4.75");
    fill_lines(&mut page, "Why", "a slip of the pen");
    write_down(&mut page);
    assert!(says(&page, "corrected by a later line"));
    let book = page.state().book().expect("a book");
    let decisions = book.decisions().expect("read");
    assert_eq!(decisions[1].corrects, Some(decisions[0].id));
    assert_eq!(decisions[0].what, "Cards cost 4.50");
}
