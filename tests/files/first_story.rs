//! A maker's first month, brought in from sheets by the program itself and held against figures worked by hand.
//! How a single sheet is read or refused is tested elsewhere.

use serde_json::Value;

use crate::first_month::{book_of_the_story, deckle, says, shown, stands_as_worked_by_hand, text};

#[test]
fn every_figure_is_the_one_worked_by_hand() {
    let folder = tempfile::tempdir().expect("works");
    let book = book_of_the_story(folder.path());
    stands_as_worked_by_hand(&book);
}

#[test]
fn a_quarter_of_the_profit_is_kept_back() {
    let folder = tempfile::tempdir().expect("works");
    let book = book_of_the_story(folder.path());
    let json = says(&["show", text(&book), "set-aside", "--year", "2026", "--json"]);
    let estimate: Value = serde_json::from_str(&json).expect("works");
    // 114.13 x 25 % = 28.5325
    assert_eq!(estimate["profit"], "114.13");
    assert_eq!(estimate["total"], "28.53");
}

#[test]
fn wear_is_posted_once_for_a_month() {
    let folder = tempfile::tempdir().expect("works");
    let book = book_of_the_story(folder.path());
    says(&["depreciate", text(&book), "--through", "2026-01-31"]);
    let trial = shown(&book, "trial");
    assert_eq!(trial["total_debit"], "1275.49");
}

#[test]
fn a_figure_is_traced_to_its_receipt_and_into_the_years_folder() {
    let folder = tempfile::tempdir().expect("works");
    let book = book_of_the_story(folder.path());
    let receipt = folder.path().join("paper.png");
    std::fs::write(&receipt, b"\x89PNG\r\n\x1a\nnot much of a picture").expect("works");

    // From the account to the entry, from the entry to the receipt.
    let json = says(&[
        "show",
        text(&book),
        "ledger",
        "--account",
        "6010",
        "--from",
        "2026-01-01",
        "--to",
        "2026-01-31",
        "--json",
    ]);
    let ledger: Value = serde_json::from_str(&json).expect("works");
    let line = &ledger["lines"][0];
    assert_eq!(line["debit"], "16.05");
    assert_eq!(line["party"], "Alderwick Paper Merchants");
    let number = line["entry"].to_string();
    says(&["attach", text(&book), &number, text(&receipt)]);

    let year = folder.path().join("year");
    says(&[
        "year-end",
        text(&book),
        "--year",
        "2026",
        "--out",
        text(&year),
    ]);
    let read = |name: &str| {
        let sheet = year.join("sheets").join(name);
        let place = if sheet.exists() {
            sheet
        } else {
            year.join(name)
        };
        std::fs::read_to_string(place).expect("works")
    };
    assert!(
        read("profit.csv").contains(",Net profit,114.13,"),
        "{}",
        read("profit.csv")
    );
    assert!(read("summary.md").contains("| **Net profit** | 114.13 |"));
    let missing = read("entries-without-receipts.csv");
    assert!(!missing.contains("Alderwick"), "{missing}");
    assert!(
        missing.contains("Private seller") && missing.contains("Nimbleleaf"),
        "{missing}"
    );
    let kept: Vec<_> = std::fs::read_dir(year.join("receipts"))
        .expect("works")
        .collect();
    assert_eq!(kept.len(), 1);
}

#[test]
fn a_payout_beyond_what_is_owed_is_told() {
    let folder = tempfile::tempdir().expect("works");
    let book = book_of_the_story(folder.path());
    let sheet = folder.path().join("slip.csv");
    let slip = "channel,date,paid_into,amount\nHarebell Shop,2026-01-31,1000,642.20\n";
    std::fs::write(&sheet, slip).expect("works");
    let said = says(&["bring", text(&book), "payouts", text(&sheet)]);
    // 64.22 was owed
    assert!(
        said.contains("577.98 more than the book knows it owed"),
        "{said}"
    );
}

#[test]
fn a_year_before_the_book_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let book = book_of_the_story(folder.path());
    let year = folder.path().join("year");
    let output = deckle(&[
        "year-end",
        text(&book),
        "--year",
        "1999",
        "--out",
        text(&year),
    ]);
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("the book begins on 1 Jan 2026"), "{said}");
    assert!(!year.exists());
}
