//! The start-up plan by its sheets and verbs. Expected figures are worked out by hand.

use crate::desk::Desk;

const PLAN: &str = "name,kind,likely,low,high,need,month,alternative_of,chosen\n\
    Press new,equipment,450.00,400.00,500.00,must,2026-02,,\n\
    Press old,equipment,180.00,120.00,260.00,must,2026-02,Press new,yes\n\
    Pressing outside,other,90.00,,,must,,Press old,no\n\
    Paper,materials,70.00,60.00,90.00,,2026-03,,\n\
    Sign,other,25.00,10.00,40.00,later,,,\n";

#[test]
fn a_plan_is_held_against_money_and_purchases() {
    let desk = Desk::new();
    let said = desk.bring("plan", PLAN);
    assert!(said.contains("5 lines of the plan brought in"), "{said}");
    desk.bring(
        "plan-money",
        "amount,month,note\n200.00,,Savings\n100.00,2026-03,\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,carriage\n\
         R1,2026-02-03,Private seller,1000,165.00,6010,Press,\n\
         R2,2026-03-04,Alderwick Paper,1000,50.00,1200,Text paper,5.00\n\
         R2,2026-03-04,Alderwick Paper,1000,30.00,6000,Glue,\n",
    );
    let links = "plan,entry,what\nPress old,R1,\nPaper,#2,text paper\n";
    desk.bring("plan-purchases", links);
    let shown = desk.json(&["plan", "--to", "2026-03-31"]);
    let range = |low: &str, likely: &str, high: &str| serde_json::json!({"low": low, "likely": likely, "high": high});
    // Press old, paper and sign: 120 + 60 + 10, 180 + 70 + 25, 260 + 90 + 40.
    assert_eq!(shown["need"], range("190.00", "275.00", "390.00"));
    assert_eq!(shown["must"], range("180.00", "250.00", "350.00"));
    assert_eq!(shown["later"], range("10.00", "25.00", "40.00"));
    assert_eq!(shown["currency"], "USD");
    assert_eq!(shown["as_of"], "2026-03-31");
    assert_eq!(shown["money_total"], "300.00");
    // February 200 - 180 = 20, at most 200 - 260; March 20 + 100 - 70.
    assert_eq!(shown["lowest"]["likely"]["amount"], "20.00");
    assert_eq!(shown["lowest"]["likely"]["on"], "2026-02-28");
    assert_eq!(shown["lowest"]["high"]["amount"], "-60.00");
    assert_eq!(
        shown["months"][1]["left"],
        range("120.00", "50.00", "-50.00")
    );
    let lines = shown["lines"].as_array().expect("lines");
    let of = |key: &str| -> Vec<String> {
        lines
            .iter()
            .map(|line| line[key].to_string().replace('"', ""))
            .collect()
    };
    assert_eq!(of("chosen"), ["false", "true", "false", "true", "true"]);
    // Paper: 50.00 and its part of the carriage, 5.00 x 50 / 80 = 3.13 (largest remainder; glue 1.87).
    assert_eq!(of("actual"), ["0.00", "165.00", "0.00", "53.13", "0.00"]);
    assert_eq!(
        of("alternative_of"),
        ["null", "Press new", "Press new", "null", "null"]
    );
    assert_eq!(shown["actual"], "218.13");
    assert_eq!(shown["expected"], "243.13");
    assert_eq!(lines[3]["bought"][0]["entry"], 2);
    let text = desk.ok(&["show", "@book", "plan", "--to", "2026-03-31"]);
    assert!(
        text.contains("Your money lasts at the likely cost"),
        "{text}"
    );
    assert!(text.contains("Spent on the plan: 218.13"), "{text}");
}

