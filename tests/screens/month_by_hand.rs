//! A maker's first month typed into the window, form by form, from a new book to the year's folder: the book then says
//! exactly what the same month brought in from sheets says. What the figures are is `first_month`'s.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use deckle::app::App;
use deckle::book::Book;
use deckle::export::year_end;
use deckle::money::Currency;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::first_month::{
    ACCOUNTS, FIGURES, book_of_the_story, says as program, shown, stands_as_worked_by_hand, text,
};
use crate::forms_support::{fill, press, says, settle};
use crate::month_typed::{RECEIPT, month_by_hand, open, today};
use crate::support::Window;

/// An amount with its thousands apart, as statements write it.
fn on_paper(plain: &str) -> String {
    let currency = Currency::from_code("USD").expect("a currency");
    let amount = currency.parse_plain(plain).expect("an amount");
    currency.statement(amount)
}

/// A figure worked by hand, as the statements on screen show it.
fn by_hand(what: &str, pointer: &str) -> String {
    FIGURES
        .iter()
        .find(|(of, at, _)| (*of, *at) == (what, pointer))
        .map(|(_, _, figure)| on_paper(figure))
        .expect("a figure of the story")
}

/// What an account holds at the month's end by hand, whichever side it stands on.
fn account_by_hand(number: &str) -> String {
    ACCOUNTS
        .iter()
        .find(|(known, _, _)| *known == number)
        .map(|(_, debit, credit)| on_paper(if *debit == "0.00" { credit } else { debit }))
        .expect("an account of the story")
}

/// Presses what has these words in its label.
fn open_with(window: &mut Harness<'_, App>, words: &str) {
    let presses = [Role::Button, Role::Link];
    let found: Vec<_> = window
        .query_all_by_label_contains(words)
        .filter(|node| presses.contains(&node.accesskit_node().role()))
        .collect();
    assert_eq!(found.len(), 1, "one thing to press has '{words}'");
    found[0].click();
    drop(found);
    settle(window);
}

fn a_receipt(folder: &Path) -> PathBuf {
    let path = folder.join(RECEIPT);
    image::RgbImage::from_fn(24, 32, |x, y| image::Rgb([235, 230, (x * y % 200) as u8]))
        .save(&path)
        .expect("a picture");
    path
}

/// One of the statements in the room of the year's end.
fn statement(page: &mut Harness<'_, App>, name: &str) {
    open(page, "Year end");
    open(page, "3 Read");
    open(page, name);
}

/// Every statement in the room of the year's end, by the figures worked by hand.
fn statements_on_screen(page: &mut Harness<'_, App>) {
    statement(page, "Profit");
    let year = |label: &str, figure: &str| format!("{label}, 2026: {figure}");
    let shown = [
        ("Net sales", "/totals/net_sales"),
        ("Gross profit", "/totals/gross_profit"),
        ("Costs together", "/totals/costs"),
        ("Profit", "/totals/net_profit"),
    ];
    for (label, pointer) in shown {
        page.get_by_label(&year(label, &by_hand("profit", pointer)));
    }
    open(page, "Balance sheet");
    let on = |label: &str, figure: &str| format!("{label}, 31 Dec 2026: {figure}");
    let shown = [
        ("Assets together", "/totals/assets"),
        ("Liabilities together", "/totals/liabilities"),
        ("Equity together", "/totals/equity"),
    ];
    for (label, pointer) in shown {
        page.get_by_label(&on(label, &by_hand("balance", pointer)));
    }
    open(page, "Trial balance");
    page.get_by_label(&format!(
        "Together, Debit: {}",
        by_hand("trial", "/total_debit")
    ));
    page.get_by_label(&format!(
        "Together, Credit: {}",
        by_hand("trial", "/total_credit")
    ));
    open(page, "Owner's capital");
    page.get_by_label(&format!("At the end: {}", by_hand("capital", "/closing")));
    open(page, "Channels");
    let shop = |label: &str, figure: &str| format!("{label}, Harebell Shop: {figure}");
    let due = &by_hand("channels", "/channels/0/still_due");
    page.get_by_label(&shop("Still due at the end", due));
    let net = &by_hand("channels", "/channels/0/net");
    page.get_by_label(&shop("Left after fees", net));
}

fn the_years_folder(window: &mut Window) -> PathBuf {
    let folder = window.folder.path().join("year-by-hand");
    let page = &mut window.harness;
    open(page, "Year end");
    open(page, "5 Hand over");
    press(page, "Make the pack\u{2026}");
    fill(page, "A new, empty folder", text(&folder));
    press(page, "Make it here");
    let summary = folder.join("summary.md");
    window.wait_until(|_app| summary.exists());
    folder
}

/// Every file beneath a folder by its path.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(place) = open.pop() {
        for entry in std::fs::read_dir(&place).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("inside").to_owned();
                found.insert(name, std::fs::read(&path).expect("a file"));
            }
        }
    }
    found
}

