//! From the gross that a shop reports to what it paid out, and what explains a difference.

use serde_json::Value;

use crate::desk::Desk;

const SHOP: &str = "Fairlamp Shop";

fn bridge(desk: &Desk) -> Value {
    let shown = desk.json(&["channels", "--year", "2026"]);
    let channels = shown["channels"].as_array().expect("a list");
    let shop = channels.iter().find(|one| one["channel"] == SHOP);
    shop.expect("the shop")["bridge"].clone()
}

fn report(desk: &Desk, amount: &str) -> Value {
    desk.file(
        "reported.csv",
        format!("channel,year,amount\n{SHOP},2026,{amount}\n"),
    );
    desk.ok(&[
        "bring",
        "@book",
        "reported-gross",
        "@reported.csv",
        "--again",
    ]);
    bridge(desk)
}

#[track_caller]
fn check(bridge: &Value, reason: &str, difference: &str, explained: &str) {
    assert_eq!(bridge["reason"], reason, "{bridge:#}");
    assert_eq!(bridge["difference"], difference);
    let said = bridge["explained"].as_str().expect("words");
    assert!(said.contains(explained), "{said}");
}

/// Internal Revenue Service, Instructions for Form 1099-K, "gross amount": the total of the transactions, not reduced by
/// credits, cash equivalents, discounts, fees or refunds. The figures are common practice, no source: gross 10,000.00,
/// refunds 250.00, fees 655.00, so 9,095.00 are deposited.
#[test]
fn a_gross_report_leads_to_the_deposits() {
    let desk = Desk::new();
    desk.bring("sales", &format!(
        "sale,date,paid_into,amount,fee_commission,fee_processing\nS-1,2026-03-14,{SHOP},10000.00,500.00,155.00\n"
    ));
    desk.bring("refunds", "sale,date,amount\nS-1,2026-03-20,250.00\n");
    desk.bring(
        "payouts",
        &format!("channel,date,paid_into,amount\n{SHOP},2026-03-24,1000,9095.00\n"),
    );
    let bridge = report(&desk, "10000.00");
    check(&bridge, "agrees", "0.00", "to the cent");
    let lines: Vec<(String, String)> = bridge["lines"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|line| {
            let text = |key: &str| line[key].as_str().expect("text").to_owned();
            (text("key"), text("amount"))
        })
        .filter(|(_, amount)| amount != "0.00")
        .collect();
    let expected = [
        ("sales", "10000.00"),
        ("buyers_paid", "10000.00"),
        ("refunds", "-250.00"),
        ("fee", "-500.00"),
        ("fee", "-155.00"),
        ("net", "9095.00"),
        ("payouts", "-9095.00"),
    ];
    let expected: Vec<(String, String)> = expected
        .iter()
        .map(|(key, amount)| ((*key).to_owned(), (*amount).to_owned()))
        .collect();
    assert_eq!(lines, expected);
}

