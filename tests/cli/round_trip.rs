//! A book written out and brought into a new one is the same book, figure by figure.

use serde_json::Value;

use crate::desk::Desk;

const FIGURES: [&str; 32] = [
    "adjusting",
    "mileage",
    "workspace",
    "shared-bills",
    "duties",
    "papers",
    "hours",
    "how-kept",
    "questions",
    "bank",
    "tray",
    "reconciliation",
    "stock",
    "count-sheet",
    "cost-of-goods-sold",
    "profit",
    "balance",
    "trial",
    "journal",
    "equipment",
    "capital",
    "channels",
    "set-aside",
    "free-to-spend",
    "needs",
    "settings",
    "accounts",
    "recurring",
    "small-equipment",
    "plan",
    "orders",
    "cost-to-start",
];

fn figures(desk: &Desk, book: &str) -> Vec<(String, Value)> {
    let mut all = Vec::new();
    for what in FIGURES {
        for year in ["2025", "2026"] {
            let text = desk.ok(&["show", book, what, "--year", year, "--json"]);
            let value = serde_json::from_str(&text).expect("JSON");
            all.push((format!("{what} {year}"), value));
        }
    }
    all
}

#[track_caller]
pub fn check_round_trip(desk: &Desk, book: &str, first_day: &str) {
    desk.ok(&["write-out", book, "@out"]);
    desk.refused(1, &["write-out", book, "@out"]);
    desk.ok(&[
        "new",
        "@second.deckle",
        "--currency",
        "USD",
        "--first-day",
        first_day,
    ]);
    desk.ok(&["bring", "@second.deckle", "written-out", "@out"]);
    for (one, other) in figures(desk, book)
        .iter()
        .zip(figures(desk, "@second.deckle").iter())
    {
        assert_eq!(one, other);
    }
    assert!(desk.ok(&["check", "@second.deckle"]).contains("is sound"));
    desk.ok(&["write-out", "@second.deckle", "@out-again"]);
    for file in files(&desk.path("out")) {
        let name = file.strip_prefix(desk.path("out")).expect("is in it");
        let other = desk.path("out-again").join(name);
        assert!(
            std::fs::read(&file).ok() == std::fs::read(other).ok(),
            "{} differs",
            name.display()
        );
    }
    let lines = desk.refused(1, &["bring", "@second.deckle", "written-out", "@out"]);
    assert!(lines[0].contains("goes into a new book"), "{lines:?}");
}

fn files(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).expect("is there") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.push(path);
        }
    }
    all
}

#[test]
fn the_sample_book_comes_back_the_same() {
    let desk = Desk::empty();
    desk.ok(&["demo", "--out", "@demo"]);
    check_round_trip(&desk, "@demo/fernhollow.deckle", "2025-09-01");
}

#[test]
fn a_book_with_orders_parts_claims_and_a_credit_taken_back_comes_back_the_same() {
    use crate::orders::{ARRIVALS, CLAIMS, ITEMS, ORDERS};
    let desk = Desk::new();
    desk.bring("items", ITEMS);
    desk.bring("supplier-orders", ORDERS);
    desk.bring("supplier-arrivals", ARRIVALS);
    desk.bring("supplier-claims", CLAIMS);
    desk.bring(
        "movements",
        "date,item,kind,quantity\n2026-03-20,CARD,sell,24\n",
    );
    let entries: serde_json::Value = desk.json(&["journal"]);
    let refund = entries["entries"]
        .as_array()
        .expect("entries")
        .iter()
        .find(|entry| entry["kind"] == "supplier-refund")
        .expect("the credit")["number"]
        .to_string();
    desk.ok(&[
        "reverse",
        "@book",
        &refund,
        "--on",
        "2026-04-02",
        "--reason",
        "typed twice",
    ]);
    check_round_trip(&desk, "@book", "2026-01-01");
}

#[test]
fn a_book_with_closed_years_changed_terms_and_mirrors_comes_back_the_same() {
    let desk = Desk::since("2025-01-01");
    desk.bring("accounts", "number,name,class,group,role\n1001,Main account,asset,Money,business-bank\n6050,Odd things,expense,Workshop,\n");
    desk.bring(
        "purchases",
        "purchase,date,supplier,paid_from,amount,account,description,equipment_name,life_months,business_share\n\
         R1,2025-03-05,\"Mill, \"\"Paper\"\" & Co\",1001,12.00,6050,\"two\nlines\",,,\n\
         R2,2025-04-01,Copse Tools,1001,480.00,1500,Press,Press,48,80\n\
         R3,2025-04-02,Copse Tools,1001,9.00,6010,Awl,,,\n",
    );
    desk.bring("sales", "sale,date,paid_into,amount,quantity,fee_other\nS1,2025-05-01,Lanternpost Shop,90.00,2,3.00\n");
    desk.bring(
        "holds",
        "channel,amount,since,until\nLanternpost Shop,20.00,2025-05-01,2026-05-01\n",
    );
    desk.bring(
        "reported-gross",
        "channel,year,amount\nLanternpost Shop,2025,95.00\n",
    );
    desk.bring("equipment-changes", "equipment,from,life_months,residual,business_share,reason\nPress,2025-10-01,60,30.00,100,used all day now\n");
    stock(&desk);
    statements(&desk);
    desk.ok(&["depreciate", "@book", "--through", "2025-12-31"]);
    desk.ok(&["reverse", "@book", "1", "--reason", "sent back"]);
    desk.ok(&[
        "amend",
        "@book",
        "3",
        "--reason",
        "a better word",
        "--memo",
        "Awl of steel",
    ]);
    desk.ok(&["close", "@book", "--year", "2025"]);
    desk.ok(&["reopen", "@book", "--reason", "one more"]);
    desk.ok(&["close", "@book", "--year", "2025"]);
    desk.ok(&["lock", "@book", "--through", "2026-01-31"]);
    check_round_trip(&desk, "@book", "2025-01-01");
}

