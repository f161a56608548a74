//! The room of the year's end: which year it shows, where its points lead, what its words mean, and what stands behind the
//! figures of its lists. Figures of the sample are those that its own tests hold.

use deckle::app::App;
use deckle::book::{NewLine, NewStatement};
use deckle::ledger::EntryKind;
use deckle::reports;
use egui::accesskit::Role as Widget;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::forms_support::{bought_before, day, money, new_book, says, settle};
use crate::sorting::account;
use crate::support::{Window, sample_book};

fn press(page: &mut Harness<'_, App>, role: Widget, label: &str) {
    let found = page.get_by_role_and_label(role, label);
    found.scroll_to_me();
    found.click_accesskit();
    settle(page);
}

fn button(page: &mut Harness<'_, App>, label: &str) {
    press(page, Widget::Button, label);
}

fn chip(page: &mut Harness<'_, App>, label: &str) {
    press(page, Widget::RadioButton, label);
}

fn tall() -> Window {
    let mut window = sample_book();
    window.harness.set_size([1240.0, 3600.0].into());
    settle(&mut window.harness);
    window
}

#[test]
fn the_bar_at_the_top_names_the_year_of_the_room_and_the_own_choice_is_back_after_it() {
    let mut window = tall();
    let page = &mut window.harness;
    let chosen = "Period: January to November 2026";
    assert!(says(page, chosen));
    button(page, "Year end");
    assert!(says(page, "Period: January to December 2026"));
    chip(page, "2025");
    assert!(says(page, "Period: January to December 2025"));
    // What is opened from it shows that year too.
    chip(page, "2 Put right");
    button(page, "Open what is proposed\u{2026}");
    assert!(says(page, "Period: January to December 2025"));
    button(page, "The year after");
    assert!(says(page, "Period: January to December 2026"));
    button(page, "Sell");
    assert!(says(page, chosen));
    button(page, "Year end");
    assert!(says(page, "Period: January to December 2025"));
    // A period chosen while the room is open counts everywhere, and here by the year it ends in.
    button(page, "Period: January to December 2025");
    assert!(says(
        page,
        "Year end shows a year of its own. Your choice, January to November 2026, is back when you leave it."
    ));
    window.picture("year-end-period");
    let page = &mut window.harness;
    page.get_by_label_contains("This month").click_accesskit();
    settle(page);
    assert!(says(page, "Period: January to December 2026"));
    button(page, "Sell");
    assert!(says(page, "Period: November 2026"));
}

#[test]
fn the_account_that_is_not_agreed_opens_itself() {
    let (_folder, mut book) = new_book();
    bought_before(&mut book);
    // The bank's statement up to 31 January shows other than the books.
    let statement = NewStatement {
        account: account(&book, "1000"),
        name: "january.csv".to_owned(),
        hash: "0".repeat(64),
        format: "csv".to_owned(),
        bank_account: String::new(),
    };
    book.bring_statement(&statement, |take| {
        take(NewLine {
            date: day("2026-01-31"),
            amount: money(-200),
            text: "FEE",
            bank_id: None,
            balance: Some(money(49_800)),
            row: 2,
        })?;
        Ok::<_, deckle::book::BookError>(Some((day("2026-01-31"), money(49_800))))
    })
    .expect("brought");
    let mut page = crate::forms_support::window(book);
    page.set_size([1240.0, 2400.0].into());
    settle(&mut page);
    button(&mut page, "Year end");
    let name = "Business bank account";
    let label = format!("Open it: Not agreed with its statement up to 31 Aug 2026: {name}");
    button(&mut page, &label);
    assert!(says(&page, "Up to which day"));
    assert!(says(&page, name));
    assert!(says(&page, "Back to Year end"));
}

#[test]
fn the_trades_words_on_a_statement_are_told_in_plain_ones() {
    let mut window = tall();
    let page = &mut window.harness;
    button(page, "Year end");
    chip(page, "3 Read");
    press(page, Widget::DisclosureTriangle, "What the words mean");
    assert!(says(
        page,
        "Accrual basis: sales and costs count on the day they happen"
    ));
    assert!(says(
        page,
        "Cost of goods sold: what the things that were sold had cost"
    ));
    assert!(!says(page, "Liabilities: "));
    window.picture("year-words");
    let page = &mut window.harness;
    chip(page, "Balance sheet");
    assert!(says(
        page,
        "Liabilities: everything the business owes to others."
    ));
    assert!(says(page, "Equity: what belongs to you"));
    assert!(says(page, "Depreciation: wear"));
    assert!(!says(page, "Accrual basis: "));
    chip(page, "Trial balance");
    assert!(says(page, "Debit: the left column"));
}

