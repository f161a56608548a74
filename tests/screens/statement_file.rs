//! Statements brought in by the window: chosen, understood, asked about, put right, brought once.

use std::time::Duration;

use deckle::app::App;
use deckle::book::Book;
use egui_kittest::Harness;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{Hand, fill, new_book, open_form, press, says, select, settle, window};
use super::sorting::{pictured, room_money, sized};

/// Goes on drawing until the window says so: files are looked at on threads.
#[track_caller]
fn wait_for(window: &mut Harness<'_, App>, words: &str) {
    for _try in 0..400 {
        window.run_steps(2);
        if says(window, words) {
            settle(window);
            return;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    panic!("the window never said '{words}'");
}

/// The page with this file chosen.
fn with_file(
    book: Book,
    folder: &tempfile::TempDir,
    name: &str,
    content: &str,
) -> Harness<'static, App> {
    let path = folder.path().join(name);
    std::fs::write(&path, content).expect("written");
    let mut window = window(book);
    room_money(&mut window);
    press(&mut window, "Bring a statement");
    fill(&mut window, "File or folder", &path.display().to_string());
    press(&mut window, "Add it");
    // Which account a first statement is of cannot be known.
    wait_for(&mut window, "It is a statement of");
    if says(&window, "say which account it is of") || says(&window, "asks one thing") {
        select(&mut window, "It is a statement of", "Business bank account");
    }
    window
}

fn amounts(window: &Harness<'_, App>) -> Vec<(String, i64, String)> {
    let book = window.state().book().expect("open");
    let mut lines: Vec<(String, i64, String)> = book
        .lines_to_sort(None)
        .expect("lines")
        .into_iter()
        .map(|line| (line.date.to_string(), line.amount.minor(), line.text))
        .collect();
    lines.sort();
    lines
}

#[test]
fn days_that_cannot_be_told_apart_are_asked_and_the_file_is_brought_once() {
    let (folder, book) = new_book();
    let mut window = with_file(
        book,
        &folder,
        "march.csv",
        "Day;What;Sum;Balance\n02/03/2026;Glue;-4,50;95,50\n04/05/2026;Board;-12,00;83,50\n",
    );
    wait_for(&mut window, "asks one thing");
    assert!(says(&window, "In which order are days written?"));
    pictured(&mut window, "statement-asks");
    press(&mut window, "The day comes first");
    wait_for(
        &mut window,
        "Business bank account, a table as text (CSV), 2 Mar 2026 to 4 May 2026",
    );
    assert!(says(&window, "Its first lines, as they are understood:"));
    pictured(&mut window, "statement-understood");
    sized(&mut window, [900.0, 600.0], 1.0, egui::Theme::Dark);
    pictured(&mut window, "statement-small-dark");
    sized(&mut window, [1280.0, 900.0], 1.0, egui::Theme::Light);
    press(&mut window, "Bring it in");
    wait_for(&mut window, "2 new lines brought in");
    assert_eq!(
        amounts(&window),
        [
            ("2026-03-02".to_owned(), -450, "Glue".to_owned()),
            ("2026-05-04".to_owned(), -1_200, "Board".to_owned())
        ]
    );
    pictured(&mut window, "statement-brought");
    // The way on is offered, and nothing was posted.
    assert!(says(&window, "Sort 2 lines"));
    let book = window.state().book().expect("open");
    assert_eq!(book.entry_count().expect("count"), 0);
    assert_eq!(book.file_layouts("bank").expect("layouts").len(), 1);
}

#[test]
fn what_was_taken_wrongly_is_put_right_under_its_column() {
    let (folder, book) = new_book();
    let mut window = with_file(
        book,
        &folder,
        "odd.csv",
        "Date,Text,Amount,Note\n2026-03-02,Z1,-4.50,Glue\n2026-03-05,Z2,-12.00,Board\n",
    );
    wait_for(&mut window, "2 Mar 2026 to 5 Mar 2026");
    press(&mut window, "Put right what is not so");
    select(&mut window, "Text", "nothing needed");
    wait_for(&mut window, "2 Mar 2026 to 5 Mar 2026");
    select(&mut window, "Note", "what it was");
    wait_for(&mut window, "2 Mar 2026 to 5 Mar 2026");
    pictured(&mut window, "statement-columns");
    press(&mut window, "Bring it in");
    wait_for(&mut window, "2 new lines brought in");
    let texts: Vec<String> = amounts(&window)
        .into_iter()
        .map(|(_, _, text)| text)
        .collect();
    assert_eq!(texts, ["Glue", "Board"]);
}

#[test]
fn a_file_that_is_no_statement_says_why_and_leaves_nothing() {
    let (folder, book) = new_book();
    let path = folder.path().join("letter.csv");
    std::fs::write(&path, "Dear maker,\nthank you for the notebook.\n").expect("written");
    let mut window = window(book);
    room_money(&mut window);
    press(&mut window, "Bring a statement");
    fill(&mut window, "File or folder", &path.display().to_string());
    press(&mut window, "Add it");
    wait_for(&mut window, "Leave this file out");
    pictured(&mut window, "statement-wrong");
    press(&mut window, "Leave this file out");
    assert!(!says(&window, "Bring it in"));
    assert!(amounts(&window).is_empty());
}

/// What was chosen or answered leaves the page, and the keyboard with it; the next thing takes it.
#[test]
fn a_statement_is_brought_in_by_keys_alone() {
    let (folder, book) = new_book();
    let path = folder.path().join("march.csv");
    std::fs::write(
        &path,
        "Date,Details,Amount\n2026-03-14,Paper,-20.00\n2026-03-15,Payout,31.50\n",
    )
    .expect("written");
    let mut window = window(book);
    open_form(&mut window, "statement from my bank");
    assert!(says(&window, "Bring a statement"));
    let has_keyboard =
        |window: &Harness<'_, App>| window.ctx.memory(|memory| memory.focused().is_some());
    assert!(has_keyboard(&window), "the page takes the keyboard");
    let mut hand = Hand::default();
    hand.combined(&mut window, Modifiers::COMMAND, Key::A);
    hand.types(&mut window, &path.display().to_string());
    let tab_until = |window: &mut Harness<'_, App>, hand: &mut Hand, label: &str| {
        for _step in 0..40 {
            let is_there = window
                .query_all_by_label_contains(label)
                .any(|node| node.is_focused());
            if is_there {
                return;
            }
            hand.key(window, Key::Tab);
        }
        panic!("'{label}' cannot be reached");
    };
    tab_until(&mut window, &mut hand, "Add it");
    hand.key(&mut window, Key::Enter);
    wait_for(&mut window, "14 Mar 2026 to 15 Mar 2026");
    assert!(has_keyboard(&window), "after the file was added");
    tab_until(&mut window, &mut hand, "It is a statement of");
    hand.key(&mut window, Key::Enter);
    hand.key(&mut window, Key::ArrowDown);
    hand.key(&mut window, Key::Enter);
    wait_for(&mut window, "a table as text (CSV)");
    assert!(has_keyboard(&window), "after the account was said");
    tab_until(&mut window, &mut hand, "Bring it in");
    hand.key(&mut window, Key::Enter);
    wait_for(&mut window, "2 new lines brought in");
    assert_eq!(amounts(&window).len(), 2);
}
