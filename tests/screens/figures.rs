//! Every figure of Buy, Sell and Money opens where it comes from, and what it opens comes to the same amount; what a
//! shop reports is typed in and held against the books.

use deckle::app::App;
use deckle::app::screens::Facts;
use deckle::app::screens::explain::{Source, explain};
use deckle::book::Closings;
use deckle::ledger::{EntryKind, Role as AccountRole};
use deckle::money::Money;
use egui::Key;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::forms_support::{choose, fill};
use crate::support::{Window, day, sample_book};

fn open_book(window: &Window) -> &deckle::book::Book {
    window.harness.state().book().expect("open")
}

fn tall_sample() -> Window {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 2400.0].into());
    window.harness.run();
    window
}

/// The button of a figure, by the name it has for a screen reader.
fn press(harness: &mut Harness<'static, App>, name: &str) {
    // Some lie below what is in sight.
    harness.get_by_label(name).click_accesskit();
    harness.run();
}

fn says(window: &Window, part: &str) {
    let found = window.harness.query_all_by_label_contains(part).next();
    assert!(found.is_some(), "'{part}' is not on the screen");
}

/// The labels of everything to press that has these words in its name.
fn to_press(window: &Window, part: &str) -> Vec<String> {
    window
        .harness
        .query_all_by_label_contains(part)
        .filter(|node| matches!(node.accesskit_node().role(), Role::Button | Role::Link))
        .filter_map(|node| node.accesskit_node().label())
        .collect()
}

#[test]
fn what_was_bought_opens_month_by_month_down_to_the_entries() {
    let mut window = tall_sample();
    let period =
        deckle::dates::DateRange::new(day("2026-01-01"), day("2026-12-31")).expect("a year");
    let book = open_book(&window);
    let (_count, total) = book
        .count_and_total(EntryKind::Purchase, period)
        .expect("read");
    let shown = book.currency().show(total);
    window.ctrl(Key::Num3);
    press(&mut window.harness, &format!("Spent: {shown}"));
    says(&window, "the months above together");
    says(&window, &shown);
    // A month opens its entries.
    let january = to_press(&window, "January 2026")
        .first()
        .expect("a month")
        .clone();
    press(&mut window.harness, &january);
    says(&window, "The entries");
    window.key(Key::Escape);
    window.key(Key::Escape);
    let yearly = to_press(&window, "In a year")
        .last()
        .expect("a total")
        .clone();
    press(&mut window.harness, &yearly);
    says(&window, "each as often as it comes");
}

#[test]
fn the_shops_figures_and_their_totals_open_and_agree() {
    let mut window = tall_sample();
    window.ctrl(Key::Num5);
    let book = open_book(&window);
    let sales = book.balances_to(day("2026-11-25")).expect("read");
    let owed: Money = book
        .chart()
        .channels()
        .iter()
        .map(|channel| sales.net(channel.id))
        .sum();
    let shown = book.currency().show(owed);
    press(&mut window.harness, &format!("Shops owe you: {shown}"));
    says(&window, "the lines above together");
    says(&window, &shown);
    window.key(Key::Escape);
    let held: Money = {
        let book = open_book(&window);
        let channels = book.chart().channels();
        let held = channels
            .iter()
            .map(|one| book.held(one.id, day("2026-11-25")));
        held.map(|held| held.expect("read")).sum()
    };
    let held = open_book(&window).currency().show(held);
    press(&mut window.harness, &format!("Held by the shops: {held}"));
    says(&window, "it stays in what is owed to you");
    says(&window, &held);
    window.key(Key::Escape);
    for (column, words) in [
        ("Sold", "Sold through shops"),
        ("Given back", "Given back to customers of the shops"),
        ("Fees", "Fees of the shops"),
        ("Paid out", "Paid out by the shops"),
        ("Still due", "Still due from the shops"),
        ("Held", "Held by the shops"),
    ] {
        let total = to_press(&window, &format!("Together {column} "));
        let total = total
            .first()
            .unwrap_or_else(|| panic!("no total of {column}"));
        press(&mut window.harness, total);
        says(&window, words);
        window.key(Key::Escape);
    }
}

#[test]
fn money_in_hand_opens_from_its_total() {
    let mut window = tall_sample();
    window.ctrl(Key::Num6);
    let total = to_press(&window, "Together Today")
        .first()
        .expect("a total")
        .clone();
    press(&mut window.harness, &total);
    says(&window, "In bank and cash");
    says(&window, "the lines above together");
}

#[test]
fn a_closed_years_figure_still_opens_to_the_same_amount() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sample.deckle");
    let book =
        deckle::verbs::build_sample(&path).unwrap_or_else(|error| panic!("{}", error.line()));
    let year = book.year_start().year_ending_in(2025);
    let account = book.chart().role(AccountRole::Consumables).expect("there");
    let before = book
        .balances(year, Closings::Without)
        .expect("read")
        .net(account);
    assert!(before.is_positive());
    assert_eq!(
        book.lock_date(),
        Some(year.to),
        "the sample's first year is closed"
    );
    let facts = Facts::read(&book, year, day("2026-11-25")).expect("read");
    let answer = explain(&book, &facts, &Source::Movement(account, year)).expect("explained");
    assert_eq!(answer.amount, before);
}

#[test]
fn what_a_shop_reports_is_kept_and_held_against_the_books() {
    let mut window = tall_sample();
    window.ctrl(Key::Num5);
    let (name, account) = {
        let book = open_book(&window);
        let channels = book.chart().channels();
        let shop = channels
            .iter()
            .find(|one| one.role.is_none())
            .expect("a shop");
        (shop.name.clone(), shop.id)
    };
    let label = format!("{name} reports");
    window
        .harness
        .get_by_role_and_label(Role::TextInput, &label)
        .focus();
    window.harness.run();
    window.type_text("1000.00");
    press(&mut window.harness, "Keep what the shops report");
    let kept = open_book(&window)
        .reported_gross(account, 2026)
        .expect("read");
    assert_eq!(kept, Some(Money::from_minor(100_000)));
    says(&window, "What the shops report for 2026 is kept");
    choose(&mut window.harness, "Not ours");
    window.picture("report_answer");
    let label = format!("A note on the report of {name}");
    fill(&mut window.harness, &label, "an old number");
    press(&mut window.harness, "Keep what the shops report");
    let report = open_book(&window).shop_report(account, 2026).expect("read");
    let report = report.expect("kept");
    assert_eq!(report.name_right, Some(false));
    assert_eq!(report.note, "an old number");
    window.ctrl(Key::Z);
    let report = open_book(&window).shop_report(account, 2026).expect("read");
    assert_eq!(report.expect("kept").name_right, None);
    window.ctrl(Key::Z);
    let kept = open_book(&window)
        .reported_gross(account, 2026)
        .expect("read");
    assert_eq!(kept, None);
}
