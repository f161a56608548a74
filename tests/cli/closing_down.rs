//! A small business closed down line by line, by verbs: every figure by hand, and at the end the balance sheet is empty.

use serde_json::Value;

use crate::desk::Desk;

fn walk(desk: &Desk, day: &str) -> Value {
    serde_json::from_str(&desk.ok(&["show", "@book", "closing-down", "--as-of", day, "--json"]))
        .expect("JSON")
}

/// The lines as what, amount and way.
fn lines(walk: &Value) -> Vec<(String, String, String)> {
    let text = |value: &Value| value.as_str().expect("text").to_owned();
    let rows = walk["lines"].as_array().expect("lines").iter();
    rows.map(|row| (text(&row["what"]), text(&row["amount"]), text(&row["way"])))
        .collect()
}

fn expected(rows: &[(&str, &str, &str)]) -> Vec<(String, String, String)> {
    rows.iter()
        .map(|(what, amount, way)| ((*what).to_owned(), (*amount).to_owned(), (*way).to_owned()))
        .collect()
}

/// A book of 2026: 900.00 put in; board for 120.00 in stock, 40 sheets at 3.00; a press for 240.00 over two years from
/// January; a sale of 150.00 through a shop; a deposit of 60.00 in cash; glue for 25.00 on the card; a licence for
/// 35.00.
fn shop() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "items",
        "code,name,kind,unit\nBOARD,Grey board,material,sheet\n",
    );
    desk.bring(
        "accounts",
        "number,name,class,group\n1051,Lanternpost,asset,Payouts due\n",
    );
    desk.bring(
        "owner",
        "date,direction,account,amount,description\n2026-01-02,in,1000,900.00,Start\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,description,amount,account,quantity,item,equipment_name,life_months,residual,in_service_on\n\
         R1,2026-01-05,Harrow Lane Papers,1000,Grey board,120.00,1200,40,BOARD,,,,\n\
         R2,2026-01-05,Hartfell Tools,1000,Nipping press,240.00,1500,,,Nipping press,24,0,2026-01-05\n\
         R3,2026-02-03,Quillfeather Inks,2010,Glue,25.00,6000,,,,,,\n\
         R4,2026-02-10,Elmwick Council,1000,Trading licence,35.00,6220,,,,,,\n",
    );
    desk.bring(
        "entries",
        "entry,date,kind,account,debit,credit,memo\n\
         S1,2026-03-01,sale,1051,150.00,,Two notebooks\n\
         S1,2026-03-01,sale,4000,,150.00,Two notebooks\n\
         D1,2026-03-02,manual,1020,60.00,,Deposit for an album\n\
         D1,2026-03-02,manual,2200,,60.00,Deposit for an album\n",
    );
    desk
}

