//! Eight months behind, two hundred statement lines, brought up to date by the path that is offered, by verbs alone.
//! What was bought from whom is a list of its own here; every figure is added up from it by hand or in the test, never
//! by the program. All invented.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::desk::Desk;
use crate::eight_months::{Answer, PAYEES, answer, by_account, lines, statement};

fn json(desk: &Desk, arguments: &[&str]) -> Value {
    serde_json::from_str(&desk.ok(arguments)).expect("JSON")
}

fn standing(desk: &Desk) -> Value {
    json(
        desk,
        &[
            "show",
            "@book",
            "catching-up",
            "--as-of",
            "2026-11-03",
            "--json",
        ],
    )
}

fn step<'v>(standing: &'v Value, name: &str) -> &'v Value {
    standing["steps"]
        .as_array()
        .expect("steps")
        .iter()
        .find(|step| step["step"] == name)
        .expect("the step")
}

/// What the ledger has on each account, from the trial balance: debits positive, in minor units.
fn ledger(desk: &Desk) -> BTreeMap<String, i64> {
    let trial = json(
        desk,
        &["show", "@book", "trial", "--to", "2026-12-31", "--json"],
    );
    let minor = |value: &Value| -> i64 {
        let text = value.as_str().unwrap_or("0.00").replace('.', "");
        text.parse().expect("an amount")
    };
    let rows = trial["accounts"].as_array().expect("accounts");
    rows.iter()
        .map(|row| {
            let number = row["number"].as_str().expect("a number").to_owned();
            (number, minor(&row["debit"]) - minor(&row["credit"]))
        })
        .collect()
}

/// A book with its two shops and the statement.
fn behind() -> Desk {
    let desk = Desk::since("2026-03-01");
    desk.bring(
        "accounts",
        "number,name,class,group\n1051,Lanternpost,asset,Payouts due\n1052,Tallow Market,asset,Payouts due\n",
    );
    desk.file("months.csv", statement().0);
    desk.ok(&["bring", "@book", "bank", "@months.csv", "--account", "1000"]);
    desk
}

/// Answers every decision, the largest first, and returns how many were asked.
fn sort_everything(desk: &Desk) -> usize {
    let mut asked = 0;
    loop {
        let open = json(desk, &["sort", "@book", "--alike", "--json"]);
        let Some(lot) = open["decisions"].get(0) else {
            return asked;
        };
        asked += 1;
        assert!(asked <= 60, "too many decisions: {open}");
        let line = lot["lines"][0].to_string();
        let text = lot["text"].as_str().expect("the bank's words").to_owned();
        let mut arguments = vec!["sort", "@book", "--line", &line, "--alike"];
        match answer(&text) {
            Answer::Exactly(meaning, account) => {
                arguments.extend(["--as", meaning]);
                if !account.is_empty() {
                    arguments.extend(["--to", account]);
                }
            }
            Answer::Roughly(rough) => arguments.extend(["--roughly", rough]),
            Answer::Shop(shop) => arguments.extend(["--roughly", "shop-income", "--to", shop]),
            Answer::Unknown(words) => {
                arguments.extend(["--roughly", "unknown"]);
                if !words.is_empty() {
                    arguments.extend(["--remember", words]);
                }
            }
        }
        desk.ok(&arguments);
    }
}

