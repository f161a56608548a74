//! The statement lines to be sorted, by keys alone: each deed with its figures, undone, and the counter down to nothing.

use deckle::app::App;
use deckle::book::{Became, Book, NewLine, NewStatement};
use deckle::dates::DateRange;
use deckle::ledger::AccountId;
use deckle::money::Money;
use deckle::sorting::{BankLine, Direction};
use egui::accesskit::Role as Widget;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{
    bought_before, choose, count, day, fill, lines, new_book, newest, pick, press, says, settle,
    window, write_down,
};

/// Day, minor units, words.
type Row<'r> = (&'r str, i64, &'r str);

pub fn account(book: &Book, number: &str) -> AccountId {
    book.chart().find(number).expect("an account").id
}

pub fn bring(book: &mut Book, number: &str, rows: &[Row<'_>]) {
    let statement = NewStatement {
        account: account(book, number),
        name: format!("statement-{number}.csv"),
        hash: "0".repeat(64),
        format: "csv".to_owned(),
        bank_account: String::new(),
    };
    book.bring_statement(&statement, |take| {
        for (idx, (date, minor, text)) in rows.iter().enumerate() {
            take(NewLine {
                date: day(date),
                amount: Money::from_minor(*minor),
                text,
                bank_id: None,
                balance: None,
                row: idx as u64 + 2,
            })?;
        }
        Ok::<_, deckle::book::BookError>(None)
    })
    .expect("brought");
}

pub fn key(window: &mut Harness<'_, App>, key: Key) {
    window.key_press(key);
    settle(window);
}

pub fn room_money(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num6);
    settle(window);
}

fn open_tray(window: &mut Harness<'_, App>) {
    room_money(window);
    press(window, "Sort them");
}

fn line_of(window: &Harness<'_, App>, words: &str) -> BankLine {
    let book = window.state().book().expect("open");
    let range = DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    book.bank_lines(account(book, "1000"), range)
        .expect("lines")
        .into_iter()
        .find(|line| line.text.contains(words))
        .expect("the line")
}

fn became(window: &Harness<'_, App>, words: &str) -> Option<Became> {
    let line = line_of(window, words);
    let book = window.state().book().expect("open");
    book.became(line.id).expect("read")
}

fn left_to_sort(window: &Harness<'_, App>) -> usize {
    let book = window.state().book().expect("open");
    book.count_lines_to_sort(None).expect("count").0
}

/// Keeps a picture in the folder named by `DECKLE_PICTURES`, when it is set.
pub fn pictured(window: &mut Harness<'_, App>, name: &str) {
    if let Some(folder) = std::env::var_os("DECKLE_PICTURES") {
        let image = window.render().expect("a picture");
        let path = std::path::PathBuf::from(folder).join(format!("{name}.png"));
        image.save(path).expect("saved");
    }
}

/// Makes the window this large, this much scaled, in this theme.
pub fn sized(window: &mut Harness<'_, App>, size: [f32; 2], scale: f32, theme: egui::Theme) {
    window.ctx.set_zoom_factor(scale);
    window.ctx.set_theme(theme);
    window.set_size(egui::Vec2::from(size) / scale);
    settle(window);
}

/// The amount of the line that is opened stands in the heading with its payee.
fn is_current(window: &Harness<'_, App>, payee: &str) -> bool {
    window
        .query_by_role_and_label(Widget::Heading, payee)
        .is_some()
}

#[test]
fn lines_that_wait_are_the_first_step_of_an_empty_book() {
    let (_folder, mut book) = new_book();
    bring(
        &mut book,
        "1000",
        &[("2026-09-02", -3_130, "CARD 0912 HARROW LANE PAPERS")],
    );
    let mut window = window(book);
    assert!(says(&window, "1 line of a statement to sort"));
    press(&mut window, "Sort: 1 line of a statement to sort");
    assert!(says(&window, "1 line to sort"));
}

