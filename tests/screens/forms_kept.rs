//! Forms kept for later: in the book, so that closing loses nothing; on Today; gone once written down or thrown away.

use deckle::app::App;
use deckle::book::Book;
use egui::{Key, Modifiers, ViewportEvent, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{
    bought_before, count, fill, lines, new_book, newest, open_form, press, says, settle, window,
    write_down,
};

/// Something that was kept, as a test reads it.
fn kept(window: &Harness<'_, App>) -> Vec<String> {
    let book = window.state().book().expect("an open book");
    let names = book.draft_names().expect("read");
    names.into_iter().map(|(_id, name)| name).collect()
}

fn today_room(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    settle(window);
}

/// The window on the same file again, as after closing and opening.
fn again(window: Harness<'static, App>, folder: &tempfile::TempDir) -> Harness<'static, App> {
    drop(window);
    let book = Book::open(folder.path().join("book.deckle")).expect("opens again");
    super::forms_support::window(book)
}

fn a_purchase(window: &mut Harness<'_, App>) {
    open_form(window, "bought");
    fill(window, "From whom", "Harrow Lane Papers");
    fill(window, "What", "Bone glue");
    fill(window, "Amount", "12.50");
}

#[test]
fn a_form_kept_for_later_is_on_today_after_reopening_and_goes_when_written_down() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    a_purchase(&mut window);
    press(&mut window, "Keep for later");
    let mut window = again(window, &folder);
    assert_eq!(kept(&window), ["What did you buy? Harrow Lane Papers"]);
    today_room(&mut window);
    press(
        &mut window,
        "Open: Kept for later: What did you buy? Harrow Lane Papers",
    );
    assert!(says(&window, "Bone glue"), "what was typed is there");
    assert!(says(&window, "12.50"));
    write_down(&mut window);
    assert_eq!(newest(&window), lines(&[("6000", 1250), ("1000", -1250)]));
    assert!(kept(&window).is_empty(), "it is kept no more");
    assert!(!says(&window, "Kept for later: What"));
    // Undoing the purchase gives the form back as well.
    press(&mut window, "Undo");
    assert_eq!(count(&window), 2);
    assert_eq!(kept(&window), ["What did you buy? Harrow Lane Papers"]);
}

#[test]
fn leaving_a_form_is_nothing_that_undo_takes_back() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut window = window(book);
    a_purchase(&mut window);
    press(&mut window, "Keep for later");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(count(&window), 1, "the purchase before is undone");
    assert_eq!(kept(&window).len(), 1, "the form is still kept");
}

#[test]
fn a_form_taken_up_and_kept_again_is_one_form_with_the_new_words() {
    let (folder, book) = new_book();
    let mut window = window(book);
    a_purchase(&mut window);
    // Going to a room keeps it as well.
    today_room(&mut window);
    window
        .get_by_label("What did you buy? Harrow Lane Papers")
        .click();
    settle(&mut window);
    fill(&mut window, "From whom", "Ash and Reed");
    press(&mut window, "Keep for later");
    assert_eq!(kept(&window), ["What did you buy? Ash and Reed"]);
    let window = again(window, &folder);
    assert_eq!(kept(&window), ["What did you buy? Ash and Reed"]);
}

#[test]
fn a_form_is_thrown_away_from_today_or_itself_and_undo_brings_it_back() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    a_purchase(&mut window);
    press(&mut window, "Throw it away");
    assert!(kept(&window).is_empty());
    press(&mut window, "Undo");
    assert_eq!(kept(&window), ["What did you buy? Harrow Lane Papers"]);
    today_room(&mut window);
    press(
        &mut window,
        "Throw away: Kept for later: What did you buy? Harrow Lane Papers",
    );
    assert!(kept(&window).is_empty());
    assert_eq!(count(&window), 0);
}

#[test]
fn closing_the_window_keeps_what_was_typed_without_asking() {
    let (folder, book) = new_book();
    let mut window = window(book);
    a_purchase(&mut window);
    let viewport = window.input_mut().viewports.entry(ViewportId::ROOT);
    viewport.or_default().events.push(ViewportEvent::Close);
    window.step();
    for _attempt in 0..200 {
        if window.state().book().is_none() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
        window.step();
    }
    std::thread::sleep(std::time::Duration::from_millis(300));
    let window = again(window, &folder);
    assert_eq!(kept(&window), ["What did you buy? Harrow Lane Papers"]);
}

#[test]
fn every_form_is_read_again_as_it_was_kept() {
    let (folder, mut book) = new_book();
    bought_before(&mut book);
    book.open_channel("Larkmarket").expect("a shop");
    let mut window = window(book);
    let forms = [
        ("sold", "What", "A5 notebook"),
        ("customer money back", "Which sale", "A-1007"),
        ("supplier gave me", "Which purchase", "Harrow"),
        ("I put money in", "How much", "77.70"),
        ("took money out", "How much", "66.60"),
        ("channel paid out", "How much", "55.50"),
        ("brought in", "What it is", "Guillotine"),
        ("again and again", "What it is", "Ink plan"),
        ("debits and credits", "What it is for", "Year-end fix"),
        ("running before", "1000 Business bank account", "44.40"),
    ];
    for (words, label, text) in forms {
        open_form(&mut window, words);
        fill(&mut window, label, text);
        press(&mut window, "Keep for later");
    }
    let mut window = again(window, &folder);
    let names = kept(&window);
    assert_eq!(names.len(), forms.len(), "{names:?}");
    for (name, (_, _, text)) in names.iter().zip(forms) {
        window.get_by_label(name).click_accesskit();
        settle(&mut window);
        assert!(says(&window, text), "{name} has lost {text}");
        press(&mut window, "Keep for later");
    }
    assert_eq!(kept(&window), names, "left as they were they are the same");
}

#[test]
fn what_another_version_kept_is_told_and_stays() {
    let (_folder, mut book) = new_book();
    book.keep_draft("A fair day", "{\"fair\":{}}", None)
        .expect("kept");
    let mut window = window(book);
    window.get_by_label("A fair day").click();
    settle(&mut window);
    assert!(says(&window, "was kept by another version"));
    assert_eq!(kept(&window), ["A fair day"]);
}