/// Lines of a statement sorted in every way, rules and choices, and an account that agrees with its statement.
fn statements(desk: &Desk) {
    let hash = "ab".repeat(32);
    desk.bring(
        "statement-files",
        &format!(
            "file,account,name,hash,format,brought_at,closing_day,closing_balance\n\
             1,1001,january.csv,{hash},csv,2025-07-02T08:00:00.000Z,2025-06-30,-4.10\n"
        ),
    );
    desk.bring(
        "statement-lines",
        "file,row,date,amount,text,bank_id,balance,became,entries,why\n\
         1,2,2025-06-21,-0.80,\"BANK, CHARGE\",A1,-0.80,,,\n\
         1,3,2025-06-22,-2.00,LENT TO ANOTHER FIRM,A2,,left-out,,not ours\n\
         1,4,2025-06-23,-1.30,STAMPS ELMWICK,,,,,\n",
    );
    desk.ok(&[
        "sort",
        "@book",
        "--make-rule",
        "bank charge",
        "--as",
        "purchase",
        "--to",
        "6700",
    ]);
    desk.ok(&["sort", "@book", "--accept-rules"]);
    desk.ok(&[
        "sort",
        "@book",
        "--line",
        "3",
        "--as",
        "purchase",
        "--to",
        "6110",
        "--share",
        "50",
        "--party",
        "Elmwick post office",
    ]);
    desk.bring(
        "statement-lines",
        "file,row,date,amount,text\n1,5,2025-06-24,-9.99,STILL TO SORT\n",
    );
    desk.ok(&[
        "reconcile",
        "@book",
        "--account",
        "1020",
        "--date",
        "2025-06-30",
        "--balance",
        "0",
    ]);
    desk.ok(&[
        "reconcile",
        "@book",
        "--account",
        "1010",
        "--date",
        "2025-05-31",
        "--balance",
        "0",
        "--finish",
    ]);
}

/// Every kind of movement, a late purchase that put costs right, and a sale taken back with its pieces.
fn stock(desk: &Desk) {
    desk.bring(
        "items",
        "code,name,kind,unit,reorder_point,price,packs,shelf,active\n\
         PAPER,\"Text paper, \"\"100 g\"\"\",material,sheet,200,,ream=500;box=2500,A1,\n\
         NOTEBOOK,A5 notebook,made,piece,3,14.00,,,\nOLD,Old card,bought-in,piece,,,,,no\n",
    );
    desk.bring(
        "recipes",
        "item,batch_quantity,input,input_quantity,own_minutes,normal_waste,outside\nNOTEBOOK,20,PAPER,100,90,2.5,1.20\n",
    );
    desk.bring(
        "bundles",
        "bundle,name,price,part,part_quantity,active\nDUO,\"Two, tied\",26.50,NOTEBOOK,2,no\nDUO,,,OLD,0.5,\n",
    );
    desk.bring(
        "movements",
        "date,item,kind,quantity,unit,total_cost,paid_from,batch,reference,place,to_place,abnormal,id,of\n\
         2025-06-01,PAPER,receive,1,ream,10.00,1001,,APM-1,,,,a,\n\
         2025-06-02,PAPER,use,100,,,,B1,,,,,,\n\
         2025-06-02,NOTEBOOK,make,18,,1.30,1001,B1,,,,2,,\n\
         2025-06-03,NOTEBOOK,carry,6,,,,,,,Thornbury Lane,,,\n\
         2025-06-04,NOTEBOOK,sample,1,,,,,,,,,,\n\
         2025-06-05,NOTEBOOK,own-use,1,,,,,,,,,,\n\
         2025-06-06,NOTEBOOK,gift,1,,,,,,,,,,\n\
         2025-06-07,PAPER,waste,7,,,,,,,,,,\n\
         2025-06-20,PAPER,later-cost,,,0.77,1001,,,,,,,a\n\
         2025-06-21,PAPER,later-credit,,,0.50,1001,,,,,,,a\n\
         2025-06-30,NOTEBOOK,count,5,,,,,,Thornbury Lane,,,,\n",
    );
    desk.file(
        "stocked.csv",
        "sale,date,paid_into,amount,item,quantity\nS7,2025-06-10,1001,42.00,NOTEBOOK,3\nS8,2025-06-11,1001,14.00,NOTEBOOK,1\n",
    );
    desk.ok(&["bring", "@book", "sales", "@stocked.csv"]);
    desk.bring(
        "refunds",
        "sale,date,amount,returned_quantity\nS7,2025-06-15,14.00,1\n",
    );
    let journal = desk.json(&["journal", "--from", "2025-06-11", "--to", "2025-06-11"]);
    let entries = journal["entries"].as_array().expect("a list");
    let sale = entries
        .iter()
        .find(|entry| entry["kind"] == "sale")
        .expect("the sale");
    desk.ok(&[
        "reverse",
        "@book",
        &sale["number"].to_string(),
        "--reason",
        "typed twice",
    ]);
    desk.file(
        "late.csv",
        "purchase,date,supplier,paid_from,amount,item,quantity\nR9,2025-06-01,Mill,1001,3.33,PAPER,100\n",
    );
    desk.ok(&["bring", "@book", "purchases", "@late.csv"]);
    assert!(desk.ok(&["check", "@book"]).contains("is sound"));
}
