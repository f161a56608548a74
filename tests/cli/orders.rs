//! Orders to suppliers by their sheets and verbs. Figures are worked by hand; prices and unders are common practice, no
//! source.

use crate::desk::Desk;

pub const ITEMS: &str =
    "code,name,kind,unit\nCARD,Fern cards,made,piece\nTAG,Gift tags,made,piece\n";

pub const ORDERS: &str = "order,supplier,ordered_on,item,quantity,tiers,once_per_design,set_up,deals,carriage,lead_days,wanted_on,under_percent,first_run\n\
    cards 1,Hillside Print,2026-03-01,CARD,100,50:0.58;250:0.42;500:0.25,12.00,8.00,10% pieces,6.00,14,2026-04-01,10,\n\
    cards 1,,,TAG,50,50:0.40,,,,,,,,no\n\
    cards 2,Hillside Print,2026-03-20,CARD,200,50:0.58;250:0.42;500:0.25,,,5.00 whole-bill,,10,,,no\n\
    tags 1,Loom Lane Print,2026-01-10,TAG,50,50:0.25,,,,,5,,,\n";

/// Cards 1 comes in two parts with four spoiled; tags 1 is paid ahead; four cards are sent once more for nothing.
pub const ARRIVALS: &str = "order,arrival,date,item,good,spoiled,billed,ahead,carriage,paid_from,reference\n\
    cards 1,1,2026-03-14,CARD,56,4,51.32,,6.00,1000,HP-77\n\
    cards 1,1,2026-03-14,TAG,50,0,18.00,,,,\n\
    cards 1,2,2026-03-18,CARD,40,0,20.88,,,1000,\n\
    cards 1,3,2026-03-28,CARD,4,0,,,,,\n\
    tags 1,bill,2026-01-10,,,,,12.50,,1000,\n";

pub const CLAIMS: &str = "claim,order,arrival,opened_on,amount,item,pieces,what,state,settled_on,credited,paid_into,note\n\
    spoiled cards,cards 1,1,2026-03-15,2.00,CARD,2,spoiled,credited,2026-04-02,2.00,1000,\n\
    two more,cards 1,1,2026-03-16,1.20,CARD,2,,,,,,photo sent\n\
    late tags,tags 1,bill,2026-01-25,3.00,,,missing,refused,2026-02-01,,,\n";

fn desk() -> Desk {
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring("supplier-orders", ORDERS);
    desk.bring("supplier-arrivals", ARRIVALS);
    desk.bring("supplier-claims", CLAIMS);
    desk
}

#[test]
fn an_order_is_worked_out_and_held_against_what_came() {
    let desk = desk();
    let shown = desk.json(&["orders", "--order", "cards 1", "--to", "2026-04-10"]);
    // 100 x 0.58 + 50 x 0.40 = 78.00 less 7.80; once 20.00; carriage 6.00.
    assert_eq!(shown["expected_total"], "96.20");
    assert_eq!(shown["state"], "here");
    assert_eq!(shown["expected_on"], "2026-03-15");
    assert_eq!(shown["latest_order_day"], "2026-03-18");
    // 51.32 + 18.00 + 6.00 + 20.88.
    assert_eq!(shown["billed"], "96.20");
    assert_eq!(shown["credited"], "2.00");
    assert_eq!(shown["cost"], "94.20");
    assert_eq!(shown["arrivals"][0]["lines"][0]["good"], 56);
    // Carriage by value: 6.00 x 51.32 / 69.32 = 4.44.
    assert_eq!(shown["arrivals"][0]["lines"][0]["billed"], "55.76");
    assert_eq!(shown["arrivals"][0]["lines"][0]["cost"], "53.76");
    // 53.76 / 56.
    assert_eq!(shown["arrivals"][0]["lines"][0]["each"], "0.96");
    assert_eq!(shown["arrivals"][2]["entry"], serde_json::Value::Null);
    assert_eq!(shown["claims"][1]["age_days"], 25);
    assert_eq!(shown["lines"][0]["to_come"], 0);
    let text = desk.ok(&[
        "show",
        "@book",
        "orders",
        "--order",
        "cards 1",
        "--to",
        "2026-04-10",
    ]);
    assert!(text.contains("plate, die or proof"), "{text}");
    assert!(text.contains("open for 25 days"), "{text}");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}

