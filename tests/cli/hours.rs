//! The owner's hours by their sheet and verb: what an hour left by month and by product. Figures are worked by hand.

use crate::desk::Desk;

fn with_a_product() -> Desk {
    let desk = Desk::new();
    desk.bring(
        "items",
        "code,name,kind,unit,price\nNOTEBOOK,A5 notebook,made,piece,26.00\nPAPER,Text paper,material,sheet,\n",
    );
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,item,account,quantity\n\
         R1,2026-01-05,Alderwick Paper,owner,40.00,PAPER,,400\nR2,2026-02-06,Copse Tools,owner,18.50,,6010,\n",
    );
    desk.bring(
        "movements",
        "date,item,kind,quantity,batch\n2026-01-10,PAPER,use,200,B1\n2026-01-10,NOTEBOOK,make,10,B1\n",
    );
    desk.bring(
        "sales",
        "sale,date,paid_into,amount,item,quantity,fee_other\nS1,2026-02-03,1000,78.00,NOTEBOOK,3,1.50\n",
    );
    desk
}

const HOURS: &str = "date,activity,minutes,start,end,item,fair,note\n\
    2026-01-10,making,,9:00,12:15,NOTEBOOK,,first batch\n\
    2026-01-10,photographs and listing,45,,,NOTEBOOK,,\n\
    2026-02-03,packing,0:30,,,,,\n\
    2026-02-14,fairs,6h,,,,Thornbury fair,\n\
    2026-02-15,binding,105,,,NOTEBOOK,,\n";

#[test]
fn an_hour_leaves_what_a_month_or_a_product_kept_over_its_time() {
    let desk = with_a_product();
    let said = desk.bring("hours", HOURS);
    assert!(said.contains("5 times brought in"), "{said}");
    let shown = desk.json(&["hours", "--from", "2026-01-01", "--to", "2026-02-28"]);
    assert_eq!(shown["currency"], "USD");
    // By hand: January 195 + 45, nothing sold or used up: the paper became notebooks. February 30 + 360 + 105 minutes.
    let months = shown["months"].as_array().expect("months");
    assert_eq!(months.len(), 2);
    assert_eq!(
        (&months[0]["minutes"], &months[0]["kept"]),
        (&240.into(), &"0.00".into())
    );
    assert_eq!(months[0]["each_hour"], "0.00");
    // February by hand: 78.00 - 1.50 - 3 x 2.00 - 18.50 = 52.00, over 8 h 15 min: 6.3030.
    assert_eq!(
        (&months[1]["minutes"], &months[1]["kept"]),
        (&495.into(), &"52.00".into())
    );
    assert_eq!(months[1]["each_hour"], "6.30");
    assert_eq!(
        months[1]["working"],
        "net profit 52.00 \u{f7} 8 h 15 min = 6.30 an hour"
    );
    // The notebook kept 78.00 - 1.50 - 6.00 = 70.50 over making 195 and binding, a name of her own, 105: 5 h; 14.10.
    let product = &shown["products"][0];
    assert_eq!(
        (&product["item"], &product["minutes"]),
        (&"NOTEBOOK".into(), &300.into())
    );
    assert_eq!(
        (&product["kept"], &product["each_hour"]),
        (&"70.50".into(), &"14.10".into())
    );
    assert_eq!(shown["minutes"], 735);
    assert_eq!(shown["activities"][0]["activity"], "fairs");
    assert_eq!(shown["times"][0]["start"], "09:00");
    let text = desk.ok(&[
        "show",
        "@book",
        "hours",
        "--to",
        "2026-02-28",
        "--from",
        "2026-01-01",
    ]);
    assert!(
        text.contains("kept 70.50 \u{f7} 5 h = 14.10 an hour"),
        "{text}"
    );
    // Own time is never posted: the entries are the same.
    assert_eq!(
        desk.json(&["journal"])["entries"]
            .as_array()
            .expect("a list")
            .len(),
        4
    );
    desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
    let sheet = std::fs::read_to_string(desk.path("pack/sheets/hours.csv")).expect("a sheet");
    assert!(sheet.contains("A5 notebook,5 h,300,70.50,14.10"), "{sheet}");

    // A timer that runs is told by a start alone, and stays.
    desk.bring(
        "hours",
        "date,activity,start,item\n2026-03-02,making,8:30,NOTEBOOK\n",
    );
    let running = desk.json(&["hours"])["running"].clone();
    assert_eq!(running["since"], "2026-03-02T08:30");
    let lines = desk.bring_refused("hours", "date,activity,start\n2026-03-02,making,8:40\n");
    assert!(
        lines[0].contains("the timer runs already, for making"),
        "{lines:?}"
    );
    crate::round_trip::check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn time_that_cannot_be_is_refused_beside_its_column() {
    let desk = with_a_product();
    desk.bring("hours", HOURS);
    for (row, expected) in [
        (
            "2026-01-10,packing,,12:00,12:30,,,",
            "column start: on 10 Jan 2026 you have making from 09:00 to 12:15 already",
        ),
        (
            "2026-01-11,packing,,12:30,12:00,,,",
            "column end: it ends before it starts",
        ),
        (
            "2026-01-11,packing,1.5,,,,,",
            "column minutes: '1.5' is no time; write 90, 1:30 or 1h30",
        ),
        (
            "2026-01-11,packing,20,9:00,9:30,,,",
            "column minutes: from start to end it is 30 minutes",
        ),
        ("2026-01-11,packing,,,9:30,,,", "column start: is empty"),
        (
            "2026-01-11,packing,,,,,,",
            "column minutes: is empty; give minutes, or start and end",
        ),
        ("2026-01-11,,30,,,,,", "column activity: is empty"),
        ("2026-01-11,packing,30,,,BOOK,,", "column item"),
    ] {
        let sheet = format!("date,activity,minutes,start,end,item,fair,note\n{row}\n");
        let lines = desk.bring_refused("hours", sheet);
        assert!(lines[0].contains(expected), "{lines:?}");
    }
    // Rows of one sheet are held against each other, and none of them is kept.
    let lines = desk.bring_refused(
        "hours",
        "date,activity,start,end\n2026-01-12,making,9:00,10:00\n2026-01-12,books,9:59,10:30\n",
    );
    assert!(lines[0].contains("row 3 column start"), "{lines:?}");
    assert_eq!(
        desk.json(&["hours"])["times"]
            .as_array()
            .expect("a list")
            .len(),
        5
    );
}
