//! What is free to spend by the verbs: the days looked ahead, a purchase that is tried, the owner's own split. Figures are
//! worked by hand.

use super::desk::Desk;

/// 500.00 put in, paper for 21.50 and glue for 9.80 bought, 400.00 sold into the bank: 868.70 in the bank and a profit of
/// 390.20 (the paper waits in stock accounts). A quarter of it, 97.55, is to be set aside.
fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-01-02,in,1000,500.00\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account\nR1,2026-09-01,Harrow Lane Papers,1000,21.50,1200\nR1,2026-09-01,Harrow Lane Papers,1000,9.80,6000\n",
    );
    desk.bring(
        "sales",
        "sale,date,paid_into,amount\nS1,2026-09-10,1000,400.00\n",
    );
    desk
}

const FREE: [&str; 3] = ["free-to-spend", "--to", "2026-09-28"];

fn free(desk: &Desk, more: &[&str]) -> serde_json::Value {
    let all: Vec<&str> = FREE.iter().copied().chain(more.iter().copied()).collect();
    desk.json(&all)
}

#[test]
fn a_purchase_is_tried_and_nothing_is_written() {
    let desk = desk();
    let before = std::fs::read(desk.path("book.deckle")).expect("readable");
    // By hand: 868.70 - 97.55 = 771.15.
    assert_eq!(free(&desk, &[])["free"], "771.15");
    assert_eq!(free(&desk, &[])["buying"], serde_json::Value::Null);
    // By hand: a cost of 60.00 leaves a profit of 330.20, of which 82.55 is to be set aside: 15.00 less.
    let tried = free(&desk, &["--buy", "60.00"]);
    assert_eq!(tried["buying"]["before"], "771.15");
    assert_eq!(tried["buying"]["after"], "726.15");
    assert_eq!(tried["buying"]["less_to_set_aside"], "15.00");
    // By hand: over 60 months it is 1.00 a month, 4.00 from September to December: 386.20, a quarter is 96.55.
    let tried = free(&desk, &["--buy", "60.00", "--buy-as", "equipment"]);
    assert_eq!(tried["buying"]["after"], "712.15");
    let tried = free(&desk, &["--buy", "60.00", "--buy-as", "stock"]);
    assert_eq!(tried["buying"]["after"], "711.15");
    assert_eq!(tried["buying"]["less_to_set_aside"], "0.00");
    // Under the threshold what lasts is a cost at once.
    let text = desk.ok(&[
        "show",
        "@book",
        "free-to-spend",
        "--to",
        "2026-09-28",
        "--buy",
        "60.00",
    ]);
    assert!(
        text.contains("Free to spend is 771.15 now and would be 726.15 after it."),
        "{text}"
    );
    assert!(before == std::fs::read(desk.path("book.deckle")).expect("readable"));
    desk.ok(&["set", "@book", "equipment_threshold=100"]);
    let tried = free(&desk, &["--buy", "60.00", "--buy-as", "equipment"]);
    assert_eq!(tried["buying"]["after"], "726.15");
}

#[test]
fn what_cannot_be_tried_is_refused() {
    let desk = desk();
    let buy = |more: &[&str]| -> Vec<String> {
        let all: Vec<&str> = ["show", "@book"].iter().chain(&FREE).copied().collect();
        let all: Vec<&str> = all.into_iter().chain(more.iter().copied()).collect();
        desk.refused(if more[1] == "sixty" { 2 } else { 1 }, &all)
    };
    assert!(buy(&["--buy", "sixty"])[0].starts_with("--buy: "));
    assert!(buy(&["--buy", "0.00"])[0].contains("more than nothing"));
    assert!(buy(&["--buy", "-5"])[0].contains("more than nothing"));
    assert!(buy(&["--buy", "5", "--buy-on", "2026-09-27"])[0].contains("that day is past"));
    let said = desk.refused(2, &["show", "@book", "needs", "--buy", "5"]);
    assert_eq!(said, ["--buy goes with show free-to-spend"]);
}

#[test]
fn recurring_purchases_count_as_often_as_they_fall_due_in_the_days_she_chose() {
    let desk = desk();
    desk.bring(
        "recurring",
        "name,party,account,paid_from,amount,every_months,next_due\nInk plan,Quill Supply,6400,1000,11.40,1,2026-10-12\nApron wash,Corner Laundry,6900,owner,9.00,1,2026-10-01\n",
    );
    desk.ok(&["set", "@book", "reserve=200"]);
    // By hand: 771.15 - 11.40 - 200.00; what the owner pays from her own pocket is not the business's.
    let shown = free(&desk, &[]);
    assert_eq!(shown["free"], "559.75");
    assert_eq!(shown["due"].as_array().map(Vec::len), Some(1));
    // By hand: through 27 November it falls due twice, 22.80.
    desk.ok(&["set", "@book", "free_days=60"]);
    let shown = free(&desk, &[]);
    assert_eq!(shown["free"], "548.35");
    assert_eq!(shown["due"][1]["due"], "2026-11-12");
    let said = desk.refused(1, &["set", "@book", "free_days=soon"]);
    assert!(said[0].contains("not a number of days"), "{said:?}");
}

#[test]
fn the_split_adds_up_to_everything_and_proposes_to_the_cent() {
    let desk = desk();
    for wrong in [
        &["set", "@book", "split.pay=50"][..],
        &[
            "set",
            "@book",
            "split.pay=50",
            "split.reserve=30",
            "split.buy=10",
        ][..],
    ] {
        let said = desk.refused(1, wrong);
        assert!(said[0].contains("three shares"), "{said:?}");
    }
    assert_eq!(free(&desk, &[])["split"], serde_json::Value::Null);
    desk.ok(&[
        "set",
        "@book",
        "split.pay=50",
        "split.reserve=30",
        "split.buy=20",
    ]);
    // By hand: 771.15 by 50, 30 and 20 is 385.575, 231.345 and 154.23; the cent left goes to the first of the halves.
    let split = &free(&desk, &[])["split"];
    assert_eq!(split["pay"], "385.58");
    assert_eq!(split["reserve"], "231.34");
    assert_eq!(split["buy"], "154.23");
    // With a reserve of everything nothing is free, and nothing is proposed.
    desk.ok(&["set", "@book", "reserve=1000"]);
    let shown = free(&desk, &[]);
    assert_eq!(shown["free"], "-228.85");
    assert_eq!(shown["split"]["pay"], serde_json::Value::Null);
    // By hand: -228.85 + 1,000.00.
    assert!(
        shown["help"]
            .to_string()
            .contains("without it 771.15 would be free"),
        "{shown}"
    );
    desk.ok(&["set", "@book", "split.pay=", "split.reserve=", "split.buy="]);
    assert_eq!(free(&desk, &[])["split"], serde_json::Value::Null);
}