#[test]
fn all_orders_say_their_state_and_where_more_costs_less() {
    let desk = desk();
    let shown = desk.json(&["orders", "--to", "2026-04-10"]);
    let list = shown["orders"].as_array().expect("orders");
    let states: Vec<&str> = list
        .iter()
        .filter_map(|one| one["state"].as_str())
        .collect();
    assert_eq!(states, ["open", "here", "open"]);
    assert_eq!(list[0]["paid_ahead"], "12.50");
    assert_eq!(list[2]["overdue"], true);
    // 200 x 0.58 - 5.00 = 111.00, 250 x 0.42 - 5.00 = 100.00.
    assert_eq!(list[2]["order_up"][0]["order"], 250);
    assert_eq!(list[2]["order_up"][0]["saved"], "11.00");
    let text = desk.ok(&["show", "@book", "orders", "--to", "2026-04-10"]);
    assert!(text.contains("Overdue"), "{text}");
    let needs = desk.ok(&["show", "@book", "needs", "--to", "2026-04-10"]);
    assert!(
        needs.contains("Ordered, not here yet: order cards 2"),
        "{needs}"
    );
    assert!(
        needs.contains("1.20 claimed from Hillside Print, open for 25 days"),
        "{needs}"
    );
    desk.refused(1, &["show", "@book", "orders", "--order", "nothing"]);
}

#[test]
fn what_cannot_be_is_said_with_its_row_and_column_and_nothing_is_kept() {
    let desk = desk();
    let before = desk.json(&["orders", "--to", "2026-04-10"]);
    let entries = desk.json(&["journal"]);
    for (kind, sheet, said) in [
        (
            "supplier-orders",
            "order,supplier,ordered_on,item,quantity,tiers\nx,Hill,2026-03-01,CARD,100,250:0.42;50:0.58\n",
            "row 2 column tiers: the price from 50 pieces must stand before the one from 250",
        ),
        (
            "supplier-orders",
            "order,supplier,ordered_on,item,quantity,tiers\nx,Hill,2026-03-01,CARD,40,50:0.58\n",
            "row 2 column quantity: the supplier makes no fewer than 50 of CARD",
        ),
        (
            "supplier-orders",
            "order,supplier,ordered_on,item,quantity,tiers\ncards 1,Hill,2026-03-01,CARD,50,50:0.58\n",
            "another order has this key already",
        ),
        (
            "supplier-orders",
            "order,supplier,ordered_on,item,quantity,tiers,deals\nx,Hill,2026-03-01,CARD,50,50:0.58,10% paper\n",
            "row 2 column deals: 'paper' is not anything a deal is taken off from",
        ),
        (
            "supplier-arrivals",
            "order,arrival,date,item,good,billed\ncards 2,1,2026-03-28,CARD,200,116.00\n",
            "row 2 column paid_from: is empty; say how the bill was paid",
        ),
        (
            "supplier-arrivals",
            "order,arrival,date,item,good,billed,paid_from\ncards 2,1,2026-03-28,TAG,200,116.00,1000\n",
            "TAG was not ordered with cards 2",
        ),
        (
            "supplier-claims",
            "claim,order,arrival,opened_on,amount,item,pieces\nx,cards 1,1,2026-03-28,2.00,CARD,3\n",
            "0 spoiled pieces of CARD are left to claim, not 3",
        ),
        (
            "supplier-claims",
            "claim,order,arrival,opened_on,amount,item,pieces,what,state,settled_on,credited,paid_into\n\
             x,cards 1,2,2026-03-28,200.00,CARD,1,missing,credited,2026-03-29,200.00,1000\n",
            "this is more than is left of the purchase: at most 20.88",
        ),
    ] {
        desk.file("sheet.csv", sheet);
        let lines = desk.refused(1, &["bring", "@book", kind, "@sheet.csv"]);
        assert!(lines.iter().any(|line| line.contains(said)), "{lines:?}");
    }
    assert_eq!(desk.json(&["orders", "--to", "2026-04-10"]), before);
    assert_eq!(desk.json(&["journal"]), entries);
}

/// By hand: 40 cards for 24.00 and 50 tags for 10.00 on one paper; 20 cards are sold. Freight of 6.00 for the cards and
/// 4.00 back for them: (24.00 + 6.00 - 4.00) / 2 = 13.00 stay and 13.00 are the cost of those sold.
#[test]
fn a_later_bill_and_a_credit_name_the_purchase_they_are_about() {
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,item,quantity\nR-1,2026-01-02,Hillside Print,1000,24.00,CARD,40\n\
         R-1,2026-01-02,Hillside Print,1000,10.00,TAG,50\n",
    );
    desk.bring(
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,reference,of\n2026-01-10,CARD,sell,20,,,,\n\
         2026-01-20,CARD,later-cost,,6.00,1000,WP-4,R-1\n2026-01-25,CARD,later-credit,,4.00,1000,HP-9,R-1\n",
    );
    // 13.00 of the cards and 10.00 of the tags.
    desk.balances(&[("1210", "23.00"), ("5000", "13.00"), ("1000", "-36.00")]);
    let journal = desk.json(&["journal", "--from", "2026-01-25", "--to", "2026-01-25"]);
    let credit = &journal["entries"][0];
    assert_eq!(credit["kind"], "supplier-refund");
    assert_eq!(credit["party"], "Hillside Print");
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
    let lines = desk.bring_refused(
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,of\n2026-01-26,TAG,later-cost,,6.00,1000,R-7\n",
    );
    assert!(
        lines[0].contains("no purchase 'R-7' with TAG on it"),
        "{lines:?}"
    );
}
