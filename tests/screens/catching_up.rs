//! Catching up in the window: offered when far behind, one decision for lines that are alike, rough answers and the
//! unknown said more exactly, a folder of receipts, left and taken up again. All figures by hand.

use deckle::app::App;
use deckle::book::EntryFilter;
use deckle::happenings::ProofState;
use deckle::ledger::AccountId;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use super::forms_support::{count, day, fill, new_book, pick, press, says, settle, window};
use super::sorting::{account, bring, pictured, sized};

/// Sixty-two lines: 40 of a post office, 20 of a grocer, one of a shop and one that nobody knows.
fn behind() -> (tempfile::TempDir, Harness<'static, App>) {
    let (folder, mut book) = new_book();
    let mut rows = Vec::new();
    let days: Vec<String> = (0..62)
        .map(|idx| format!("2026-{:02}-{:02}", 3 + idx / 10, 1 + idx % 10))
        .collect();
    for (idx, on) in days.iter().enumerate() {
        rows.push(match idx {
            0..40 => (on.as_str(), -400, "CARD ELMWICK POST OFFICE"),
            40..60 => (on.as_str(), -3_100, "CARD GREEN DOOR GROCER"),
            60 => (on.as_str(), 25_000, "LANTERNPOST PAYOUT"),
            _ => (on.as_str(), -7_700, "CARD 4412 XTRADE"),
        });
    }
    bring(&mut book, "1000", &rows);
    (folder, window(book))
}

fn balance(window: &Harness<'_, App>, number: &str) -> i64 {
    let book = window.state().book().expect("open");
    let id: AccountId = account(book, number);
    let balances = book.balances_to(day("2026-12-31")).expect("balances");
    balances.net(id).minor()
}

fn open_page(window: &mut Harness<'_, App>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(window);
    window.event(egui::Event::Text("catch up".to_owned()));
    settle(window);
    window.key_press(Key::Enter);
    settle(window);
}

fn back(window: &mut Harness<'_, App>) {
    window.get_by_label("\u{2190} Back to Catching up").click();
    settle(window);
}

#[test]
fn it_is_offered_on_today_when_far_behind_and_sorts_what_is_alike_at_once() {
    let (_folder, mut window) = behind();
    press(&mut window, "Begin: Catch up, step by step");
    assert!(says(&window, "Catching up"));
    assert!(says(
        &window,
        "62 lines of 1,107.00 to sort, by about 4 decisions"
    )); // 160 + 620 + 250 + 77
    pictured(&mut window, "catching-up");
    press(&mut window, "Sort the lines");
    assert!(says(&window, "4 decisions left"));
    // The grocer's 620.00 is the largest sum.
    assert!(says(&window, "620.00 money out, 20 lines"));
    pictured(&mut window, "catching-up-lots");
    press(&mut window, "Mine, not the business's");
    assert_eq!(balance(&window, "3100"), 62_000);
    assert!(says(&window, "3 decisions left"));
    assert!(says(&window, "250.00 money in"));
    press(&mut window, "Income of a shop");
    assert_eq!(balance(&window, "1050"), -25_000);
    // The post office's 160.00 comes before the 77.00 that nobody knows; put off, it comes after.
    press(&mut window, "Later");
    assert!(says(&window, "77.00 money out"));
    fill(
        &mut window,
        "What you remember of it (kept with it)",
        "perhaps the second-hand guillotine",
    );
    press(&mut window, "I do not know");
    assert_eq!(balance(&window, "1900"), 7_700);
    press(&mut window, "A cost, some kind");
    assert_eq!(balance(&window, "6900"), 16_000);
    assert!(says(&window, "Nothing is left to decide"));
    // One undo takes the whole decision back.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(balance(&window, "6900"), 0);
    assert!(says(&window, "1 decision left"));
}