#[test]
fn a_month_is_sorted_with_the_keys_and_every_deed_is_undone() {
    let (_folder, mut book) = new_book();
    // The book has 31.30 paid to Harrow Lane Papers on 1 September.
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[
            ("2026-09-02", -3_130, "CARD 0912 HARROW LANE PAPERS"),
            ("2026-09-05", -1_240, "CARD 0912 HARROW LANE PAPERS"),
            ("2026-09-08", -2_200, "CARD 0912 GREEN DOOR GROCER"),
            ("2026-09-10", 15_000, "TRANSFER FROM R FERN"),
            ("2026-09-14", -450, "MONTHLY ACCOUNT FEE"),
            ("2026-09-20", -990, "CARD 0912 OLD QUAY CAFE"),
        ],
    );
    let mut window = window(book);
    open_tray(&mut window);
    assert!(says(&window, "6 lines to sort"));
    // Together: 150.00 in; 31.30 + 12.40 + 22.00 + 4.50 + 9.90 = 80.10 out.
    assert!(says(&window, "150.00 came in, 80.10 went out"));
    // The largest comes first.
    assert!(is_current(&window, "Fern"));
    pictured(&mut window, "tray");
    // It is her own money.
    key(&mut window, Key::P);
    assert_eq!(
        newest(&window),
        lines(&[("1000", 15_000), ("3000", -15_000)])
    );
    // 31.30 is in the book; Enter says that it is the same, and nothing is posted.
    assert!(is_current(&window, "Harrow Lane Papers"));
    assert!(says(&window, "In the book already: entry 2"));
    let before = count(&window);
    key(&mut window, Key::Enter);
    assert_eq!(count(&window), before);
    assert!(matches!(
        became(&window, "HARROW LANE PAPERS"),
        Some(Became::Entries {
            is_posted: false,
            ..
        })
    ));
    // 22.00 for groceries are private.
    assert!(is_current(&window, "Green Door Grocer"));
    key(&mut window, Key::P);
    assert_eq!(newest(&window), lines(&[("3100", 2_200), ("1000", -2_200)]));
    // Undone, the line is back where it was and current.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert!(is_current(&window, "Green Door Grocer"));
    assert_eq!(became(&window, "GROCER"), None);
    assert!(says(&window, "4 lines to sort"));
    key(&mut window, Key::P);
    // What was bought there before is proposed again.
    assert!(is_current(&window, "Harrow Lane Papers"));
    assert!(says(&window, "Bought from Harrow Lane Papers"));
    key(&mut window, Key::Enter);
    assert_eq!(became(&window, "CAFE"), None);
    assert!(is_current(&window, "Old Quay Cafe"));
    // It stays out, with a reason.
    key(&mut window, Key::L);
    fill(
        &mut window,
        "Why does it stay out of the books?",
        "paid back in cash on the spot",
    );
    press(&mut window, "Leave it out");
    assert_eq!(
        became(&window, "CAFE"),
        Some(Became::LeftOut("paid back in cash on the spot".to_owned()))
    );
    // A plain word in it says what the last one is.
    key(&mut window, Key::Enter);
    assert_eq!(newest(&window), lines(&[("6700", 450), ("1000", -450)]));
    assert!(says(&window, "Nothing to sort"));
    assert!(says(&window, "6 are sorted since you came in"));
    assert_eq!(left_to_sort(&window), 0);
}

