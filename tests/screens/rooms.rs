//! The rooms with the sample book and with an empty one: what they say, that figures open, what a button writes.
//! Forms and the frame have their own tests.

use deckle::ledger::{EntryKind, EntryNumber, Role as AccountRole};
use egui::Key;
use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;

use crate::support::{Window, day, empty_book, sample_book};

fn go(window: &mut Window, room: &str) {
    window
        .harness
        .get_by_role_and_label(Role::Button, room)
        .click();
    window.harness.run();
}

fn press(window: &mut Window, label: &str) {
    window
        .harness
        .get_by_role_and_label(Role::Button, label)
        .click();
    window.harness.run();
}

fn press_any(window: &mut Window, part: &str) {
    let node = window
        .harness
        .get_all_by_label_contains(part)
        .find(|node| {
            use egui_kittest::kittest::NodeT as _;
            matches!(
                node.accesskit_node().role(),
                Role::Button | Role::Link | Role::RadioButton
            )
        })
        .unwrap_or_else(|| panic!("nothing to press has '{part}'"));
    node.click();
    window.harness.run();
}

fn says(window: &Window, part: &str) {
    assert!(
        window
            .harness
            .query_all_by_label_contains(part)
            .next()
            .is_some(),
        "'{part}' is not on the screen"
    );
}

fn type_in(window: &mut Window, label: &str, text: &str) {
    window
        .harness
        .get_by_role_and_label(Role::TextInput, label)
        .focus();
    window.harness.run();
    window.ctrl(Key::A);
    window.type_text(text);
}

const ROOMS: [&str; 7] = [
    "Today",
    "Plan",
    "Money",
    "Equipment",
    "Set aside",
    "Year end",
    "Ledger",
];

#[test]
fn every_room_is_alive_with_the_sample_and_says_what_it_is_for_when_empty() {
    let mut window = sample_book();
    for room in ROOMS {
        go(&mut window, room);
        window.picture(&format!("sample-{}", room.replace(' ', "-")));
    }
    let mut window = empty_book();
    let first_words = [
        ("Today", "Where to begin"),
        ("Plan", "Nothing is planned yet."),
        ("Money", "No money has moved yet"),
        ("Equipment", "No equipment yet"),
        ("Set aside", "Nothing needs to be kept back so far."),
        ("Year end", "Before handing over"),
        ("Ledger", "No entry yet"),
    ];
    for (room, words) in first_words {
        go(&mut window, room);
        says(&window, words);
        window.picture(&format!("empty-{}", room.replace(' ', "-")));
    }
}

#[test]
fn a_small_window_and_large_letters_cut_nothing_off() {
    for (size, name) in [([900.0, 600.0], "900"), ([1240.0, 820.0], "large")] {
        let mut window = sample_book();
        window.harness.set_size(size.into());
        if name == "large" {
            window.harness.ctx.set_zoom_factor(1.4);
        }
        window.harness.ctx.set_theme(egui::Theme::Dark);
        window.harness.run();
        for room in ROOMS {
            go(&mut window, room);
            window.picture(&format!("{name}-{}", room.replace(' ', "-")));
        }
    }
}

#[test]
fn a_figure_opens_down_to_the_entry_and_its_receipt() {
    let mut window = sample_book();
    press_any(&mut window, "Free to spend: ");
    says(&window, "How it comes about");
    says(&window, "Owed on cards");
    window.picture("explain-free");
    press_any(&mut window, "Owed on cards");
    says(&window, "The entries");
    window.picture("explain-card");
    press_any(&mut window, "Open ");
    says(&window, "In the books");
    says(&window, "What stands behind it");
    window.picture("entry");
}

#[test]
fn wear_is_written_down_from_today_once() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 1600.0].into());
    window.harness.run();
    let before = window
        .harness
        .state()
        .book()
        .expect("open")
        .entry_count()
        .expect("count");
    press_any(&mut window, "Write down: Wear of equipment");
    let book = window.harness.state().book().expect("open");
    assert_eq!(book.entry_count().expect("count"), before + 1);
    let posted = book.entry(EntryNumber(before + 1)).expect("the entry");
    assert_eq!(posted.entry.header.kind, EntryKind::Depreciation);
    assert_eq!(posted.entry.header.date, day("2026-10-31"));
    assert!(
        window
            .harness
            .query_by_label_contains("Write down: Wear of equipment")
            .is_none()
    );
}

/// Nine months of the sample's second year are charged, so October is all that is open; a period that ends before
/// leaves nothing but the year's end to write down.
#[test]
fn wear_is_offered_through_the_end_of_the_period() {
    let mut window = sample_book();
    go(&mut window, "Equipment");
    says(&window, "Write down wear through October");
    window.ctrl(Key::P);
    type_in(&mut window, "From", "2026-01-01");
    type_in(&mut window, "To", "2026-09-30");
    press(&mut window, "Show these days");
    assert!(
        window
            .harness
            .query_by_label_contains("Write down wear through October")
            .is_none()
    );
    says(&window, "Write down wear through 31 Dec 2026");
}

