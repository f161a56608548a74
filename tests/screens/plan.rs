//! The room Plan through the real window: from an idea to a purchase to plan against actual.

use deckle::ledger::EntryNumber;
use deckle::plan::{How, Need};
use deckle::reports;
use egui::Key;
use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;

use crate::forms_support::{
    bought_before, choose, count, fill, lines, money, new_book, newest, open_form, press, says,
    select, settle, today, window, write_down,
};
use crate::support::{empty_book, sample_book};

/// Presses a button that may lie beneath the window's edge.
fn press_far(window: &mut egui_kittest::Harness<'_, deckle::app::App>, label: &str) {
    window
        .get_by_role_and_label(Role::Button, label)
        .click_accesskit();
    settle(window);
}

/// Opens the page of a line from the table.
fn open_line(window: &mut egui_kittest::Harness<'_, deckle::app::App>, name: &str) {
    let label = format!("Open {name}");
    window.get_by_role_and_label(Role::Link, &label).click();
    settle(window);
}

#[test]
fn from_an_idea_to_a_purchase_to_plan_against_actual() {
    let (_folder, book) = new_book();
    let mut window = window(book);
    press(&mut window, "Plan");
    assert!(says(&window, "Nothing is planned yet."));
    press(&mut window, "Plan the first thing");
    fill(&mut window, "What is wanted", "Book press");
    fill(&mut window, "Most likely", "450");
    fill(&mut window, "At best", "500");
    assert!(says(&window, "is more than the likely cost"));
    write_down(&mut window);
    assert!(plan(&window).lines.is_empty());
    fill(&mut window, "At best", "400");
    fill(&mut window, "At worst", "520");
    fill(&mut window, "In which month", "sep");
    assert!(says(
        &window,
        "about 450.00, between 400.00 and 520.00, in September 2026"
    ));
    write_down(&mut window);
    assert!(says(
        &window,
        "Starting needs about 450.00, between 400.00 and 520.00."
    ));

    // A second-hand one is another way of it, and is chosen.
    press(&mut window, "Plan something more");
    fill(&mut window, "What is wanted", "Old press");
    fill(&mut window, "Most likely", "180");
    fill(&mut window, "In which month", "Sep 2026");
    select(&mut window, "How I would come by it", "Second-hand");
    select(&mut window, "Another way of", "Book press");
    choose(&mut window, "this way");
    write_down(&mut window);
    assert!(says(&window, "Starting needs 180.00."));

    // Something that can wait, then the money.
    press(&mut window, "Plan something more");
    fill(&mut window, "What is wanted", "Banner");
    fill(&mut window, "Most likely", "60");
    choose(&mut window, "Can wait");
    write_down(&mut window);
    assert!(says(&window, "Say what money you have"));
    fill(&mut window, "Money I have", "0");
    press_far(&mut window, "Put it in the plan");
    assert!(says(&window, "more than nothing"));
    fill(&mut window, "Money I have", "200");
    press_far(&mut window, "Put it in the plan");
    assert!(says(
        &window,
        "Your money lasts: at its lowest, on 30 Sep 2026, 20.00 is left."
    ));
    let kept = plan(&window);
    assert_eq!(kept.lines[1].how, Some(How::SecondHand));
    assert_eq!(kept.lines[1].alternative_of.as_deref(), Some("Book press"));
    assert!(!kept.lines[0].is_chosen && kept.lines[1].is_chosen);
    assert_eq!(kept.lines[2].need, Need::Later);

    // The line becomes a purchase: the form is filled, and the way leads back.
    open_line(&mut window, "or Old press");
    press(&mut window, "I bought it");
    assert!(says(&window, "For the plan: Old press."));
    fill(&mut window, "From whom", "Private seller");
    fill(&mut window, "Amount", "165.00");
    write_down(&mut window);
    assert!(says(&window, "it stands against the plan"));
    assert_eq!(
        newest(&window),
        lines(&[("1500", 16_500), ("1000", -16_500)])
    );
    assert!(says(&window, "It cost 165.00, 15.00 less than planned."));
    press(&mut window, "Plan");
    assert!(says(
        &window,
        "You spent 165.00 on it, 15.00 less than planned. Still to buy: about 60.00"
    ));

    // Undoing takes the purchase and its tie back together.
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    settle(&mut window);
    assert_eq!(count(&window), 0);
    assert!(says(&window, "Nothing of the plan is bought yet."));
}

fn plan(window: &egui_kittest::Harness<'_, deckle::app::App>) -> deckle::plan::Plan {
    let book = window.state().book().expect("an open book");
    book.plan().expect("readable")
}