#[test]
fn saying_what_it_was_shows_the_books_and_keeps_a_rule() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[
            ("2026-09-05", -4_000, "DD TIDEWAY BROADBAND 0071"),
            ("2026-10-05", -3_900, "DD TIDEWAY BROADBAND 0072"),
        ],
    );
    let mut window = window(book);
    open_tray(&mut window);
    key(&mut window, Key::O);
    choose(&mut window, "Bought");
    pick(&mut window, "Which kind of cost?", "phone");
    fill(&mut window, "Business share, %", "60");
    // 60 % of 40.00 are 24.00, the rest is private.
    pictured(&mut window, "tray-other");
    assert!(says(&window, "24.00") && says(&window, "16.00"));
    window
        .get_by_role_and_label(Widget::CheckBox, "Always so: make a rule of it")
        .click();
    settle(&mut window);
    fill(&mut window, "For lines with these words", "tideway");
    write_down(&mut window);
    assert_eq!(
        newest(&window),
        lines(&[("6410", 2_400), ("3100", 1_600), ("1000", -4_000)])
    );
    let book = window.state().book().expect("open");
    let rules = book.sorting_rules().expect("rules");
    assert_eq!(rules.len(), 1);
    assert_eq!(
        (rules[0].words.as_str(), rules[0].direction),
        ("tideway", Direction::Out)
    );
    // The next line of it is sure now.
    assert!(says(&window, "Your rule: lines with 'tideway', money out."));
    press(&mut window, "Accept the one that is sure");
    // 60 % of 39.00 are 23.40.
    assert_eq!(
        newest(&window),
        lines(&[("6410", 2_340), ("3100", 1_560), ("1000", -3_900)])
    );
    assert!(says(&window, "Nothing to sort"));
    // One undo takes it back.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert!(says(&window, "1 line to sort"));
}

#[test]
fn several_kinds_of_things_go_through_the_form_in_one_step() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[("2026-09-05", -3_000, "CARD ASH AND REED")],
    );
    let mut window = window(book);
    open_tray(&mut window);
    key(&mut window, Key::S);
    assert!(says(&window, "Of your statement: CARD ASH AND REED"));
    assert!(says(&window, "That is what the bank says: 30.00."));
    fill(&mut window, "What", "Bone glue");
    fill(&mut window, "Amount", "10");
    assert!(says(
        &window,
        "The bank says 30.00: 20.00 is still to be split."
    ));
    fill(&mut window, "Amount", "30");
    write_down(&mut window);
    assert_eq!(newest(&window), lines(&[("6000", 3_000), ("1000", -3_000)]));
    let book = window.state().book().expect("open");
    let header = book
        .entry(deckle::ledger::EntryNumber(count(&window)))
        .expect("there")
        .entry
        .header;
    assert_eq!(header.date, day("2026-09-05"));
    assert_eq!(header.party, "Ash And Reed");
    assert_eq!(header.origin.to_string(), "file statement-1000.csv row 2");
    assert!(matches!(
        became(&window, "ASH AND REED"),
        Some(Became::Entries {
            is_posted: true,
            ..
        })
    ));
    assert!(says(&window, "Nothing to sort"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    // One step took the entry and the line's place back.
    assert_eq!(count(&window), 2);
    assert!(is_current(&window, "Ash And Reed"));
}

#[test]
fn one_payment_for_two_entries_is_found_by_ticking_both() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let bank = account(&book, "1000");
    for (date, minor) in [("2026-09-03", 1_250), ("2026-09-04", 750)] {
        let line = BankLineless { date, minor };
        line.record(&mut book, bank);
    }
    bring(
        &mut book,
        "1000",
        &[("2026-09-06", -2_000, "QUILLFEATHER INKS")],
    );
    let mut window = window(book);
    open_tray(&mut window);
    let before = count(&window);
    key(&mut window, Key::M);
    let tick = |window: &mut Harness<'_, App>, words: &str| {
        window
            .get_by(|node| {
                node.role() == Widget::CheckBox
                    && node.label().is_some_and(|label| label.contains(words))
            })
            .click();
        settle(window);
    };
    tick(&mut window, "12.50");
    assert!(says(
        &window,
        "12.50 of \u{2212}20.00; \u{2212}7.50 is missing"
    ));
    tick(&mut window, "7.50   ");
    assert!(says(&window, "the whole line"));
    pictured(&mut window, "tray-found");
    press(&mut window, "It is this");
    assert_eq!(count(&window), before);
    match became(&window, "QUILLFEATHER") {
        Some(Became::Entries { numbers, is_posted }) => {
            assert_eq!((numbers.len(), is_posted), (2, false));
        }
        other => panic!("{other:?}"),
    }
}