#[test]
fn two_hundred_lines_take_a_decision_for_each_payee_and_every_figure_is_right() {
    let all = lines();
    assert_eq!(all.len(), 200);
    let desk = behind();
    let before = standing(&desk);
    assert_eq!(before["far_behind"], true);
    assert_eq!(before["next"], "sort");
    assert_eq!(before["to_sort"]["lines"], 200);
    assert_eq!(before["to_sort"]["decisions"], 29);
    assert_eq!(step(&before, "statements")["open"], 0);

    let asked = sort_everything(&desk);
    println!("{asked} decisions sorted {} lines", all.len());
    // One for each payee of the list.
    assert_eq!(asked, PAYEES.len());

    let after = standing(&desk);
    assert_eq!(step(&after, "sort")["done"], 200);
    assert_eq!(step(&after, "sort")["open"], 0);
    // Every account against the list.
    let ledger = ledger(&desk);
    let mut expected: BTreeMap<String, i64> = by_account()
        .into_iter()
        .map(|(number, minor)| (number.to_owned(), minor))
        .collect();
    expected.retain(|_number, minor| *minor != 0);
    assert_eq!(ledger, expected);
    // By hand, from the formulas of the list.
    #[rustfmt::skip]
    let by_hand = [
        ("1000", 39_417),    // 5,875.50 in, 5,481.33 out
        ("6610", 144_000),  // 8 × 180.00
        ("6410", 19_600),    // 8 × 24.50
        ("6700", 3_200),     // 8 × 4.00
        ("6400", 7_920),     // 8 × 9.90
        ("1010", 40_000),    // 8 × 50.00
        ("1020", 32_000),    // 8 × 40.00
        ("6000", 86_660),    // papers 24 × 21.30 + 1.10 × 84 + 4.25 × 24 = 705.60; inks 8 × 18.90 + 0.35 × 28 = 161.00
        ("6110", 10_620),    // 24 × 3.45 + 0.05 × 84 + 0.80 × 24
        ("3100", 101_200),  // 8 × 40.00; grocer 16 × 31.20 + 0.70 × 56 + 5.15 × 8 = 579.60; café 16 × 6.40 + 1.25 × 8
        ("1051", -309_640), // 16 × 142.10 + 11.35 × 56 + 23.40 × 8
        ("1052", -64_360),   // 8 × 58.75 + 6.20 × 28
        ("6100", 25_300),    // 8 × 27.60 + 1.15 × 28
        ("4000", -144_000), // 4 × 320.00 + 10.00 × 16
        ("3000", -60_000),   // 2 × 300.00
        ("6900", 31_900),    // 74.50 + 82.00 + 162.50
        ("1900", 5_083),     // 146.33 out, 95.50 in
        ("6310", 18_000), ("6240", 9_600), ("6220", 3_500),
    ];
    for (number, minor) in by_hand {
        assert_eq!(ledger.get(number), Some(&minor), "{number}");
    }
    assert_eq!(statement().1, 39_417);
    // What nobody knew stands by name and not among other costs.
    assert_eq!(after["not_explained"]["count"], 6);
    assert_eq!(after["not_explained"]["amount"], "241.83"); // 146.33 + 95.50
    assert_eq!(after["not_explained"]["balance"], "50.83");
    let unknown = json(&desk, &["show", "@book", "not-explained", "--json"]);
    assert_eq!(unknown["entries"][0]["party"], "Kitemoor");
    assert_eq!(unknown["entries"][0]["remembered"], "a fair in June?");
    // 6 rough costs of 319.00, and 24 payouts of shops whose sales are still to come.
    assert_eq!(after["rough"]["count"], 30);
    assert_eq!(after["rough"]["amount"], "4059.00"); // 319.00 + 3,096.40 + 643.60
    // Purchases without a receipt: 100 of 3,571.00; the bank's own fees need none but its statement.
    assert_eq!(after["receipts_missing"]["count"], 100);
    assert_eq!(after["receipts_missing"]["amount"], "3571.00");
    // The bank agrees with its statement.
    desk.ok(&[
        "reconcile",
        "@book",
        "--account",
        "1000",
        "--tick-all",
        "--finish",
    ]);
    let agreed = standing(&desk);
    assert_eq!(step(&agreed, "agree")["open"], 0);
    assert_eq!(agreed["next"], "refine");
    desk.ok(&["check", "@book"]);
}

