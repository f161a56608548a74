//! What is rare and must not fail: receipts dropped or chosen, the note a private seller signs, entries changed and taken
//! back, money held by a shop, a whole kind moved, the questions that stand over the window, and buttons that open the
//! right form.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use deckle::app::App;
use deckle::book::EntryFilter;
use deckle::happenings::ProofState;
use deckle::ledger::{EntryKind, EntryNumber, Role};
use deckle::stock::CostMethod;
use egui::accesskit::Role as Widget;
use egui::{Key, Modifiers, ViewportEvent, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{
    bought_before, count, fill, lines, money, new_book, newest, open_form, press, says, select,
    settle, window, write_down,
};

/// A file as a desktop drops it.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_file(window: &mut Harness<'_, App>, path: &Path) {
    let file = Arc::new(Dropped(path.to_owned()));
    window.input_mut().dropped_files.push(file);
    window.step();
    settle(window);
}

/// A picture of one dot.
fn picture(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(name);
    let dot = image::RgbaImage::from_pixel(1, 1, image::Rgba([90, 60, 40, 255]));
    dot.save(&path).expect("a picture");
    path
}

fn room(window: &mut Harness<'_, App>, key: Key) {
    window.key_press_modifiers(Modifiers::COMMAND, key);
    settle(window);
}

fn ask_to_close(window: &mut Harness<'_, App>) {
    let viewport = window.input_mut().viewports.entry(ViewportId::ROOT);
    viewport.or_default().events.push(ViewportEvent::Close);
    window.step();
    settle(window);
}

fn open_entry(window: &mut Harness<'_, App>, words: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    settle(window);
    window.event(egui::Event::Text(words.to_owned()));
    settle(window);
    window.key_press(Key::Enter);
    settle(window);
}

#[test]
fn a_receipt_dropped_on_the_form_is_kept_with_the_entry() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_form(&mut window, "bought");
    drop_file(&mut window, folder.path());
    assert!(says(&window, "cannot be kept: it is a folder"));
    drop_file(&mut window, &picture(folder.path(), "glue.png"));
    assert!(!says(&window, "cannot be kept"));
    assert!(says(&window, "glue.png"), "it is shown in its place");
    fill(&mut window, "From whom", "Harrow Lane Papers");
    fill(&mut window, "What", "Bone glue");
    fill(&mut window, "Amount", "9.80");
    write_down(&mut window);
    let number = EntryNumber(count(&window));
    let book = window.state().book().expect("open");
    let kept = book.receipts(number).expect("read");
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].name, "glue.png");
    assert_eq!(
        book.proof(number).expect("read").state,
        ProofState::Complete
    );
}

#[test]
fn a_dropped_receipt_survives_in_a_form_kept_for_later() {
    let (folder, book) = new_book();
    let mut window = window(book);
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "Ash and Reed");
    drop_file(&mut window, &picture(folder.path(), "thread.png"));
    press(&mut window, "Keep for later");
    window
        .get_by_label("What did you buy? Ash and Reed")
        .click();
    settle(&mut window);
    fill(&mut window, "What", "Linen thread");
    fill(&mut window, "Amount", "6.00");
    fill(&mut window, "Kind", "6000");
    write_down(&mut window);
    let book = window.state().book().expect("open");
    let kept = book.receipts(EntryNumber(1)).expect("read");
    let bytes = book.receipt_bytes(&kept[0].id).expect("read");
    let file = std::fs::read(folder.path().join("thread.png")).expect("there");
    assert_eq!(bytes, file);
}

#[test]
fn ctrl_r_chooses_a_receipt_by_its_path() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let path = picture(folder.path(), "board.png");
    let mut window = window(book);
    open_form(&mut window, "bought");
    room(&mut window, Key::R);
    fill(
        &mut window,
        "Path of the receipt",
        &path.display().to_string(),
    );
    press(&mut window, "Use this file");
    assert!(says(&window, "board.png"));
    press(&mut window, "Leave it out");
    assert!(says(&window, "Drop a photo or PDF anywhere"));
}

#[test]
fn a_receipt_dropped_on_an_entrys_page_joins_it() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_entry(&mut window, "Bone glue");
    assert!(says(&window, "In the books"));
    drop_file(&mut window, &picture(folder.path(), "late.png"));
    let book = window.state().book().expect("open");
    assert_eq!(book.receipts(EntryNumber(2)).expect("read").len(), 1);
}

