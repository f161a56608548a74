//! How long records are kept, and the list for insurer and county, by the verbs. The rules are those of IRS Topic no. 305
//! and of GOV.UK; amounts are worked by hand.

use super::desk::Desk;

/// A press for 450.00 with 50.00 of freight and 30.00 of tax, and a bone folder for 12.50 that was a cost at once.
fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,equipment_name,life_months,carriage,tax\nR1,2026-03-02,Harrow Lane Papers,1000,450.00,1500,Book press,Book press,60,50.00,30.00\nR2,2026-05-01,Quill Supply,1000,12.50,6010,Bone folder,,,,\n",
    );
    desk
}

#[test]
fn records_are_kept_by_the_rule_of_the_place() {
    let desk = desk();
    let shown = desk.json(&["keep-until", "--to", "2026-11-25"]);
    assert_eq!(shown["place"], "us");
    assert_eq!(shown["years"][0]["return_due"], "2027-04-15");
    assert_eq!(shown["years"][0]["keep_until"], "2030-04-15");
    assert_eq!(shown["equipment"][0]["keep_until"], serde_json::Value::Null);
    assert!(shown["source"].to_string().contains("Topic no. 305"));
    assert!(
        shown["caution"]
            .to_string()
            .contains("licensed professional")
    );
    let text = desk.ok(&["show", "@book", "keep-until", "--to", "2026-11-25"]);
    assert!(text.contains("15 Apr 2030"), "{text}");

    desk.ok(&[
        "new",
        "@other.deckle",
        "--currency",
        "CHF",
        "--first-day",
        "2026-01-01",
    ]);
    let said = desk.refused(1, &["show", "@other.deckle", "keep-until"]);
    assert_eq!(
        said,
        ["no rule on keeping records is known for books in CHF; ask an accountant"]
    );
}

#[test]
fn the_list_has_the_price_apart_from_tax_and_delivery() {
    let desk = desk();
    let shown = desk.json(&["things-list", "--as-of", "2027-01-01"]);
    let things = shown["things"].as_array().expect("things");
    assert_eq!(things.len(), 2);
    let press = things
        .iter()
        .find(|one| one["name"] == "Book press")
        .expect("there");
    assert_eq!(press["price"], "450.00");
    assert_eq!(press["tax"], "30.00");
    assert_eq!(press["delivery"], "50.00");
    assert_eq!(press["whole"], "530.00");
    // By hand: 450.00 + 12.50 and 530.00 + 12.50.
    assert_eq!(shown["total_price"], "462.50");
    assert_eq!(shown["total_whole"], "542.50");
    // On the 1 January before nothing was there.
    let shown = desk.json(&["things-list", "--to", "2026-11-25"]);
    assert_eq!(shown["as_of"], "2026-01-01");
    assert_eq!(shown["things"].as_array().map(Vec::len), Some(0));
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let sheet = std::fs::read_to_string(desk.path("pack/sheets/things.csv")).expect("is there");
    assert!(
        sheet.contains("Book press") && sheet.contains("462.50"),
        "{sheet}"
    );
}
