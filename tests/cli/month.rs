//! The card of a month and its soft lock by the verbs. Figures are worked by hand.

use super::desk::Desk;

fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-08-02,in,1000,500.00\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account\nR1,2026-09-05,Alderwick Paper,1000,60.00,6000\n",
    );
    desk
}

fn point<'a>(shown: &'a serde_json::Value, key: &str) -> &'a serde_json::Value {
    let points = shown["points"].as_array().expect("points");
    let found = points.iter().find(|point| point["point"] == key);
    found.unwrap_or_else(|| panic!("no point {key}"))
}

#[test]
fn the_last_month_knows_what_of_it_is_open() {
    let desk = desk();
    let shown = desk.json(&["month", "--to", "2026-10-15"]);
    assert_eq!(shown["from"], "2026-09-01");
    assert_eq!(shown["to"], "2026-09-30");
    assert_eq!(shown["finished"], false);
    // No statements are used, nothing recurs, nothing wears, a loss needs no set-aside: those two points are done.
    assert_eq!(point(&shown, "lines")["done"], true);
    assert_eq!(point(&shown, "written")["done"], true);
    assert_eq!(
        point(&shown, "accounts")["open"][0],
        "Business bank account was never held against its statement"
    );
    assert_eq!(
        point(&shown, "receipts")["open"][0],
        "1 receipt to find, or to be stood in for"
    );
    assert_eq!(shown["in_words"], "2 points of September are open.");
    // The statement shows 440.00: 500.00 put in less 60.00.
    desk.ok(&[
        "reconcile",
        "@book",
        "--account",
        "1000",
        "--date",
        "2026-09-30",
        "--balance",
        "440.00",
        "--tick-all",
        "--finish",
    ]);
    desk.file("r1.txt", "sixty");
    desk.ok(&["attach", "@book", "2", "@r1.txt"]);
    let shown = desk.json(&["month", "--month", "2026-09", "--to", "2026-10-15"]);
    assert_eq!(
        shown["in_words"],
        "All of September is there. Say so, and it rests."
    );
    let text = desk.ok(&["show", "@book", "month", "--to", "2026-10-15"]);
    assert!(text.contains("Every account agrees with its statement through 30 Sep 2026"));
    // August was in no sheet's month, but the sheet of September covers it.
    let shown = desk.json(&["month", "--month", "2026-08", "--to", "2026-10-15"]);
    assert_eq!(point(&shown, "accounts")["done"], true);
    let said = desk.refused(
        1,
        &[
            "show",
            "@book",
            "month",
            "--month",
            "2026-10",
            "--to",
            "2026-10-15",
        ],
    );
    assert_eq!(
        said,
        ["the months that are over go from January 2026 to September 2026"]
    );
}

#[test]
fn a_finished_month_takes_what_a_verb_writes_and_says_so() {
    let desk = desk();
    let said = desk.ok(&["finish-month", "@book", "2026-09"]);
    assert!(
        said.contains("September 2026 is finished. Nothing is locked"),
        "{said}"
    );
    assert_eq!(desk.json(&["settings"])["soft_lock_date"], "2026-09-30");
    desk.file(
        "late.csv",
        "purchase,date,supplier,paid_from,amount,account\nR2,2026-09-29,Alderwick Paper,1000,6.00,6000\n",
    );
    let ran = desk.run(&["bring", "@book", "purchases", "@late.csv"]);
    assert_eq!(ran.code, 0);
    assert_eq!(
        ran.err,
        "deckle: note: September 2026 is finished; this was written in it all the same, and the history says so\n"
    );
    let card = desk.json(&["month", "--month", "2026-09", "--to", "2026-10-15"]);
    assert_eq!(card["finished"], true);
    let said = desk.refused(1, &["finish-month", "@book", "2026-09"]);
    assert_eq!(
        said,
        ["September 2026 is finished already; nothing was changed"]
    );
    desk.ok(&["finish-month", "@book", "2026-09", "--open-again"]);
    let said = desk.refused(1, &["finish-month", "@book", "2026-09", "--open-again"]);
    assert_eq!(
        said,
        ["September 2026 is not finished; nothing was changed"]
    );
    assert!(desk.refused(2, &["finish-month", "@book", "soon"])[0].contains("is not a month"));
}

#[test]
fn the_soft_lock_and_the_shares_go_out_and_come_back() {
    let desk = desk();
    desk.ok(&[
        "set",
        "@book",
        "split.pay=50",
        "split.reserve=30",
        "split.buy=20",
        "free_days=45",
    ]);
    desk.ok(&["finish-month", "@book", "2026-09"]);
    desk.ok(&["write-out", "@book", "@out"]);
    desk.ok(&[
        "new",
        "@again.deckle",
        "--currency",
        "USD",
        "--first-day",
        "2026-01-01",
    ]);
    desk.ok(&["bring", "@again.deckle", "written-out", "@out"]);
    let shown = |book: &str| desk.ok(&["show", book, "settings"]);
    assert_eq!(shown("@again.deckle"), shown("@book"));
    assert!(shown("@again.deckle").contains("2026-09-30"));
}
