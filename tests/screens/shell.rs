//! The frame: first page, keys, lists, settings, undo.
//! Rooms and forms have their own tests.

use egui::Key;
use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;

use crate::support::{Window, empty_book, first_page, sample_book};

fn field(window: &mut Window, label: &str, text: &str) {
    let node = window.harness.get_by_role_and_label(Role::TextInput, label);
    node.focus();
    window.harness.run();
    window.ctrl(Key::A);
    window.type_text(text);
}

#[test]
fn three_plain_questions_begin_a_book() {
    let mut window = first_page();
    window.picture("first-page");
    assert!(
        window
            .harness
            .query_by_label_contains("licensed professional")
            .is_some()
    );
    field(
        &mut window,
        "What is your business called?",
        "Fernhollow Bindery",
    );
    field(
        &mut window,
        "Which currency does it keep its books in?",
        "eur",
    );
    field(&mut window, "Which day does the book begin?", "2026-02-01");
    window
        .harness
        .get_by_label("Keep it somewhere else")
        .click();
    window.harness.run();
    let path = window.folder.path().join("deep").join("first.deckle");
    field(
        &mut window,
        "Where is it kept?",
        &path.display().to_string(),
    );
    window.harness.get_by_label("Begin the book").click();
    window.wait_until(|app| app.book().is_some());
    let book = window.harness.state().book().expect("open");
    assert_eq!(book.path(), path);
    assert_eq!(book.settings().business_name(), "Fernhollow Bindery");
    assert_eq!(book.currency().code(), "EUR");
    assert_eq!(book.first_day().to_string(), "2026-02-01");
}

#[test]
fn a_file_that_is_no_book_is_told_and_left_alone() {
    let mut window = first_page();
    let path = window.folder.path().join("letter.deckle");
    std::fs::write(&path, "Dear Aunt").expect("written");
    field(&mut window, "Its file", &path.display().to_string());
    window.harness.get_by_label("Open").click();
    window.wait_for("not a Deckle book");
    assert_eq!(std::fs::read_to_string(&path).expect("there"), "Dear Aunt");
}

#[test]
fn the_settings_are_kept_and_undone() {
    let mut window = empty_book();
    window.ctrl(Key::Comma);
    field(&mut window, "Name of the business", "Fernhollow Press");
    window
        .harness
        .get_by_label("Keep the settings")
        .click_accesskit();
    window.harness.run();
    let name = |window: &Window| {
        let book = window.harness.state().book().expect("open");
        book.settings().business_name().to_owned()
    };
    assert_eq!(name(&window), "Fernhollow Press");
    window.picture("settings");
    window.harness.get_by_label("Undo").click();
    window.harness.run();
    assert_eq!(name(&window), "Fernhollow Bindery");
}

#[test]
fn everything_is_found_by_typing() {
    let mut window = sample_book();
    window.ctrl(Key::K);
    window.type_text("settings");
    window.key(Key::Enter);
    assert!(window.harness.query_by_label("The window").is_some());
    window.ctrl(Key::K);
    window.type_text("lanternpost");
    assert!(
        window
            .harness
            .query_all_by_label_contains("entry ")
            .next()
            .is_some()
    );
    window.picture("find");
    window.key(Key::Escape);
    assert!(window.harness.query_by_label("Find anything").is_some());
}

#[test]
fn the_list_of_keys_opens_and_closes() {
    let mut window = empty_book();
    window.key(Key::F1);
    assert!(window.harness.query_by_label("Anywhere").is_some());
    window.picture("keys");
    window.key(Key::Escape);
    assert!(window.harness.query_by_label("Anywhere").is_none());
}

#[test]
fn a_menu_takes_escape_for_itself() {
    let mut window = sample_book();
    window.ctrl(Key::Comma);
    assert!(
        window
            .harness
            .query_by_label("\u{2190} Back to Today")
            .is_some()
    );
    window.ctrl(Key::P);
    assert!(
        window
            .harness
            .query_by_label_contains("All of the book")
            .is_some()
    );
    window.key(Key::Escape);
    assert!(
        window
            .harness
            .query_by_label_contains("All of the book")
            .is_none()
    );
    assert!(
        window
            .harness
            .query_by_label("\u{2190} Back to Today")
            .is_some(),
        "the page beneath the menu stays"
    );
}

#[test]
fn every_room_has_a_key() {
    let mut window = empty_book();
    window.ctrl(Key::Num9);
    assert!(
        window
            .harness
            .query_by_label("Closing the year and handing it over")
            .is_some()
    );
    window.ctrl(Key::J);
    assert!(window.harness.query_by_label("The ledger").is_some());
}

#[test]
fn an_idle_window_does_not_repaint() {
    let mut window = sample_book();
    window.harness.run();
    window.harness.step();
    let wanted = window.harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
    assert!(wanted > std::time::Duration::from_secs(3600), "{wanted:?}");
}

#[test]
fn the_scale_stays_within_its_ends() {
    let mut window = empty_book();
    for _press in 0..20 {
        window.ctrl(Key::Plus);
    }
    assert!((window.harness.ctx.zoom_factor() - 2.5).abs() < 0.01);
    for _press in 0..30 {
        window.ctrl(Key::Minus);
    }
    assert!((window.harness.ctx.zoom_factor() - 0.8).abs() < 0.01);
    window.ctrl(Key::Num0);
    assert!((window.harness.ctx.zoom_factor() - 1.0).abs() < 0.01);
}
