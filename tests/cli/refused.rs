//! Bad input: each class of it, said in one line a fault with file, row and column, the book left as it was.

use crate::desk::Desk;

const ENTRIES: &str = "entry,date,account,debit,credit\n";

#[track_caller]
fn check(kind: &str, sheet: &str, expected: &[&str]) {
    let desk = Desk::new();
    let lines = desk.bring_refused(kind, sheet);
    for line in expected {
        let whole = format!("{kind}.csv {line}");
        assert!(
            lines.iter().any(|said| said.starts_with(&whole)),
            "no line begins '{whole}' in {lines:#?}"
        );
    }
    assert_eq!(lines.len(), expected.len(), "{lines:#?}");
}

#[test]
fn entries_that_cannot_be_are_refused() {
    for (rows, expected) in [
        (
            "E1,2026-01-05,1000,10.00,\nE1,2026-01-05,6000,,9.00\n",
            "row 2: entry E1: does not balance: its debits are 10.00, its credits 9.00",
        ),
        (
            "E1,2026-01-05,1000,10.00,\n",
            "row 2: entry E1: an entry needs at least two lines",
        ),
        (
            "E1,2026-01-05,1000,0.00,\nE1,2026-01-05,6000,,\n",
            "row 2: the line needs an amount",
        ),
        ("E1,2026-01-05,1000,1.00,1.00\n", "row 2: the line has both"),
        ("E1,2026-01-05,1234,1.00,\n", "row 2 column account: "),
        (
            "E1,2026-02-30,1000,1.00,\n",
            "row 2 column date: '2026-02-30' is not a date",
        ),
        (
            "E1,05.01.2026,1000,1.00,\n",
            "row 2 column date: '05.01.2026' is not a date",
        ),
        (
            "E1,2025-12-31,1000,1.00,\n",
            "row 2 column date: 2025-12-31 is before the book's first day",
        ),
        (
            "E1,2026-01-05,1000,1.005,\n",
            "row 2 column debit: '1.005' has more than 2 decimals",
        ),
        (
            "E1,2026-01-05,1000,\"1,000.00\",\n",
            "row 2 column debit: '1,000.00' is not an amount as sheets take it: with a decimal point and no thousands \
             separator; write 1000.00",
        ),
        (
            "E1,2026-01-05,1000,99999999999999999999,\n",
            "row 2 column debit: ",
        ),
        (
            "E1,2026-01-05,1000,-1.00,\n",
            "row 2 column debit: must not be below zero",
        ),
        (",2026-01-05,1000,1.00,\n", "row 2 column entry: is empty"),
        (
            "E1,2026-01-05,1000,1.00\n",
            "row 2: the row has 4 cells, the header 5",
        ),
    ] {
        let desk = Desk::new();
        let lines = desk.bring_refused("entries", format!("{ENTRIES}{rows}"));
        let expected = format!("entries.csv {expected}");
        assert!(
            lines.iter().any(|line| line.starts_with(&expected)),
            "no '{expected}' in {lines:#?}"
        );
    }
}

#[test]
fn every_fault_of_a_sheet_is_listed() {
    check(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,business_share,carriage,equipment_name,life_months\n\
         R1,2026-01-05,Paper Mill,1000,12.00,1200,,,,\n\
         R2,2026-13-05,,1000,12.5.0,9999,120,,,\n\
         R3,2026-01-05,Paper Mill,1000,12.00,1500,,,,\n\
         R3,2026-01-06,Paper Mill,1000,12.00,1200,,3.00,,\n\
         R4,2026-01-05,Paper Mill,1000,0.00,1200,,,Table,\n",
        &[
            "row 3 column date: ",
            "row 3 column supplier: is empty",
            "row 3 column amount: '12.5.0' is not an amount",
            "row 3 column account: ",
            "row 3 column business_share: ",
            "row 4 column equipment_name: is empty",
            "row 4 column life_months: is empty",
            "row 5 column date: '2026-01-06' differs from '2026-01-05' on its first row",
            "row 5 column carriage: stands on the receipt's first row only",
            "row 6 column amount: must be above zero",
            "row 6 column equipment_name: a thing for the register",
        ],
    );
}

#[test]
fn unknown_and_missing_columns_are_named() {
    check(
        "sales",
        "sale,date,price,paid_into\nS1,2026-01-05,4.00,1000\n",
        &[
            "row 1 column price: unknown column",
            "row 1 column amount: the column is missing",
        ],
    );
    let lines = Desk::new().bring_refused("sales", "");
    assert!(
        lines[0].starts_with("sales.csv: the file is empty"),
        "{lines:?}"
    );
}

