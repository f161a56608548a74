//! One book that has everything of stock at once, kept each way: written out and brought back, brought sheet by sheet and
//! as a folder, closed with its year. Single figures are `stock`'s and `orders`'.

use crate::desk::Desk;
use crate::round_trip::check_round_trip;

/// Sheets in the order of a folder. Orders come in part, are credited and billed later; one set is sold and comes back in
/// part; a batch loses more than it should.
const SHEETS: &[(&str, &str)] = &[
    (
        "items",
        "code,name,kind,unit,price,packs\nPAPER,Paper,material,sheet,,ream=500\nBOX,Mailing box,packaging,piece,,\n\
         CARD,Fern cards,made,piece,3.00,\nTAG,Gift tags,bought-in,piece,1.00,\nNOTEBOOK,Notebook,made,piece,14.00,\n",
    ),
    (
        "recipes",
        "item,batch_quantity,input,input_quantity,own_minutes,normal_waste,outside\nNOTEBOOK,20,PAPER,100,90,2.5,1.20\n",
    ),
    (
        "bundles",
        "bundle,name,price,part,part_quantity\nSET,Cards and a tag,9.00,CARD,3\nSET,,,TAG,1\n",
    ),
    (
        "purchases",
        "purchase,date,supplier,paid_from,amount,item,quantity,carriage\nR-1,2026-01-05,Mill,1000,50.00,PAPER,500,3.33\n\
         R-1,2026-01-05,Mill,1000,10.00,BOX,20,\nR-2,2026-02-05,Mill,1000,31.00,PAPER,250,\n\
         R-3,2026-02-01,Loom Lane,1000,40.00,CARD,60,\n",
    ),
    (
        "movements",
        "date,item,kind,quantity,total_cost,paid_from,batch,reference,place,to_place,abnormal,own_minutes,spoiled,spoiled_why,id,of\n\
         2026-01-04,TAG,receive,10,5.00,1000,,T-1,,,,,,,a,\n\
         2026-01-06,TAG,receive,10,7.00,1000,,T-2,,,,,,,b,\n\
         2026-01-10,PAPER,use,100,,,B-1,,,,,,,,,\n\
         2026-01-10,NOTEBOOK,make,18,1.30,1000,B-1,,,,2,95.5,3,glue,,\n\
         2026-01-11,NOTEBOOK,carry,6,,,,,,Thornbury Lane,,,,,,\n\
         2026-01-12,NOTEBOOK,sample,1,,,,,,,,,,,,\n\
         2026-01-13,NOTEBOOK,own-use,1,,,,,,,,,,,,\n\
         2026-01-14,NOTEBOOK,gift,1,,,,,,,,,,,,\n\
         2026-01-15,PAPER,waste,7,,,,,,,,,,,,\n\
         2026-01-16,BOX,use,3,,,,,,,,,,,,\n\
         2026-01-17,BOX,send-back,2,,,,,,,,,,,,\n\
         2026-02-10,PAPER,use,480,,,B-2,,,,,,,,,\n\
         2026-02-10,NOTEBOOK,make,20,2.00,1000,B-2,,,,,,,,,\n\
         2026-03-20,TAG,later-cost,,0.77,1000,,F-1,,,,,,,,a\n\
         2026-03-21,TAG,later-credit,,0.50,1000,,C-1,,,,,,,,b\n\
         2026-03-25,NOTEBOOK,write-down,,1.11,,,,,,,,,,,\n\
         2026-03-30,NOTEBOOK,count,5,,,,,Thornbury Lane,,,,,,,\n",
    ),
    (
        "sales",
        "sale,date,paid_into,amount,item,quantity,fee_other\nS1,2026-01-20,1000,70.00,NOTEBOOK,5,1.00\n\
         S2,2026-03-16,1000,27.00,SET,3,0.40\nS3,2026-03-17,1000,30.00,CARD,70,\nS4,2026-03-18,1000,14.00,NOTEBOOK,1,\n",
    ),
    (
        "refunds",
        "sale,date,amount,returned_quantity\nS2,2026-03-19,9.00,1\nS1,2026-03-22,14.00,1\n",
    ),
    ("supplier-orders", crate::orders::ORDERS),
    ("supplier-arrivals", crate::orders::ARRIVALS),
    ("supplier-claims", crate::orders::CLAIMS),
    (
        "comparisons",
        "item,name,quantity,tiers,each,batch,loss,own_minutes,own_rate\nNOTEBOOK,Print house,40,1:1.00;50:0.60,0.475,20,5,4.5,20.00\n",
    ),
];

const WAYS: [(&str, &str); 4] = [
    ("perpetual", "average"),
    ("perpetual", "fifo"),
    ("periodic", "average"),
    ("periodic", "fifo"),
];

fn kept(desk: &Desk, (keeping, costing): (&str, &str)) {
    let keeping = format!("stock_keeping={keeping}");
    let costing = format!("costing={costing}");
    desk.ok(&["set", "@book", &keeping, &costing]);
}

fn one_by_one(way: (&str, &str)) -> Desk {
    let desk = Desk::new();
    kept(&desk, way);
    for (kind, sheet) in SHEETS {
        desk.file(&format!("{kind}.csv"), sheet);
        let mut arguments = vec!["bring", "@book", kind];
        let file = format!("@{kind}.csv");
        arguments.push(&file);
        if *kind == "movements" {
            arguments.push("--allow-short");
        }
        desk.ok(&arguments);
        assert!(desk.ok(&["check", "@book"]).contains("is sound"), "{kind}");
    }
    desk
}