#[test]
fn what_is_written_down_already_is_found_for_its_line() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    let mut line =
        deckle::plan::PlanLine::new("Paper", deckle::plan::PlanKind::Materials, money(2_000));
    line.need = Need::Must;
    book.keep_plan_line(&line).expect("kept");
    let mut window = window(book);
    press(&mut window, "Plan");
    open_line(&mut window, "Paper");
    press(&mut window, "It is written down already");
    fill(&mut window, "Which purchase is it?", "bone");
    assert!(says(&window, "Harrow Lane Papers: Bone glue, 9.80"));
    press(
        &mut window,
        "1 Sep 2026, Harrow Lane Papers: Text paper, 21.50",
    );
    assert!(says(&window, "It cost 21.50, 1.50 more than planned."));
    let book = window.state().book().expect("open");
    let links = book.plan_purchases().expect("readable");
    assert_eq!(
        (links[0].entry, links[0].what.as_str()),
        (EntryNumber(2), "Text paper")
    );
    press(&mut window, "Entry 2 is not for it");
    assert!(says(&window, "Nothing so far."));

    // Another way takes the choice, and the line can be taken off.
    press(&mut window, "Plan another way");
    fill(&mut window, "What is wanted", "Offcuts");
    fill(&mut window, "Most likely", "5");
    write_down(&mut window);
    press(&mut window, "Choose Offcuts");
    assert!(says(&window, "not chosen"));
    press(&mut window, "Take it off the plan");
    let left = plan(&window);
    assert_eq!(left.lines.len(), 1);
    assert!(left.lines[0].is_chosen && left.lines[0].alternative_of.is_none());
}

#[test]
fn a_purchase_of_several_things_names_its_line_itself() {
    let (_folder, mut book) = new_book();
    let line =
        deckle::plan::PlanLine::new("Mailers", deckle::plan::PlanKind::Packaging, money(3_000));
    book.keep_plan_line(&line).expect("kept");
    let mut window = window(book);
    open_form(&mut window, "I bought something");
    fill(&mut window, "From whom", "Mossgate Packaging");
    fill(&mut window, "What", "Card mailers");
    fill(&mut window, "Amount", "28.00");
    crate::forms_support::pick(&mut window, "Kind", "6100");
    press(&mut window, "Private share, paid ahead");
    select(&mut window, "In the start-up plan", "Mailers");
    assert!(says(&window, "For the plan: Mailers."));
    write_down(&mut window);
    assert_eq!(count(&window), 1);
    let book = window.state().book().expect("open");
    let report = reports::plan(book, today()).expect("readable");
    assert_eq!(report.actual.actual, money(2_800));
}

#[test]
fn the_plan_of_the_sample_book_is_alive() {
    let mut window = sample_book();
    window.ctrl(Key::Num2);
    window.picture("plan");
    let says = |window: &crate::support::Window, part: &str| {
        assert!(
            window
                .harness
                .query_all_by_label_contains(part)
                .next()
                .is_some(),
            "'{part}' is not on the screen"
        );
    };
    says(&window, "Starting needs about");
    says(&window, "Your money lasts at the likely cost");
    says(&window, "You spent");
    says(&window, "Planned and spent, by");
    says(&window, "What has it cost to start?");
    says(&window, "licensed professional");
    says(&window, "26 U.S.C. 195(b)(1)");
    let row = window
        .harness
        .get_by_role_and_label(Role::Link, "Open or Book press, second-hand");
    row.click();
    window.harness.run();
    says(&window, "It cost 180.00, 10.00 less than planned.");
    window.picture("plan_line");
    window.key(Key::Escape);
    // Where an account counts is asked and kept.
    let own = window
        .harness
        .get_all_by_label_contains("its own group")
        .find(|node| {
            use egui_kittest::kittest::NodeT as _;
            node.accesskit_node().role() == Role::Link
        })
        .expect("a cell");
    own.click_accesskit();
    window.harness.run();
    window
        .harness
        .get_by_role_and_label(Role::RadioButton, "Company-forming costs")
        .click_accesskit();
    window.harness.run();
    let book = window.harness.state().book().expect("open");
    assert_eq!(book.start_up_marks().expect("readable").len(), 1);
    says(&window, "as you said");
}

#[test]
fn an_empty_room_offers_money_too() {
    let mut window = empty_book();
    window.ctrl(Key::Num2);
    window.picture("plan_empty");
    window.harness.get_by_label("Say what money I have").click();
    window.harness.run();
    assert!(
        window
            .harness
            .query_by_role_and_label(Role::TextInput, "Money I have")
            .is_some()
    );
}
