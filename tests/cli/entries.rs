//! Entries that are there: amended, taken back, moved to another account, and what stays of them.

use crate::desk::Desk;

fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\n\
         R1,2026-01-05,Paper Mill,1000,12.00,6000,Tape\nR2,2026-01-06,Paper Mill,1000,20.00,6000,Boxes\n",
    );
    desk
}

#[test]
fn an_amendment_keeps_the_earlier_version() {
    let desk = desk();
    desk.refused(1, &["amend", "@book", "1", "--reason", "", "--memo", "x"]);
    desk.file(
        "lines.csv",
        "entry,date,account,debit,credit\nX,2026-01-05,6000,14.00,\nX,2026-01-05,1000,,14.00\n",
    );
    desk.ok(&[
        "amend",
        "@book",
        "1",
        "--reason",
        "read the receipt again",
        "--date",
        "2026-01-07",
        "--lines",
        "@lines.csv",
    ]);
    desk.balances(&[("6000", "34.00")]);
    let journal = desk.json(&["journal", "--year", "2026"]);
    let dates: Vec<&str> = journal["entries"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|entry| entry["date"].as_str().expect("a day"))
        .collect();
    assert_eq!(dates, ["2026-01-06", "2026-01-07"]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn an_entry_is_taken_back_once() {
    let desk = desk();
    desk.ok(&[
        "reverse",
        "@book",
        "1",
        "--reason",
        "sent back",
        "--on",
        "2026-02-01",
    ]);
    desk.balances(&[("6000", "20.00"), ("1000", "-20.00")]);
    let lines = desk.refused(1, &["reverse", "@book", "1", "--reason", "once more"]);
    assert!(lines[0].contains("taken back by entry 3"), "{lines:?}");
}

#[test]
fn a_kind_of_thing_moves_to_another_account() {
    let desk = desk();
    desk.ok(&[
        "reclassify",
        "@book",
        "--from",
        "6000",
        "--to",
        "6100",
        "--text",
        "Boxes",
        "--reason",
        "they are packaging",
    ]);
    desk.balances(&[("6000", "12.00"), ("6100", "20.00")]);
}

#[test]
fn a_copy_is_opened_before_it_counts() {
    let desk = desk();
    desk.ok(&["backup", "@book", "--to", "@copy.deckle"]);
    assert!(desk.ok(&["check", "@copy.deckle"]).contains("2 entries"));
    desk.refused(1, &["backup", "@book", "--to", "@copy.deckle"]);
}