#[test]
fn one_bad_row_keeps_the_whole_sheet_out() {
    let desk = Desk::new();
    let lines = desk.bring_refused(
        "sales",
        "sale,date,paid_into,amount\nS1,2026-01-05,New Shop,4.00\nS2,2026-01-05,9999,4.00\n",
    );
    assert_eq!(lines.len(), 1);
    assert!(
        lines[0].starts_with("sales.csv row 3 column paid_into: "),
        "{lines:?}"
    );
    let accounts = desk.json(&["accounts"]).to_string();
    assert!(!accounts.contains("New Shop"));
}

#[test]
fn a_payout_typed_as_a_sale_is_caught() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,description\nS1,2026-01-05,Lanternpost Shop,40.00,Journal\n",
    );
    for row in [
        "S2,2026-01-20,1000,35.00,Lanternpost Shop payout",
        "S2,2026-01-20,1000,40.00,Deposit",
    ] {
        let sheet = format!("sale,date,paid_into,amount,description\n{row}\n");
        let lines = desk.bring_refused("sales", &sheet);
        assert!(
            lines[0].contains("This looks like a payout") && lines[0].contains("Lanternpost Shop"),
            "{lines:?}"
        );
    }
    desk.ok(&[
        "bring",
        "@book",
        "sales",
        "@sales.csv",
        "--allow-lookalikes",
    ]);
    desk.balances(&[("1000", "40.00")]);
}

#[test]
fn the_same_file_is_noticed() {
    let desk = Desk::new();
    let sheet = "purchase,date,supplier,paid_from,amount,account\nR1,2026-01-05,Paper Mill,1000,12.00,1200\n";
    desk.bring("purchases", sheet);
    desk.file("copy.csv", sheet);
    let lines = desk.refused(1, &["bring", "@book", "purchases", "@copy.csv"]);
    assert!(
        lines[0].starts_with("copy.csv: the same file was brought in on "),
        "{lines:?}"
    );
    let other = format!("{sheet}R2,2026-01-06,Paper Mill,1000,13.00,1200\n");
    let lines = desk.bring_refused("purchases", &other);
    assert!(
        lines[0].contains("row 2: 'R1' is in the book already as entry 1"),
        "{lines:?}"
    );
    desk.ok(&["bring", "@book", "purchases", "@copy.csv", "--again"]);
    desk.balances(&[("1200", "24.00")]);
}

#[test]
fn locked_days_are_refused_by_their_row() {
    let desk = Desk::new();
    desk.ok(&["lock", "@book", "--through", "2026-03-31"]);
    for (kind, sheet, row) in [
        (
            "payouts",
            "channel,date,paid_into,amount\n1050,2026-03-31,1000,1.00\n",
            "row 2 column date",
        ),
        (
            "owner",
            "date,direction,account,amount\n2026-04-01,in,1000,1.00\n2026-02-01,in,1000,1.00\n",
            "row 3 column date",
        ),
        (
            "equipment",
            "name,bought_on,in_service_on,cost,life_months,paid_from\nPress,2026-01-01,2026-01-01,1.00,2,1000\n",
            "row 2 column bought_on",
        ),
    ] {
        let lines = desk.bring_refused(kind, sheet);
        assert!(
            lines[0].starts_with(&format!("{kind}.csv {row}: ")) && lines[0].contains("locked"),
            "{lines:?}"
        );
    }
    desk.refused(1, &["unlock", "@book", "--reason", " "]);
    desk.ok(&["unlock", "@book", "--reason", "a receipt turned up"]);
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-02-01,in,1000,1.00\n",
    );
}

#[test]
fn settings_that_cannot_be_are_refused_together() {
    let desk = Desk::new();
    desk.refused(1, &["set", "@book", "business_name=Fern", "colour=red"]);
    desk.refused(1, &["set", "@book", "equipment_threshold=12.345"]);
    desk.refused(2, &["set", "@book", "business_name"]);
    let lines = desk.bring_refused(
        "settings",
        "key,value\nbusiness_name,Fern\ncolour,red\nbasis,barter\n",
    );
    assert!(
        lines[0].starts_with("settings.csv row 3 column key: "),
        "{lines:?}"
    );
    assert!(
        lines[1].starts_with("settings.csv row 4 column value: "),
        "{lines:?}"
    );
    desk.ok(&[
        "set",
        "@book",
        "equipment_threshold=150",
        "business_name=Fern",
    ]);
    let settings = desk.json(&["settings"]);
    assert_eq!(settings["equipment_threshold"], "150.00");
    assert_eq!(settings["business_name"], "Fern");
    assert_eq!(settings["set_aside.method"], "percent");
}