struct BankLineless {
    date: &'static str,
    minor: i64,
}

impl BankLineless {
    fn record(&self, book: &mut Book, bank: AccountId) {
        use deckle::happenings::{
            Happening as _, Payment, Purchase, PurchaseDetails, PurchaseLine,
        };
        let inks = account(book, "6000");
        let details = PurchaseDetails::new(
            day(self.date),
            "Quillfeather Inks",
            Payment::Account(bank),
            vec![PurchaseLine::new(
                inks,
                Money::from_minor(self.minor),
                "Ink",
            )],
        );
        let purchase = Purchase::new(details).expect("a purchase");
        let recording = purchase.recording(book.chart()).expect("an entry");
        book.record(&recording).expect("kept");
    }
}

#[test]
fn keys_are_letters_while_a_field_is_typed_in() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[("2026-09-05", -3_000, "CARD ASH AND REED")],
    );
    let mut window = window(book);
    open_tray(&mut window);
    key(&mut window, Key::L);
    let before = count(&window);
    for letter in [Key::P, Key::S, Key::O, Key::M, Key::L] {
        key(&mut window, letter);
    }
    assert_eq!(count(&window), before);
    assert_eq!(became(&window, "ASH"), None);
    // Escape puts the question away, and only then leads back.
    key(&mut window, Key::Escape);
    key(&mut window, Key::Escape);
    assert!(says(&window, "1 line to sort") || says(&window, "in bank and cash"));
}

#[test]
fn a_hundred_lines_of_two_accounts_stand_under_their_names() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let texts: Vec<String> = (0..400).map(|n| format!("SHOP NUMBER {}", n % 7)).collect();
    let rows: Vec<Row<'_>> = texts
        .iter()
        .enumerate()
        .map(|(idx, text)| ("2026-09-05", -100 - idx as i64, text.as_str()))
        .collect();
    bring(&mut book, "1000", &rows);
    bring(
        &mut book,
        "2010",
        &[("2026-09-06", -2_000, "QUILLFEATHER INKS")],
    );
    let mut window = window(book);
    room_money(&mut window);
    press(&mut window, "Sort them");
    for _frame in 0..200 {
        if says(&window, "401 lines to sort") {
            break;
        }
        window.step();
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    assert!(says(&window, "401 lines to sort"));
    assert!(says(&window, "400 lines to sort"));
    // The largest is 1.00 + 3.99.
    assert!(says(&window, "4.99"));
    choose(&mut window, "Oldest");
    assert!(says(&window, "1.00"));
    // The list is drawn at any size and on the dark ground.
    for (name, size, scale, theme) in [
        ("tray-small", [900.0, 600.0], 1.0, egui::Theme::Light),
        ("tray-dark", [1240.0, 820.0], 1.0, egui::Theme::Dark),
        ("tray-double", [900.0, 600.0], 2.0, egui::Theme::Light),
    ] {
        sized(&mut window, size, scale, theme);
        pictured(&mut window, name);
    }
}