#[test]
fn the_note_for_a_private_seller_is_written_and_stands_in_for_the_receipt() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    window.state_mut().open_files_with(|_path| Ok(()));
    open_form(&mut window, "bought");
    fill(&mut window, "From whom", "M. Ashdown");
    fill(&mut window, "What", "Nipping press");
    fill(&mut window, "Amount", "40.00");
    fill(&mut window, "Kind", "6010");
    let private = "There is no receipt: bought from a private person, or lost";
    window.get_by_label(private).click();
    settle(&mut window);
    press(&mut window, "Make the note to sign");
    assert!(says(
        &window,
        "The note to sign and print is written and opened"
    ));
    let note = folder
        .path()
        .join("purchase-note-2026-09-28-nipping-press.html");
    let page = std::fs::read_to_string(note).expect("the note");
    assert_eq!(page.matches("M. Ashdown").count(), 2);
    assert_eq!(page.matches("40.00 USD").count(), 2);
    write_down(&mut window);
    let book = window.state().book().expect("open");
    let proof = book.proof(EntryNumber(3)).expect("read");
    assert_eq!(proof.state, ProofState::Substitute);
    assert_eq!(proof.stands_in, "note signed by buyer and seller");
}

#[test]
fn a_changed_amount_alone_is_a_draft_that_is_kept() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_entry(&mut window, "Bone glue");
    press(&mut window, "Change it\u{2026}");
    // Looking at it alone is no draft.
    press(&mut window, "Keep for later");
    assert!(!says(&window, "Change entry 2"));
    press(&mut window, "Change it\u{2026}");
    fill(&mut window, "Debit, line 2", "10.80");
    fill(&mut window, "Credit, line 3", "32.30");
    room(&mut window, Key::Num1);
    window.get_by_label("Change entry 2").click();
    settle(&mut window);
    assert!(says(&window, "10.80"), "what was typed is there");
    fill(&mut window, "Why it is changed", "the glue cost more");
    write_down(&mut window);
    let book = window.state().book().expect("open");
    let posted = book.entry(EntryNumber(2)).expect("read");
    assert_eq!(posted.version, 2);
    assert_eq!(posted.entry.total(), money(3230));
    assert!(book.draft_names().expect("read").is_empty());
}

#[test]
fn a_change_kept_for_later_does_not_run_over_another() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_entry(&mut window, "Bone glue");
    press(&mut window, "Change it\u{2026}");
    fill(&mut window, "What it was", "First thought");
    fill(&mut window, "Why it is changed", "to be clearer");
    press(&mut window, "Keep for later");
    press(&mut window, "Change it\u{2026}");
    fill(&mut window, "What it was", "Second thought");
    fill(&mut window, "Why it is changed", "better still");
    write_down(&mut window);
    window.get_by_label("Change entry 2").click();
    settle(&mut window);
    assert!(says(&window, "was changed while this was kept for later"));
    assert!(says(&window, "to be clearer"));
    assert!(says(&window, "Second thought"));
    assert!(!says(&window, "First thought"));
}

#[test]
fn an_entry_is_taken_back_with_a_reason_and_only_once() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    open_entry(&mut window, "Bone glue");
    press(&mut window, "Take it back\u{2026}");
    write_down(&mut window);
    assert!(says(&window, "say why it is taken back"));
    assert_eq!(count(&window), 2);
    fill(&mut window, "Why it is taken back", "written down twice");
    write_down(&mut window);
    assert_eq!(count(&window), 3);
    let expected = [("1200", -2150), ("6000", -980), ("1000", 3130)];
    assert_eq!(newest(&window), lines(&expected));
    assert!(says(&window, "Taken back by entry 3"));
    assert!(!says(&window, "Take it back\u{2026}"));
}

#[test]
fn what_a_shop_holds_is_noted_and_released() {
    let (_folder, mut book) = new_book();
    let shop = book.open_channel("Larkmarket").expect("a shop");
    let mut window = window(book);
    open_form(&mut window, "channel paid out");
    fill(&mut window, "Hold back", "30.00");
    fill(&mut window, "Until", "15 Oct 2026");
    press(&mut window, "Note it");
    assert!(says(&window, "30.00 held, until 15 Oct 2026"));
    assert!(
        says(&window, "What did the shop pay out?"),
        "the form stays"
    );
    let held = |window: &Harness<'_, App>| {
        let book = window.state().book().expect("open");
        book.held(shop, super::forms_support::today())
            .expect("read")
    };
    assert_eq!(held(&window), money(3_000));
    press(&mut window, "Released: 30.00");
    assert_eq!(held(&window), money(0));
    assert!(says(&window, "Nothing is held back"));
}

#[test]
fn a_hold_without_an_amount_or_with_a_day_that_is_none_says_so() {
    let (_folder, mut book) = new_book();
    book.open_channel("Larkmarket").expect("a shop");
    let mut window = window(book);
    open_form(&mut window, "channel paid out");
    press(&mut window, "Note it");
    assert!(says(&window, "say how much the shop holds back"));
    fill(&mut window, "Hold back", "30.00");
    fill(&mut window, "Until", "some day");
    press(&mut window, "Note it");
    assert!(says(&window, "not a day"));
    let book = window.state().book().expect("open");
    assert!(book.holds().expect("read").is_empty());
}