#[test]
fn commands_that_cannot_be_meant_exit_with_2() {
    let desk = Desk::new();
    desk.file("s.csv", "item\n");
    for arguments in [
        &["bring", "@book", "bank", "@s.csv"][..],
        &["bring", "@book", "nonsense", "@s.csv"],
        &["sort", "@book", "--make-rule", "bank charge"],
        &["show", "@book", "weather"],
        &["show", "@book", "ledger"],
        &["show", "@book", "profit", "--from", "2026-02-30"],
        &[
            "show",
            "@book",
            "profit",
            "--from",
            "2026-03-01",
            "--to",
            "2026-02-01",
        ],
        &["show", "@book", "set-aside", "--what-if-profit", "much"],
        &[
            "new",
            "@other",
            "--currency",
            "ZZZ",
            "--first-day",
            "2026-01-01",
        ],
        &["new", "@other", "--currency", "USD"],
        &[
            "new",
            "@other",
            "--currency",
            "USD",
            "--first-day",
            "2026-01-01",
            "--year-starts",
            "13",
        ],
        &["frobnicate"],
        &["@book"],
        &[],
    ] {
        let lines = desk.refused(2, arguments);
        assert_eq!(lines.len(), 1, "{lines:?}");
    }
    assert!(!desk.path("other").exists());
    assert!(desk.ok(&["--help"]).contains("year-end"));
    assert!(desk.ok(&["--version"]).contains("deckle"));
}

#[test]
fn files_that_are_no_books_are_left_alone() {
    let desk = Desk::new();
    desk.file("letter.deckle", "Dear customer, thank you for your order.");
    for arguments in [
        &["show", "@letter.deckle", "profit"][..],
        &["show", "@nowhere.deckle", "profit"],
        &[
            "new",
            "@letter.deckle",
            "--currency",
            "USD",
            "--first-day",
            "2026-01-01",
        ],
        &[
            "new",
            "@book",
            "--currency",
            "USD",
            "--first-day",
            "2026-01-01",
        ],
        &["bring", "@book", "sales", "@nowhere.csv"],
        &["check", "@letter.deckle"],
        &["show", "@book", "ledger", "--account", "9999"],
        &["reverse", "@book", "7", "--reason", "none such"],
        &["attach", "@book", "7", "@letter.deckle"],
        &["bring", "@book", "written-out", "@letter.deckle"],
    ] {
        let lines = desk.refused(1, arguments);
        assert_eq!(lines.len(), 1, "{lines:?}");
    }
    let letter = std::fs::read(desk.path("letter.deckle")).expect("is there");
    assert!(letter.starts_with(b"Dear customer"));
}

#[test]
fn no_more_is_paid_back_to_the_owner_than_is_owed() {
    let desk = Desk::new();
    let head = "date,direction,account,amount,description\n";
    let lines = desk.bring_refused("owner", format!("{head}2026-01-05,repaid,1000,10.00,\n"));
    assert_eq!(
        lines,
        [
            "owner.csv row 2 column amount: nothing is owed to you on 2026-01-05 and not paid back yet; write the rest \
             as money out, direction 'out'"
        ]
    );
    // By hand: 12.50 is owed from 4 January; 10.00 of it goes on the 5th, though it stands above, and 2.50 is left.
    let sheet = |last: &str| {
        format!(
            "{head}2026-01-05,repaid,1000,10.00,\n2026-01-04,paid-privately-owed-back,6000,12.50,Glue\n\
             2026-01-03,repaid,1000,1.00,\n2026-01-06,repaid,1000,{last},\n"
        )
    };
    let lines = desk.bring_refused("owner", sheet("2.51"));
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!(
        lines[0].starts_with("owner.csv row 4 column amount: nothing is owed to you on 2026-01-03"),
        "{lines:?}"
    );
    assert!(
        lines[1]
            .starts_with("owner.csv row 5 column amount: only 2.50 is owed to you on 2026-01-06"),
        "{lines:?}"
    );
    desk.bring(
        "owner",
        &format!(
            "{head}2026-01-04,paid-privately-owed-back,6000,12.50,Glue\n2026-03-01,repaid,1000,12.50,\n"
        ),
    );
    // What March paid back cannot be paid back in February too.
    let lines = desk.bring_refused("owner", format!("{head}2026-02-01,repaid,1000,0.01,\n"));
    assert!(
        lines[0].contains("nothing is owed to you on 2026-02-01"),
        "{lines:?}"
    );
    desk.balances(&[("2050", "0.00"), ("1000", "-12.50")]);
}
