//! Statements of banks and cards shown before they are brought: what is printed, what is asked, what is refused.

use serde_json::Value;

use crate::desk::Desk;

const BANK: &str = "Fernhollow Bindery;;;;\nAccount;AB12 3456;;;\n\nBooking date;Text;Payee;Amount;Balance\n\
    31.01.2026;Paper;Alderwick;-1.234,50;765,50\n05.01.2026;Put in;;2.000,00;2.000,00\n;Closing balance;;;765,50\n";

fn preview(desk: &Desk, name: &str, content: impl AsRef<[u8]>, more: &[&str]) -> crate::desk::Ran {
    desk.file(name, content);
    let file = format!("@{name}");
    let mut all = vec![
        "bring",
        "@book",
        "bank",
        &file,
        "--account",
        "1000",
        "--preview",
    ];
    all.extend(more);
    desk.run(&all)
}

#[test]
fn a_preview_prints_every_row_and_leaves_the_book() {
    let desk = Desk::new();
    let before = std::fs::read(desk.path("book.deckle")).expect("reads");
    let ran = preview(&desk, "s.csv", BANK, &["--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let said: Value = serde_json::from_str(&ran.out).expect("JSON");
    // By hand: 2000.00 came in and 1234.50 went out, newest first.
    assert_eq!(said["currency"], "USD");
    assert_eq!(said["from"], "2026-01-05");
    assert_eq!(said["to"], "2026-01-31");
    assert_eq!(said["file"], "s.csv");
    assert_eq!(said["format"], "csv");
    assert_eq!(said["account"], "AB12 3456");
    assert_eq!(said["rows"][0]["row"], 5);
    assert_eq!(said["rows"][0]["date"], "2026-01-31");
    assert_eq!(said["rows"][0]["amount"], "-1234.50");
    assert_eq!(said["rows"][0]["text"], "Paper Alderwick");
    assert_eq!(said["rows"][0]["id"], Value::Null);
    assert_eq!(said["rows"][1]["balance"], "2000.00");
    assert_eq!(said["rows"].as_array().map(Vec::len), Some(2));
    assert_eq!(said["questions"].as_array().map(Vec::len), Some(0));
    assert_eq!(said["opening"]["balance"], "0.00");
    assert_eq!(said["closing"]["balance"], "765.50");
    assert_eq!(said["closing"]["date"], "2026-01-31");
    let text = preview(&desk, "s.csv", BANK, &[]).out;
    assert!(
        text.contains("2026-01-31       \u{2212}1,234.50  Paper Alderwick"),
        "{text}"
    );
    assert_eq!(
        before,
        std::fs::read(desk.path("book.deckle")).expect("reads")
    );
}

#[test]
fn what_a_file_leaves_open_is_asked_with_the_option_that_answers_it() {
    let desk = Desk::new();
    let file = "Date,Description,Amount\n03/04/2026,Paper,12.50\n05/04/2026,Ink,3.00\n";
    let ran = preview(&desk, "c.csv", file, &["--json"]);
    assert_eq!(ran.code, 1);
    assert_eq!(
        ran.err,
        "deckle: c.csv: day and month cannot be told apart in any row ('03/04/2026', '05/04/2026'); say --dates dmy|mdy\n"
    );
    let said: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(said["rows"].as_array().map(Vec::len), Some(0));
    assert_eq!(said["questions"][0]["asks"], "dates");
    assert_eq!(
        said["questions"][1]["option"],
        "--sign as-written|charges-positive"
    );
    let ran = preview(&desk, "c.csv", file, &["--dates", "mdy"]);
    assert!(
        ran.err
            .ends_with("say --sign as-written|charges-positive\n"),
        "{}",
        ran.err
    );
    let answers = ["--dates", "mdy", "--sign", "charges-positive", "--json"];
    let said: Value =
        serde_json::from_str(&preview(&desk, "c.csv", file, &answers).out).expect("JSON");
    assert_eq!(said["rows"][0]["date"], "2026-03-04");
    assert_eq!(said["rows"][0]["amount"], "-12.50");
}

#[test]
fn columns_can_be_told() {
    let desk = Desk::new();
    let file = "Wann;Worum;Wieviel;Rest\n2026-01-31;Paper;-3,00;7,00\n2026-01-30;Ink;5,00;1,50\n";
    let ran = preview(&desk, "c.csv", file, &[]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("which column holds the amount cannot be known ('Wann', 'Worum', 'Wieviel', 'Rest'); say --columns"), "{}", ran.err);
    let columns = "date=Wann,amount=Wieviel,text=Worum";
    let ran = preview(&desk, "c.csv", file, &["--columns", columns]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ran = preview(&desk, "c.csv", file, &["--columns", "date=Wann,amount=Wie"]);
    assert_eq!(
        ran.err,
        "deckle: c.csv: there is no column 'Wie'; the file has Wann, Worum, Wieviel, Rest\n"
    );
}

#[test]
fn a_statement_without_its_account_or_that_cannot_be_read_is_refused() {
    let desk = Desk::new();
    desk.file("s.csv", BANK);
    let lines = desk.refused(2, &["bring", "@book", "bank", "@s.csv", "--preview"]);
    assert_eq!(
        lines,
        ["say which account the statement is of with --account"]
    );
    for (content, said) in [
        (&b""[..], "the file is empty"),
        (b"%PDF-1.7 and so on", "it is a PDF, not a statement"),
        (b"no table at all\n", "no table of days and amounts"),
        (
            b"Date;Amount\n2026-02-30;5,00\n",
            "row 2 column Date: there is no such day as '2026-02-30'",
        ),
    ] {
        let ran = preview(&desk, "x.csv", content, &[]);
        assert_eq!((ran.code, ran.out.as_str()), (1, ""));
        assert!(ran.err.contains(said), "{}", ran.err);
        assert_eq!(ran.err.lines().count(), 1);
    }
}
