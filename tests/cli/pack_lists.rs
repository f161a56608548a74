//! Single lists of a year-end pack, on books small enough to say by hand what stands in them.

use crate::desk::Desk;

/// The sheet of 2025's pack without its head.
fn sheet(desk: &Desk, name: &str) -> Vec<String> {
    desk.ok(&["year-end", "@book", "--year", "2025", "--out", "@pack"]);
    let path = desk.path("pack").join(format!("sheets/{name}.csv"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    text.lines().skip(1).map(str::to_owned).collect()
}

/// By hand: a shop owed 120.00 on invoice 7 and paid 80.00 of it in January; glue of 40.00 was owed and is still; what the
/// owner owed under one name she gave back under none.
#[test]
fn what_was_owed_says_its_paper_and_what_was_paid_since() {
    let desk = Desk::since("2025-01-01");
    desk.bring(
        "entries",
        "entry,date,account,debit,credit,kind,party,reference\n\
         A,2025-12-20,1100,120.00,,,Larch Gallery,Invoice 7\n\
         A,2025-12-20,4000,,120.00,,,\n\
         B,2025-11-05,6000,40.00,,,Glue Works,\n\
         B,2025-11-05,2000,,40.00,,,\n\
         C,2025-05-18,1105,45.00,,,Dentist,\n\
         C,2025-05-18,1000,,45.00,,,\n\
         D,2025-05-29,1000,45.00,,,,\n\
         D,2025-05-29,1105,,45.00,,,\n\
         E,2026-01-12,1000,80.00,,,Larch Gallery,\n\
         E,2026-01-12,1100,,80.00,,,\n",
    );
    assert_eq!(
        sheet(&desk, "owed"),
        [
            "1100 Customers owe,Larch Gallery,2025-12-20,120.00,,Invoice 7,80.00,2026-01-12",
            "2000 Bills to pay,Glue Works,2025-11-05,,40.00,,,",
            "Together,,,120.00,40.00,,,",
        ]
    );
}

/// Who counted stands in the sheet of counts; on a row that is no count the name is refused.
#[test]
fn a_count_says_who_counted() {
    let desk = Desk::since("2025-01-01");
    desk.bring("items", "code,kind,name,unit\nPAPER,material,Paper,sheet\n");
    desk.bring(
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,counted_by\n\
         2025-03-01,PAPER,receive,100,20.00,1000,\n\
         2025-12-31,PAPER,count,90,,,Ada\n",
    );
    assert_eq!(
        sheet(&desk, "counts"),
        ["2,2025-12-31,at home,PAPER,Paper,90,sheet,Ada"]
    );
    let refused = desk.bring_refused(
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,counted_by\n2025-04-01,PAPER,receive,1,1.00,1000,Ada\n",
    );
    assert!(
        refused
            .iter()
            .any(|line| line.contains("counted_by") && line.contains("count only")),
        "{refused:?}"
    );
}

/// Every outlay to start stands with its entry, and they come to the figures of the cost to start.
#[test]
fn outlays_to_start_come_to_the_cost_to_start() {
    let desk = Desk::since("2025-01-01");
    desk.bring("settings", "key,value\nopened_for_business_on,2025-03-01\n");
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description\n\
         R1,2025-01-05,Paper Mill,1000,120.00,6000,Tape\n\
         R2,2025-02-05,County Clerk,owner,50.00,6220,Name registered\n\
         R3,2025-04-05,Paper Mill,1000,70.00,6000,After the first day\n",
    );
    assert_eq!(
        sheet(&desk, "start-up-outlays"),
        [
            "1,2025-01-05,Paper Mill,Tape,Materials and stock,6000 Consumables,120.00,,,",
            "2,2025-02-05,County Clerk,Name registered,Start-up costs,6220 Licences and registration,50.00,,yes,yes",
            "Together,,,,,,170.00,0.00,,",
        ]
    );
}