#[test]
fn where_nothing_is_said_the_first_way_counts() {
    let desk = Desk::new();
    desk.bring(
        "plan",
        "name,kind,likely,alternative_of,chosen\nCutter,equipment,200.00,,\nCutting outside,other,40.00,Cutter,\n\
         Chair,other,30.00,,no\n",
    );
    assert_eq!(desk.json(&["plan"])["need"]["likely"], "200.00");
    // A way that joins a group of the book leaves its choice alone.
    desk.file(
        "more.csv",
        "name,kind,likely,alternative_of\nOld cutter,equipment,90.00,cutter\n",
    );
    desk.ok(&["bring", "@book", "plan", "@more.csv"]);
    assert_eq!(desk.json(&["plan"])["need"]["likely"], "200.00");
}

#[track_caller]
fn check(kind: &str, sheet: &str, expected: &[&str]) {
    let desk = Desk::new();
    desk.file("first.csv", PLAN);
    desk.ok(&["bring", "@book", "plan", "@first.csv"]);
    let lines = desk.bring_refused(kind, sheet);
    for line in expected {
        let whole = format!("{kind}.csv {line}");
        assert!(
            lines.iter().any(|said| said.starts_with(&whole)),
            "no line begins '{whole}' in {lines:#?}"
        );
    }
    assert_eq!(lines.len(), expected.len(), "{lines:#?}");
    assert_eq!(
        desk.json(&["plan"])["lines"].as_array().map(Vec::len),
        Some(5)
    );
}

#[test]
fn a_sheet_that_cannot_be_is_refused_with_its_place() {
    let head = "name,kind,likely,low,high,need,month,alternative_of,chosen\n";
    #[rustfmt::skip]
    let rows: [(&str, &[&str]); 13] = [
        ("Saw,machine,10.00,,,,,,\n", &["row 2 column kind: 'machine' is not a kind of planned thing; use equipment, materials"]),
        ("Saw,equipment,-10.00,,,,,,\n", &["row 2 column likely: must not be below zero"]),
        ("Saw,equipment,10.00,10.01,,,,,\n", &["row 2 column low: is more than the likely cost"]),
        ("Saw,equipment,10.00,,9.99,,,,\n", &["row 2 column high: is less than the likely cost"]),
        ("Saw,equipment,10.00,-1.00,,,,,\nAxe,equipment,x,,,soon,2026-13,,maybe\n", &[
            "row 2 column low: must not be below zero",
            "row 3 column likely: 'x'",
            "row 3 column need: 'soon' is not a need; use must, later",
            "row 3 column month: '2026-13' is not a month; write it as 2026-01",
            "row 3 column chosen: 'maybe' is neither yes nor no",
        ]),
        ("Saw,equipment,10.00,,,,,Lathe,\n", &["row 2 column alternative_of: there is no 'Lathe' in the sheet or in the plan"]),
        ("Saw,equipment,10.00,,,,,saw,\n", &["row 2 column alternative_of: a thing cannot be another way of itself"]),
        ("Saw,equipment,10.00,,,,,Axe,\nAxe,equipment,10.00,,,,,Saw,\n", &[
            "row 2 column alternative_of: these lines are each",
            "row 3 column alternative_of: these lines are each",
        ]),
        ("Saw,equipment,10.00,,,,,,yes\nAxe,equipment,10.00,,,,,Saw,yes\n", &["row 3 column chosen: 'Saw' is chosen already"]),
        ("Saw,equipment,10.00,,,,,,no\nAxe,equipment,10.00,,,,,Saw,no\n", &["row 2 column chosen: none of the ways of 'Saw' is chosen"]),
        ("Third press,equipment,10.00,,,,,Press new,yes\n", &["row 2 column chosen: 'Press old' is chosen already"]),
        ("paper,materials,10.00,,,,,,\n", &["row 2 column name: 'paper' is in the plan already"]),
        (",materials,10.00,,,,,,\n", &["row 2 column name: is empty"]),
    ];
    for (row, expected) in rows {
        check("plan", &format!("{head}{row}"), expected);
    }
    check(
        "plan",
        "name,kind,likely,price\nSaw,other,1.00,2.00\n",
        &["row 1 column price: "],
    );
    check(
        "plan-money",
        "amount,month\n0.00,\n5.00,March\n",
        &[
            "row 2 column amount: must be above zero",
            "row 3 column month: 'March' is not a month",
        ],
    );
    check(
        "plan-purchases",
        "plan,entry\nLathe,R9\nPaper,#4\n",
        &[
            "row 2 column plan: there is no 'Lathe' in the plan",
            "row 2 column entry: there is no entry or document 'R9'",
            "row 3 column entry: there is no entry or document '#4'",
        ],
    );
    check(
        "start-up-marks",
        "account,counts_as\n6220,gifts\n9999,packaging\n",
        &[
            "row 2 column counts_as: 'gifts' is not a group",
            "row 3 column account: ",
        ],
    );
    check(
        "start-up-marks",
        "account,counts_as\n1000,packaging\n",
        &["row 2: 'Business bank account' is no account"],
    );
}