#[test]
fn rough_answers_and_the_unknown_are_said_more_exactly_later() {
    let desk = behind();
    sort_everything(&desk);
    let rough = json(&desk, &["show", "@book", "rough", "--json"]);
    let of = |name: &str| -> String {
        let entries = rough["entries"].as_array().expect("entries").iter();
        let numbers: Vec<String> = entries
            .filter(|one| one["party"].as_str().expect("a party").contains(name))
            .map(|one| one["entry"].to_string())
            .collect();
        numbers.join(",")
    };
    for (name, account) in [
        ("Staple", "6010"),
        ("Coppice", "6000"),
        ("Moorgate", "5010"),
    ] {
        desk.ok(&[
            "sort",
            "@book",
            "--refine",
            &of(name),
            "--as",
            "purchase",
            "--to",
            account,
        ]);
    }
    let unknown = json(&desk, &["show", "@book", "not-explained", "--json"]);
    let kitemoor = unknown["entries"][0]["entry"].to_string();
    desk.ok(&[
        "sort",
        "@book",
        "--refine",
        &kitemoor,
        "--remember",
        "the June fair at Kitemoor",
    ]);
    let told = json(&desk, &["show", "@book", "not-explained", "--json"]);
    assert_eq!(
        told["entries"][0]["remembered"],
        "the June fair at Kitemoor"
    );
    desk.ok(&[
        "sort", "@book", "--refine", &kitemoor, "--as", "purchase", "--to", "6310",
    ]);
    // Each of the others may become a question for the accountant, once.
    let others: Vec<String> = told["entries"].as_array().expect("entries")[1..]
        .iter()
        .map(|one| one["entry"].to_string())
        .collect();
    for (said, count) in [("5 new questions", 5), ("0 new questions", 5)] {
        let answer = desk.ok(&["sort", "@book", "--refine", &others.join(","), "--ask"]);
        assert!(answer.contains(said), "{answer}");
        let questions = json(&desk, &["show", "@book", "questions", "--json"]);
        let asked = questions["questions"].as_array().expect("questions");
        assert_eq!(asked.len(), count);
        assert!(
            asked[0].to_string().contains("The bank wrote"),
            "{questions}"
        );
    }
    let asked = json(&desk, &["show", "@book", "not-explained", "--json"]);
    assert!(
        asked["entries"]
            .as_array()
            .expect("entries")
            .iter()
            .all(|one| one["asked"] == true)
    );
    let ledger = ledger(&desk);
    // By hand: nothing is left on other costs; 74.50 tools, 866.60 + 82.00, 162.50 made outside, 180.00 + 88.00 fairs,
    // 50.83 − 88.00 not explained; the bank has not moved.
    for (number, minor) in [
        ("6900", None),
        ("6010", Some(7_450)),
        ("6000", Some(94_860)),
        ("5010", Some(16_250)),
        ("6310", Some(26_800)),
        ("1900", Some(-3_717)),
        ("1000", Some(39_417)),
    ] {
        assert_eq!(ledger.get(number).copied(), minor, "{number}");
    }
    let now = standing(&desk);
    assert_eq!(step(&now, "refine")["done"], 7);
    assert_eq!(now["rough"]["count"], 24);
    assert_eq!(now["not_explained"]["count"], 5);
    assert_eq!(now["to_sort"]["lines"], 0);
    // The explained fair wants its receipt from now on.
    assert_eq!(now["receipts_missing"]["count"], 101);
    let said = desk.refused(
        1,
        &["sort", "@book", "--refine", &kitemoor, "--remember", "x"],
    );
    assert!(said[0].contains("explained already"), "{said:?}");
    // The year's folder names what is open.
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let cover = std::fs::read_to_string(desk.path("pack/summary.md")).expect("a cover");
    assert!(cover.contains("5 entries are not explained yet"), "{cover}");
    assert!(
        cover.contains("24 entries are of 3,740.00 from a rough answer"),
        "{cover}"
    );
    desk.ok(&["check", "@book"]);
}

