//! A window on a fresh book, and the few gestures that the journeys are made of.

use chrono::NaiveDate;
use deckle::app::App;
use deckle::app::preferences::Preferences;
use deckle::book::{Book, NewBook};
use deckle::happenings::{
    Happening, OwnerMoneyIn, OwnerMoneyInDetails, Payment, Purchase, PurchaseDetails, PurchaseLine,
};
use deckle::ledger::{EntryNumber, Line, Role};
use deckle::money::{Currency, Money};
use egui::accesskit::Role as Widget;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

/// The day on which every journey takes place.
pub fn today() -> NaiveDate {
    day("2026-09-28")
}

/// A day by its ISO date.
pub fn day(text: &str) -> NaiveDate {
    deckle::dates::parse_iso(text).expect("a day")
}

/// Cents.
pub fn money(minor: i64) -> Money {
    Money::from_minor(minor)
}

/// A new book in a folder that goes away with the test.
pub fn new_book() -> (tempfile::TempDir, Book) {
    let folder = tempfile::tempdir().expect("a folder");
    let currency = Currency::from_code("USD").expect("a currency");
    let mut new = NewBook::new(currency, day("2026-01-01"));
    new.business_name = "Fernhollow Bindery".to_owned();
    let book = Book::create(folder.path().join("book.deckle"), &new).expect("a book");
    (folder, book)
}

/// Puts 500.00 in and buys paper and glue once, so that there is something to remember.
pub fn bought_before(book: &mut Book) {
    let chart = book.chart().clone();
    let bank = chart.role(Role::BusinessBank).expect("a bank");
    let put_in = OwnerMoneyIn::new(OwnerMoneyInDetails {
        date: day("2026-01-02"),
        account: bank,
        amount: money(50_000),
        memo: String::new(),
    })
    .expect("money in");
    book.record(&put_in.recording(&chart).expect("an entry"))
        .expect("kept");
    let lines = vec![
        PurchaseLine::new(
            chart.role(Role::Materials).expect("materials"),
            money(2150),
            "Text paper",
        ),
        PurchaseLine::new(
            chart.role(Role::Consumables).expect("consumables"),
            money(980),
            "Bone glue",
        ),
    ];
    let details = PurchaseDetails::new(
        day("2026-09-01"),
        "Harrow Lane Papers",
        Payment::Account(bank),
        lines,
    );
    let purchase = Purchase::new(details).expect("a purchase");
    book.record(&purchase.recording(&chart).expect("an entry"))
        .expect("kept");
}

/// The window on a book.
pub fn window(book: Book) -> Harness<'static, App> {
    window_on(App::with_book(book, Preferences::default(), today))
}

/// The window of an app.
pub fn window_on(app: App) -> Harness<'static, App> {
    // The typefaces count from the frame after the one they are given in.
    let mut is_dressed = false;
    let mut window = Harness::builder()
        .with_size([1240.0, 900.0])
        .renderer(crate::soft::Soft::default())
        .build_ui_state(
            move |ui, app: &mut App| {
                if std::mem::replace(&mut is_dressed, true) {
                    app.show(ui);
                } else {
                    deckle::app::theme::install(ui.ctx());
                }
            },
            app,
        );
    settle(&mut window);
    window
}

/// Lets the window come to rest.
pub fn settle(window: &mut Harness<'_, App>) {
    window.run_steps(4);
}

/// Presses keys the way a hand does, counting each press.
#[derive(Debug, Default)]
pub struct Hand {
    /// How many keys were pressed; a combination is one.
    pub pressed: usize,
}

impl Hand {
    /// Presses one key.
    pub fn key(&mut self, window: &mut Harness<'_, App>, key: Key) {
        self.combined(window, Modifiers::NONE, key);
    }

    /// Presses one key together with others.
    pub fn combined(&mut self, window: &mut Harness<'_, App>, modifiers: Modifiers, key: Key) {
        self.pressed += 1;
        window.key_press_modifiers(modifiers, key);
        settle(window);
    }

    /// Types, one key a letter.
    pub fn types(&mut self, window: &mut Harness<'_, App>, text: &str) {
        for letter in text.chars() {
            self.pressed += 1;
            window.event(egui::Event::Text(letter.to_string()));
            window.step();
        }
        settle(window);
    }
}