#[test]
fn a_whole_kind_moves_to_another_with_a_reason_and_back() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    room(&mut window, Key::Num3);
    window
        .get_by_label("Move everything of one kind to another")
        .click_accesskit();
    settle(&mut window);
    settle(&mut window);
    select(&mut window, "Everything on", "6000 Consumables");
    // It lies further down in the list than is in sight.
    window
        .get_by_role_and_label(Widget::ComboBox, "goes to")
        .click();
    settle(&mut window);
    window.get_by_label("6020 Office costs").click_accesskit();
    settle(&mut window);
    press_out_of_sight(&mut window, "Move everything of this kind");
    assert!(says(&window, "say why; the history keeps it"));
    fill(&mut window, "Why", "the accountant sorts it so");
    press_out_of_sight(&mut window, "Move everything of this kind");
    let on = |window: &Harness<'_, App>, role: Role| {
        let book = window.state().book().expect("open");
        let account = book.chart().role(role).expect("there");
        let filter = EntryFilter {
            account: Some(account),
            kind: Some(EntryKind::Purchase),
            ..EntryFilter::default()
        };
        book.entry_numbers(&filter).expect("read").len()
    };
    assert_eq!(
        (on(&window, Role::Consumables), on(&window, Role::Office)),
        (0, 1)
    );
    press(&mut window, "Undo");
    assert_eq!(
        (on(&window, Role::Consumables), on(&window, Role::Office)),
        (1, 0)
    );
}

fn press_out_of_sight(window: &mut Harness<'_, App>, label: &str) {
    window
        .get_by_role_and_label(Widget::Button, label)
        .click_accesskit();
    settle(window);
}

#[test]
fn what_the_book_cannot_keep_is_asked_about_before_the_window_closes() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    room(&mut window, Key::Comma);
    fill(&mut window, "Name of the business", "Fernhollow Press");
    ask_to_close(&mut window);
    assert!(says(
        &window,
        "Not written down yet and dropped with the book: \u{201C}Settings\u{201D}."
    ));
    press(&mut window, "Stay");
    assert!(window.state().book().is_some());
    assert!(!says(&window, "dropped with the book"));
    ask_to_close(&mut window);
    press(&mut window, "Close it");
    for _attempt in 0..200 {
        std::thread::sleep(std::time::Duration::from_millis(10));
        window.step();
        if says(&window, "The window closes by itself") || window.state().book().is_none() {
            return;
        }
    }
    panic!("the window did not close");
}

#[test]
fn buttons_of_the_rooms_open_their_own_form_filled_as_far_as_is_known() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let shop = book.open_channel("Larkmarket").expect("a shop");
    let chart = book.chart().clone();
    let fees = chart.find("6200").expect("fees").id;
    let billed = deckle::ledger::JournalEntry::new(
        deckle::ledger::EntryHeader::new(
            super::forms_support::day("2026-09-10"),
            EntryKind::Manual,
        )
        .memo("Fees above the sales"),
        vec![
            deckle::ledger::Line::debit(fees, money(415)),
            deckle::ledger::Line::credit(shop, money(415)),
        ],
    )
    .expect("an entry");
    book.record(&deckle::happenings::Recording::new(billed))
        .expect("kept");
    let mut window = window(book);
    room(&mut window, Key::Num5);
    press(&mut window, "I paid a shop");
    assert!(says(&window, "What did you pay the shop?"));
    assert!(says(&window, "You owe Larkmarket 4.15."));
    write_down(&mut window);
    let number = chart.account(shop).expect("there").number.clone();
    assert_eq!(newest(&window), lines(&[(&number, 415), ("1000", -415)]));
    room(&mut window, Key::Num6);
    press(&mut window, "I paid the business back");
    assert!(says(&window, "How much did you pay back to the business?"));
    press(&mut window, "Keep for later");
    press(&mut window, "I paid myself back");
    assert!(says(&window, "How much did the business pay you back?"));
}

#[test]
fn basis_and_costing_are_kept_with_the_settings() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    room(&mut window, Key::Comma);
    for choice in [
        "is paid (cash basis)",
        "what the oldest piece cost (first in, first out)",
    ] {
        window
            .get_by_role_and_label(Widget::RadioButton, choice)
            .click_accesskit();
        settle(&mut window);
    }
    assert!(says(&window, "which profit statement comes first"));
    press_out_of_sight(&mut window, "Keep the settings");
    let settings = window.state().book().expect("open").settings();
    assert_eq!(settings.get("basis"), Some("cash"));
    assert_eq!(settings.costing(), CostMethod::Fifo);
}
