//! A window on a book in a folder of its own, on a fixed day.
//! Nothing here looks at what is shown.

use std::path::PathBuf;

use chrono::NaiveDate;
use deckle::app::preferences::Preferences;
use deckle::app::{App, theme};
use deckle::book::{Book, NewBook};
use deckle::money::Currency;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use tempfile::TempDir;

use crate::soft::Soft;

/// The day it is in these tests.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day")
}

/// A window and the folder its book lies in.
pub struct Window {
    /// What is driven.
    pub harness: Harness<'static, App>,
    /// Where the book lies.
    pub folder: TempDir,
}

/// A window on a new, empty book.
pub fn empty_book() -> Window {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("book.deckle");
    let mut new = NewBook::new(Currency::from_code("USD").expect("USD"), day("2026-01-01"));
    new.business_name = "Fernhollow Bindery".to_owned();
    let book = Book::create(&path, &new).expect("a book");
    window(App::with_book(book, Preferences::default(), today), folder)
}

/// A window on a copy of the sample book.
pub fn sample_book() -> Window {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sample.deckle");
    let book =
        deckle::verbs::build_sample(&path).unwrap_or_else(|error| panic!("{}", error.line()));
    window(App::with_book(book, Preferences::default(), today), folder)
}

/// A window on the first page.
pub fn first_page() -> Window {
    first_page_on(today)
}

/// A window on the first page, on another day.
pub fn first_page_on(today: fn() -> NaiveDate) -> Window {
    let folder = tempfile::tempdir().expect("a folder");
    window(App::new(Preferences::default(), today), folder)
}

/// A window on a copy of the sample book with settings of its own, on a day of its own.
pub fn sample_with(settings: &[(&str, &str)], today: fn() -> NaiveDate) -> Window {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sample.deckle");
    let mut book =
        deckle::verbs::build_sample(&path).unwrap_or_else(|error| panic!("{}", error.line()));
    book.set_settings(settings).expect("the settings");
    window(App::with_book(book, Preferences::default(), today), folder)
}

fn window(app: App, folder: TempDir) -> Window {
    let mut is_dressed = false;
    let mut harness = Harness::builder()
        .with_theme(egui::Theme::Light)
        .with_size([1240.0, 820.0])
        .with_max_steps(12)
        .renderer(Soft::default())
        .build_ui_state(
            move |ui, app: &mut App| {
                // Typefaces are there from the frame after they were given.
                if is_dressed {
                    app.show(ui);
                } else {
                    theme::install(ui.ctx());
                    is_dressed = true;
                }
            },
            app,
        );
    harness.run();
    Window { harness, folder }
}

impl Window {
    /// Lets the window work until a thread has reported and all is drawn.
    pub fn wait_until(&mut self, is_done: impl Fn(&App) -> bool) {
        for _attempt in 0..1200 {
            self.harness.step();
            // A thread that is slow under load may still keep the window drawing.
            if is_done(self.harness.state()) && self.harness.try_run().is_ok() {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(25));
        }
        panic!("the window is still waiting");
    }

    /// Lets the window work until it shows something with these words, however many frames that takes.
    pub fn wait_for(&mut self, words: &str) {
        for _attempt in 0..1200 {
            self.harness.step();
            if self.harness.query_by_label_contains(words).is_some() {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(25));
        }
        panic!("the window never said '{words}'");
    }

    /// Presses a key with Ctrl.
    pub fn ctrl(&mut self, key: egui::Key) {
        self.harness
            .key_press_modifiers(egui::Modifiers::COMMAND, key);
        self.harness.run();
    }

    /// Presses a key.
    pub fn key(&mut self, key: egui::Key) {
        self.harness.key_press(key);
        self.harness.run();
    }

    /// Types where the keyboard is.
    pub fn type_text(&mut self, text: &str) {
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.harness.run();
    }

    /// Keeps a picture in the folder named by `DECKLE_PICTURES`, when it is set.
    pub fn picture(&mut self, name: &str) {
        if let Some(folder) = std::env::var_os("DECKLE_PICTURES") {
            let image = self.harness.render().expect("a picture");
            let path = PathBuf::from(folder).join(format!("{name}.png"));
            image.save(path).expect("saved");
        }
    }
}

/// A day.
pub fn day(text: &str) -> NaiveDate {
    deckle::dates::parse_iso(text).expect("a day")
}