/// Opens the form that "What happened?" finds by these words.
pub fn open_form(window: &mut Harness<'_, App>, words: &str) {
    let mut hand = Hand::default();
    hand.combined(window, Modifiers::COMMAND, Key::N);
    hand.types(window, words);
    hand.key(window, Key::Enter);
}

/// Puts text into the field with this label, in place of what stood there.
pub fn fill(window: &mut Harness<'_, App>, label: &str, text: &str) {
    fill_as(window, Widget::TextInput, label, text);
}

/// The same for a field of several lines.
pub fn fill_lines(window: &mut Harness<'_, App>, label: &str, text: &str) {
    fill_as(window, Widget::MultilineTextInput, label, text);
}

fn fill_as(window: &mut Harness<'_, App>, role: Widget, label: &str, text: &str) {
    window.get_by_role_and_label(role, label).focus();
    settle(window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    settle(window);
    if text.is_empty() {
        window.key_press(Key::Delete);
    } else {
        window.event(egui::Event::Text(text.to_owned()));
    }
    settle(window);
    // A list beneath the field would take Tab for its first offer; the journeys type whole words.
    window.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    settle(window);
}

/// Presses the button with this label.
pub fn press(window: &mut Harness<'_, App>, label: &str) {
    window.get_by_role_and_label(Widget::Button, label).click();
    settle(window);
}

/// Chooses one of a row of choices.
pub fn choose(window: &mut Harness<'_, App>, label: &str) {
    window
        .get_by_role_and_label(Widget::RadioButton, label)
        .click();
    settle(window);
}

/// Writes down what the form holds.
pub fn write_down(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(window);
}

/// Whether these words stand anywhere in the window.
pub fn says(window: &Harness<'_, App>, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
        || window
            .query_all_by(|node| node.value().is_some_and(|value| value.contains(words)))
            .next()
            .is_some()
}

/// Keeps a picture in the folder named by `DECKLE_PICTURES`, when it is set.
pub fn picture(window: &mut Harness<'_, App>, name: &str) {
    if let Some(folder) = std::env::var_os("DECKLE_PICTURES") {
        let image = window.render().expect("a picture");
        let path = std::path::PathBuf::from(folder).join(format!("{name}.png"));
        image.save(path).expect("saved");
    }
}

/// How many entries the book has.
pub fn count(window: &Harness<'_, App>) -> u64 {
    let book = window.state().book().expect("an open book");
    book.entry_count().expect("a count")
}

/// The newest entry's lines as account number and amount in cents.
pub fn newest(window: &Harness<'_, App>) -> Vec<(String, i64)> {
    let book = window.state().book().expect("an open book");
    shown_lines(book, EntryNumber(book.entry_count().expect("a count")))
}

/// An entry's lines as account number and amount in cents.
pub fn shown_lines(book: &Book, number: EntryNumber) -> Vec<(String, i64)> {
    let posted = book.entry(number).expect("an entry");
    let shown = |line: &Line| {
        let account = book.chart().account(line.account).expect("an account");
        (account.number.clone(), line.amount.minor())
    };
    posted.entry.lines().iter().map(shown).collect()
}

/// The lines as a test writes them.
pub fn lines(rows: &[(&str, i64)]) -> Vec<(String, i64)> {
    rows.iter()
        .map(|(number, amount)| ((*number).to_owned(), *amount))
        .collect()
}

/// Types into a searching field and takes its first offer.
pub fn pick(window: &mut Harness<'_, App>, label: &str, text: &str) {
    window
        .get_by_role_and_label(Widget::TextInput, label)
        .focus();
    settle(window);
    let mut hand = Hand::default();
    hand.types(window, text);
    hand.key(window, Key::Enter);
}

/// Opens a list and chooses from it.
pub fn select(window: &mut Harness<'_, App>, label: &str, choice: &str) {
    window
        .get_by_role_and_label(Widget::ComboBox, label)
        .click();
    settle(window);
    let shown: Vec<_> = window
        .query_all_by_label(choice)
        .filter(|node| node.accesskit_node().role() != Widget::ComboBox)
        .collect();
    shown.last().expect("the choice").click();
    drop(shown);
    settle(window);
}
