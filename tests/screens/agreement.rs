//! An account against its statement: what is ticked, what is missing and why, the finished sheet as on paper, and what
//! is said when something of it changes.

use deckle::app::App;
use deckle::ledger::{EntryNumber, JournalEntry, Line};
use deckle::reports;
use egui::accesskit::Role as Widget;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{
    bought_before, fill, money, new_book, open_form, press, says, settle, window, write_down,
};
use super::sorting::{account, bring, key, pictured, room_money, sized};

fn follow(window: &mut Harness<'_, App>, label: &str) {
    window.get_by_role_and_label(Widget::Link, label).click();
    settle(window);
}

fn open_bank(window: &mut Harness<'_, App>) {
    room_money(window);
    let label = "Open Business bank account not compared with a statement yet";
    follow(window, label);
}

fn undo(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(window);
}

#[test]
fn a_bank_account_is_ticked_to_nothing_and_its_sheet_is_kept_as_on_paper() {
    let (_folder, mut book) = new_book();
    // 500.00 put in on 2 January, 31.30 paid on 1 September.
    bought_before(&mut book);
    bring(&mut book, "1000", &[("2026-01-03", 50_000, "R FERN")]);
    let line = book.lines_to_sort(None).expect("lines")[0].clone();
    book.match_line(line.id, &[EntryNumber(1)], None)
        .expect("matched");
    let bank = account(&book, "1000");
    let mut window = window(book);
    open_bank(&mut window);
    fill(&mut window, "Up to which day", "30 Sep 2026");
    fill(&mut window, "Closing balance", "468.70");
    press(&mut window, "Begin to tick");
    // The bank's line has ticked the 500.00: 500.00 against 468.70.
    assert!(says(&window, "Still missing"));
    assert!(says(&window, "31.30"));
    assert!(says(&window, "Entry 2 is exactly 31.30 and not ticked"));
    pictured(&mut window, "agreement-open");
    // The second movement, with the keyboard.
    key(&mut window, Key::ArrowDown);
    key(&mut window, Key::Space);
    assert!(says(&window, "Nothing is missing"));
    undo(&mut window);
    assert!(says(&window, "Entry 2 is exactly 31.30 and not ticked"));
    key(&mut window, Key::Space);
    fill(&mut window, "Note on the sheet", "statement 9");
    press(&mut window, "Finish");
    assert!(says(&window, "Up to 30 Sep 2026: 468.70"));
    follow(&mut window, "Up to 30 Sep 2026: 468.70");
    assert!(says(&window, "Balance by the statement, 468.70"));
    assert!(says(&window, "Nothing was outstanding"));
    assert!(says(&window, "Balance by the books, 468.70"));
    assert!(says(&window, "statement 9"));
    pictured(&mut window, "agreement-sheet");
    room_money(&mut window);
    assert!(says(&window, "agrees with its statement up to 30 Sep 2026"));
    let book = window.state().book().expect("open");
    let agreed = reports::agreed(book).expect("agreed");
    let of_bank = agreed
        .iter()
        .find(|one| one.account == bank)
        .expect("the bank");
    assert_eq!(
        of_bank.agreed_to,
        Some(super::forms_support::day("2026-09-30"))
    );
}

