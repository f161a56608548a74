//! One maker's beginning from nothing to the year's folder, without a window. Common practice, no source: worked by hand.

use crate::desk::Desk;

#[test]
fn from_the_first_money_to_the_statement() {
    let desk = Desk::new();
    desk.bring(
        "owner",
        "date,direction,account,amount\n2026-01-02,in,1000,1000.00\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,carriage,equipment_name,life_months,residual,condition,proof,stands_in\n\
         R1,2026-01-05,Alderwick Paper,1000,50.00,1200,Paper,10.00,,,,,,\n\
         R1,2026-01-05,Alderwick Paper,1000,30.00,6000,Glue,,,,,,,\n\
         R1,2026-01-05,Alderwick Paper,1000,20.00,6100,Mailers,,,,,,,\n\
         R2,2026-01-08,Private seller,1000,360.00,1500,Press,,Press,36,0,second-hand,substitute,Signed note\n\
         R3,2026-01-10,Plume Ink,2010,7.50,6400,Ink plan,,,,,,,\n",
    );
    let mut sales =
        "sale,date,paid_into,amount,description,quantity,fee_commission,fee_processing\n"
            .to_owned();
    for number in 1..=10 {
        sales.push_str(&format!(
            "S{number},2026-01-{:02},Lanternpost Shop,20.00,Notebook,1,1.30,0.85\n",
            10 + number
        ));
    }
    desk.bring("sales", &sales);
    desk.bring(
        "refunds",
        "sale,date,amount,fee_credit\nS4,2026-01-25,20.00,1.30\n",
    );
    desk.bring(
        "payouts",
        "channel,date,paid_into,amount\nLanternpost Shop,2026-01-30,1000,150.00\n",
    );
    desk.ok(&["depreciate", "@book", "--through", "2026-01-31"]);
    let profit = desk.json(&[
        "profit",
        "--from",
        "2026-01-01",
        "--to",
        "2026-01-31",
        "--by",
        "month",
    ]);
    // Net sales 200 − 20; costs: glue 33.00, mailers 22.00, ink 7.50, fees 21.50 − 1.30, wear 10.00.
    assert_eq!(profit["basis"], "accrual");
    assert_eq!(profit["currency"], "USD");
    assert_eq!(profit["totals"]["net_sales"], "180.00");
    assert_eq!(profit["totals"]["costs"], "92.70");
    assert_eq!(profit["totals"]["net_profit"], "87.30");
    assert_eq!(profit["periods"][0]["totals"]["net_profit"], "87.30");
    // Due: 200 − 21.50 − 20 + 1.30 − 150 = 9.80.
    desk.balances(&[
        ("Lanternpost Shop", "9.80"),
        ("1000", "680.00"),
        ("1200", "55.00"),
    ]);
    let trial = desk.json(&["trial", "--to", "2026-01-31"]);
    assert_eq!(trial["total_debit"], trial["total_credit"]);
    let aside = desk.json(&["set-aside", "--year", "2026", "--what-if-profit=-7300"]);
    assert_eq!(aside["total"], "0.00");
    let aside = desk.json(&["set-aside", "--year", "2026"]);
    assert_eq!(aside["profit"], "87.30");
    assert!(
        aside["caution"]
            .as_str()
            .is_some_and(|caution| !caution.is_empty())
    );
    let text = desk.ok(&["show", "@book", "profit"]);
    assert!(
        text.contains("Refunds and allowances") && text.contains("(20.00)"),
        "{text}"
    );
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
}
