//! The profit on the cash basis as the program prints it, and the basis the setting names.
//! Figures are by hand.

use crate::desk::Desk;

/// 100.00 billed in December 2026 and paid with 60.00 in January 2027; a year of software for 120.00, of which 10.00 is used.
const ENTRIES: &str = "entry,date,kind,party,account,debit,credit\n\
    A,2026-12-01,sale,Hollyhock,1100,100.00,\nA,2026-12-01,sale,Hollyhock,4000,,100.00\n\
    B,2026-12-01,purchase,Inkwell,1300,120.00,\nB,2026-12-01,purchase,Inkwell,1000,,120.00\n\
    C,2026-12-31,release,,6400,10.00,\nC,2026-12-31,release,,1300,,10.00\n\
    D,2027-01-20,settlement,Hollyhock,1000,60.00,\nD,2027-01-20,settlement,Hollyhock,1100,,60.00\n";

#[test]
fn the_cash_basis_stands_beside_the_accrual_one_with_its_bridge() {
    let desk = Desk::new();
    desk.file("entries.csv", ENTRIES);
    desk.ok(&["bring", "@book", "entries", "@entries.csv"]);
    let accrual = desk.json(&["profit", "--year", "2026"]);
    assert_eq!(accrual["basis"], "accrual");
    assert_eq!(accrual["totals"]["net_profit"], "90.00");
    assert!(accrual.get("bridge").is_none());
    let cash = desk.json(&["profit", "--year", "2026", "--basis", "cash"]);
    assert_eq!(cash["basis"], "cash");
    assert_eq!(cash["totals"]["net_profit"], "-120.00");
    assert_eq!(cash["totals"]["net_sales"], "0.00");
    let bridge = &cash["bridge"];
    assert_eq!(
        (&bridge["accrual"], &bridge["cash"]),
        (&"90.00".into(), &"-120.00".into())
    );
    assert_eq!(bridge["steps"][0]["account"], "1100");
    assert_eq!(bridge["steps"][0]["at_end"], "100.00");
    assert_eq!(bridge["steps"][0]["effect"], "-100.00");
    assert_eq!(bridge["steps"][1]["account"], "1300");
    assert_eq!(bridge["steps"][1]["effect"], "-110.00");
    assert_eq!(bridge["steps"][1]["entries"], serde_json::json!([2, 3]));
    desk.ok(&["set", "@book", "basis=cash"]);
    let next = desk.json(&["profit", "--year", "2027", "--by", "quarter"]);
    assert_eq!(
        (&next["basis"], &next["totals"]["net_profit"]),
        (&"cash".into(), &"60.00".into())
    );
    assert_eq!(next["periods"][0]["totals"]["net_sales"], "60.00");
    assert_eq!(next["periods"][1]["totals"]["net_sales"], "0.00");
    let text = desk.ok(&["show", "@book", "profit", "--year", "2026"]);
    assert!(
        text.contains("cash basis: what was paid in these days"),
        "{text}"
    );
    assert!(
        text.contains("From the accrual to the cash basis"),
        "{text}"
    );
    assert!(text.contains("licensed professional"), "{text}");
    let still = desk.ok(&[
        "show", "@book", "profit", "--year", "2026", "--basis", "accrual",
    ]);
    assert!(still.contains("accrual basis"), "{still}");
    desk.refused(2, &["show", "@book", "profit", "--basis", "tax"]);
}