#[test]
fn what_is_outstanding_stands_on_the_sheet_and_a_change_of_it_is_said() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window({
        let bank = account(&book, "1000");
        let id = book
            .begin_reconciliation(bank, super::forms_support::day("2026-08-31"), money(50_000))
            .expect("begun");
        book.tick(id, &[EntryNumber(1)], true).expect("ticked");
        book.finish_reconciliation(id, "").expect("finished");
        // The 31.30 of 1 September are in the books and not on the statement of 2 September.
        let next = book
            .begin_reconciliation(bank, super::forms_support::day("2026-09-02"), money(50_000))
            .expect("begun");
        book.finish_reconciliation(next, "").expect("finished");
        // What she put in is changed to 510.00: the first sheet no longer holds.
        let was = book.entry(EntryNumber(1)).expect("there").entry;
        let lines: Vec<Line> = was
            .lines()
            .iter()
            .map(|line| {
                let more = if line.amount.is_positive() {
                    1_000
                } else {
                    -1_000
                };
                Line::debit(line.account, line.amount + money(more))
            })
            .collect();
        let now = JournalEntry::new(was.header.clone(), lines).expect("an entry");
        book.amend(EntryNumber(1), &now, "ten more")
            .expect("amended");
        book
    });
    room_money(&mut window);
    follow(
        &mut window,
        "Open Business bank account agrees with its statement up to 2 Sep 2026; something changed since",
    );
    follow(&mut window, "Up to 2 Sep 2026: 500.00");
    assert!(says(&window, "(31.30)"));
    assert!(says(&window, "Balance by the books, 468.70"));
    pictured(&mut window, "agreement-outstanding");
    key(&mut window, Key::Escape);
    assert!(says(&window, "something of it changed since"));
    follow(&mut window, "Up to 31 Aug 2026: 500.00");
    let changed = "Entry 1 moved 500.00 when this was finished and now moves 510.00.";
    assert!(says(&window, changed));
    pictured(&mut window, "agreement-broken");
    press(&mut window, "Take it back\u{2026}");
    fill(&mut window, "Why is it taken back?", "a line was forgotten");
    press(&mut window, "Take the sheet back");
    // The later sheet builds on it.
    assert!(says(&window, "take that back first"));
}

#[test]
fn a_card_is_typed_as_it_is_owed() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let card = account(&book, "2010");
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Quillfeather Inks");
    fill(&mut window, "What", "Bone glue");
    fill(&mut window, "Amount", "20");
    super::forms_support::select(&mut window, "Paid from", "Credit card");
    write_down(&mut window);
    room_money(&mut window);
    follow(
        &mut window,
        "Open Credit card not compared with a statement yet",
    );
    assert!(says(&window, "without a minus"));
    fill(&mut window, "Up to which day", "30 Sep 2026");
    fill(&mut window, "You owe on that day", "20");
    press(&mut window, "Begin to tick");
    let book = window.state().book().expect("open");
    let open = book.open_reconciliation(card).expect("read").expect("open");
    assert_eq!(open.balance, money(-2_000));
    press(&mut window, "Tick all");
    assert!(says(&window, "Nothing is missing"));
    press(&mut window, "Finish");
    assert!(says(&window, "Up to 30 Sep 2026: 20.00"));
    sized(&mut window, [900.0, 600.0], 2.0, egui::Theme::Dark);
    pictured(&mut window, "agreement-double");
    let book = window.state().book().expect("open");
    assert!(book.open_reconciliation(card).expect("read").is_none());
}

#[test]
fn an_entry_and_its_account_show_what_the_bank_confirmed() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[("2026-09-02", -3_130, "CARD HARROW LANE PAPERS")],
    );
    let line = book.lines_to_sort(None).expect("lines")[0].clone();
    book.match_line(line.id, &[EntryNumber(2)], None)
        .expect("matched");
    let mut window = window(book);
    room_money(&mut window);
    follow(&mut window, "Open Business bank account");
    assert!(says(&window, "confirmed"));
    assert!(says(&window, "not yet"));
    let row = window
        .query_all_by_label_contains("Harrow Lane Papers")
        .next()
        .expect("its row");
    row.click();
    settle(&mut window);
    assert!(says(&window, "CARD HARROW LANE PAPERS"));
    pictured(&mut window, "entry-lines");
    follow(&mut window, "Take CARD HARROW LANE PAPERS off this entry");
    let book = window.state().book().expect("open");
    assert_eq!(book.count_lines_to_sort(None).expect("count").0, 1);
    undo(&mut window);
    let book = window.state().book().expect("open");
    assert_eq!(book.count_lines_to_sort(None).expect("count").0, 0);
}
