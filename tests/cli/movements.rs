//! What money did, suppliers by what they were paid, equipment that came and went: figures by hand.

use crate::desk::Desk;

const ENTRIES: &str = "entry,date,kind,party,account,debit,credit\n\
    A,2026-01-05,owner-in,,1000,500.00,\nA,2026-01-05,owner-in,,3000,,500.00\n\
    B,2026-01-20,purchase,Bramble,6000,30.00,\nB,2026-01-20,purchase,Bramble,1000,,20.00\nB,2026-01-20,purchase,Bramble,2000,,10.00\n\
    C,2026-02-01,transfer,,1020,40.00,\nC,2026-02-01,transfer,,1000,,40.00\n\
    D,2026-02-03,purchase,bramble,6020,5.00,\nD,2026-02-03,purchase,bramble,1020,,5.00\n\
    E,2026-02-20,settlement,Bramble,2000,10.00,\nE,2026-02-20,settlement,Bramble,1000,,10.00\n\
    F,2026-03-01,purchase,Teasel,6000,7.00,\nF,2026-03-01,purchase,Teasel,2010,,7.00\n\
    G,2026-03-02,supplier-refund,Teasel,2010,2.00,\nG,2026-03-02,supplier-refund,Teasel,6000,,2.00\n";

#[test]
fn money_and_suppliers_are_followed_through_the_months() {
    let desk = Desk::new();
    desk.file("entries.csv", ENTRIES);
    desk.ok(&["bring", "@book", "entries", "@entries.csv"]);
    let money = desk.json(&["money-by-month", "--year", "2026"]);
    let (january, february) = (&money["months"][0], &money["months"][1]);
    assert_eq!(
        (&january["opening"], &january["closing"]),
        (&"0.00".into(), &"480.00".into())
    );
    assert_eq!(january["came_in"]["owner-in"], "500.00");
    assert_eq!(january["went_out"]["purchase"], "20.00");
    assert_eq!(
        (&february["opening"], &february["closing"]),
        (&"480.00".into(), &"465.00".into())
    );
    assert_eq!(february["went_out"]["settlement"], "10.00");
    assert!(
        february["came_in"]
            .as_object()
            .is_some_and(serde_json::Map::is_empty)
    );
    assert_eq!(money["months"][11]["closing"], "465.00");
    let said = desk.json(&["suppliers", "--year", "2026"]);
    let bramble = &said["suppliers"][0];
    assert_eq!(bramble["supplier"], "Bramble");
    assert_eq!(
        (
            &bramble["bank"],
            &bramble["cash"],
            &bramble["otherwise"],
            &bramble["total"]
        ),
        (
            &"30.00".into(),
            &"5.00".into(),
            &"0.00".into(),
            &"35.00".into()
        )
    );
    assert_eq!(bramble["entries"], serde_json::json!([2, 4, 5]));
    let teasel = &said["suppliers"][1];
    assert_eq!(
        (&teasel["card"], &teasel["total"]),
        (&"5.00".into(), &"5.00".into())
    );
    let text = desk.ok(&["show", "@book", "suppliers", "--year", "2026"]);
    assert!(text.contains("licensed professional"), "{text}");
}

/// A press of 240.00 bought in 2026 for 24 months, whole years of wear 120.00 each.
#[test]
fn equipment_that_came_and_went_comes_to_the_balance_sheet() {
    let desk = Desk::new();
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,description,amount,account,equipment_name,life_months,residual,in_service_on\n\
         R2,2026-01-05,Hartfell Tools,1000,Nipping press,240.00,1500,Nipping press,24,0,2026-01-05\n",
    );
    desk.ok(&["depreciate", "@book", "--through", "2026-12-31"]);
    let said = desk.json(&["equipment-moved", "--year", "2026"]);
    let piece = &said["pieces"][0];
    assert_eq!(piece["piece"], "Nipping press");
    assert_eq!(
        piece["cost"],
        serde_json::json!({"opening": "0.00", "added": "240.00", "gone": "0.00", "closing": "240.00"})
    );
    assert_eq!(
        piece["wear"],
        serde_json::json!({"opening": "0.00", "added": "120.00", "gone": "0.00", "closing": "120.00"})
    );
    let next = desk.json(&["equipment-moved", "--year", "2027"]);
    assert_eq!(next["pieces"][0]["cost"]["opening"], "240.00");
    let text = desk.ok(&["show", "@book", "equipment-moved", "--year", "2026"]);
    assert!(text.contains("Together"), "{text}");
}
