//! A practice copy in the window: marked wherever she is, and left by one button.

use egui::Key;
use egui_kittest::kittest::Queryable as _;

use crate::support::{Window, sample_book};

fn is_practice(window: &Window) -> Option<bool> {
    window.harness.state().book().map(|book| book.is_practice())
}

/// Goes from the real book to its practice copy by typing.
fn practise(window: &mut Window) {
    window.ctrl(Key::K);
    window.type_text("try something");
    window.key(Key::Enter);
    window.wait_until(|app| app.book().is_some_and(|book| book.is_practice()));
}

#[test]
fn every_room_of_a_practice_copy_says_so() {
    let mut window = sample_book();
    let real = window
        .harness
        .state()
        .book()
        .expect("open")
        .path()
        .to_owned();
    assert!(window.harness.query_by_label("Practice copy").is_none());
    practise(&mut window);
    let book = window.harness.state().book().expect("open");
    assert_ne!(book.path(), real);
    assert_eq!(book.practice_of(), Some(real.clone()));
    for key in [
        Key::Num1,
        Key::Num2,
        Key::Num3,
        Key::Num4,
        Key::Num5,
        Key::Num6,
        Key::Num7,
        Key::Num8,
        Key::Num9,
        Key::Comma,
        Key::N,
    ] {
        window.ctrl(key);
        assert!(
            window
                .harness
                .query_all_by_label("Practice copy")
                .next()
                .is_some(),
            "{key:?}"
        );
    }
    window.key(Key::Escape);
    window.harness.get_by_label("Back to the real book").click();
    window.wait_until(|app| app.book().is_some_and(|book| !book.is_practice()));
    assert_eq!(window.harness.state().book().expect("open").path(), real);
    assert!(window.harness.query_by_label("Practice copy").is_none());
}

#[test]
fn it_is_made_afresh_after_a_question() {
    let mut window = sample_book();
    practise(&mut window);
    let name = |window: &Window| {
        let book = window.harness.state().book().expect("open");
        book.settings().business_name().to_owned()
    };
    let before = name(&window);
    window.ctrl(Key::Comma);
    let field = window
        .harness
        .get_by_role_and_label(egui::accesskit::Role::TextInput, "Name of the business");
    field.focus();
    window.harness.run();
    window.ctrl(Key::A);
    window.type_text("Tried out");
    window
        .harness
        .get_by_label("Keep the settings")
        .click_accesskit();
    window.harness.run();
    assert_eq!(name(&window), "Tried out");
    window.harness.get_by_label("Make the copy afresh").click();
    window.harness.run();
    assert!(
        window
            .harness
            .query_by_label("Make the practice copy afresh?")
            .is_some()
    );
    window.key(Key::Enter);
    window.wait_until(|app| {
        app.book()
            .is_some_and(|book| book.settings().business_name() == "Fernhollow Bindery")
    });
    assert_eq!(is_practice(&window), Some(true));
    assert_eq!(name(&window), before);
}

#[test]
fn the_band_fits_the_smallest_window_at_twice_the_size() {
    let mut window = sample_book();
    practise(&mut window);
    for (theme, zoom, name) in [
        (egui::Theme::Light, 1.0, "practice-light"),
        (egui::Theme::Dark, 2.0, "practice-dark-large"),
    ] {
        window.harness.ctx.set_theme(theme);
        window.harness.ctx.set_zoom_factor(zoom);
        window.harness.set_size(egui::vec2(900.0, 600.0) / zoom);
        window.harness.run();
        let screen = window.harness.ctx.content_rect();
        for label in ["Practice copy", "Back to the real book"] {
            let rect = window.harness.get_by_label(label).rect();
            assert!(
                screen.contains_rect(rect),
                "{label} at {zoom}: {rect:?} in {screen:?}"
            );
        }
        window.picture(name);
    }
}
