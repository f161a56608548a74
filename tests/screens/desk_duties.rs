//! Duties by the window alone: written down once, on Today when near, done with a proof, a return that is due for nothing.

use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    day, fill, new_book, open_form, press, says, select, settle, window, write_down,
};

#[test]
fn a_duty_comes_near_is_done_and_comes_again() {
    let (folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "comes up on a day");
    write_down(&mut page);
    assert!(says(&page, "say when it is due first"));
    fill(&mut page, "Duty", "Stall permit");
    select(&mut page, "Kind", "Permit");
    fill(&mut page, "Next due on", "20 Oct");
    fill(&mut page, "Days ahead on Today", "some");
    write_down(&mut page);
    assert!(says(&page, "a whole number of days"));
    fill(&mut page, "Days ahead on Today", "30");
    write_down(&mut page);
    assert!(says(&page, "Due on 20 Oct 2026, soon"));
    press(&mut page, "Today");
    assert!(says(&page, "Stall permit, due on 20 Oct 2026"));
    press(&mut page, "Show: Stall permit, due on 20 Oct 2026");
    page.get_by_label("It is done: Stall permit")
        .click_accesskit();
    settle(&mut page);
    fill(&mut page, "What it cost, if anything", "twelve");
    write_down(&mut page);
    assert!(
        page.state()
            .book()
            .expect("a book")
            .duties_done()
            .expect("read")
            .is_empty()
    );
    fill(&mut page, "What it cost, if anything", "25");
    let paper = folder.path().join("permit.txt");
    std::fs::write(&paper, "permit of 2026").expect("written");
    press(&mut page, "Choose a file\u{2026}");
    fill(
        &mut page,
        "Path of the receipt",
        &paper.display().to_string(),
    );
    press(&mut page, "Use this file");
    write_down(&mut page);
    assert!(says(&page, "Due on 20 Oct 2027"));
    assert!(says(
        &page,
        "Done on 28 Sep 2026 for 20 Oct 2026, 25.00, proof permit.txt"
    ));
    let book = page.state().book().expect("a book");
    assert_eq!(
        book.duties().expect("read")[0].next_day,
        Some(day("2027-10-20"))
    );
    assert_eq!(book.check().expect("checked"), vec![]);
    page.get_by_label("Show the proof: Stall permit")
        .click_accesskit();
    settle(&mut page);
    page.get_by_label("Not done after all: Stall permit")
        .click_accesskit();
    settle(&mut page);
    assert!(says(&page, "Due on 20 Oct 2026, soon"));
}

#[test]
fn a_return_for_nothing_sold_is_due_all_the_same() {
    let (folder, book) = new_book();
    let mut page = window(book);
    open_form(&mut page, "comes up on a day");
    fill(&mut page, "Duty", "Sales tax");
    select(&mut page, "Kind", "Sales-tax return");
    fill(&mut page, "Next due on", "20 Oct");
    select(&mut page, "How often", "every quarter");
    fill(&mut page, "Its period goes through", "29 Sep");
    write_down(&mut page);
    assert!(says(&page, "29 Sep 2026 is not the last day of a month"));
    fill(&mut page, "Its period goes through", "30 Sep");
    write_down(&mut page);
    assert!(says(&page, "Due on 20 Oct 2026 for Jul to Sep 2026, soon"));
    assert!(says(
        &page,
        "In the books for Jul to Sep 2026 so far: taxable sales 0.00"
    ));
    assert!(says(&page, "The return is due all the same: a nil return."));
    page.get_by_label("It is done: Sales tax").click_accesskit();
    settle(&mut page);
    assert!(says(&page, "a nil return, nothing to pay"));
    fill(&mut page, "What the return came to", "0");
    write_down(&mut page);
    assert!(says(
        &page,
        "Done on 28 Sep 2026 for Jul to Sep 2026, nothing to pay"
    ));
    assert!(says(&page, "Due on 20 Jan 2027 for Oct to Dec 2026"));
    page.get_by_label("Keep the dates as a file\u{2026}")
        .click_accesskit();
    settle(&mut page);
    let file = folder.path().join("dates.ics");
    fill(&mut page, "A new file", &file.display().to_string());
    page.get_by_label("Write the dates here").click_accesskit();
    settle(&mut page);
    for _attempt in 0..200 {
        page.step();
        if says(&page, "The dates are written to") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    let text = std::fs::read_to_string(file).expect("a file");
    assert!(text.contains("UID:1-2@duty.deckle\r\n"), "{text}");
    assert!(text.contains("DTSTART;VALUE=DATE:20270120\r\n"), "{text}");
}