#[test]
fn what_was_rough_or_unknown_is_said_more_exactly_from_its_list() {
    let (_folder, mut window) = behind();
    open_page(&mut window);
    press(&mut window, "Sort the lines");
    for answer in [
        "Mine, not the business's",
        "Income of a shop",
        "A cost, some kind",
        "I do not know",
    ] {
        press(&mut window, answer);
    }
    back(&mut window);
    assert!(says(&window, "41 entries of 410.00 rough")); // 160 + 250
    assert!(says(
        &window,
        "1 entry of 77.00 not explained yet; the balance is 77.00"
    ));
    press(&mut window, "Rough answers");
    // The shop's payout is the largest; the post office is chosen instead.
    let others = window
        .query_all_by_label_contains("Elmwick Post")
        .next()
        .expect("the other lot");
    others.click();
    settle(&mut window);
    press(&mut window, "Say it of all 40");
    assert!(says(&window, "needs an account beside it"));
    assert_eq!(balance(&window, "6900"), 16_000);
    pick(&mut window, "Which kind of cost?", "Postage and carriage");
    press(&mut window, "Say it of all 40");
    assert_eq!(balance(&window, "6900"), 0);
    assert_eq!(balance(&window, "6110"), 16_000);
    back(&mut window);
    press(&mut window, "What is unknown");
    fill(
        &mut window,
        "What you remember",
        "the guillotine from Briar Lane",
    );
    press(&mut window, "Keep what you remember");
    press(&mut window, "Ask the accountant");
    assert!(says(&window, "asked"));
    pictured(&mut window, "not-explained");
    pick(&mut window, "Which kind of cost?", "Small tools");
    press(&mut window, "Say it of this one");
    assert_eq!(balance(&window, "1900"), 0);
    assert_eq!(balance(&window, "6010"), 7_700);
    assert!(says(&window, "Nothing is unexplained."));
}

#[test]
fn receipts_of_a_folder_are_filed_by_what_she_types() {
    let (folder, mut window) = behind();
    open_page(&mut window);
    press(&mut window, "Sort the lines");
    for answer in [
        "Mine, not the business's",
        "Income of a shop",
        "A cost, some kind",
        "A cost, some kind",
    ] {
        press(&mut window, answer);
    }
    let photos = folder.path().join("photos");
    std::fs::create_dir_all(&photos).expect("a folder");
    for name in ["a.pdf", "b.pdf"] {
        std::fs::write(photos.join(name), format!("paper {name}")).expect("written");
    }
    back(&mut window);
    assert!(says(&window, "41 entries of 237.00 without a receipt")); // 160 + 77
    press(&mut window, "Go through receipts");
    fill(&mut window, "Which folder", &photos.display().to_string());
    press(&mut window, "Go through this folder");
    assert!(says(&window, "1 of 2"));
    fill(&mut window, "Day on the receipt", "2026-09-01");
    fill(&mut window, "Amount on the receipt", "77.01");
    assert!(says(&window, "No entry without a receipt has this amount"));
    fill(&mut window, "Amount on the receipt", "77.00");
    pictured(&mut window, "receipts-in-bulk");
    let button = window
        .query_all_by_label_contains("File it with")
        .next()
        .expect("the entry is offered");
    button.click();
    settle(&mut window);
    assert!(says(&window, "2 of 2"));
    let book = window.state().book().expect("open");
    let missing = EntryFilter {
        proof: Some(ProofState::Missing),
        ..EntryFilter::default()
    };
    let (n_missing, sum) = book.count_and_sum(&missing).expect("counted");
    assert_eq!((n_missing, sum.minor()), (40, 16_000));
    // What was typed for a file that fits nothing yet is kept in the book when the page is left, and taken up again.
    fill(&mut window, "Day on the receipt", "2026-09-02");
    fill(&mut window, "Amount on the receipt", "5.55");
    press(&mut window, "Leave it for later");
    back(&mut window);
    let kept = window
        .state()
        .book()
        .expect("open")
        .draft_names()
        .expect("read");
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].1, "Receipts: 1 with its day and amount");
    window
        .get_by_label("Receipts: 1 with its day and amount")
        .click();
    settle(&mut window);
    settle(&mut window);
    assert!(says(&window, "1 file is in the book already."));
    assert!(says(&window, "5.55"));
    assert_eq!(count(&window), 62);
}

#[test]
fn every_page_fits_the_smallest_window_at_twice_the_size() {
    let (_folder, mut window) = behind();
    sized(&mut window, [900.0, 600.0], 2.0, egui::Theme::Dark);
    open_page(&mut window);
    pictured(&mut window, "catching-up-large");
    window.get_by_label("Sort the lines").click_accesskit();
    settle(&mut window);
    pictured(&mut window, "catching-up-lots-large");
    let screen = window.ctx.content_rect();
    for label in [
        "Mine, not the business's",
        "Say exactly what it was\u{2026}",
    ] {
        let rect = window.get_by_label(label).rect();
        assert!(
            rect.left() >= screen.left() && rect.right() <= screen.right(),
            "{label}: {rect:?} in {screen:?}"
        );
    }
}
