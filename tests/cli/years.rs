//! Closing, reopening, and the year's folder.

use crate::desk::Desk;

/// Sheets lie in a folder of their own.
fn place(name: &str) -> String {
    if name.ends_with(".csv") {
        format!("sheets/{name}")
    } else {
        name.to_owned()
    }
}

fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-01-02,in,1000,500.00\n2026-05-01,out,1000,40.00\n",
    );
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,quantity\nS1,2026-02-05,1000,300.00,1\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\nR1,2026-01-05,Paper Mill,1000,120.00,6000,Tape\n",
    );
    desk
}

#[test]
fn a_closed_year_keeps_its_profit_statement() {
    let desk = desk();
    let before = desk.json(&["profit", "--year", "2026"]);
    desk.ok(&["close", "@book", "--year", "2026", "--early"]);
    assert_eq!(before, desk.json(&["profit", "--year", "2026"]));
    // By hand: 300 − 120 = 180 of profit; capital 500 − 40 = 460.
    desk.balances(&[
        ("3900", "-180.00"),
        ("3000", "-460.00"),
        ("3100", "0.00"),
        ("6000", "0.00"),
    ]);
    let balance = desk.json(&["balance", "--to", "2026-12-31"]);
    assert_eq!(balance["totals"]["equity"], "640.00");
    let lines = desk.bring_refused(
        "owner",
        "date,direction,account,amount\n2026-12-31,in,1000,1.00\n",
    );
    assert!(lines[0].contains("locked"), "{lines:?}");
    desk.refused(
        1,
        &[
            "reopen",
            "@book",
            "--year",
            "2025",
            "--reason",
            "wrong year",
        ],
    );
    desk.ok(&[
        "reopen",
        "@book",
        "--year",
        "2026",
        "--reason",
        "a bill came late",
    ]);
    desk.balances(&[("3900", "0.00"), ("3100", "40.00"), ("6000", "120.00")]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn the_folder_is_whole_and_its_hashes_hold() {
    let desk = desk();
    desk.file("r1.txt", "a receipt");
    desk.ok(&["attach", "@book", "4", "@r1.txt"]);
    let said = desk.ok(&[
        "year-end", "@book", "--year", "2026", "--out", "@pack", "--close", "--json",
    ]);
    let said: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    assert_eq!(said["from"], "2026-01-01");
    let read = |name: &str| {
        std::fs::read_to_string(desk.path("pack").join(place(name)))
            .unwrap_or_else(|_| panic!("{name} is there"))
    };
    for name in [
        "profit.csv",
        "balance.csv",
        "trial.csv",
        "general-ledger.csv",
        "journal.csv",
        "capital.csv",
        "capital-entries.csv",
        "set-aside.csv",
        "form-lines.csv",
        "reconciled.csv",
        "profit-cash-basis.csv",
        "receipts.csv",
        "ties.csv",
    ] {
        assert!(read(name).lines().count() >= 1, "{name}");
        assert!(
            read("manifest.json").contains(&format!("\"sheets/{name}\"")),
            "{name}"
        );
    }
    assert!(read("profit.csv").contains("Net profit,180.00,0.00"));
    assert!(read("summary.md").contains("| **Net profit** | 180.00 |"));
    assert!(read("summary.md").contains("licensed professional"));
    let receipt = read("receipts/00004-0000-r1.txt");
    assert_eq!(receipt, "a receipt");
    let lines = desk.refused(
        1,
        &["year-end", "@book", "--year", "2026", "--out", "@pack"],
    );
    assert!(lines[0].contains("not empty"), "{lines:?}");
    desk.balances(&[("3900", "-180.00")]);
}

#[test]
fn a_folder_that_cannot_be_written_leaves_the_year_open() {
    let desk = desk();
    desk.file("pack/letter.txt", "mine");
    let ran = desk.run(&[
        "year-end", "@book", "--year", "2026", "--out", "@pack", "--close",
    ]);
    assert_eq!(ran.code, 1);
    desk.balances(&[("3900", "0.00")]);
    let names: Vec<_> = std::fs::read_dir(desk.path("pack"))
        .expect("is there")
        .collect();
    assert_eq!(names.len(), 1);
    assert_eq!(
        std::fs::read_to_string(desk.path("pack/letter.txt")).expect("is kept"),
        "mine"
    );
}

#[test]
fn a_year_without_dates_for_instalments_still_has_its_folder() {
    let desk = Desk::since("2010-01-01");
    desk.bring(
        "owner",
        "date,direction,account,amount\n2010-01-02,in,1000,500.00\n",
    );
    desk.ok(&["year-end", "@book", "--year", "2010", "--out", "@pack"]);
    desk.ok(&["show", "@book", "needs"]);
    desk.ok(&["show", "@book", "free-to-spend"]);
    let lines = desk.refused(1, &["show", "@book", "set-aside", "--year", "2010"]);
    assert!(
        lines[0].contains("2010") && lines[0].contains("2022"),
        "{lines:?}"
    );
}

#[test]
fn a_set_aside_method_without_a_file_is_refused_with_the_nearest() {
    let desk = desk();
    desk.ok(&["set", "@book", "set_aside.method=us-2031"]);
    let lines = desk.refused(1, &["show", "@book", "set-aside", "--year", "2026"]);
    assert!(
        lines[0].contains("us-2031") && lines[0].contains("us-2026"),
        "{lines:?}"
    );
    desk.ok(&["show", "@book", "needs"]);
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
}

#[test]
fn a_year_that_still_runs_is_closed_only_when_that_is_meant() {
    // The program goes by the clock, so the year is one that no run of this test sees the end of.
    let desk = desk();
    let lines = desk.refused(1, &["close", "@book", "--year", "2190"]);
    assert_eq!(
        lines,
        [
            "the year 1 Jan 2190 to 31 Dec 2190 is not over; closing it would lock its remaining days. \
             Close it after 31 Dec 2190, or with --early if nothing more will happen in it"
        ]
    );
    desk.balances(&[("3900", "0.00")]);
    let said = desk.ok(&[
        "year-end", "@book", "--year", "2190", "--out", "@pack", "--close",
    ]);
    assert!(
        said.contains(
            "Still open: the year runs to 31 Dec 2190 and was closed early: its remaining days are locked"
        ),
        "{said}"
    );
    desk.ok(&["reopen", "@book", "--reason", "too early"]);
    let said = desk.ok(&["close", "@book", "--year", "2190", "--early"]);
    assert!(said.contains("is closed and locked"), "{said}");
}

#[test]
fn one_entry_is_not_several() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account\nR1,2026-01-05,Paper Mill,1000,12.00,6000\n",
    );
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let summary = std::fs::read_to_string(desk.path("pack/summary.md")).expect("is there");
    for words in [
        "from a book of 1 entry, in USD",
        "\n- 1 entry has no receipt yet; see schedule Z.\n",
    ] {
        assert!(summary.contains(words), "no '{words}' in {summary}");
    }
    let said = desk.ok(&["check", "@book"]);
    assert!(said.contains("is sound: 1 entry balances,"), "{said}");
    let said = desk.ok(&[
        "reclassify",
        "@book",
        "--from",
        "6000",
        "--to",
        "6010",
        "--reason",
        "tools",
    ]);
    assert!(said.starts_with("1 entry moved; 0 left alone"), "{said}");
}
