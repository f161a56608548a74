//! Statements from the file to the agreed account, with the program alone: brought once, sorted, matched, agreed.
//! Figures worked by hand; everything is invented.

use crate::desk::Desk;

const JANUARY: &str = "Booked,Details,Amount,Balance\n\
    2026-01-02,PAID IN BY OWNER,500.00,500.00\n\
    2026-01-10,CARD 3301 HARROW LANE PAPERS 0042,-12.50,487.50\n\
    2026-01-12,TRANSFER TO SAVINGS 77,-50.00,437.50\n\
    2026-01-31,ACCOUNT CHARGE,-3.00,434.50\n";

const LATE_JANUARY: &str = "Booked,Details,Amount,Balance\n\
    2026-01-31,ACCOUNT CHARGE,-3.00,434.50\n\
    2026-02-02,CARD 3301 HARROW LANE PAPERS 0077,-8.00,426.50\n";

fn bring(desk: &Desk, file: &str, content: &str) -> String {
    desk.file(file, content);
    desk.ok(&[
        "bring",
        "@book",
        "bank",
        &format!("@{file}"),
        "--account",
        "1000",
    ])
}

#[test]
fn a_statement_is_brought_sorted_and_agreed() {
    let desk = Desk::new();
    assert!(bring(&desk, "january.csv", JANUARY).contains("4 new lines"));
    // The same content under another name, and a file that overlaps.
    desk.file("again.csv", JANUARY);
    let lines = desk.refused(
        1,
        &["bring", "@book", "bank", "@again.csv", "--account", "1000"],
    );
    assert!(
        lines[0].contains("the same file was brought in on"),
        "{lines:?}"
    );
    let said = bring(&desk, "late.csv", LATE_JANUARY);
    assert!(said.contains("1 new line brought in"), "{said}");
    assert!(
        said.contains("1 of its 2 lines were in the book already."),
        "{said}"
    );
    // A purchase typed with its receipt is found, not entered again.
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account\nR1,2026-01-09,Harrow Lane Papers,1000,12.50,6000\n",
    );
    desk.ok(&[
        "sort",
        "@book",
        "--make-rule",
        "account charge",
        "--as",
        "purchase",
        "--to",
        "6700",
        "--party",
        "Wrenfield Bank",
    ]);
    let tray = desk.json(&["tray"]);
    assert_eq!(tray["count"], 5);
    assert_eq!(tray["covered"], 2);
    assert_eq!(tray["lines"][1]["suggestion"]["entry"], 1);
    assert_eq!(tray["lines"][1]["suggestion"]["becomes"], "entry");
    assert_eq!(
        tray["lines"][3]["suggestion"]["words"],
        "Bought from Wrenfield Bank: Bank charges"
    );
    // Words of the bank alone propose the transfer, and are not enough for a rule's word.
    assert_eq!(tray["lines"][2]["suggestion"]["becomes"], "transfer");
    assert_eq!(tray["lines"][2]["suggestion"]["covered"], false);
    desk.ok(&["sort", "@book", "--accept-rules"]);
    desk.ok(&["sort", "@book", "--line", "1", "--as", "owner-in"]);
    desk.ok(&["sort", "@book", "--line", "3", "--accept"]);
    let left = desk.json(&["tray"]);
    assert_eq!(left["count"], 1);
    assert_eq!(
        left["lines"][0]["suggestion"]["why"],
        "You sorted 1 line of this payee this way."
    );
    // 500.00 in, 12.50 paper, 50.00 to the savings, 3.00 charge: 434.50 on 31 January.
    let balance = desk.json(&["balance", "--to", "2026-01-31"]);
    assert_eq!(balance["totals"]["assets"], "484.50");
    desk.ok(&[
        "reconcile",
        "@book",
        "--account",
        "1000",
        "--date",
        "2026-01-31",
        "--balance",
        "434.50",
    ]);
    let sheet = desk.json(&["reconciliation", "--account", "1000"]);
    assert_eq!(sheet["reconciliations"][0]["difference"], "0.00");
    assert_eq!(sheet["reconciliations"][0]["cleared"], "434.50");
    desk.ok(&["reconcile", "@book", "--account", "1000", "--finish"]);
    // A later change is flagged, the sheet keeps what it said.
    desk.ok(&[
        "amend",
        "@book",
        "1",
        "--reason",
        "the wrong day",
        "--date",
        "2026-01-08",
    ]);
    let sheet = desk.json(&["reconciliation", "--account", "1000"]);
    assert_eq!(sheet["accounts"][0]["broken"], true);
    assert_eq!(
        sheet["reconciliations"][0]["broken"][0],
        "Entry 1 was of 2026-01-09 when this was finished and is now of 2026-01-08."
    );
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    let bank = desk.json(&["bank", "--account", "1000"]);
    assert_eq!(bank["lines"][1]["became"], "matched");
    assert_eq!(bank["lines"][4]["became"], "to-sort");
    assert_eq!(bank["statements"][1]["closing_balance"], "434.50");
}