#[test]
fn rules_are_written_counted_ordered_and_taken_out() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    bring(
        &mut book,
        "1000",
        &[
            ("2026-09-05", -4_000, "DD TIDEWAY BROADBAND 0071"),
            ("2026-10-05", -3_900, "DD TIDEWAY BROADBAND 0072"),
            ("2026-10-06", -900, "DD TIDEWAY SHOP"),
        ],
    );
    let mut window = window(book);
    open_tray(&mut window);
    press(&mut window, "Rules\u{2026}");
    press(&mut window, "A new rule");
    fill(&mut window, "Lines with these words", "tideway");
    assert!(says(&window, "Fits 3 of the 3 lines to sort."));
    fill(&mut window, "Amount from", "20");
    assert!(says(&window, "Fits 2 of the 3 lines to sort."));
    // Which kind of cost is missing.
    write_down(&mut window);
    assert!(says(&window, "needs an account beside it"));
    pick(&mut window, "Which kind of cost?", "phone");
    pictured(&mut window, "rules-form");
    write_down(&mut window);
    assert!(says(
        &window,
        "Lines with 'tideway', money out, 20.00 or more"
    ));
    press(&mut window, "A new rule");
    fill(&mut window, "Lines with these words", "shop");
    choose(&mut window, "Private");
    write_down(&mut window);
    let words = |window: &Harness<'_, App>| -> Vec<(String, bool)> {
        let book = window.state().book().expect("open");
        let rules = book.sorting_rules().expect("rules").into_iter();
        rules.map(|rule| (rule.words, rule.is_active)).collect()
    };
    let row = |words: &str, is_active: bool| (words.to_owned(), is_active);
    assert_eq!(words(&window), [row("tideway", true), row("shop", true)]);
    let follow = |window: &mut Harness<'_, App>, label: &str| {
        window.get_by_role_and_label(Widget::Link, label).click();
        settle(window);
    };
    follow(&mut window, "Ask earlier: shop");
    follow(&mut window, "Switch off: tideway");
    assert_eq!(words(&window), [row("shop", true), row("tideway", false)]);
    pictured(&mut window, "rules");
    follow(&mut window, "Take out: tideway");
    assert_eq!(words(&window), [row("shop", true)]);
    // Sorted by hand, it is learned, and can be forgotten.
    key(&mut window, Key::Escape);
    key(&mut window, Key::P);
    press(&mut window, "Rules\u{2026}");
    assert!(says(&window, "Tideway Broadband, money out: Private"));
    follow(&mut window, "Forget Tideway Broadband, Private");
    let book = window.state().book().expect("open");
    assert!(book.sorted_choices().expect("choices").is_empty());
}

#[test]
fn many_sure_lines_are_written_on_a_thread_and_undone_as_one() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let private = deckle::sorting::Treatment::new(deckle::sorting::Meaning::Private);
    let rule = deckle::sorting::Rule::new("grocer", Direction::Out, private);
    book.keep_sorting_rule(&rule).expect("kept");
    let rows: Vec<Row<'_>> = (1..=150)
        .map(|cents| ("2026-09-05", -cents, "GREEN DOOR GROCER"))
        .collect();
    bring(&mut book, "1000", &rows);
    let mut window = window(book);
    open_tray(&mut window);
    let before = count(&window);
    press(&mut window, "Accept all 150 that are sure");
    let mut has_waited = false;
    for _frame in 0..2_000 {
        window.step();
        has_waited |= window.state().book().is_none();
        if window.state().book().is_some() && says(&window, "Nothing to sort") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    assert!(has_waited, "the window waits for the book");
    assert!(says(
        &window,
        "150 lines written down, 0 lines found in the book"
    ));
    assert_eq!(count(&window), before + 150);
    assert_eq!(left_to_sort(&window), 0);
    // 0.01 to 1.50: 150 * 151 / 2 cents = 113.25.
    let book = window.state().book().expect("open");
    let drawings = account(book, "3100");
    let net = book
        .balances_to(day("2026-09-28"))
        .expect("balances")
        .net(drawings);
    assert_eq!(net, Money::from_minor(11_325));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(count(&window), before);
    assert_eq!(left_to_sort(&window), 150);
}

#[test]
fn the_sample_books_statements_are_shown_at_any_size() {
    let mut page = super::support::sample_book();
    let window = &mut page.harness;
    room_money(window);
    assert!(says(window, "Held against the statements"));
    assert!(says(window, "agrees with its statement up to"));
    for (name, size, scale, theme) in [
        ("money-small", [900.0, 600.0], 1.0, egui::Theme::Light),
        ("money-dark", [1240.0, 1400.0], 1.0, egui::Theme::Dark),
        ("money-double", [900.0, 1200.0], 2.0, egui::Theme::Light),
    ] {
        sized(window, size, scale, theme);
        pictured(window, name);
    }
}