/// What is said of a report goes into the figures and the pack, and an amount that comes by itself leaves it.
#[test]
fn whether_the_name_on_a_report_is_right_is_told_and_handed_on() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        &format!("sale,date,paid_into,amount\nS-1,2026-03-14,{SHOP},100.00\n"),
    );
    let right = |desk: &Desk| {
        let shown = desk.json(&["channels", "--year", "2026"]);
        let channels = shown["channels"].as_array().expect("a list").clone();
        let shop = channels.into_iter().find(|one| one["channel"] == SHOP);
        shop.expect("the shop")["name_right"].clone()
    };
    let pages = |desk: &Desk, name: &str| {
        desk.ok(&[
            "year-end",
            "@book",
            "--year",
            "2026",
            "--out",
            &format!("@{name}"),
        ]);
        let file = desk.path(name).join("year-end-2026.pdf");
        let text = pdf_extract::extract_text(file).expect("pages");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    report(&desk, "100.00");
    assert_eq!(right(&desk), Value::Null);
    let said = pages(&desk, "unseen");
    assert!(said.contains("Nobody has looked whether name and tax number"));
    assert!(said.contains("the business's own: not looked at"), "{said}");
    let head = "channel,year,amount,name_right,note\n";
    desk.file("wrong.csv", format!("{head}{SHOP},2026,100.00,perhaps,\n"));
    let refused = desk
        .refused(1, &["bring", "@book", "reported-gross", "@wrong.csv"])
        .join("\n");
    assert!(
        refused.contains("row 2 column name_right: 'perhaps' is neither yes nor no"),
        "{refused}"
    );
    desk.file(
        "no.csv",
        format!("{head}{SHOP},2026,100.00,no,the number is the owner's\n"),
    );
    desk.ok(&["bring", "@book", "reported-gross", "@no.csv"]);
    assert_eq!(right(&desk), false);
    report(&desk, "99.00");
    assert_eq!(right(&desk), false);
    let said = pages(&desk, "wrong");
    assert!(said.contains("is not the business's own; have the shop correct it"));
    assert!(
        said.contains("the business's own: NO (the number is the owner's)"),
        "{said}"
    );
    // A report of a year without entries goes out and comes back too.
    desk.file("early.csv", format!("{head}{SHOP},2031,5.00,yes,\n"));
    desk.ok(&["bring", "@book", "reported-gross", "@early.csv"]);
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
    let out = std::fs::read_to_string(desk.path("out/reported-gross.csv")).expect("a sheet");
    assert!(out.contains(",2031,5.00,yes,"), "{out}");
    desk.file("yes.csv", format!("{head}{SHOP},2026,99.00,yes,\n"));
    desk.ok(&["bring", "@book", "reported-gross", "@yes.csv"]);
    assert_eq!(right(&desk), true);
    let said = pages(&desk, "right");
    assert!(said.contains("the business's own: yes"));
    assert!(!said.contains("Nobody has looked whether name"));
}

/// By hand: sales 100.00 less discounts 7.00, postage 11.00, tax by the shop 5.00, tax of one's own 3.00: buyers paid
/// 112.00; 13.00 of it went back, with the taxes in it in proportion.
#[test]
fn the_usual_reasons_are_tried() {
    let desk = Desk::new();
    desk.bring(
        "sales",
        &format!(
            "sale,date,paid_into,amount,discount,postage,tax_ours,tax_by_channel\n\
         S-1,2026-03-14,{SHOP},60.00,7.00,11.00,3.00,5.00\nS-2,2026-12-30,{SHOP},40.00,,,,\n"
        ),
    );
    desk.bring("refunds", "sale,date,amount\nS-2,2026-12-31,13.00\n");
    assert_eq!(bridge(&desk)["reason"], Value::Null);
    for (reported, reason, difference, explained) in [
        ("112.00", "agrees", "0.00", "to the cent"),
        ("119.00", "includes", "7.00", "when it is before discounts"),
        ("101.00", "includes", "-11.00", "when it is without postage"),
        (
            "99.00",
            "includes",
            "-13.00",
            "when it is with refunds taken off",
        ),
        (
            "107.00",
            "includes",
            "-5.00",
            "without the tax the shop pays over",
        ),
        (
            "109.00",
            "includes",
            "-3.00",
            "without the tax you pay over",
        ),
        (
            "72.00",
            "other-year",
            "-40.00",
            "the orders of the last 2 days of the year, reported in the next",
        ),
        (
            "108.00",
            "includes",
            "-4.00",
            "before discounts and without postage",
        ),
        ("111.11", "unexplained", "-0.89", "unexplained"),
    ] {
        check(&report(&desk, reported), reason, difference, explained);
    }
    // What the payer includes is kept, and the bridge begins with it from then on.
    desk.bring(
        "file-layouts",
        &format!("layout,purpose,content\n{SHOP},bridge,\"{{\"\"postage\"\":false}}\"\n"),
    );
    let kept = report(&desk, "101.00");
    check(&kept, "agrees", "0.00", "to the cent");
    assert_eq!(kept["expected"], "101.00");
}