#[test]
fn following_the_walk_leaves_an_empty_balance_sheet() {
    let desk = shop();
    let before = walk(&desk, "2026-06-30");
    assert!(
        before["caution"]
            .as_str()
            .expect("a caution")
            .contains("licensed professional")
    );
    assert_eq!(before["permits"], serde_json::json!(["Elmwick Council"]));
    // By hand: 900.00 − 120.00 − 240.00 − 35.00 are in the bank; no wear is posted yet.
    assert_eq!(
        lines(&before),
        expected(&[
            ("40 sheet Grey board", "120.00", "take-home"),
            ("Nipping press", "240.00", "let-go"),
            ("Lanternpost", "150.00", "payout"),
            ("Credit card", "-25.00", "pay-off"),
            ("Customer deposits and gift vouchers", "-60.00", "pay-back"),
            ("Cash box", "60.00", "into-bank"),
            ("Business bank account", "505.00", "final-drawing"),
            ("Profit not yet closed", "-90.00", "close-year"), // 150.00 − 25.00 − 35.00
            (
                "Your capital, drawings and profit",
                "-900.00",
                "owners-accounts"
            ),
        ])
    );
    assert_eq!(before["has"], "1075.00"); // 120 + 240 + 150 + 60 + 505
    assert_eq!(before["owes"], "85.00");
    // It cannot end before the rest.
    let said = desk.refused(1, &["settle-owner", "@book", "--on", "2026-06-30"]);
    assert!(said[0].contains("nothing else stands"), "{said:?}");

    // 30 sheets go home, 10 were spoiled when they were counted.
    desk.bring(
        "movements",
        "date,kind,item,quantity\n2026-06-10,waste,BOARD,10\n2026-06-10,own-use,BOARD,30\n",
    );
    // Six months of wear, 10.00 each, then the press goes home at the 180.00 it is still worth.
    desk.ok(&["depreciate", "@book", "--through", "2026-06-30"]);
    desk.bring(
        "equipment",
        "name,cost,bought_on,in_service_on,life_months,residual,paid_from,disposed_on,proceeds,proceeds_into\n\
         Nipping press,240.00,2026-01-05,2026-01-05,24,0,none,2026-06-30,180.00,3100\n",
    );
    let middle = walk(&desk, "2026-06-30");
    assert_eq!(
        lines(&middle)[..2],
        expected(&[
            ("Lanternpost", "150.00", "payout"),
            ("Credit card", "-25.00", "pay-off"),
        ])
    );
    desk.bring(
        "payouts",
        "date,channel,paid_into,amount\n2026-06-30,Lanternpost,1000,150.00\n",
    );
    desk.bring(
        "entries",
        "entry,date,kind,account,debit,credit,memo\n\
         C1,2026-06-30,settlement,2010,25.00,,Card paid off\n\
         C1,2026-06-30,settlement,1000,,25.00,Card paid off\n\
         D2,2026-06-30,manual,2200,60.00,,Deposit paid back\n\
         D2,2026-06-30,manual,1020,,60.00,Deposit paid back\n",
    );
    // By hand: 505.00 + 150.00 − 25.00.
    let late = walk(&desk, "2026-06-30");
    assert_eq!(
        lines(&late)[0],
        expected(&[("Business bank account", "630.00", "final-drawing")])[0]
    );
    desk.bring(
        "owner",
        "date,direction,account,amount,description\n2026-06-30,out,1000,630.00,Final drawing\n",
    );
    let drawn = walk(&desk, "2026-06-30");
    assert_eq!(drawn["has"], "0.00");
    assert_eq!(drawn["owes"], "0.00");
    // By hand: 150.00 − 25.00 − 35.00 − 30.00 damp board − 60.00 wear is nothing; the accounts are closed all the same.
    assert_eq!(
        lines(&drawn),
        expected(&[
            ("Profit not yet closed", "0.00", "close-year"),
            (
                "Your capital, drawings and profit",
                "0.00",
                "owners-accounts"
            ),
        ])
    );
    desk.ok(&["close", "@book", "--year", "2026", "--early"]);
    // Drawings close against capital: 900.00 less 90.00 board, 180.00 press and 630.00 money is nothing.
    let end = walk(&desk, "2027-01-01");
    assert_eq!(end["empty"], true, "{end}");
    let balance = desk.ok(&["show", "@book", "balance", "--to", "2027-01-01", "--json"]);
    let balance: Value = serde_json::from_str(&balance).expect("JSON");
    assert_eq!(balance["lines"], serde_json::json!([]));
    desk.ok(&["check", "@book"]);
}

#[test]
fn a_profit_that_was_drawn_is_set_against_the_drawings_last() {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount,description\n2026-01-02,in,1000,100.00,Start\n",
    );
    desk.bring(
        "entries",
        "entry,date,kind,account,debit,credit,memo\n\
         S1,2026-03-01,sale,1000,80.00,,A commission\n\
         S1,2026-03-01,sale,4000,,80.00,A commission\n",
    );
    desk.bring(
        "owner",
        "date,direction,account,amount,description\n2026-04-01,out,1000,180.00,Final drawing\n",
    );
    desk.ok(&["close", "@book", "--year", "2026", "--early"]);
    // Capital 100.00 − 180.00 drawn, profit brought forward 80.00: they cancel out, and one entry says so.
    let closed = walk(&desk, "2027-01-01");
    assert_eq!(
        lines(&closed),
        expected(&[(
            "Your capital, drawings and profit",
            "0.00",
            "owners-accounts"
        )])
    );
    let said = desk.ok(&["settle-owner", "@book", "--on", "2026-04-01"]);
    assert!(said.contains("1 Jan 2027"), "{said}");
    assert_eq!(walk(&desk, "2027-01-01")["empty"], true);
    let said = desk.refused(1, &["settle-owner", "@book", "--on", "2027-01-01"]);
    assert!(said[0].contains("nothing else stands"), "{said:?}");
    desk.ok(&["check", "@book"]);
}
