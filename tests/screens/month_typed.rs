//! A hand that types the first month into the window: each sheet's rows into the form that is meant for them.
//! What the book says afterwards is looked at elsewhere.

use std::collections::{BTreeMap, HashMap};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use deckle::app::App;
use egui::Key;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::first_month::{NAME, SHEETS, text};
use crate::forms_support::{
    choose, count, fill, open_form, pick, press, says, select, settle, write_down,
};
use crate::support::{Window, day, first_page_on};

const BANK: &str = "Business bank account";

/// The picture that is kept with the purchase of three kinds.
pub const RECEIPT: &str = "alderwick.png";

type Typed = HashMap<String, String>;

/// A few days after the month, when the shop's own statement is there.
pub fn today() -> NaiveDate {
    day("2026-02-03")
}

/// The rows of one of the story's sheets by column.
fn rows(kind: &str) -> Vec<Typed> {
    let (_, sheet) = SHEETS
        .iter()
        .find(|(name, _)| *name == kind)
        .expect("a sheet");
    csv::Reader::from_reader(sheet.as_bytes())
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// Fills a field when the sheet has something in that column.
fn fill_from(window: &mut Harness<'_, App>, label: &str, row: &Typed, column: &str) {
    if let Some(text) = row.get(column).filter(|text| !text.is_empty()) {
        fill(window, label, text);
    }
}

/// Presses whatever bears exactly this label and can be pressed.
pub fn open(window: &mut Harness<'_, App>, label: &str) {
    let presses = [Role::Button, Role::Link, Role::RadioButton];
    let node = window
        .query_all_by_label(label)
        .find(|node| presses.contains(&node.accesskit_node().role()))
        .unwrap_or_else(|| panic!("nothing to press is called '{label}'"));
    node.click();
    settle(window);
}

fn begin(window: &mut Window) -> PathBuf {
    let path = window.folder.path().join("by-hand.deckle");
    let page = &mut window.harness;
    fill(page, "What is your business called?", NAME);
    fill(page, "Which currency does it keep its books in?", "USD");
    fill(page, "Which day does the book begin?", "2026-01-01");
    page.get_by_label("Keep it somewhere else").click();
    settle(page);
    fill(page, "Where is it kept?", text(&path));
    press(page, "Begin the book");
    window.wait_until(|app| app.book().is_some());
    path
}

fn keep_a_quarter(window: &mut Window) {
    window.ctrl(Key::Comma);
    let page = &mut window.harness;
    fill(page, "Share of the profit to set aside, in per cent", "25");
    press(page, "Keep the settings");
}

fn owners_money(page: &mut Harness<'_, App>) {
    for row in rows("owner") {
        let (words, account) = match row["direction"].as_str() {
            "in" => ("I put money in", "Into"),
            _ => ("I took money out", "Out of"),
        };
        open_form(page, words);
        fill(page, "How much", &row["amount"]);
        fill(page, "When", &row["date"]);
        select(page, account, BANK);
        fill(page, "What it was", &row["description"]);
        write_down(page);
    }
    assert_eq!(count(page), 2);
}

fn purchases(page: &mut Harness<'_, App>, receipt: &Path) {
    let mut receipts: BTreeMap<String, Vec<Typed>> = BTreeMap::new();
    for row in rows("purchases") {
        receipts
            .entry(row["purchase"].clone())
            .or_default()
            .push(row);
    }
    open_form(page, "I bought something");
    for lines in receipts.values() {
        let before = count(page);
        purchase(page, lines);
        // The only one with several kinds, and with paper to show for it.
        if lines.len() == 3 {
            page.key_press_modifiers(egui::Modifiers::COMMAND, Key::R);
            settle(page);
            fill(page, "Path of the receipt", text(receipt));
            press(page, "Use this file");
            assert!(says(page, &format!("Receipt {RECEIPT}")), "it is shown");
            // 60.00 + 25.00 + 15.00 + 7.01
            assert!(says(page, "107.01"), "the total as on the receipt");
        }
        write_down(page);
        assert_eq!(count(page), before + 1);
    }
    press(page, "Keep for later");
}

fn purchase(page: &mut Harness<'_, App>, lines: &[Typed]) {
    let first = &lines[0];
    fill(page, "From whom", &first["supplier"]);
    for (idx, line) in lines.iter().enumerate() {
        if idx > 0 {
            press(page, "Add a line");
        }
        let label = |words: &str| match idx {
            0 => words.to_owned(),
            _ => format!("{words} {}", idx + 1),
        };
        fill(page, &label("What"), &line["description"]);
        fill(page, &label("Amount"), &line["amount"]);
        fill(page, &label("How many"), &line["quantity"]);
        fill(page, &label("Kind"), &line["account"]);
        if !line["equipment_name"].is_empty() {
            fill(page, "Its name on the list", &line["equipment_name"]);
            fill(page, "Life in months", &line["life_months"]);
            fill(page, "Worth at the end", &line["residual"]);
            fill(page, "First used on", &line["in_service_on"]);
            select(
                page,
                "How its wear is counted",
                "whole months, from the month it is first used",
            );
            page.get_by_role_and_label(Role::CheckBox, "It is second-hand")
                .click();
            settle(page);
            assert!(says(page, "3 years, about 6.00 a month"));
        }
    }
    if !first["carriage"].is_empty() {
        press(page, "More on this receipt");
        fill(page, "Carriage", &first["carriage"]);
    }
    fill(page, "When", &first["date"]);
    let paid_from = if first["paid_from"] == "2010" {
        "Credit card"
    } else {
        BANK
    };
    select(page, "Paid from", paid_from);
}

fn sales(page: &mut Harness<'_, App>) {
    open_form(page, "I sold something");
    for (idx, row) in rows("sales").iter().enumerate() {
        let shop = &row["paid_into"];
        fill(page, "What", &row["description"]);
        if idx == 0 {
            press(page, "Another shop\u{2026}");
            fill(page, "Name of the new shop (sales channel)", shop);
            press(page, "Add the shop");
            wrong_fees_first(page);
        }
        assert!(
            says(page, &format!("{shop} (shop)")),
            "the shop is there, and the next sale goes there by itself"
        );
        fill(page, "How many", &row["quantity"]);
        fill(page, "Full price", &row["amount"]);
        fill(page, "When", &row["date"]);
        fill(page, "Order number", &row["reference"]);
        fill_from(page, "Postage charged", row, "postage");
        fill_from(page, "Discount you gave", row, "discount");
        if !row["tax_by_channel"].is_empty() {
            choose(page, "the shop collects and pays it");
            fill(page, "Sales tax", &row["tax_by_channel"]);
        }
        fill(page, "Listing fee", &row["fee_listing"]);
        fill(page, "Selling fee", &row["fee_commission"]);
        fill(page, "Processing fee", &row["fee_processing"]);
        if idx == 0 {
            // 20.00 + 4.00 less 0.20 + 1.56 + 0.97
            assert!(says(
                page,
                "Of 24.00 the shop keeps 2.73; 21.27 is on its way."
            ));
        }
        write_down(page);
        assert_eq!(count(page), 6 + idx as u64);
    }
    press(page, "Keep for later");
}

/// What is typed into a fee is no more than a first try.
fn wrong_fees_first(page: &mut Harness<'_, App>) {
    let fees = ["Listing fee", "Selling fee", "Processing fee", "Other fee"];
    for fee in fees {
        fill(page, fee, "3.33");
    }
    page.get_by_role_and_label(Role::TextInput, "Other fee")
        .focus();
    settle(page);
    page.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    settle(page);
    page.key_press(Key::Delete);
    settle(page);
}

fn refunds(page: &mut Harness<'_, App>) {
    for row in rows("refunds") {
        open_form(page, "I gave a customer money back");
        pick(page, "Which sale", &row["sale"]);
        fill(page, "How much", &row["amount"]);
        fill(page, "When", &row["date"]);
        let why = format!("{} returned", row["returned_quantity"]);
        fill(page, "Why", &why);
        fill(page, "Selling fee back", &row["fee_credit"]);
        write_down(page);
    }
    assert_eq!(count(page), 16);
}

fn payouts(page: &mut Harness<'_, App>) {
    for row in rows("payouts") {
        open_form(page, "A sales channel paid out");
        select(page, "Which shop", &row["channel"]);
        select(page, "Into", BANK);
        fill(page, "How much", &row["amount"]);
        fill(page, "When", &row["date"]);
        // What the shop owed before, 214.22, less the payout.
        assert!(says(page, "64.22 stays with the shop."));
        write_down(page);
    }
    assert_eq!(count(page), 17);
}

fn paper_used(page: &mut Harness<'_, App>) {
    let lines = rows("entries");
    open_form(page, "debits and credits");
    fill(page, "What it is for", &lines[0]["memo"]);
    fill(page, "Date", &lines[0]["date"]);
    for (idx, line) in lines.iter().enumerate() {
        let nth = |words: &str| format!("{words}, line {}", idx + 1);
        fill(page, &nth("Account"), &line["account"]);
        fill_from(page, &nth("Debit"), line, "debit");
        fill_from(page, &nth("Credit"), line, "credit");
    }
    choose(page, "an adjusting entry (a fix at year end)");
    write_down(page);
    assert_eq!(count(page), 18);
    press(page, "Keep for later");
}

fn wear(page: &mut Harness<'_, App>) {
    open(page, "Equipment");
    // (240.00 - 24.00) / 36
    press(page, "Write down wear through January, 6.00");
    assert_eq!(count(page), 19);
    // 6.00 a month, and no second time for January.
    let again = "Write down wear through January, 6.00";
    assert!(page.query_by_label(again).is_none());
    page.get_by_label("Write down wear through 31 Dec 2026, 66.00");
}

/// The month as typed; the window stays open.
pub fn month_by_hand(receipt: &Path) -> (Window, PathBuf) {
    let mut window = first_page_on(today);
    window.harness.set_size([1240.0, 2600.0].into());
    settle(&mut window.harness);
    let path = begin(&mut window);
    keep_a_quarter(&mut window);
    let page = &mut window.harness;
    owners_money(page);
    purchases(page, receipt);
    sales(page);
    refunds(page);
    payouts(page);
    paper_used(page);
    wear(page);
    (window, path)
}