/// Opens a figure of a list and goes back; answers the heading of what stood behind it and the number of its entries.
fn behind(page: &mut Harness<'_, App>, figure: &str) -> String {
    button(page, figure);
    assert!(says(page, "Back to Year end"), "{figure} opens nothing");
    let entries = page
        .query_all_by_label_contains("open it to see its receipt")
        .chain(page.query_all_by_label_contains("open one to see its receipt"))
        .filter_map(|node| node.value())
        .next()
        .unwrap_or_default();
    page.key_press(egui::Key::Escape);
    settle(page);
    entries
}

#[test]
fn every_figure_of_the_lists_beside_the_statements_opens_its_entries() {
    let mut window = tall();
    let page = &mut window.harness;
    button(page, "Year end");
    chip(page, "3 Read");
    chip(page, "Suppliers");
    let book = page.state().book().expect("open");
    let year = book.year_start().year_ending_in(2026);
    let list = reports::suppliers(book, year).expect("suppliers");
    let first = &list[0];
    let (name, n) = (first.party.clone(), first.entries.len());
    let shown = book.currency().statement(first.total());
    let of = format!("{name}, Together: {shown}");
    let told = behind(page, &of);
    assert!(told.starts_with(&format!("{n} entr")), "{told}");
    // Its heading says the same figure.
    button(page, &of);
    let heading = format!(
        "{name}, paid in all: {}",
        page.state()
            .book()
            .expect("open")
            .currency()
            .show(list[0].total())
    );
    assert!(says(page, &heading));
    window.picture("year-supplier-opened");
    let page = &mut window.harness;
    page.key_press(egui::Key::Escape);
    settle(page);
    // The widest list stands whole on the page, and its sums open too.
    chip(page, "Equipment that came and went");
    let sum = "Together, Book value: 949.74";
    let right = page.get_by_label(sum).rect().right();
    assert!(right < 1200.0, "the last column ends at {right}");
    button(page, sum);
    assert!(says(page, "Equipment, book value: 949.74"));
    page.key_press(egui::Key::Escape);
    settle(page);
    chip(page, "Suppliers");
    // Nothing stands behind nothing.
    let zero = format!("{name}, Cash: ");
    let cash = page.get_by_label_contains(&zero);
    assert_eq!(list[0].cash, money(0));
    assert_ne!(cash.accesskit_node().role(), Widget::Button);
}

#[test]
fn each_explained_figure_of_the_lists_comes_to_what_the_list_says() {
    use deckle::app::screens::Facts;
    use deckle::app::screens::explain::{EquipmentFigure, Flow, PaidBy, Source, explain};
    let window = sample_book();
    let book = window.harness.state().book().expect("open");
    let today = crate::support::today();
    for ending in [2025, 2026] {
        let year = book.year_start().year_ending_in(ending);
        let facts = Facts::read(book, year, today).expect("facts");
        let worth = |source: Source| explain(book, &facts, &source).expect("explained").amount;
        for one in reports::suppliers(book, year).expect("suppliers") {
            for way in PaidBy::ALL {
                let source = Source::Supplier(one.party.clone(), way, year);
                assert_eq!(worth(source), way.of(&one), "{} {way:?}", one.party);
            }
        }
        for part in reports::money_by_month(book, year).expect("money") {
            let kinds: Vec<EntryKind> = part
                .came_in
                .keys()
                .chain(part.went_out.keys())
                .copied()
                .collect();
            for kind in kinds {
                for flow in [Flow::In, Flow::Out] {
                    let source = Source::MoneyMoved(kind, flow, part.range);
                    assert_eq!(worth(source), flow.of(kind, &part), "{kind:?} {flow:?}");
                }
            }
            let source = Source::MoneyInHand(part.range.to);
            assert_eq!(worth(source), part.closing);
        }
        let pieces = reports::equipment_moved(book, year).expect("equipment");
        for figure in EquipmentFigure::ALL {
            let mut together = money(0);
            for (name, piece) in &pieces {
                let source = Source::EquipmentMoved(Some(piece.key.clone()), figure, year);
                assert_eq!(worth(source), figure.of(piece), "{name} {figure:?}");
                together += figure.of(piece);
            }
            let source = Source::EquipmentMoved(None, figure, year);
            assert_eq!(worth(source), together, "{figure:?}");
        }
    }
}