/// From the entry of the three kinds: its lines, and the picture of its receipt in place.
fn is_the_receipt_of_three_kinds(page: &Harness<'_, App>) {
    for words in [
        "Entry 3",
        "Alderwick Paper Merchants",
        "64.21",
        "26.75",
        "16.05",
    ] {
        assert!(says(page, words), "{words}");
    }
    page.get_by_role_and_label(Role::Image, &format!("Receipt {RECEIPT}"));
}

/// From figures of all kinds down to an entry, and to the picture of its receipt.
fn figures_lead_to_their_receipts(page: &mut Harness<'_, App>) {
    // A line of the profit statement.
    statement(page, "Profit");
    let small_tools = account_by_hand("6010");
    open(
        page,
        &format!("6010 Small tools under the equipment threshold, 2026: {small_tools}"),
    );
    open_with(page, "Open 3, ");
    is_the_receipt_of_three_kinds(page);

    // The sum at the foot, through its formula.
    statement(page, "Profit");
    let profit = by_hand("profit", "/totals/net_profit");
    open(page, &format!("Profit, 2026: {profit}"));
    assert!(says(page, "How it comes about"));
    open_with(page, "Running costs Amount ");
    open_with(page, "6000 Consumables Amount ");
    open_with(page, "Open 3, ");
    is_the_receipt_of_three_kinds(page);

    // Stock in the balance sheet: what came in by the receipt, what was used by the entry in debits and credits.
    statement(page, "Balance sheet");
    let paper = account_by_hand("1200");
    open(
        page,
        &format!("1200 Materials on hand, 31 Dec 2026: {paper}"),
    );
    assert!(says(page, "Paper used in the pieces sold"));
    open_with(page, "Open 3, ");
    is_the_receipt_of_three_kinds(page);

    // What the shop still owes: ten sales, the refund, the payout.
    statement(page, "Channels");
    let fees = by_hand("channels", "/channels/0/fees");
    open(page, &format!("Fees, Harebell Shop: ({fees})"));
    // 2.00 + 16.56 - 0.81 and 10.23 make the fees; with all the rest they leave what is due.
    let fee = "taken out by the shop, less what it gave back";
    let worked = [
        format!("6200 Shop and listing fees, {fee}, \u{2212}17.75"),
        format!("6210 Payment processing fees, {fee}, \u{2212}10.23"),
        "Payouts, arrived in your account, \u{2212}150.00".to_owned(),
        "Still due at the end, the lines above together, 64.22".to_owned(),
    ];
    for line in &worked {
        assert!(says(page, line), "{line}");
    }
    assert!(says(page, "2.59 of tax handled by the shop"));
    assert!(says(page, "12 entries; open one to see its receipt."));
    open_with(page, "Open 16, ");
    assert!(says(page, "5 returned"));

    // Wear: the entry that the room proposed.
    statement(page, "Profit");
    let worn = account_by_hand("6500");
    open(page, &format!("6500 Depreciation, 2026: {worn}"));
    open_with(page, "Open 19, ");
    assert!(says(page, "Book press"));
}

#[test]
fn typed_or_brought_in_the_month_is_the_same_to_the_cent() {
    let folder = tempfile::tempdir().expect("a folder");
    let receipt = a_receipt(folder.path());
    let (mut window, typed) = month_by_hand(&receipt);
    statements_on_screen(&mut window.harness);
    figures_lead_to_their_receipts(&mut window.harness);
    let year_typed = the_years_folder(&mut window);
    // The window's book is closed before it is opened again.
    let Window {
        harness,
        folder: kept,
    } = window;
    drop(harness);

    let brought = book_of_the_story(folder.path());
    program(&["attach", text(&brought), "3", text(&receipt)]);
    stands_as_worked_by_hand(&typed);
    let reports = [
        "profit",
        "balance",
        "trial",
        "capital",
        "channels",
        "equipment",
        "journal",
        "accounts",
        "set-aside",
        "small-equipment",
        "cost-to-start",
        "free-to-spend",
        "recurring",
    ];
    for what in reports {
        assert_eq!(shown(&typed, what), shown(&brought, what), "{what}");
    }

    let year_brought = folder.path().join("year-brought");
    let book = Book::open(&brought).expect("the book");
    year_end::write(&book, 2026, &year_brought, today(), &mut |_done, _whole| {
        true
    })
    .expect("the folder");
    let (typed, brought) = (files(&year_typed), files(&year_brought));
    let names = |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&typed), names(&brought));
    for (name, bytes) in &typed {
        // Two books have two histories, which the list of files names.
        if name.ends_with("manifest.json") {
            continue;
        }
        let shown = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        assert_eq!(shown(bytes), shown(&brought[name]), "{}", name.display());
    }
    assert!(
        names(&typed)
            .iter()
            .any(|name| name.starts_with("receipts"))
    );
    drop(kept);
}