/// Counted at the year's end: of everything as many as the book thinks, five of the notebooks at Thornbury Lane.
fn count_all(desk: &Desk) {
    let stock = desk.json(&["stock", "--to", "2026-12-31"]);
    let mut sheet = "date,item,kind,quantity,place\n".to_owned();
    for item in stock["items"].as_array().expect("a list") {
        let many: u32 = item["quantity"]
            .as_str()
            .expect("so many")
            .parse()
            .expect("whole");
        let (code, away) = match item["code"].as_str().expect("a code") {
            "NOTEBOOK" => ("NOTEBOOK", 5),
            other => (other, 0),
        };
        sheet.push_str(&format!("2026-12-31,{code},count,{},\n", many - away));
    }
    desk.bring("movements", &sheet);
}

#[test]
fn a_book_with_everything_comes_back_the_same_however_it_is_kept() {
    for way in WAYS {
        let desk = one_by_one(way);
        let journal = desk.json(&["journal", "--from", "2026-03-18", "--to", "2026-03-18"]);
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
            "--on",
            "2026-03-18",
        ]);
        check_round_trip(&desk, "@book", "2026-01-01");
    }
}

#[test]
fn a_folder_brings_the_figures_of_its_sheets_brought_one_by_one() {
    for way in WAYS {
        let (desk, other) = (one_by_one(way), Desk::new());
        kept(&other, way);
        for (kind, sheet) in SHEETS {
            other.file(&format!("all/{kind}.csv"), sheet);
        }
        other.ok(&["bring", "@book", "sheets", "@all"]);
        assert!(other.ok(&["check", "@book"]).contains("is sound"));
        for what in [
            "stock",
            "cost-of-goods-sold",
            "profit",
            "balance",
            "trial",
            "products",
            "bundles",
        ] {
            let figures = |of: &Desk| of.json(&[what, "--year", "2026"]);
            assert_eq!(figures(&desk), figures(&other), "{way:?} {what}");
        }
    }
}

/// The last cell of the row that begins so.
fn last_cell(table: &str, begins: &str) -> i64 {
    let row = table
        .lines()
        .find(|line| line.starts_with(begins))
        .unwrap_or_else(|| panic!("no row {begins}:\n{table}"));
    let cell = row.trim_end_matches(',').rsplit(',').next();
    cell.expect("a cell")
        .replace('.', "")
        .parse()
        .expect("cents")
}

/// Counted or not, the list of stock says what the stock accounts hold, and all of it but packaging is the closing stock of
/// the working. Outside work is no purchase, whichever way the book is kept.
#[test]
fn stock_and_cost_of_goods_sold_of_the_pack_agree_however_the_book_is_kept() {
    for way in WAYS {
        for is_counted in [false, true] {
            let desk = one_by_one(way);
            if is_counted {
                count_all(&desk);
            }
            desk.ok(&["year-end", "@book", "--year", "2026", "--out", "@pack"]);
            let read = |name: &str| {
                std::fs::read_to_string(desk.path("pack/sheets").join(name)).expect("in the pack")
            };
            let (stock, sold) = (read("stock.csv"), read("cost-of-goods-sold.csv"));
            let since: i64 = stock
                .lines()
                .filter(|line| line.starts_with("Since the last count"))
                .map(|line| last_cell(line, "Since"))
                .sum();
            let accounts = last_cell(&stock, "Stock accounts");
            assert_eq!(last_cell(&stock, "All items") + since, accounts, "{way:?}");
            assert!(since == 0 || way.0 == "periodic" && !is_counted, "{way:?}");
            let packaging = desk.balance("1230").replace('.', "").parse::<i64>();
            let closing = last_cell(&sold, "41,");
            assert_eq!(closing, accounts - packaging.expect("cents"), "{way:?}");
            assert_eq!(last_cell(&sold, "36,"), 14_588, "{way:?}");
            assert_eq!(last_cell(&sold, "40,") - closing, last_cell(&sold, "42,"));
        }
    }
}

/// A file that differs by an empty line only is another file, and still brings nothing twice.
#[test]
fn a_sheet_brought_again_in_another_shape_brings_nothing_twice() {
    let desk = one_by_one(WAYS[0]);
    for (kind, sheet) in SHEETS {
        let file = format!("@{kind}.csv");
        let said = desk.refused(1, &["bring", "@book", kind, &file]);
        assert!(said[0].contains("the same file was brought in"), "{said:?}");
        if ["items", "recipes", "bundles"].contains(kind) {
            continue;
        }
        let said = desk.bring_refused(kind, format!("{sheet}\n"));
        assert!(said[0].contains(&format!("{kind}.csv row ")), "{said:?}");
    }
    let said = desk.bring_refused(
        "refunds",
        "sale,date,amount,returned_quantity\nS2,2026-03-19,9.00,1\n",
    );
    assert!(said[0].contains("is in the book already"), "{said:?}");
    let said = desk.bring_refused(
        "sales",
        "sale,date,paid_into,amount,item,quantity\nS4,2026-03-18,1000,14.00,NOTEBOOK,1\n",
    );
    assert!(said[0].contains("is in the book already"), "{said:?}");
}