#[test]
fn what_it_cost_to_start_says_who_paid_and_what_may_count() {
    let desk = Desk::new();
    desk.ok(&["set", "@book", "opened_for_business_on=2026-07-01"]);
    desk.bring(
        "owner",
        "date,direction,account,amount,adjusted_cost,market_value,description\n\
         2026-01-02,in,1000,50000.00,,,\n2026-01-03,brought-in,6010,,40.00,25.00,Mat\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\n\
         R1,2026-02-01,Studio,1000,41000.00,6300,Campaign\n\
         R2,2026-02-02,Clerk,owner,300.00,1610,Company formed\n\
         R3,2026-07-02,Studio,1000,99.00,6300,After opening\n",
    );
    let shown = desk.json(&["cost-to-start", "--to", "2026-12-31"]);
    let capital = serde_json::json!({
        "money": "50000.00", "own_pocket": "300.00", "brought_in": "25.00", "total": "50325.00"
    });
    assert_eq!(shown["capital"], capital);
    assert_eq!(shown["total"], "41325.00");
    let year = &shown["first_year"];
    // As in Treas. Reg. 1.195-1(c): 5,000 and 6 x 200.
    assert_eq!(year["cost"], "41000.00");
    assert_eq!(year["at_once"], "5000.00");
    assert_eq!(year["a_month"], "200.00");
    assert_eq!(year["in_first_year"], "6200.00");
    assert_eq!(year["checked"], "2026-11-25");
    assert!(
        year["caution"]
            .as_str()
            .is_some_and(|words| words.contains("licensed professional"))
    );
    desk.bring(
        "start-up-marks",
        "account,counts_as\n6300,company-forming\n",
    );
    let shown = desk.json(&["cost-to-start", "--to", "2026-12-31"]);
    assert_eq!(shown["first_year"]["cost"], "0.00");
    assert_eq!(shown["groups"][4]["paid_out"], "41300.00");
    let text = desk.ok(&["show", "@book", "cost-to-start", "--to", "2026-12-31"]);
    assert!(
        text.contains("Put in to start: 50,000.00 in money"),
        "{text}"
    );

    desk.ok(&["set", "@book", "opened_for_business_on=2035-07-01"]);
    let shown = desk.json(&["cost-to-start", "--to", "2035-12-31"]);
    assert_eq!(shown["first_year"], serde_json::Value::Null);
    let why = shown["first_year_refused"].as_str().expect("says why");
    assert!(why.contains("2035") && why.contains("2026"), "{why}");
    desk.ok(&[
        "new",
        "@other.deckle",
        "--currency",
        "EUR",
        "--first-day",
        "2026-01-01",
    ]);
    let text = desk.ok(&["show", "@other.deckle", "cost-to-start"]);
    assert!(
        text.contains("There is no rule for the costs of starting for books in EUR"),
        "{text}"
    );
}

#[test]
fn what_was_planned_and_not_bought_wants_doing() {
    let desk = Desk::new();
    desk.bring("plan", PLAN);
    let open = |day: &str| desk.json(&["needs", "--to", day])["open"].to_string();
    assert!(!open("2026-01-31").contains("planned"));
    let february = open("2026-02-01");
    assert!(
        february.contains("1 planned thing to buy") && february.contains("Press old"),
        "{february}"
    );
    assert!(open("2026-03-01").contains("2 planned things to buy"));
}