#[test]
fn receipts_that_fit_one_entry_are_filed_and_the_others_are_named() {
    let desk = behind();
    sort_everything(&desk);
    for name in ["insurance", "licence", "fair", "twice-a", "twice-b", "dear"] {
        desk.file(
            &format!("photos/{name}.jpg"),
            format!("a picture of {name}"),
        );
    }
    desk.file(
        "photos/seen.csv",
        "file,date,amount\n\
         insurance.jpg,2026-04-13,96.00\n\
         licence.jpg,2026-05-15,35.00\n\
         fair.jpg,2026-08-16,45.00\n\
         twice-a.jpg,2026-05-23,150.00\n\
         twice-b.jpg,2026-05-24,150.00\n\
         dear.jpg,2026-05-15,35.01\n",
    );
    let said = json(
        &desk,
        &[
            "bring",
            "@book",
            "receipts-seen",
            "@photos/seen.csv",
            "--json",
        ],
    );
    // By hand: the insurance of 14 April, the licence of 15 May, the fair of 11 August (11 July and 11 September are
    // more than ten days away); two receipts fit the one print bill, and nothing cost 35.01.
    assert_eq!(said["count"], 3);
    let notes = said["notes"].to_string();
    assert!(
        notes.contains("twice-a.jpg") && notes.contains("twice-b.jpg"),
        "{notes}"
    );
    assert!(notes.contains("row 7, dear.jpg"), "{notes}");
    let now = standing(&desk);
    assert_eq!(now["receipts_missing"]["count"], 97);
    assert_eq!(now["receipts_missing"]["amount"], "3395.00"); // 3,571.00 − 96.00 − 35.00 − 45.00
    // The same folder once more, with what was unclear said: nothing is filed twice.
    desk.file(
        "photos/again.csv",
        "file,date,amount\ninsurance.jpg,2026-04-13,96.00\ntwice-a.jpg,2026-05-23,150.00\n",
    );
    let said = json(
        &desk,
        &[
            "bring",
            "@book",
            "receipts-seen",
            "@photos/again.csv",
            "--json",
        ],
    );
    assert_eq!(said["count"], 1);
    assert!(
        said["notes"]
            .to_string()
            .contains("1 file was in the book already")
    );
    // Bad input: nothing is filed.
    desk.file(
        "photos/bad.csv",
        "file,date,amount\ntwice-b.jpg,2026-05-24,150.00\nnone.jpg,2026-13-01,abc\n",
    );
    let faults = desk.refused(1, &["bring", "@book", "receipts-seen", "@photos/bad.csv"]);
    assert!(faults.iter().any(|one| one.contains("row 3")), "{faults:?}");
    desk.ok(&["check", "@book"]);
}

#[test]
fn a_decision_that_cannot_be_leaves_everything_as_it_was() {
    let desk = behind();
    let open = json(&desk, &["sort", "@book", "--alike", "--json"]);
    let lots = open["decisions"].as_array().expect("decisions");
    let out = lots
        .iter()
        .find(|lot| lot["direction"] == "out")
        .expect("money that went out");
    let line = out["lines"][0].to_string();
    let said = desk.refused(
        1,
        &[
            "sort",
            "@book",
            "--line",
            &line,
            "--alike",
            "--roughly",
            "sold",
        ],
    );
    assert!(said[0].contains("went out"), "{said:?}");
    let said = desk.refused(
        2,
        &[
            "sort",
            "@book",
            "--line",
            &line,
            "--alike",
            "--roughly",
            "dunno",
        ],
    );
    assert!(said[0].contains("rough answer"), "{said:?}");
    // One of the lines lies in a month that is locked: none of them is sorted.
    desk.ok(&["lock", "@book", "--through", "2026-03-31"]);
    let said = desk.refused(
        1,
        &[
            "sort",
            "@book",
            "--line",
            &line,
            "--alike",
            "--roughly",
            "cost",
        ],
    );
    assert!(said[0].contains("none of the"), "{said:?}");
    assert_eq!(standing(&desk)["to_sort"]["lines"], 200);
}