#[test]
fn the_set_aside_move_is_a_transfer_and_then_nothing_is_left_to_move() {
    let mut window = sample_book();
    go(&mut window, "Set aside");
    press_any(&mut window, "Move ");
    says(&window, "What did you move?");
    window.ctrl(Key::Enter);
    let book = window.harness.state().book().expect("open");
    let last = book.entry_count().expect("count");
    let posted = book.entry(EntryNumber(last)).expect("the entry");
    assert_eq!(posted.entry.header.kind, EntryKind::Transfer);
    let savings = book.chart().role(AccountRole::SetAside).expect("savings");
    assert!(
        posted
            .entry
            .lines()
            .iter()
            .any(|line| line.account == savings && line.amount.is_positive())
    );
    says(&window, "Everything needed so far is put by.");
}

#[test]
fn an_entry_is_changed_with_a_reason_and_keeps_its_earlier_version() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 1500.0].into());
    window.harness.run();
    go(&mut window, "Ledger");
    press_any(&mut window, "Open 1");
    press(&mut window, "Change it\u{2026}");
    type_in(&mut window, "What it was", "Told more plainly");
    type_in(&mut window, "Why it is changed", "clearer words");
    window.picture("amend");
    press(&mut window, "Change it");
    says(&window, "clearer words");
    says(&window, "Told more plainly");
    let book = window.harness.state().book().expect("open");
    let changed = book
        .recent_history(1)
        .expect("history")
        .into_iter()
        .next()
        .and_then(|row| row.entry)
        .expect("an entry");
    assert_eq!(
        book.entry(changed).expect("it").entry.header.memo,
        "Told more plainly"
    );
    assert_eq!(book.entry(changed).expect("it").version, 2);
}

#[test]
fn a_piece_shows_gain_or_loss_before_it_goes() {
    let mut window = sample_book();
    go(&mut window, "Equipment");
    press_any(&mut window, "Book press");
    says(&window, "Schedule");
    press(&mut window, "Sold or scrapped\u{2026}");
    type_in(&mut window, "What you got for it", "200");
    says(&window, "gained");
    window.picture("disposal");
    press(&mut window, "Write it down");
    let book = window.harness.state().book().expect("open");
    let piece = book.piece("Book press").expect("still known");
    assert!(piece.disposal.is_some());
}

#[test]
fn a_year_is_closed_and_reopened_with_a_reason() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 3200.0].into());
    go(&mut window, "Year end");
    press_any(&mut window, "2025");
    says(&window, "Done: The year is closed by entry");
    window.picture("year-end-2025");
    press_any(&mut window, "4 Close (closed)");
    press(&mut window, "Reopen it\u{2026}");
    type_in(
        &mut window,
        "Why it is reopened",
        "an adjustment by the accountant",
    );
    press(&mut window, "Reopen the year");
    assert_eq!(
        window.harness.state().book().expect("open").lock_date(),
        None
    );
    press(&mut window, "Close the year\u{2026}");
    press(&mut window, "Close 2025");
    let lock = window.harness.state().book().expect("open").lock_date();
    assert_eq!(lock, Some(day("2025-12-31")));
    press_any(&mut window, "1 Look through");
    says(&window, "Done: The year is closed by entry");
}

/// Asks for the year's pack in a folder, on the last step of the room.
fn ask_for_the_pack(window: &mut Window, folder: &std::path::Path) {
    press(window, "Make the pack\u{2026}");
    type_in(window, "A new, empty folder", &folder.display().to_string());
    window
        .harness
        .get_by_role_and_label(Role::Button, "Make it here")
        .click();
}

#[test]
fn the_year_end_folder_is_written_while_the_window_stays() {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 3200.0].into());
    go(&mut window, "Year end");
    press_any(&mut window, "5 Hand over");
    let folder = window.folder.path().join("for-the-accountant");
    ask_for_the_pack(&mut window, &folder);
    let summary = folder.join("summary.md");
    window.wait_until(|_app| summary.exists());
    assert!(folder.join("manifest.json").exists());
    assert!(folder.join("year-end-2026.pdf").exists() && folder.with_extension("zip").exists());
    window.wait_until(|app| app.book().is_some());
    window.harness.run();
    says(&window, "nothing of the year was written since");
    says(&window, "Read the pages");
    // The one file is named with the whole way to it, and nothing of the books is offered to be undone.
    let archive = folder.with_extension("zip").display().to_string();
    says(
        &window,
        &format!("You are done. Send your accountant this one file: {archive}"),
    );
    assert!(window.harness.query_by_label_contains("Undo").is_none());
    window.picture("year-end-handed-over");

    // A place that is taken: nothing is said to be done, and what was typed is still there.
    ask_for_the_pack(&mut window, &folder);
    window.wait_for("was left alone");
    window.wait_until(|app| app.book().is_some());
    window.harness.run();
    assert!(
        window
            .harness
            .query_by_label_contains("You are done")
            .is_none()
    );
    says(&window, "Make it here");
}

#[test]
fn an_account_is_added_in_the_ledger() {
    let mut window = sample_book();
    go(&mut window, "Ledger");
    press_any(&mut window, "Changes and lock");
    window.picture("changes");
    let chip = window
        .harness
        .get_by_role_and_label(Role::RadioButton, "Accounts");
    chip.click();
    window.harness.run();
    window.picture("accounts");
    press(&mut window, "Add an account\u{2026}");
    type_in(&mut window, "Name", "Ribbon and thread");
    press(&mut window, "Keep the account");
    let book = window.harness.state().book().expect("open");
    assert!(book.chart().find("Ribbon and thread").is_ok());
}