#[test]
fn what_a_file_leaves_open_is_asked_and_kept_for_the_next() {
    let desk = Desk::new();
    let first = "Day;What;Sum\n02/03/2026;Glue;-4,50\n04/05/2026;Board;-12,00\n";
    desk.file("first.csv", first);
    let arguments = ["bring", "@book", "bank", "@first.csv", "--account", "1000"];
    let lines = desk.refused(1, &arguments);
    assert!(lines[0].contains("--dates dmy|mdy"), "{lines:?}");
    assert_eq!(
        desk.json(&["bank"])["lines"].as_array().map(Vec::len),
        Some(0)
    );
    let mut answered = arguments.to_vec();
    answered.extend(["--dates", "dmy", "--layout", "Mill bank"]);
    assert!(desk.ok(&answered).contains("kept as 'Mill bank'"));
    // The next one is recognised by its header and asks nothing.
    desk.file("second.csv", "Day;What;Sum\n03/04/2026;Thread;-2,00\n");
    assert!(
        desk.ok(&["bring", "@book", "bank", "@second.csv", "--account", "1000"])
            .contains("1 new line brought in")
    );
    let lines = desk.json(&["bank"]);
    assert_eq!(lines["lines"][1]["date"], "2026-04-03");
    assert_eq!(lines["lines"][1]["amount"], "-2.00");
}

#[test]
fn statements_that_do_not_belong_are_refused_by_name() {
    let desk = Desk::new();
    desk.file(
        "euro.csv",
        "Date,Text,Amount,Currency\n2026-01-05,Glue,-4.50,EUR\n",
    );
    let lines = desk.refused(
        1,
        &["bring", "@book", "bank", "@euro.csv", "--account", "1000"],
    );
    assert!(
        lines[0].contains("EUR") && lines[0].contains("USD"),
        "{lines:?}"
    );
    desk.refused(2, &["bring", "@book", "bank", "@euro.csv"]);
    desk.refused(
        1,
        &[
            "bring",
            "@book",
            "bank",
            "@nowhere.csv",
            "--account",
            "1000",
        ],
    );
    desk.file("zero.csv", "");
    desk.refused(
        1,
        &["bring", "@book", "bank", "@zero.csv", "--account", "1000"],
    );
    // A file refused in its middle leaves nothing and is not remembered.
    desk.file(
        "broken.csv",
        "Date,Text,Amount\n2026-01-05,Glue,-4.50\n2026-02-30,Board,-1.00\n",
    );
    let lines = desk.refused(
        1,
        &["bring", "@book", "bank", "@broken.csv", "--account", "1000"],
    );
    assert!(lines[0].contains("broken.csv row 3"), "{lines:?}");
    assert_eq!(
        desk.json(&["bank"])["statements"].as_array().map(Vec::len),
        Some(0)
    );
}
